#include "calc/water/water_period.h"

#include <math.h>
#include <stdio.h>

#include "base/check.h"
#include "calc/range.h"

#define TIME_MAX_MS INT64_C(4000000000000000)
#define INTERVAL_MAX_MS INT64_C(604800000)

static const struct {
    const char *word;
    int64_t low;
    int64_t high;
    double per_unit; /* whole numbers in one unit of calc/water/ct_credit.h */
    bool for_chain;
} quantities[WATER_QUANTITIES] = {
    {"disinfectant", 0, 1000000000, 1000, true},
    {"ph", 0, 14000, 1000, true},
    {"temp", -5000, 100000, 1000, true},
    {"turbidity", 0, 10000000, 1000, false},
    {"orp", -2000, 2000, 1, false},
    {"flow", 0, 1000000000000, 1000, true},
};

struct scan {
    const struct water_limits *limits;
    const struct water_chain *chain;
    struct water_period *out;
    int64_t anchor_ms; /* last good reading, or the begin */
    bool open;         /* a stretch to hold has begun */
    bool open_bad;
};

const char *water_quantity_word(enum water_quantity quantity)
{
    CHECK((size_t)quantity < WATER_QUANTITIES);
    return quantities[quantity].word;
}

const char *water_state_word(enum water_state state)
{
    static const char *const words[] = {"good", "no-data", "unknown", "bad"};
    CHECK((size_t)state < sizeof words / sizeof words[0]);
    return words[state];
}

struct water_limits water_limits_none(int64_t interval_max_ms)
{
    struct water_limits out = {.interval_max_ms = interval_max_ms};
    for (size_t q = 0; q < WATER_QUANTITIES; q++) {
        out.low[q] = out.high[q] = WATER_NONE;
    }
    return out;
}

struct water_reading water_reading_none(int64_t time_ms)
{
    struct water_reading out = {.time_ms = time_ms};
    for (size_t q = 0; q < WATER_QUANTITIES; q++) {
        out.value[q] = WATER_NONE;
    }
    return out;
}

static struct result reading_check(const struct water_reading *r, size_t i, int64_t from_ms,
                                   int64_t end_ms, bool first)
{
    char field[64];
    snprintf(field, sizeof field, "readings[%zu].time", i);
    if (!first && r->time_ms < from_ms) {
        return FAIL0(LOG_BACKWARDS, field);
    }
    TRY(range_check(field, r->time_ms, from_ms, end_ms));
    for (size_t q = 0; q < WATER_QUANTITIES; q++) {
        if (r->value[q] != WATER_NONE) {
            snprintf(field, sizeof field, "readings[%zu].%s", i, quantities[q].word);
            TRY(range_check(field, r->value[q], quantities[q].low, quantities[q].high));
        }
    }
    return RESULT_OK;
}

static struct result chain_check(const struct water_chain *chain)
{
    TRY(range_check("segments", (int64_t)chain->count, 0, CT_SEGMENTS_MAX));
    TRY(range_number("giardia_log_needed", chain->giardia_log_needed, 0, CT_GIARDIA_LOG_MAX));
    TRY(range_number("virus_log_needed", chain->virus_log_needed, 0, CT_VIRUS_LOG_MAX));
    for (size_t i = 0; i < chain->count; i++) {
        char field[64];
        snprintf(field, sizeof field, "segments[%zu].volume_l", i);
        TRY(range_number(field, chain->segments[i].volume_l, 1e-6, 1e9));
        snprintf(field, sizeof field, "segments[%zu].baffling", i);
        TRY(range_number(field, chain->segments[i].baffling, 0.01, 1));
    }
    return RESULT_OK;
}

static double unit_value(const struct water_reading *r, enum water_quantity q)
{
    return (double)r->value[q] / quantities[q].per_unit;
}

/* Does the chain do what it is asked for at this reading, of which all it needs was read? */
static struct result chain_judge(struct scan *s, const struct water_reading *r, bool *out_enough)
{
    struct ct_segment segments[CT_SEGMENTS_MAX];
    struct ct_credit credit;
    *out_enough = true;
    if (r->value[WATER_FLOW_ML_MIN] == 0) {
        return RESULT_OK;
    }
    /* The tables end below 50 mg/L and 60 C, and begin above 0 C: there the edge is the safe side.
     */
    struct ct_water water = {
        .residual_mg_l = fmin(unit_value(r, WATER_DISINFECTANT_UG_L), 50),
        .ph = unit_value(r, WATER_PH_MILLI),
        .temp_c = fmin(fmax(unit_value(r, WATER_TEMP_MC), 0), 60),
    };
    for (size_t i = 0; i < s->chain->count; i++) {
        segments[i] = (struct ct_segment){
            .volume_l = s->chain->segments[i].volume_l,
            .flow_l_min = unit_value(r, WATER_FLOW_ML_MIN),
            .baffling = s->chain->segments[i].baffling,
            .water = water,
        };
    }
    TRY(ct_credit(segments, s->chain->count, NULL, &credit));
    struct water_period *out = s->out;
    out->giardia_log_lowest =
        out->has_ct ? fmin(out->giardia_log_lowest, credit.giardia_log) : credit.giardia_log;
    out->virus_log_lowest =
        out->has_ct ? fmin(out->virus_log_lowest, credit.virus_log) : credit.virus_log;
    out->has_ct = true;
    *out_enough = credit.giardia_log >= s->chain->giardia_log_needed &&
                  credit.virus_log >= s->chain->virus_log_needed;
    return RESULT_OK;
}

