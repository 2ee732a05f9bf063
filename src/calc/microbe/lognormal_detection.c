#include "calc/microbe/lognormal_detection.h"

#include <math.h>

#include "calc/range.h"
#include "calc/root.h"

#define Z_MAX 10.0
#define STEP_MAX 0.5
/* 2 pi (pi/2) / 32: the integrand is analytic up to a height of (pi/2)/(sigma ln 10) above the
 * line, and exp(-32) is 1e-14. */
#define STEP_BY_RISE 0.3084
#define LEAST_CHANCE 1e-300

struct chances {
    double found;
    double missed;
};

static struct chances one_test(double mean_log10, double sd_log10, double portion_g)
{
    double mean_ln = mean_log10 * M_LN10 + log(portion_g);
    double rise = sd_log10 * M_LN10;
    if (sd_log10 <= 0) {
        double cells = exp(mean_ln);
        return (struct chances){-expm1(-cells), exp(-cells)};
    }
    int steps = (int)ceil(Z_MAX / fmin(STEP_MAX, STEP_BY_RISE / rise));
    double step = Z_MAX / steps;
    double found = 0, missed = 0;
    for (int i = -steps; i <= steps; i++) {
        double z = step * i;
        double weight = exp(-z * z / 2);
        double cells = exp(mean_ln + rise * z);
        double none = exp(-cells);
        found += weight * (cells < 0.5 ? -expm1(-cells) : 1 - none);
        missed += weight * none;
    }
    double scale = step / sqrt(2 * M_PI);
    return (struct chances){fmin(found * scale, 1), fmin(missed * scale, 1)};
}

/* ln of the chance that all tests miss. */
static double ln_all_missed(struct chances one, double tests)
{
    double ln_one = one.missed < 0.5 ? log(fmax(one.missed, LEAST_CHANCE)) : log1p(-one.found);
    return tests * ln_one;
}

struct rejection {
    const struct lognormal_detection *d;
    double wanted; /* ln of the chance that is left to a lot at the wanted mean */
};

static double rejection_short(double mean_log10, const void *with)
{
    const struct rejection *r = with;
    struct chances one = one_test(mean_log10, r->d->sd_log10, r->d->portion_g);
    return ln_all_missed(one, (double)r->d->tests) - r->wanted;
}

static struct result tests_check(const struct lognormal_detection *d)
{
    TRY(range_number("sd_log10", d->sd_log10, 0, 5));
    TRY(range_number("portion_g", d->portion_g, 1e-6, 1e9));
    return range_check("tests", d->tests, 1, 1000000);
}

struct result lognormal_detection(const struct lognormal_detection *d,
                                  struct lognormal_detection_report *out)
{
    *out = (struct lognormal_detection_report){0};
    TRY(range_number("mean_log10", d->mean_log10, -30, 15));
    TRY(tests_check(d));
    struct chances one = one_test(d->mean_log10, d->sd_log10, d->portion_g);
    out->chance_one = one.found;
    out->chance = -expm1(ln_all_missed(one, (double)d->tests));
    out->arithmetic_mean_per_g = pow(10, d->mean_log10 + d->sd_log10 * d->sd_log10 * M_LN10 / 2);
    return RESULT_OK;
}

struct result lognormal_rejected(const struct lognormal_detection *d, double confidence,
                                 double *out_mean_log10)
{
    *out_mean_log10 = 0;
    TRY(tests_check(d));
    TRY(range_number("confidence", confidence, 0.5, 0.9999));
    struct rejection r = {d, log1p(-confidence)};
    double even = log10(-r.wanted / (double)d->tests / d->portion_g);
    double low = even - 1, high = even + 1;
    for (double step = 1; rejection_short(low, &r) < 0; step *= 2) {
        low -= step;
    }
    for (double step = 1; rejection_short(high, &r) > 0; step *= 2) {
        high += step;
    }
    *out_mean_log10 = root_between(rejection_short, &r, low, high);
    return RESULT_OK;
}
