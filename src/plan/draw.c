#include "plan/draw.h"

#include <math.h>

#include "base/philox.h"

/* A mean above this is drawn by rejection, below by multiplying (Hörmann 1993). */
static const double POISSON_SMALL = 10;

void draw_begin(struct draw *d, uint64_t seed, uint32_t future, uint64_t thing)
{
    *d = (struct draw){.counter = {0, future, (uint32_t)thing, (uint32_t)(thing >> 32)},
                       .key = {(uint32_t)seed, (uint32_t)(seed >> 32)}};
}

/* Fowler, Noll, Vo; RFC 9923 - from memory. */
static uint64_t fnv(uint64_t hash, unsigned char byte)
{
    return (hash ^ byte) * UINT64_C(0x100000001B3);
}

static const uint64_t FNV_BASIS = UINT64_C(0xCBF29CE484222325);

uint64_t draw_name(const char *name)
{
    uint64_t hash = FNV_BASIS;
    for (const char *at = name; *at; at++)
        hash = fnv(hash, (unsigned char)*at);
    return hash;
}

uint64_t draw_thing(int kind, int a, int b, int c)
{
    const int parts[4] = {kind, a, b, c};
    uint64_t hash = FNV_BASIS;
    for (int i = 0; i < 4; i++)
        for (int shift = 0; shift < 32; shift += 8)
            hash = fnv(hash, (unsigned char)((uint32_t)parts[i] >> shift));
    return hash;
}

static uint32_t word(struct draw *d)
{
    if (d->left == 0) {
        philox(d->counter, d->key, d->words);
        d->counter[0]++;
        d->left = 4;
    }
    return d->words[--d->left];
}

double draw_unit(struct draw *d)
{
    uint64_t high = word(d);
    uint64_t bits = (high << 21) ^ (word(d) >> 11);
    return ((double)bits + 0.5) * 0x1p-53;
}

double draw_normal(struct draw *d)
{
    /* Box, Muller 1958, A Note on the Generation of Random Normal Deviates - from memory. */
    double radius = sqrt(-2 * log(draw_unit(d)));
    return radius * cos(2 * M_PI * draw_unit(d));
}

void draw_normals(struct draw *d, double out[2])
{
    double radius = sqrt(-2 * log(draw_unit(d))), angle = 2 * M_PI * draw_unit(d);
    out[0] = radius * cos(angle);
    out[1] = radius * sin(angle);
}

double draw_lognormal_of(double normal, double relative)
{
    double variance = log1p(relative * relative);
    return exp(sqrt(variance) * normal - variance / 2);
}

double draw_lognormal(struct draw *d, double relative)
{
    return draw_lognormal_of(draw_normal(d), relative);
}

double draw_gamma(struct draw *d, double shape)
{
    /* Marsaglia, Tsang 2000, A Simple Method for Generating Gamma Variables - from memory. A shape
     * below 1 is one more, times u^(1/shape). */
    double lift = 1;
    if (shape < 1) {
        lift = pow(draw_unit(d), 1 / shape);
        shape += 1;
    }
    double part = shape - 1.0 / 3, scale = 1 / sqrt(9 * part);
    for (;;) {
        double x = draw_normal(d);
        double v = 1 + scale * x;
        if (v <= 0) continue;
        v = v * v * v;
        if (log(draw_unit(d)) < x * x / 2 + part - part * v + part * log(v)) return lift * part * v;
    }
}

double draw_beta(struct draw *d, double alpha, double beta)
{
    double x = draw_gamma(d, alpha);
    double y = draw_gamma(d, beta);
    return x + y > 0 ? x / (x + y) : 0;
}

static int64_t poisson_small(struct draw *d, double mean)
{
    /* arrivals until the mean's time is up (Knuth, The Art of Computer Programming 3.4.1 - from
     * memory) */
    double until = exp(-mean), product = draw_unit(d);
    int64_t count = 0;
    for (; product > until; count++)
        product *= draw_unit(d);
    return count;
}

static int64_t poisson_large(struct draw *d, double mean)
{
    /* Hörmann 1993, The transformed rejection method for generating Poisson random variables, PTRS
     * - from memory; held by moments and by its distribution in tests/plan/draw_test.c */
    double b = 0.931 + 2.53 * sqrt(mean);
    double a = -0.059 + 0.02483 * b;
    double inverse = 1.1239 + 1.1328 / (b - 3.4);
    double accept = 0.9277 - 3.6224 / (b - 2);
    for (;;) {
        double u = draw_unit(d) - 0.5;
        double v = draw_unit(d);
        double room = 0.5 - fabs(u);
        double k = floor((2 * a / room + b) * u + mean + 0.43);
        if (room >= 0.07 && v <= accept) return (int64_t)k;
        if (k < 0 || (room < 0.013 && v > room)) continue;
        int sign;
        if (log(v * inverse / (a / (room * room) + b)) <=
            k * log(mean) - mean - lgamma_r(k + 1, &sign))
            return (int64_t)k;
    }
}

int64_t draw_poisson(struct draw *d, double mean)
{
    if (mean <= 0) return 0;
    return mean < POISSON_SMALL ? poisson_small(d, mean) : poisson_large(d, mean);
}

int64_t draw_pieces(struct draw *d, double mean, double spread)
{
    if (spread <= 0 || mean <= 0) return (int64_t)llround(fmax(0, mean));
    double extra = spread * spread - mean; /* variance beyond that of a Poisson */
    if (extra <= 0) return draw_poisson(d, mean);
    double size = mean * mean / extra;
    return draw_poisson(d, draw_gamma(d, size) * mean / size);
}

int64_t draw_shared_pieces(struct draw *d, double mean, double spread, double shared_part,
                           double level)
{
    if (spread <= 0 || mean <= 0) return draw_pieces(d, mean, spread);
    double extra = fmax(0, spread * spread - mean) / (mean * mean);
    double shared = extra * shared_part;
    double own = (extra - shared) / (1 + shared);
    double log_variance = log1p(shared);
    double now = mean * exp(sqrt(log_variance) * level - log_variance / 2);
    return draw_pieces(d, now, sqrt(now + own * now * now));
}
