/* How far a search oversteps the limits it does not hold by the kg, and what they should cost.
 *
 * Seed of a grade in all, seed treated and soaked a day, bed harvested and washed, goods packed:
 * the search sees each crop by itself, so these bind only through prices. A price rises while its
 * limit is overstepped and falls while it is not. What a dish of several crops is worth is shared
 * out among them anew: each is searched by itself, and the scarcest is to get the most. */
#ifndef PLAN_STRAIN_H
#define PLAN_STRAIN_H

#include "plan/search.h"

/* Changes prices after round (0, 1, ..) by what the search's counts and flows use; later rounds
 * step less. -> whether any price changed. */
bool strain_price(struct arena *scratch, const struct search *s, int round,
                  struct search_prices *prices);

#endif
