/* The rounds of a morning: instruments against something known, chemicals titrated, things counted,
 * and a line under work once. */
#include "base/civil.h"
#include "demo/story.h"

enum {
    CHEMICAL_DAYS = 56,
    CHEMICAL_LIFE_DAYS = 120,
    WORK_DAY = 13,
    CALIBRATE_DAY = 2,
    REJECT_DAY = 9
};

/* ---- instruments */

static struct result check_one(struct story *st, int64_t t, const char *instrument,
                               const char *reference, const char *shown)
{
    return say(st->p, t, DEMO_LINE, false,
               json_pack("{s:s,s:s,s:s,s:s}", "kind", "instrument-check", "instrument", instrument,
                         "reference", reference, "shown", shown));
}

static struct result calibrate(struct story *st, int64_t t, const char *instrument)
{
    struct play *p = st->p;
    return say(p, t, DEMO_MAINTENANCE, false,
               json_pack("{s:s,s:s,s:i,s:i,s:b,s:s}", "kind", "calibrate", "instrument", instrument,
                         "as_found_error", 0, "uncertainty", 10000, "ok", 1, "due",
                         when_text(p, at_day(p->s->last_day + 365, 12, 0))));
}

/* Scales against 20 kg, thermometers in melting ice. Once a scale is off: what it weighed since
 * yesterday is judged again, and it is put right. */
static struct result instruments(struct story *st, int64_t t)
{
    static const char *const scales[] = {"SC-1", "SC-2", "SC-3"};
    static const char *const probes[] = {"TH-1", "TH-2", "TH-3", "TH-9"};
    struct play *p = st->p;
    for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++) {
        bool off = i == 1 && st->scale_day > 0 && p->day == st->scale_day;
        double kg = off ? 20.08 : 20.0 + 0.01 * (double)random_below(&st->hygiene, 2);
        TRY(check_one(st, t, scales[i], "20 kg", mass_of(p, kg)));
        if (off) {
            TRY(calibrate(st, t + 3 * MINUTE, scales[i]));
        }
    }
    for (size_t i = 0; i < sizeof probes / sizeof probes[0]; i++) {
        double c = 0.1 * (double)random_below(&st->hygiene, 3);
        TRY(check_one(st, t + MINUTE, probes[i], "0 C", arena_printf(&p->scratch, "%.1f C", c)));
    }
    return RESULT_OK;
}

/* ---- chemicals, counts */

static struct result titrate(struct story *st, int64_t t)
{
    struct play *p = st->p;
    return say(p, t, DEMO_HYGIENE, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s}", "kind", "titration", "chemical",
                         arena_printf(&p->scratch, "CHEM-%d", st->chemical), "strength",
                         arena_printf(&p->scratch, "%.1f %%", 11.5 + random_unit(&st->hygiene)),
                         "low", "10 %", "high", "14 %"));
}

static struct result chemicals(struct story *st, int64_t t, int since)
{
    struct play *p = st->p;
    if (since % CHEMICAL_DAYS == 0) {
        st->chemical++;
        TRY(say(p, t, DEMO_HYGIENE, false,
                json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "chemical", "code",
                          arena_printf(&p->scratch, "CHEM-%d", st->chemical), "agent",
                          "chlorine sanitiser", "best_before",
                          when_text(p, at_day(p->day + CHEMICAL_LIFE_DAYS, 12, 0)), "form",
                          "volume-percent", "substance", "sodium-hypochlorite", "strength",
                          "12.5 %", "strength_of", "available-chlorine", "density", "1.2 kg/L")));
    }
    if (since % 7 == 0) {
        TRY(titrate(st, t + MINUTE));
    }
    return wash_dose(st, t + 2 * MINUTE);
}

static struct result count(struct story *st, int64_t t, const char *code, int counted)
{
    return say(
        st->p, t, DEMO_LINE, false,
        json_pack("{s:s,s:s,s:i}", "kind", "register-count", "register", code, "counted", counted));
}

static struct result duty_done(struct story *st, int64_t t, int64_t person, const char *duty,
                               const char *what)
{
    return say(
        st->p, t, person, false,
        json_pack("{s:s,s:s,s:b,s:s}", "kind", "duty-done", "duty", duty, "ok", 1, "what", what));
}

/* What somebody has to say was done. */
static struct result told_duties(struct story *st, int64_t t, int since)
{
    if (since % 28 == 1) {
        TRY(duty_done(st, t, DEMO_HYGIENE, "PEST", "no bait taken"));
    }
    if (since % 7 == 3) {
        TRY(duty_done(st, t, DEMO_HYGIENE, "GLASS", "all whole"));
        TRY(count(st, t, "GLASS-P", 9));
    }
    if (since % 360 == 3) {
        TRY(duty_done(st, t, DEMO_QUALITY, "WELL", "source, tank, filters and taps seen"));
        TRY(duty_done(st, t, DEMO_QUALITY, "RECALL", "a seed lot to its customers in 12 minutes"));
    }
    return RESULT_OK;
}

/* The second packing line gets a new belt and is out of use until hygiene takes it back. */
static struct result work(struct story *st, int64_t t)
{
    struct play *p = st->p;
    TRY(say(p, t, DEMO_MAINTENANCE, false,
            json_pack("{s:s,s:s,s:s,s:s}", "kind", "work-order", "code", "WORK-1", "place", "P-2",
                      "what", "new belt")));
    return say(p, t + 15 * MINUTE, DEMO_HYGIENE, false,
               json_pack("{s:s,s:s,s:b,s:b,s:s}", "kind", "hand-back", "work_order", "WORK-1",
                         "tools_counted", 1, "cleaned", 1, "what", "belt, 4 screws, 2 spanners"));
}

/* The detector of the first packing line finds a shaving of the new trimmer knife. */
static struct result reject(struct story *st, int64_t t)
{
    return say(st->p, t, DEMO_LINE, false,
               json_pack("{s:s,s:s,s:s,s:s,s:i}", "kind", "metal-reject", "place", "P-1", "metal",
                         "steel", "what", "a shaving of 2 mm, as of the new knife", "passes", 3));
}

struct result story_hygiene(struct story *st)
{
    struct play *p = st->p;
    int since = (int)(p->day - p->first_day);
    int64_t t = at(p, 4, 9);
    TRY(chemicals(st, t, since));
    TRY(instruments(st, t + MINUTE));
    TRY(told_duties(st, t + 5 * MINUTE, since));
    TRY(count(st, t + 6 * MINUTE, "BLADES-T", 12));
    if (since == CALIBRATE_DAY) {
        TRY(calibrate(st, t + 6 * MINUTE, "SC-1"));
    }
    if (since == REJECT_DAY) {
        TRY(reject(st, t + 7 * MINUTE));
    }
    TRY(wash_morning(st));
    return since == WORK_DAY ? work(st, at(p, 4, 10)) : RESULT_OK;
}
