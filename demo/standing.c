/* What stands before anybody works: who is trained and well, which suppliers are approved, the
 * schedule, the sites, what is counted. */
#include "base/check.h"
#include "demo/story.h"

enum { RENEW_DAYS = 330, APPROVED_DAYS = 400, SUSPENDED_DAYS = 6 };

/* ---- people */

static struct result train_all(struct story *st, int64_t t)
{
    static const struct {
        int person;
        const char *training;
    } list[] = {
        {4, "heat-treatment"},  {5, "heat-treatment"},  {1, "sampling"},        {2, "sampling"},
        {3, "sampling"},        {4, "sampling"},        {10, "cleaning"},       {6, "cleaning"},
        {6, "metal-detection"}, {7, "metal-detection"}, {2, "metal-detection"},
    };
    struct play *p = st->p;
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        TRY(say(p, t, list[i].person == DEMO_MANAGER ? DEMO_QUALITY : DEMO_MANAGER, false,
                json_pack("{s:s,s:i,s:s,s:b,s:s}", "kind", "training", "about", list[i].person,
                          "training", list[i].training, "passed", 1, "what",
                          "shown at the place, asked afterwards")));
    }
    return RESULT_OK;
}

static struct result look_at(struct story *st, int64_t t, int person, bool passed)
{
    return say(
        st->p, t, DEMO_HYGIENE, false,
        json_pack("{s:s,s:i,s:b}", "kind", "health-check", "about", person, "passed", (int)passed));
}

/* Certificates of fitness; one of them ends soon after the last day. */
static struct result fitness(struct story *st, int64_t t)
{
    static const int64_t days[] = {20, 250};
    static const int people[] = {DEMO_GROWER, DEMO_LINE};
    struct play *p = st->p;
    for (size_t i = 0; i < 2; i++) {
        TRY(say(p, t, DEMO_HYGIENE, false,
                json_pack("{s:s,s:i,s:b,s:s}", "kind", "health-check", "about", people[i], "passed",
                          1, "until",
                          when_text(p, at_day(p->s->last_day + (int32_t)days[i], 12, 0)))));
    }
    return RESULT_OK;
}

/* Who works at open product today; once somebody is sent home for a day. */
static struct result look_at_people(struct story *st, int64_t t)
{
    TRY(look_at(st, t, DEMO_GROWER, true));
    TRY(look_at(st, t, DEMO_LINE, true));
    bool sick = st->sick_day > 0 && st->p->day == st->sick_day;
    bool back = st->sick_day > 0 && st->p->day == st->sick_day + 1;
    return sick || back ? look_at(st, t, DEMO_LINE + 1, back) : RESULT_OK;
}

/* ---- suppliers */

static struct result approve(struct story *st, int64_t t, size_t supplier, const char *reason)
{
    struct play *p = st->p;
    return say(p, t, DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "supplier-approval", "supplier",
                         house_suppliers[supplier], "state", "approved", "until",
                         when_text(p, at_day(p->day + APPROVED_DAYS, 12, 0)), "reason", reason));
}

struct result supplier_suspend(struct story *st, size_t supplier)
{
    struct play *p = st->p;
    st->suspended = (int)supplier;
    st->approve_day = p->day + SUSPENDED_DAYS;
    return say(p, at(p, 12, 55), DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s}", "kind", "supplier-approval", "supplier",
                         house_suppliers[supplier], "state", "suspended", "reason",
                         "a positive in sprouts of its seed; asked for its cause"));
}

static struct result suppliers(struct story *st, int64_t t, bool renew)
{
    for (size_t i = 0; i < HOUSE_SUPPLIERS && renew; i++) {
        if ((int)i != st->suspended) {
            TRY(approve(st, t, i, "audited; certificate and tests of its last lots seen"));
        }
    }
    if (st->suspended >= 0 && st->p->day >= st->approve_day) {
        TRY(approve(st, t, (size_t)st->suspended,
                    "cause found in one silo, emptied and cleaned; new tests seen"));
        st->suspended = -1;
    }
    return RESULT_OK;
}

