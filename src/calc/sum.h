/* A compensated sum (Neumaier 1974, Rundungsfehleranalyse einiger Verfahren zur Summation endlicher
 * Summen, ZAMM 54:39-51 - from memory): a million terms lose no more than the last digits. */
#ifndef CALC_SUM_H
#define CALC_SUM_H

#include <math.h>

struct sum {
    double total;
    double lost;
};

static inline void sum_add(struct sum *s, double term)
{
    double next = s->total + term;
    s->lost += fabs(s->total) >= fabs(term) ? (s->total - next) + term : (term - next) + s->total;
    s->total = next;
}

static inline double sum_value(const struct sum *s)
{
    return s->total + s->lost;
}

#endif