static struct result reading_judge(struct scan *s, const struct water_reading *r,
                                   enum water_state *out)
{
    bool bad = false;
    bool lacks = false;
    bool chain_lacks = false;
    for (size_t q = 0; q < WATER_QUANTITIES; q++) {
        int64_t low = s->limits->low[q];
        int64_t high = s->limits->high[q];
        bool for_chain = s->chain->count > 0 && quantities[q].for_chain;
        if (r->value[q] == WATER_NONE) {
            bool asked = low != WATER_NONE || high != WATER_NONE || for_chain;
            lacks = lacks || asked;
            chain_lacks = chain_lacks || for_chain;
            s->out->unread[q] += asked;
        } else if ((low != WATER_NONE && r->value[q] < low) ||
                   (high != WATER_NONE && r->value[q] > high)) {
            bad = true;
            s->out->broken[q]++;
        }
    }
    if (s->chain->count > 0 && !chain_lacks) {
        bool enough = false;
        TRY(chain_judge(s, r, &enough));
        bad = bad || !enough;
        s->out->ct_low += !enough;
    }
    *out = bad ? WATER_BAD : lacks ? WATER_UNKNOWN : WATER_GOOD;
    return RESULT_OK;
}

static void stretch_close(struct scan *s, int64_t to_ms)
{
    struct water_period *out = s->out;
    if (!s->open) {
        return;
    }
    if (out->stretches < WATER_STRETCHES_MAX) {
        out->stretch[out->stretches++] = (struct water_stretch){s->anchor_ms, to_ms, s->open_bad};
    } else {
        struct water_stretch *last = &out->stretch[WATER_STRETCHES_MAX - 1];
        last->to_ms = to_ms;
        last->bad = last->bad || s->open_bad;
    }
    s->open = s->open_bad = false;
}

static void silence(struct scan *s, int64_t from_ms, int64_t to_ms)
{
    int64_t dt_ms = to_ms - from_ms;
    s->out->longest_ms = dt_ms > s->out->longest_ms ? dt_ms : s->out->longest_ms;
    s->open = s->open || dt_ms > s->limits->interval_max_ms;
}

static void reading_take(struct scan *s, int64_t time_ms, enum water_state state)
{
    if (state == WATER_GOOD) {
        stretch_close(s, time_ms);
        s->anchor_ms = time_ms;
        s->out->good++;
        return;
    }
    s->open = true;
    s->open_bad = s->open_bad || state == WATER_BAD;
    s->out->bad += state == WATER_BAD;
    s->out->unknown += state == WATER_UNKNOWN;
}

struct result water_period(const struct water_reading *readings, size_t count, int64_t begin_ms,
                           int64_t end_ms, const struct water_limits *limits,
                           const struct water_chain *chain, struct water_period *out)
{
    *out = (struct water_period){.state = WATER_NO_DATA};
    TRY(range_check("interval_max_ms", limits->interval_max_ms, 1, INTERVAL_MAX_MS));
    TRY(range_check("end_ms", end_ms, -TIME_MAX_MS, TIME_MAX_MS));
    TRY(range_check("begin_ms", begin_ms, -TIME_MAX_MS, end_ms));
    TRY(chain_check(chain));
    for (size_t i = 0; i < count; i++) {
        TRY(reading_check(&readings[i], i, i == 0 ? begin_ms : readings[i - 1].time_ms, end_ms,
                          i == 0));
    }
    struct scan s = {.limits = limits, .chain = chain, .out = out, .anchor_ms = begin_ms};
    int64_t last_ms = begin_ms;
    for (size_t i = 0; i < count; i++) {
        enum water_state state;
        silence(&s, last_ms, readings[i].time_ms);
        TRY(reading_judge(&s, &readings[i], &state));
        reading_take(&s, readings[i].time_ms, state);
        last_ms = readings[i].time_ms;
    }
    silence(&s, last_ms, end_ms);
    s.open = s.open || count == 0;
    stretch_close(&s, end_ms);
    if (count > 0) {
        out->state = out->bad > 0 ? WATER_BAD : out->stretches > 0 ? WATER_UNKNOWN : WATER_GOOD;
    }
    return RESULT_OK;
}
