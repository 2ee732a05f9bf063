#include "calc/water/wash_forecast.h"

#include <math.h>

#include "calc/range.h"

#define MILLI 1000.0
#define MS_PER_H 3600000.0
#define LEVEL_MAX INT64_C(1000000000)
#define VOLUME_MAX INT64_C(1000000000000)
/* wash_balance.h reads g an hour and mg/L: a level times litres, over this. */
#define PER_G 1000.0
/* What binary fractions add to a whole thousandth. */
#define SLIP 1e-6

static int64_t up(double value)
{
    return (int64_t)ceil(value - SLIP);
}

static struct result record_check(const struct wash_record *r)
{
    TRY(range_check("volume_ml", r->volume_ml, 1, VOLUME_MAX));
    TRY(range_check("supply_milli", r->supply_milli, 0, LEVEL_MAX));
    TRY(range_check("leaves_ml_h", r->leaves_ml_h, 0, VOLUME_MAX));
    TRY(range_check("decay_milli", r->decay_milli, 0, 1000000));
    return range_check("limit_milli", r->limit_milli, 1, LEVEL_MAX);
}

static struct wash_loop loop_of(const struct wash_record *r, double load_h, int64_t start_milli)
{
    return (struct wash_loop){
        .volume_l = (double)r->volume_ml / MILLI,
        .load_g_h = load_h / PER_G,
        .supply_mg_l = (double)r->supply_milli / MILLI,
        .blow_down_l_h = (double)r->leaves_ml_h / MILLI,
        .decay_per_h = (double)r->decay_milli / MILLI,
        .start_mg_l = (double)start_milli / MILLI,
    };
}

/* Level times litres an hour between two readings; what falls needs none. */
static double load_between(const struct wash_record *r, const struct wash_seen *a,
                           const struct wash_seen *b)
{
    double volume_l = (double)r->volume_ml / MILLI, leaves_l_h = (double)r->leaves_ml_h / MILLI;
    double hours = (double)(b->at_ms - a->at_ms) / MS_PER_H;
    double loss = leaves_l_h / volume_l + (double)r->decay_milli / MILLI;
    double from = (double)a->level_milli / MILLI, to = (double)b->level_milli / MILLI;
    if (loss == 0) {
        return fmax(0, volume_l * (to - from) / hours);
    }
    double steady = (to - from * exp(-loss * hours)) / -expm1(-loss * hours);
    return fmax(0, steady * loss * volume_l - leaves_l_h * (double)r->supply_milli / MILLI);
}

static struct result seen_check(const struct wash_seen *seen, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        TRY(range_check("level_milli", seen[i].level_milli, 0, LEVEL_MAX));
        if (i > 0 && seen[i].at_ms < seen[i - 1].at_ms) {
            return FAIL0(LOG_BACKWARDS, "readings");
        }
    }
    return RESULT_OK;
}

struct result wash_forecast(const struct wash_record *record, const struct wash_seen *seen,
                            size_t count, struct wash_forecast *out)
{
    double load_h = 0;
    *out = (struct wash_forecast){.reach = WASH_STAYS_BELOW};
    TRY(record_check(record));
    TRY(seen_check(seen, count));
    size_t from = 0;
    for (size_t i = 1; i < count; i++) {
        if (seen[i].at_ms - seen[from].at_ms >= WASH_APART_MS) {
            out->known = true;
            load_h = fmax(load_h, load_between(record, &seen[from], &seen[i]));
            from = i;
        }
    }
    if (count > 0 && seen[count - 1].level_milli >= record->limit_milli) {
        out->reach = WASH_ABOVE_NOW;
    }
    if (!out->known) {
        return RESULT_OK;
    }
    struct wash_loop loop = loop_of(record, load_h, seen[count - 1].level_milli);
    struct wash_steady steady;
    double hours = 0;
    TRY(wash_steady(&loop, &steady));
    TRY(wash_reach(&loop, (double)record->limit_milli / MILLI, &out->reach, &hours));
    out->load_milli_h = up(load_h * MILLI);
    out->has_steady = steady.has_steady;
    out->steady_milli = steady.has_steady ? up(steady.steady_mg_l * MILLI) : 0;
    if (out->reach == WASH_REACHES && hours < 1e6) {
        out->reach_ms = seen[count - 1].at_ms + (int64_t)floor(hours * MS_PER_H);
    } else if (out->reach == WASH_REACHES) {
        out->reach = WASH_STAYS_BELOW; /* in a hundred years */
    }
    return RESULT_OK;
}

struct result wash_forecast_at(const struct wash_record *record, const struct wash_seen *last,
                               const struct wash_forecast *forecast, int64_t at_ms,
                               int64_t *out_milli)
{
    double level = 0;
    *out_milli = last->level_milli;
    TRY(record_check(record));
    TRY(range_check("at_ms", at_ms, last->at_ms, INT64_MAX / 4));
    struct wash_loop loop =
        loop_of(record, (double)forecast->load_milli_h / MILLI, last->level_milli);
    TRY(wash_level(&loop, (double)(at_ms - last->at_ms) / MS_PER_H, &level));
    *out_milli = up(level * MILLI);
    return RESULT_OK;
}
