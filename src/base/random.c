#include "base/random.h"

#include <math.h>

#include "base/check.h"

/* Blackman, Vigna 2018, Scrambled Linear Pseudorandom Number Generators, arXiv 1805.01407:
 * xoshiro256**; constants of splitmix64 after Vigna 2015, splitmix64.c. From memory, and held by
 * the authors' output in tests/base/random_test.c - published (seen). */
static uint64_t splitmix64(uint64_t *state)
{
    uint64_t z = (*state += UINT64_C(0x9E3779B97F4A7C15));
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

static uint64_t rotate_left(uint64_t x, int bits)
{
    return (x << bits) | (x >> (64 - bits));
}

void random_seed(struct random *r, uint64_t seed)
{
    for (int i = 0; i < 4; i++) {
        r->s[i] = splitmix64(&seed);
    }
}

uint64_t random_u64(struct random *r)
{
    uint64_t *s = r->s;
    uint64_t out = rotate_left(s[1] * 5, 7) * 9;
    uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate_left(s[3], 45);
    return out;
}

uint64_t random_below(struct random *r, uint64_t n)
{
    CHECK(n > 0);
    uint64_t unfair = (0 - n) % n; /* 2^64 mod n: below it a remainder would come once too often */
    uint64_t x;
    do {
        x = random_u64(r);
    } while (x < unfair);
    return x % n;
}

double random_unit(struct random *r)
{
    return (double)(random_u64(r) >> 11) * 0x1p-53;
}

double random_normal(struct random *r)
{
    /* Box, Muller 1958, A Note on the Generation of Random Normal Deviates - from memory. */
    double radius = sqrt(-2.0 * log(1.0 - random_unit(r)));
    return radius * cos(2.0 * 3.14159265358979323846 * random_unit(r));
}
