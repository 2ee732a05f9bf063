/* Acceptance plans on attributes: n samples, at most c of them may be bad.
 *
 *   two classes    Pa = sum over i <= c of C(n, i) p^i (1 - p)^(n - i)
 *   of a lot       the same drawn without putting back: hypergeometric
 *   three classes  p_m marginal (over m, up to M), p_d defective (over M), of which none is
 * allowed: Pa = sum over i <= c of C(n, i) p_m^i (1 - p_m - p_d)^(n - i) log-normal     levels with
 * mean mu and standard deviation sigma in log10: p_d = 1 - Phi((M - mu)/sigma), p_m = Phi((M -
 * mu)/sigma) - Phi((m - mu)/sigma)
 *
 * ICMSF 1986, Microorganisms in Foods 2 (from memory; its tables reproduced in Czech decree
 * 294/1997, table 4, published (seen)). */
#ifndef CALC_MICROBE_ATTRIBUTE_PLAN_H
#define CALC_MICROBE_ATTRIBUTE_PLAN_H

#include "base/result.h"

enum { ATTRIBUTE_SAMPLES_MAX = 10000, ATTRIBUTE_LOT_MAX = 100000 };

struct attribute_plan {
    int64_t samples; /* n, 1 .. ATTRIBUTE_SAMPLES_MAX */
    int64_t accept;  /* c, 0 .. n - 1 */
};

/* FIELD_RANGE on samples or accept. */
MUST_USE struct result attribute_plan_check(const struct attribute_plan *plan);

/* Chances of acceptance under a plan that was checked; shares 0 .. 1 (CHECK). */
double accept_two_class(const struct attribute_plan *plan, double share);
double accept_poisson(const struct attribute_plan *plan, double share);
double accept_three_class(const struct attribute_plan *plan, double marginal, double defective);
/* The share at which a two-class plan accepts with this chance, 0 < chance < 1 (CHECK). */
double share_accepted(const struct attribute_plan *plan, double chance);

/* Of a lot of which bad are bad. FIELD_RANGE on lot_size (samples .. ATTRIBUTE_LOT_MAX), bad. */
MUST_USE struct result accept_of_lot(const struct attribute_plan *plan, int64_t lot_size,
                                     int64_t bad, double *out_chance);

struct lognormal_limits {
    double mean_log10; /* -30 .. 30 */
    double sd_log10;   /* 0.001 .. 10 */
    double m_log10;    /* -30 .. 30 */
    bool has_most;     /* three classes */
    double most_log10; /* M, m_log10 .. 30 */
    double confidence; /* of rejection, 0.5 .. 0.9999 */
};

struct lognormal_plan_report {
    double marginal;            /* two classes: what lies over m */
    double defective;           /* two classes: 0 */
    double chance;              /* of acceptance */
    double rejected_mean_log10; /* mean_log10 at which a lot is rejected with the confidence */
};

/* FIELD_RANGE, NUMBER_BAD with the name of the member; samples, accept. */
MUST_USE struct result lognormal_plan(const struct attribute_plan *plan,
                                      const struct lognormal_limits *limits,
                                      struct lognormal_plan_report *out);

/* The fewest samples of which at most accept bad pass a lot of the limiting quality with a chance
 * of at most risk (ISO 2859-2, isolated lots, from memory). quality 0.0001 .. 0.5, risk 0.001 ..
 * 0.5, accept 0 .. 50. FIELD_RANGE, NUMBER_BAD. */
MUST_USE struct result limiting_quality_samples(double quality, double risk, int64_t accept,
                                                int64_t *out_samples);

#endif
