/* How a house that receives fruit fares otherwise than its plan, learnt from its own record: what a
 * use gives of a kilogram, and how much of a delivery comes and when.
 *
 * What a day's work of a use gave, and what was lost, are shares of a whole; days differ like a
 * Dirichlet distribution of a mean and a precision, both from the moments of the days seen (Ng,
 * Tian, Tang 2011, Dirichlet and Related Distributions - from memory):
 *
 *   precision = sum mean (1 - mean) / sum variance - 1
 *
 * What is counted on is the mean of the days drawn to what the use itself says, which weighs as a
 * few days of work: a Dirichlet prior of that mean. How well the mean is known is that of so many
 * days: Dirichlet with precision (precision + 1) * days - 1, whose variance is that of the mean of
 * the days. Of
 * deliveries one of those that were due is drawn as it was: what share of it came, and how late. */
#ifndef PLAN_INTAKE_LUCK_H
#define PLAN_INTAKE_LUCK_H

#include "base/arena.h"
#include "plan/draw.h"
#include "plan/intake.h"

/* Of fewer days, or deliveries due, nothing is told: then it goes as planned. common practice */
enum { INTAKE_LUCK_MIN = 5 };
/* What the use itself says weighs as so many days. common practice */
enum { INTAKE_LUCK_TOLD_DAYS = 2 };

struct intake_luck_use {
    int days; /* that it was learnt from */
    bool is_known;
    const double *shares;             /* by part: kg given for each kg taken in, mean of the days */
    const double *expected;           /* by part: counted on; the use's own where not known */
    double precision, mean_precision; /* INFINITY: always the mean */
};

/* taken_kg by day, above 0; given_kg: day * part_count + part. Everything in the arena. */
struct intake_luck_use intake_luck_learn(struct arena *a, const struct intake_use *use,
                                         const double *taken_kg, const double *given_kg, int days);
/* kg given for each kg, by part: a future's mean of the use about what is counted on, or with from
 * (by part) a day's shares about it; of one not known the problem's. */
void intake_luck_mean(const struct intake_luck_use *x, const struct intake_use *use, struct draw *d,
                      double *out_shares);
void intake_luck_day(const struct intake_luck_use *x, const struct intake_use *use,
                     const double *from, struct draw *d, double *out_shares);

#endif
