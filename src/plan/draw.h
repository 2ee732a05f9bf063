/* What chance decides about one thing in one future. A thing has a stream of its own, found by
 * seed, future and name: plans compared on the same futures meet the same luck, however differently
 * they use it (common random numbers). */
#ifndef PLAN_DRAW_H
#define PLAN_DRAW_H

#include <stdint.h>

struct draw {
    uint32_t counter[4], key[2], words[4];
    int left;
};

void draw_begin(struct draw *d, uint64_t seed, uint32_t future, uint64_t thing);
/* A thing's number from its name, or from up to four small numbers. FNV-1a, 64 bits. */
uint64_t draw_name(const char *name);
uint64_t draw_thing(int kind, int a, int b, int c);

/* In (0, 1). */
double draw_unit(struct draw *d);
/* Mean 0, standard deviation 1. */
double draw_normal(struct draw *d);
/* Two of them at once. */
void draw_normals(struct draw *d, double out[2]);
/* Mean 1, standard deviation over mean: relative >= 0; never negative. */
double draw_lognormal(struct draw *d, double relative);
/* The same of a normal deviate that is drawn already. */
double draw_lognormal_of(double normal, double relative);
/* Scale 1, so mean and variance are the shape > 0. */
double draw_gamma(struct draw *d, double shape);
/* Both above 0. */
double draw_beta(struct draw *d, double alpha, double beta);
/* mean >= 0. */
int64_t draw_poisson(struct draw *d, double mean);
/* Pieces of a mean and a standard deviation: Poisson of a gamma, which is the negative binomial;
 * Poisson where the spread is no larger than its own; the mean itself, rounded, where it is 0. */
int64_t draw_pieces(struct draw *d, double mean, double spread);
/* The same where a part (0 ... 1) of the variance beyond a Poisson's is shared with others: level
 * is the normal deviate of all of them. */
int64_t draw_shared_pieces(struct draw *d, double mean, double spread, double shared_part,
                           double level);

#endif
