/* What grows in the tests' house, and when it is ready. */
#ifndef TESTS_SERVICE_RUNS_H
#define TESTS_SERVICE_RUNS_H

#include "fixture.h"

#include "service/chamber.h"

static inline void runs_of(struct house *h, struct warmth_kept *kept, struct chamber_run **out,
                           size_t *out_count)
{
    struct chamber_ask ask = {.store = h->store,
                              .kept = kept,
                              .profile = h->lg->profile,
                              .now_ms = h->fixed.now_ms,
                              .arena = &h->arena};
    assert_ok(chamber_runs(&ask, out, out_count));
}

/* At the set point. */
static inline int32_t runs_own_day(const struct profile *p, const char *item, int64_t start_ms)
{
    struct warmth w = chamber_no_log(p, start_ms);
    int32_t day;
    assert_ok(chamber_own_day(p, profile_crop(p, item), &w, &day));
    return day;
}

static inline int64_t runs_ready(const struct profile *p, const char *item, int64_t start_ms)
{
    struct warmth w = chamber_no_log(p, start_ms);
    int64_t ready_ms;
    assert_ok(chamber_ready(profile_crop(p, item), &w, &ready_ms));
    return ready_ms;
}

#endif
