/* Chamber plans of one family for the benchmark: days, types of crop, chambers and a seed give one.
 *
 * Made up, not from a plant; every number is chosen for the benchmark. About a tenth of the
 * chambers comes free on each of the first ten days; demand of a week is shaped like a shop's and
 * fills the chambers to some 97 %; types 0, 2, .. grow 8, 9 or 10 days, types 1, 3, .. 6 or 7 days,
 * later harvests yield more; a chamber takes 55 to 110 kg of seed; goods keep five days.
 *
 * Random numbers: the Mersenne Twister (Matsumoto and Nishimura 1998), drawn in the order and by
 * the rules of Python's `random` (random, uniform, choices), so that scripts can make the same
 * instances. */
#ifndef BENCH_PLAN_INSTANCE_H
#define BENCH_PLAN_INSTANCE_H

#include "plan/problem.h"

struct plan_instance_size {
    int days, types, chambers;
};

struct plan_problem *plan_instance_make(struct arena *a, uint32_t seed,
                                        struct plan_instance_size size);

#endif
