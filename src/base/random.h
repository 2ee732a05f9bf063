/* A seeded generator for demos, tests and planning scenarios (xoshiro256**, seeded by splitmix64:
 * Blackman and Vigna 2018). Never for keys. */
#ifndef BASE_RANDOM_H
#define BASE_RANDOM_H

#include <stdint.h>

struct random {
    uint64_t s[4];
};

void random_seed(struct random *r, uint64_t seed);
uint64_t random_u64(struct random *r);
/* Whole number in [0, n), unbiased; n > 0. */
uint64_t random_below(struct random *r, uint64_t n);
/* In [0, 1). */
double random_unit(struct random *r);
/* Mean 0, standard deviation 1. */
double random_normal(struct random *r);

#endif
