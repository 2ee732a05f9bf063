/* What a kilogram of seed gives and when: the numbers a planning problem is filled with, from the
 * mass chain and heat sums.
 *
 * Plans are made on a cautious yield, `deviations` standard deviations below what the house's own
 * batches gave, never above the plain mean. */
#ifndef PLAN_YIELD_H
#define PLAN_YIELD_H

#include "base/arena.h"
#include "calc/growth/heat_sum.h"
#include "calc/growth/mass_chain.h"
#include "plan/problem.h"

/* One finished batch: packed kg it really gave over what the standard said it would. */
struct yield_history {
    double mean_ratio;      /* 1: as the standard says */
    double relative_spread; /* standard deviation over mean */
    int batch_count;
};

enum { YIELD_BATCHES_MIN = 5 };

/* actual and standard packed kg of finished batches, each above 0. Below YIELD_BATCHES_MIN batches
 * the spread is the default and the mean never above 1: a few good batches don't raise the plan. */
struct yield_history yield_history_of(const double *actual_kg, const double *standard_kg,
                                      int batch_count);
/* standard * mean * (1 - deviations * spread), at least a tenth of the standard. deviations 0
 * ... 4. */
double yield_cautious(double standard_kg, const struct yield_history *h, double deviations);

/* What seed lots add. A batch's ratio is the house's mean, what its seed lot adds, and its own
 * luck. Most lots are ordinary: what they add is drawn from a narrow normal distribution; a few are
 * odd: from a wide one. What a lot adds is told from its n batches, of each kind as
 *
 *   added = centre + (mean of the lot - mean - centre) * n * variance / (n * variance + within)
 *
 * with the centre 0 and the variance `between` of ordinary lots, and of odd ones `odd_off` and
 * between + (YIELD_ODD_SPREAD * mean)^2, and the two weighed by how likely the lot's batches are of
 * either (empirical Bayes: Morris 1983, Parametric Empirical Bayes Inference; a mixture of two
 * normal distributions: Mitchell, Beauchamp 1988, Bayesian Variable Selection in Linear Regression;
 * variance within from the one-way random model: Searle, Casella, McCulloch 1992, Variance
 * Components - all from memory). Mean, between, odd_part and odd_off are found by going back and
 * forth between them and how odd each lot looks (expectation and maximisation: Dempster, Laird,
 * Rubin 1977 - from memory), as if one odd lot in ten had been seen before, and one ordinary lot
 * that differs by YIELD_LOTS_SPREAD. So a little off is mostly luck and hardly believed; a lot that
 * gives far less in its first chamber is believed in good part at once, and almost whole after the
 * second. */
/* Of the mean, and counts. common practice */
#define YIELD_LOTS_SPREAD 0.05
#define YIELD_ODD_SPREAD 0.2
#define YIELD_ODD_BEFORE 1.0
#define YIELD_LOTS_BEFORE 10.0

struct yield_batch {
    int64_t lot;  /* names it */
    double ratio; /* as in yield_history, over what the lot's own tests promise; above 0 */
};

struct yield_lots {
    double mean, within, between; /* of batches of a lot, of ordinary lots: variances */
    double odd_part, odd_off;     /* of lots that are odd, and where they lie from the mean in the
                                     mean; 0: lots can't be told apart */
    const struct yield_batch *batches;
    int batch_count;
};

/* Borrows the batches. Below YIELD_BATCHES_MIN batches or with one lot only, odd_part is 0 and no
 * lot adds anything. */
struct yield_lots yield_lots_of(struct arena *a, const struct yield_batch *batches,
                                int batch_count);
/* Ratio of one more batch of the lot, over the mean: 0.1 or more. deviation (may be NULL): how far
 * what the lot really has may be from that, over the mean. */
double yield_lot_ratio(const struct yield_lots *x, int64_t lot, double *deviation);

/* A temperature kept as a way to grow: days from the heat sum to the goal, yield from the chain.
 * lead_h: soaking and rest, which add no heat; soaking begins at soak_hour, a harvest is on time
 * when ready by harvest_hour. PLAN_FIELD when nothing grows at that temperature or it takes more
 * than 120 days; FIELD_RANGE from the chain or the crop. */
struct yield_house {
    /* hours of the house day, counted from its beginning */
    double soak_hour, harvest_hour, lead_h, deviations;
};
MUST_USE struct result yield_way(const char *code, int32_t temp_mc,
                                 const struct heat_sum_crop *crop, const struct mass_chain *chain,
                                 const struct yield_history *history,
                                 const struct yield_house *house, struct plan_way *out);
/* Harvested kg behind one packed kg: chain.expansion over the chain's factor. */
double yield_bed_kg_per_packed_kg(const struct mass_chain *chain);
/* yield_factor of a seed lot: pure live seed over that of the lots that set the standard, rounded
 * down. FIELD_RANGE. */
MUST_USE struct result yield_lot_factor(const struct mass_chain *chain, int64_t pls_ppm,
                                        int64_t reference_ppm, double *out);
/* The day, as index from first_day, on which a running chamber is ready by harvest_hour: heat
 * collected so far and set points ahead. Never before today; PLAN_NEVER when it will not get there.
 * offset_min and day_starts_min as in day_of_house. */
struct yield_clock {
    int64_t now_ms;
    int offset_min, day_starts_min;
    int32_t first_day;
    double harvest_hour;
};
MUST_USE struct result yield_harvest_day(const struct heat_sum_crop *crop, int64_t done_mc_h,
                                         const struct set_point *ahead, size_t set_points,
                                         const struct yield_clock *clock, int *out);

#endif
