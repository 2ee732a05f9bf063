/* Most probable number: the level that makes the tubes seen most likely.
 *
 *   sum of x v/(1 - exp(-L v)) = sum of n v, over levels of n tubes with amount v, x positive
 *
 * Three intervals of 95 %:
 *   Jarvis     L * 10^(+-k SE), SE = sqrt(V)/(L ln 10), 1/V = sum of x v^2 exp(-L v)/(1 - exp(-L
 *              v))^2, the observed information
 *   ratio      where twice the log-likelihood has fallen by 3.841459
 *   one-sided  all negative: ln(1/tail)/sum of n v above; all positive: below, where
 *              ln(1/tail) + sum of n ln(1 - exp(-L v)) = 0
 * Rarity index: likelihood of the tubes seen over that of the likeliest tubes, k = min(n, floor(p(n
 * + 1))). Under 1e-4 the assumptions are in doubt; categories 1, 2, 3 at 0.05 and 0.01.
 *
 * Sources: source of the R package MPN 0.3.0 after Jarvis 2010, Blodgett and BAM appendix 2
 * (published (seen)); the categories from memory. Thomas 1942: x/sqrt(v negative * v all). */
#ifndef CALC_MICROBE_MPN_H
#define CALC_MICROBE_MPN_H

#include "base/result.h"

enum { MPN_LEVELS_MAX = 12, MPN_TUBES_MAX = 1000 };

struct mpn_level {
    double amount; /* g or mL in each tube, 1e-9 .. 1e6 */
    int64_t tubes; /* 1 .. MPN_TUBES_MAX */
    int64_t positive;
};

struct mpn_settings {
    double k;    /* of Jarvis' interval, 0.5 .. 5 */
    double tail; /* of the one-sided limits, 0.0001 .. 0.25 */
};

enum mpn_state { MPN_MEASURED, MPN_NONE_POSITIVE, MPN_ALL_POSITIVE };

struct mpn_report {
    enum mpn_state state;
    double mpn;      /* per g or mL; 0 where none, not there (0) where all are positive */
    double bound;    /* none positive: below the least other MPN of this series; all: above the
                        greatest; 0 where there is no such */
    double se_log10; /* this and the next four only where measured */
    double jarvis_low;
    double jarvis_high;
    double ratio_low;
    double ratio_high;
    double one_sided;  /* upper limit where none, lower limit where all are positive */
    double likelihood; /* of the tubes seen, at the MPN; 1 where none or all are positive */
    double rarity;
    int category; /* 1 likely, 2 less so, 3 unlikely */
    bool suspect; /* rarity under 1e-4 */
    double thomas;
    int64_t likeliest[MPN_LEVELS_MAX]; /* positives */
};

/* levels: count 1 .. MPN_LEVELS_MAX, in any order. FIELD_RANGE, NUMBER_BAD on levels,
 * levels[i][j], k, tail; CALC_OVERFLOW on levels where amounts lie too far apart for an interval.
 */
MUST_USE struct result mpn(const struct mpn_level *levels, size_t count,
                           const struct mpn_settings *set, struct mpn_report *out);

#endif
