/* Purity, pure live seed and thousand-seed mass of a seed lot, from weighings.
 *
 *   purity % = 100 * pure / (pure + other + weed + inert)
 *   PLS %    = purity * germination / 100; "with hard" takes germination plus hard seed
 *   TSM      = 10 * mean of replicates of 100 seeds; good when 100 * s / mean <= 4.0 %
 *              (International Seed Testing Association rules, weight determination - from memory)
 */
#ifndef CALC_GROWTH_SEED_QUALITY_H
#define CALC_GROWTH_SEED_QUALITY_H

#include "base/result.h"

/* No sample of seed in a laboratory weighs more. */
#define SEED_SAMPLE_MAX_MG INT64_C(1000000000)

enum { SEED_MASS_REPLICATES_MIN = 8, SEED_MASS_REPLICATES_MAX = 16 };

struct seed_parts {
    int64_t pure_mg; /* each 0 .. 1 t, together above 0 */
    int64_t other_mg;
    int64_t weed_mg;
    int64_t inert_mg;
};

struct seed_purity {
    double purity_pct;
    int64_t purity_ppm; /* rounded down */
};

/* FIELD_RANGE on pure_mg, other_mg, weed_mg, inert_mg. */
MUST_USE struct result seed_purity(const struct seed_parts *parts, struct seed_purity *out);

struct pure_live_seed {
    double pls_pct;
    double pls_with_hard_pct;
    int64_t pls_ppm; /* rounded down */
};

/* Percents 0 .. 100, germination and hard together at most 100. FIELD_RANGE, NUMBER_BAD on
 * purity_pct, germination_pct, hard_pct. */
MUST_USE struct result pure_live_seed(double purity_pct, double germination_pct, double hard_pct,
                                      struct pure_live_seed *out);

struct seed_mass {
    double tsm_g;
    double deviation_g; /* sample standard deviation of a replicate of 100 */
    double cv_pct;
    int64_t tsm_mg; /* rounded to the nearest */
    int64_t cv_ppm; /* rounded up */
    bool accepted;  /* else weigh eight more replicates */
};

/* mass_mg[i]: 100 seeds, 1 .. 1 t; 8 .. 16 replicates. FIELD_RANGE on replicates or
 * replicates_mg[i]. */
MUST_USE struct result seed_mass(const int64_t *mass_mg, size_t replicates, struct seed_mass *out);

#endif
