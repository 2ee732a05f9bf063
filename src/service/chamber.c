#include "service/chamber.h"

#include <math.h>

#include "ledger/evidence.h"

enum { HOUR_MS = 3600000, HEAT_MAX_MC_H = 100000000 };

struct result chamber_runs(struct store *s, struct arena *a, struct chamber_run **out,
                           size_t *out_count)
{
    struct statement *q = store_prepare(s, Q_PLANNING_RUNNING);
    bool row;
    *out = NULL;
    *out_count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct chamber_run *r = evidence_grow(a, out, out_count, sizeof **out);
        *r = (struct chamber_run){.lot = store_int(q, 0),
                                  .code = arena_copy(a, store_text(q, 1)),
                                  .place = arena_copy(a, store_text(q, 2)),
                                  .item = arena_copy(a, store_text(q, 3)),
                                  .start_ms = store_int(q, 4),
                                  .seed_mg = store_int(q, 5),
                                  .shares_ppm = store_int(q, 6),
                                  .markets = arena_copy(a, store_text(q, 7)),
                                  .held = store_int(q, 8)};
    }
}

struct heat_sum_crop chamber_crop(const struct crop *crop)
{
    return (struct heat_sum_crop){.base_mc = (int32_t)crop->heat_base_mc,
                                  .optimum_mc = (int32_t)crop->heat_best_mc,
                                  .goal_mc_h = crop->heat_goal_ch};
}

int64_t chamber_heat(const struct profile *p, const struct crop *crop, int64_t start_ms,
                     int64_t now_ms)
{
    int64_t warm_mc =
        (crop->set_point_mc < crop->heat_best_mc ? crop->set_point_mc : crop->heat_best_mc) -
        crop->heat_base_mc;
    int64_t warm_ms = now_ms - start_ms - p->planning.lead_ms;
    int64_t done = warm_ms > 0 ? (int64_t)((__int128)warm_ms * warm_mc / HOUR_MS) : 0;
    return done < HEAT_MAX_MC_H ? done : HEAT_MAX_MC_H;
}

struct result chamber_ready(const struct profile *p, const struct crop *crop, int64_t start_ms,
                            int64_t *out_ms)
{
    struct heat_sum_crop heat = chamber_crop(crop);
    struct set_point kept = {.from_ms = start_ms + p->planning.lead_ms,
                             .temp_mc = (int32_t)crop->set_point_mc};
    struct harvest_forecast f;
    TRY(harvest_forecast(&heat, 0, kept.from_ms, &kept, 1, &f));
    *out_ms = f.never ? 0 : f.ready_ms;
    return RESULT_OK;
}

struct result chamber_history(struct store *s, const struct crop *crop, struct yield_history *out)
{
    enum { BATCHES_MAX = 60 };
    double actual[BATCHES_MAX], standard[BATCHES_MAX];
    int count = 0;
    struct statement *q = store_prepare(s, Q_PLANNING_HISTORY);
    store_bind_text(q, 1, crop->item);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (count < BATCHES_MAX && store_int(q, 0) > 0 && store_int(q, 1) > 0) {
            standard[count] = (double)store_int(q, 0) * 1e-6 * (double)crop->expansion_std / 1000.0;
            actual[count++] = (double)store_int(q, 1) * 1e-6;
        }
    }
    *out = yield_history_of(actual, standard, count);
    return RESULT_OK;
}

struct chamber_yield chamber_yield(const struct chamber_run *run, const struct crop *crop,
                                   const struct yield_history *history)
{
    double seed_mg = (double)run->seed_mg * (double)(1000000 - run->shares_ppm) / 1e6;
    double standard_mg = seed_mg * (double)crop->expansion_std / 1000.0;
    double low = yield_cautious(standard_mg, history, 1), mean = standard_mg * history->mean_ratio;
    return (struct chamber_yield){
        .low_mg = llround(low), .mg = llround(mean), .high_mg = llround(2 * mean - low)};
}