static struct result certificate(struct story *st, int64_t t, const char *code, const char *what,
                                 const char *key, const char *of, int32_t until)
{
    struct play *p = st->p;
    return say(p, t, DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "certificate", "code", code,
                         "certificate", what, key, of, "until",
                         when_text(p, at_day(until, 12, 0))));
}

/* One of them ends soon after the last day. */
static struct result certificates(struct story *st, int64_t t)
{
    int32_t last = st->p->s->last_day;
    TRY(certificate(st, t, "CERT-TESTA", "good farming practice", "supplier", house_suppliers[0],
                    last + 12));
    TRY(certificate(st, t, "CERT-HILUM", "good farming practice", "supplier", house_suppliers[1],
                    last + 200));
    return certificate(st, t, "CERT-SC1", "calibration by an accredited laboratory", "instrument",
                       "SC-1", last + 300);
}

/* ---- the schedule */

struct plan_row {
    const char *code, *title, *kind, *by, *place, *key, *about, *role, *source;
    int days;
    bool blocks;
};

/* Intervals are invented, as everything here. */
static const struct plan_row rows[] = {
    {"CL-W1", "Clean wash line 1", "clean", "clean", "W-1", NULL, NULL, "hygiene", "plan 1", 2, 0},
    {"CL-W2", "Clean wash line 2", "clean", "clean", "W-2", NULL, NULL, "hygiene", "plan 1", 2, 0},
    {"CL-T1", "Clean the trimmer", "clean", "clean", "T-1", NULL, NULL, "hygiene", "plan 1", 3, 0},
    {"CL-S1", "Clean the sorter", "clean", "clean", "S-1", NULL, NULL, "hygiene", "plan 1", 2, 0},
    {"CL-P1", "Clean packing line 1", "clean", "clean", "P-1", NULL, NULL, "hygiene", "plan 1", 2,
     0},
    {"CL-TR1", "Clean the treater", "clean", "clean", "TR-1", NULL, NULL, "hygiene", "plan 1", 14,
     1},
    {"SW-W1", "Swab wash line 1", "swab", "swab", "W-1", "site", "Z1-W1", "quality", "plan 2", 7,
     0},
    {"SW-P1", "Swab packing line 1", "swab", "swab", "P-1", "site", "Z1-P1", "quality", "plan 2", 7,
     0},
    {"SW-S1", "Swab the sorter's frame", "swab", "swab", "S-1", "site", "Z2-S1", "quality",
     "plan 2", 7, 0},
    {"SW-T1", "Swab the drain by the trimmer", "swab", "swab", "T-1", "site", "Z3-T1", "quality",
     "plan 2", 14, 0},
    {"SW-D1", "Swab the way to the dock", "swab", "swab", "D-1", "site", "Z4-D1", "quality",
     "plan 2", 28, 0},
    {"CK-SC1", "Check scale 1", "check", "instrument-check", NULL, "instrument", "SC-1", "line",
     "plan 3", 1, 0},
    {"CK-SC2", "Check scale 2", "check", "instrument-check", NULL, "instrument", "SC-2", "line",
     "plan 3", 1, 0},
    {"CK-SC3", "Check scale 3", "check", "instrument-check", NULL, "instrument", "SC-3", "line",
     "plan 3", 1, 0},
    {"CK-TH1", "Check the treater's probe 1", "check", "instrument-check", NULL, "instrument",
     "TH-1", "grower", "plan 3", 1, 0},
    {"CK-TH9", "Check the cold room's thermometer", "check", "instrument-check", NULL, "instrument",
     "TH-9", "line", "plan 3", 1, 0},
    {"CA-SC1", "Calibrate scale 1", "calibrate", "calibrate", NULL, "instrument", "SC-1",
     "maintenance", "plan 3", 365, 0},
    {"PEST", "Look at the bait stations", "pest", "told", "SITE-1", NULL, NULL, "hygiene", "plan 4",
     28, 0},
    {"GLASS", "Walk round for glass and hard plastic", "glass", "told", "SITE-1", NULL, NULL,
     "hygiene", "plan 4", 7, 0},
    {"KNIVES", "Count the trimmer's knives", "blades", "register-count", "T-1", "register",
     "BLADES-T", "line", "plan 4", 1, 0},
    {"RD-W2", "Read the water that goes round", "water", "check", "W-2", "check", "water-reading",
     "line", "plan 5", 1, 0},
    {"WELL", "Inspect the water from its source to the taps", "water", "told", "WS-1", NULL, NULL,
     "quality", "plan 5", 365, 0},
    {"RECALL", "Trace a lot both ways as if it were recalled", "exercise", "told", NULL, NULL, NULL,
     "quality", "plan 6", 365, 0},
};

