/* Hits per swab and the share of hits that lies behind them, 95 %, by both customary intervals.
 *
 * Exact: Clopper and Pearson 1934, Biometrika 26:404-413; Wilson 1927 (calc/wilson.h) - both from
 * memory. The exact one is the wider. */
#ifndef CALC_MICROBE_HIT_RATE_H
#define CALC_MICROBE_HIT_RATE_H

#include "base/result.h"

enum { HIT_RATE_SWABS_MAX = 100000 };

struct hit_rate {
    double share;
    double exact_low;
    double exact_high;
    double wilson_low;
    double wilson_high;
};

/* 0 <= hits <= swabs, swabs 1 .. HIT_RATE_SWABS_MAX. FIELD_RANGE on hits or swabs. */
MUST_USE struct result hit_rate(int64_t hits, int64_t swabs, struct hit_rate *out);

#endif
