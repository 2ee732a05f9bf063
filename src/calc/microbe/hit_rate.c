#include "calc/microbe/hit_rate.h"

#include "calc/distribution.h"
#include "calc/range.h"
#include "calc/wilson.h"

#define TAIL 0.025

struct result hit_rate(int64_t hits, int64_t swabs, struct hit_rate *out)
{
    struct wilson w;
    *out = (struct hit_rate){0};
    TRY(range_check("swabs", swabs, 1, HIT_RATE_SWABS_MAX));
    TRY(range_check("hits", hits, 0, swabs));
    TRY(wilson(hits, swabs, &w));
    out->share = (double)hits / (double)swabs;
    out->exact_low = share_low(hits, swabs, TAIL);
    out->exact_high = share_high(hits, swabs, TAIL);
    out->wilson_low = w.low;
    out->wilson_high = w.high;
    return RESULT_OK;
}
