/* What gathers in water that goes round, from what was read of it: where it stands, where it will
 * settle, and when it reaches its limit. Whole numbers as the record has them.
 *
 * The balance is that of calc/water/wash_balance.h. What the product washes off is not known; it
 * follows from two readings that follow one another,
 *
 *   Xss = (X1 - X0 e) / (1 - e),  e = e^(-t (Qm/V + k))      G = Xss (Qm + k V) - Qm Xin
 *
 * and of all the pairs since the water was changed the highest counts; readings closer together
 * than a quarter of an hour say more of the meter than of the water (common practice). It holds for
 * whatever mixes and adds up: suspended solids, turbidity, conductivity. Computed here. */
#ifndef CALC_WATER_WASH_FORECAST_H
#define CALC_WATER_WASH_FORECAST_H

#include "calc/water/wash_balance.h"

#define WASH_APART_MS INT64_C(900000)

/* Levels in thousandths of whatever is read. */
struct wash_seen {
    int64_t at_ms;
    int64_t level_milli; /* 0 .. 1e9 */
};

struct wash_record {
    int64_t volume_ml;    /* 1 .. 1e12 */
    int64_t supply_milli; /* in the fresh water, 0 .. 1e9 */
    int64_t leaves_ml_h;  /* blow-down and what leaves on the product, 0 .. 1e12 */
    int64_t decay_milli;  /* thousandths an hour, 0 .. 1e6 */
    int64_t limit_milli;  /* 1 .. 1e9 */
};

struct wash_forecast {
    bool known;           /* two readings at least, far enough apart */
    int64_t load_milli_h; /* washed off: level times litres an hour, thousandths; rounded up */
    bool has_steady;
    int64_t steady_milli; /* rounded up */
    enum wash_reach reach;
    int64_t reach_ms; /* the moment of it, rounded down; 0 unless it is reached */
};

/* seen: in order of time, all since the water was changed. FIELD_RANGE. */
MUST_USE struct result wash_forecast(const struct wash_record *record, const struct wash_seen *seen,
                                     size_t count, struct wash_forecast *out);
/* The level at a moment not before the last reading, rounded up; known only where the forecast is.
 */
MUST_USE struct result wash_forecast_at(const struct wash_record *record,
                                        const struct wash_seen *last,
                                        const struct wash_forecast *forecast, int64_t at_ms,
                                        int64_t *out_milli);

#endif
