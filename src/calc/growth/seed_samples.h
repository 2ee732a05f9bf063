/* How many 50 g sub-samples the preliminary test of a seed batch takes: at least 0.5 % of its mass.
 *
 * Regulation (EC) 2073/2005 as amended by 209/2013, Annex I chapter 3 - from memory: the rule is
 * kept all the same, since more samples than needed err to the safe side. */
#ifndef CALC_GROWTH_SEED_SAMPLES_H
#define CALC_GROWTH_SEED_SAMPLES_H

#include "base/result.h"

/* seed_mg above 0, up to 1e12. Rounded up. FIELD_RANGE on seed_mg. */
MUST_USE struct result seed_samples(int64_t seed_mg, int64_t *out_count);

#endif