static struct result schedule(struct story *st, int64_t t)
{
    struct play *p = st->p;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct plan_row *r = &rows[i];
        json_t *command = json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s,s:b,s:s}", "kind", "duty", "code",
                                    r->code, "title", r->title, "duty_kind", r->kind, "by", r->by,
                                    "every", arena_printf(&p->scratch, "%d d", r->days), "role",
                                    r->role, "blocks", (int)r->blocks, "source", r->source);
        CHECK(command != NULL);
        if (r->place != NULL) {
            json_object_set_new(command, "place", json_string(r->place));
        }
        if (r->key != NULL) {
            json_object_set_new(command, r->key, json_string(r->about));
        }
        TRY(say(p, t, DEMO_MANAGER, false, command));
    }
    return RESULT_OK;
}

static struct result sites_and_registers(struct story *st, int64_t t)
{
    static const struct {
        const char *code, *place, *surface;
        int zone;
    } sites[] = {
        {"Z1-W1", "W-1", "belt out of the wash", 1}, {"Z1-P1", "P-1", "weigh buckets", 1},
        {"Z2-S1", "S-1", "frame of the sorter", 2},  {"Z3-T1", "T-1", "drain by the trimmer", 3},
        {"Z4-D1", "D-1", "wheels of the lift", 4},
    };
    static const struct {
        const char *code, *of, *place;
        int expected;
    } registers[] = {{"BLADES-T", "blades", "T-1", 12}, {"GLASS-P", "glass", "P-1", 9}};
    struct play *p = st->p;
    for (size_t i = 0; i < sizeof sites / sizeof sites[0]; i++) {
        TRY(say(p, t, DEMO_QUALITY, false,
                json_pack("{s:s,s:s,s:s,s:i,s:s}", "kind", "site", "code", sites[i].code, "place",
                          sites[i].place, "zone", sites[i].zone, "surface", sites[i].surface)));
    }
    for (size_t i = 0; i < sizeof registers / sizeof registers[0]; i++) {
        TRY(say(p, t, DEMO_QUALITY, false,
                json_pack("{s:s,s:s,s:s,s:s,s:i}", "kind", "register", "code", registers[i].code,
                          "of", registers[i].of, "place", registers[i].place, "expected",
                          registers[i].expected)));
    }
    return RESULT_OK;
}

struct result story_standing(struct story *st)
{
    struct play *p = st->p;
    int since = (int)(p->day - p->first_day);
    int64_t t = at(p, 4, 0);
    if (since % RENEW_DAYS == 0) {
        TRY(train_all(st, t));
    }
    TRY(suppliers(st, t + 4 * MINUTE, since % RENEW_DAYS == 0));
    if (since == 0) {
        TRY(fitness(st, t + 4 * MINUTE));
        TRY(certificates(st, t + 5 * MINUTE));
        TRY(sites_and_registers(st, t + 6 * MINUTE));
        TRY(schedule(st, t + 7 * MINUTE));
        TRY(wash_stands(st, t + 8 * MINUTE));
    }
    return look_at_people(st, t + 8 * MINUTE);
}
