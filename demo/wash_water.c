/* The water of the wash lines, as meters show it. What rinses at W-2 goes round through a tank of
 * its own: its contact is judged by the day, and what gathers in it is followed. */
#include "demo/story.h"

/* What a run brings into the round in an hour, mg/L, and the fresh water that thins it. */
enum { SOLIDS_FRESH = 5, SOLIDS_HOUR = 18, SOLIDS_HOUR_STUCK = 80, RENEWED_L_H = 400 };

static json_t *reading(struct play *p, const char *place, double chlorine_mg_l)
{
    return json_pack("{s:s,s:s,s:s,s:s}", "kind", "water-reading", "place", place, "chlorine",
                     arena_printf(&p->scratch, "%.1f mg/L", chlorine_mg_l), "instrument", "CL-1");
}

struct result wash_read_one(struct story *st, int64_t at_ms, const char *place,
                            double chlorine_mg_l)
{
    return say(st->p, at_ms, DEMO_LINE, false, reading(st->p, place, chlorine_mg_l));
}

/* The round read whole. */
static struct result read_round(struct story *st, int64_t at_ms, double chlorine_mg_l, double ph,
                                double temp_c, double solids_mg_l, int renewed_l_h)
{
    struct play *p = st->p;
    json_t *o = reading(p, "W-2", chlorine_mg_l);
    json_object_set_new(o, "ph", json_string(arena_printf(&p->scratch, "%.1f", ph)));
    json_object_set_new(o, "temp", json_string(arena_printf(&p->scratch, "%.1f C", temp_c)));
    json_object_set_new(o, "solids",
                        json_string(arena_printf(&p->scratch, "%.0f mg/L", solids_mg_l)));
    json_object_set_new(o, "make_up",
                        json_string(arena_printf(&p->scratch, "%d L/h", renewed_l_h)));
    return say(p, at_ms, DEMO_LINE, false, o);
}

/* Once the float of the fresh water sticks: the water will not last, and is changed. */
static struct result read_round_of_run(struct story *st, int64_t at_ms)
{
    bool stuck = st->stuck_day != 0 && st->p->day >= st->stuck_day && !st->stuck_done;
    double hours = (double)(at_ms - st->new_water_ms) / HOUR;
    double solids = SOLIDS_FRESH + (stuck ? SOLIDS_HOUR_STUCK : SOLIDS_HOUR) * hours;
    double chlorine = 30 + 20 * random_unit(&st->hygiene),
           ph = 6.6 + 0.3 * random_unit(&st->hygiene);
    TRY(read_round(st, at_ms, chlorine, ph, 10.5 + random_unit(&st->hygiene), solids,
                   stuck ? 20 : RENEWED_L_H));
    if (!stuck || solids < 120) {
        return RESULT_OK;
    }
    st->stuck_done = true;
    st->new_water_ms = at_ms + MINUTE;
    return say(st->p, at_ms + MINUTE, DEMO_LINE, false,
               json_pack("{s:s,s:s}", "kind", "water-change", "place", "W-2"));
}

struct result wash_read(struct story *st, int64_t at_ms)
{
    st->read_ms = at_ms;
    TRY(wash_read_one(st, at_ms, "W-1", 30 + 20 * random_unit(&st->hygiene)));
    return read_round_of_run(st, at_ms);
}

struct result wash_stands(struct story *st, int64_t at_ms)
{
    struct play *p = st->p;
    TRY(say(p, at_ms, DEMO_QUALITY, false,
            json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "water-loop", "place", "W-2", "rule",
                      "recycled", "volume", "2000 L", "measure", "solids", "fresh", "5 mg/L",
                      "change_every", "1 d")));
    return say(p, at_ms, DEMO_QUALITY, false,
               json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "water-segment", "code", "W2-TANK",
                         "place", "W-2", "volume", "1500 L", "flow", "60 L/min", "baffling",
                         "0.5"));
}

static struct result about(struct story *st, int64_t at_ms, int64_t person, const char *kind,
                           const char *place)
{
    return say(st->p, at_ms, person, false, json_pack("{s:s,s:s}", "kind", kind, "place", place));
}

struct result wash_stop_heard(struct story *st, int64_t at_ms, const char *place)
{
    return about(st, at_ms, DEMO_LINE, "stop-heard", place);
}

struct result wash_runs_again(struct story *st, int64_t at_ms, const char *place)
{
    return about(st, at_ms, DEMO_QUALITY, "water-restart", place);
}

/* The acid ran empty over night: by the first reading of the morning the pH is high and little
 * chlorine is left. Each is within its limit; together they bring too little contact, and nothing
 * is rinsed before it is put right. 2.4 mg/L at pH 7.4 and 9 C: 12.5 min, CT 30 of 209 for three
 * decimals: 0.43 of the 0.5 that the rule asks (the table: calc/water/giardia_ct.def). */
struct result wash_morning(struct story *st)
{
    struct play *p = st->p;
    if (st->contact_day == 0 || p->day != st->contact_day) {
        return RESULT_OK;
    }
    TRY(read_round(st, at(p, 4, 20), 2.4, 7.4, 9, SOLIDS_FRESH, RENEWED_L_H));
    TRY(wash_stop_heard(st, at(p, 4, 24), "W-2"));
    TRY(read_round(st, at(p, 4, 48), 41, 6.8, 9, SOLIDS_FRESH, RENEWED_L_H));
    return wash_runs_again(st, at(p, 4, 52), "W-2");
}

/* Sanitiser made up for the morning; once measured by the eye, thrown away and made up again. */
struct result wash_dose(struct story *st, int64_t at_ms)
{
    struct play *p = st->p;
    bool off = st->dose_day != 0 && p->day == st->dose_day;
    for (int i = off ? 0 : 1; i < 2; i++) {
        TRY(say(p, at_ms + i * 4 * MINUTE, DEMO_HYGIENE, false,
                json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "kind", "dose", "chemical",
                          arena_printf(&p->scratch, "CHEM-%d", st->chemical), "counts",
                          "available-chlorine", "target", "150 mg/L", "volume", "200 L", "measured",
                          i == 0 ? "330 mL" : "250 mL")));
    }
    return RESULT_OK;
}
