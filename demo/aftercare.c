/* What follows when the product is made: complaints, samples kept, and what went wrong put right by
 * one person and verified by another. */
#include <string.h>

#include "base/check.h"
#include "demo/story.h"
#include "ledger/view.h"
#include "service/plant.h"

enum { KEPT_DAYS = 30, AT_ONCE = 64, ALIKE = 3 };

/* ---- deviations */

static const struct {
    const char *rule, *cause, *correction, *disposition;
} causes[] = {
    {"treatment-not-met", "the hold ended early: the belt ran at its old speed",
     "speed set and locked; the seed was treated again", "destroy"},
    {"check-outside", "dosing or cooling fell behind and was seen at the next look",
     "put right at once and read again", "divert"},
    {"water-contact-low", "the acid ran empty over night, and the pH rose as the chlorine fell",
     "acid filled, dosing set, read again before the line started", "no-product"},
    {"dose-off", "measured by the eye and not in the jug", "thrown away and made up again",
     "no-product"},
    {"calibration-off", "the scale stood on the edge of a mat", "levelled, calibrated, checked",
     "release"},
};

static json_t *action_on(int64_t id, const char *rule)
{
    const char *cause = "one of the day's doings went beside the rule",
               *correction = "talked over with whoever did it; shown again at the place",
               *disposition = "no-product";
    for (size_t i = 0; i < sizeof causes / sizeof causes[0]; i++) {
        if (strcmp(rule, causes[i].rule) == 0) {
            cause = causes[i].cause;
            correction = causes[i].correction;
            disposition = causes[i].disposition;
        }
    }
    return json_pack("{s:s,s:I,s:s,s:s,s:s}", "kind", "corrective-action", "deviation",
                     (json_int_t)id, "cause", cause, "correction", correction, "disposition",
                     disposition);
}

struct open_one {
    int64_t id;
    const char *rule;
};

/* Those that were told by an entry, the newest first. */
static struct result open_until(struct story *st, int64_t entry, struct open_one *out,
                                size_t *out_count)
{
    struct statement *q = store_prepare(door_plant(st->p->door)->store, Q_SAFETY_DEVIATIONS);
    *out_count = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 1) <= entry && *out_count < AT_ONCE) {
            out[(*out_count)++] = (struct open_one){
                .id = store_int(q, 0), .rule = arena_copy(&st->p->scratch, store_text(q, 2))};
        }
    }
}

/* What is older than yesterday is put right; the newest waits. */
static struct result put_deviations_right(struct story *st, int64_t t)
{
    struct play *p = st->p;
    struct open_one open[AT_ONCE];
    size_t count;
    TRY(open_until(st, st->entry_before, open, &count));
    for (size_t i = 0; i < count; i++) {
        TRY(say(p, t, DEMO_QUALITY, false, action_on(open[i].id, open[i].rule)));
        TRY(say(p, t + 10 * MINUTE, DEMO_QUALITY_2, false,
                json_pack("{s:s,s:I,s:b,s:s}", "kind", "verification", "deviation",
                          (json_int_t)open[i].id, "ok", 1, "what", "seen at the place")));
    }
    st->entry_before = st->entry_yesterday;
    st->entry_yesterday = p->made->last_entry;
    return RESULT_OK;
}

/* ---- what was asked for on the way */

/* Told as done two days later: what came of people, complaints and the drain. */
static struct result tasks_done(struct story *st, int64_t t)
{
    struct play *p = st->p;
    int64_t ids[AT_ONCE];
    size_t count = 0;
    struct statement *q = store_prepare(door_plant(p->door)->store, Q_TODAY_TASKS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const char *kind = store_text(q, 1);
        bool ours = strcmp(kind, "keep-from-product") == 0 ||
                    strcmp(kind, "complaints-alike") == 0 || strncmp(kind, "listeria", 8) == 0;
        if (ours && store_int(q, 6) <= st->entry_before && count < AT_ONCE) {
            ids[count++] = store_int(q, 0);
        }
    }
    for (size_t i = 0; i < count; i++) {
        TRY(say(p, t, DEMO_QUALITY, false,
                json_pack("{s:s,s:I}", "kind", "task-done", "task", (json_int_t)ids[i])));
    }
    return RESULT_OK;
}

/* Three customers say the same of one lot on three days. */
static struct result complaints(struct story *st, int64_t t)
{
    struct play *p = st->p;
    int n = (int)(p->day - st->complaint_day);
    if (st->complaint_day == 0 || n < 0 || n >= ALIKE || p->made->last_released == NULL) {
        return RESULT_OK;
    }
    st->complained = n == 0 || st->complained == NULL ? p->made->last_released : st->complained;
    return say(p, t, DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:i}", "kind", "complaint", "lot", st->complained,
                         "complaint", "packaging", "what", "seam open at one corner", "customer",
                         demo_customers[n].code, "pieces", 2 + n));
}

/* ---- kept samples */

static const char *kept_code(struct story *st, int32_t day)
{
    return arena_printf(&st->p->scratch, "KEPT-%d", (int)day);
}

static bool is_kept(const struct story *st, int32_t day)
{
    return (day - st->p->first_day) % 7 == 4;
}

/* The last case of the day's last lot; one that is put right later is left alone. */
static struct result keep(struct story *st, int64_t t)
{
    struct play *p = st->p;
    struct stock *s = st->lots_today > 0 ? &st->stocks[st->stock_count - 1] : NULL;
    if (s == NULL || s->pack != NULL || s->water_low || s->lost || s->cases < 4) {
        return RESULT_OK;
    }
    s->kept = true;
    return say(p, t, DEMO_QUALITY, false,
               json_pack("{s:s,s:[s],s:s,s:s,s:s}", "kind", "retain", "units",
                         arena_printf(&p->scratch, "%s-%04d", s->lot, s->cases--), "place", "L-1",
                         "until", when_text(p, at_day(p->day + KEPT_DAYS, 12, 0)), "code",
                         kept_code(st, p->day)));
}

static struct result end_kept(struct story *st, int64_t t)
{
    struct play *p = st->p;
    int32_t day = p->day - KEPT_DAYS;
    bool was_kept = false;
    for (size_t i = 0; i < st->stock_count; i++) {
        was_kept = was_kept || (st->stocks[i].kept && st->stocks[i].day == day);
    }
    return !was_kept ? RESULT_OK
                     : say(p, t, DEMO_QUALITY, false,
                           json_pack("{s:s,s:s,s:s}", "kind", "retain-end", "retained",
                                     kept_code(st, day), "what", "looked at, smelt, thrown away"));
}

struct result story_aftercare(struct story *st)
{
    struct play *p = st->p;
    TRY(complaints(st, at(p, 20, 50)));
    if (is_kept(st, p->day)) {
        TRY(keep(st, at(p, 20, 55)));
    }
    TRY(end_kept(st, at(p, 20, 56)));
    TRY(tasks_done(st, at(p, 20, 58)));
    return put_deviations_right(st, at(p, 21, 0));
}
