#include "calc/distribution.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>

#include "base/check.h"
#include "calc/root.h"

/* Otherwise the library ends the program where a tail is smaller than any number. */
__attribute__((constructor)) static void library_quiet(void)
{
    gsl_set_error_handler_off();
}

static double known(double value)
{
    CHECK(isfinite(value));
    return value;
}

double normal_below(double z)
{
    return known(gsl_cdf_ugaussian_P(z));
}

double normal_quantile(double share)
{
    CHECK(share > 0 && share < 1);
    return known(gsl_cdf_ugaussian_Pinv(share));
}

double student_below(double t, int64_t df)
{
    CHECK(df >= 1);
    return known(gsl_cdf_tdist_P(t, (double)df));
}

struct student {
    double df, share;
};

static double student_short(double t, const void *with)
{
    const struct student *s = with;
    return known(gsl_cdf_tdist_P(t, s->df)) - s->share;
}

double student_quantile(double share, int64_t df)
{
    CHECK(df >= 1 && share >= 0.5 && share < 1);
    struct student s = {(double)df, share};
    double high = 1;
    while (student_short(high, &s) < 0) {
        high *= 2;
    }
    return root_between(student_short, &s, 0, high);
}

double binomial_at_most(int64_t c, int64_t n, double p)
{
    CHECK(c >= 0 && n >= 0 && n <= DISTRIBUTION_OF_MAX && p >= 0 && p <= 1);
    if (c >= n || p <= 0) {
        return 1;
    }
    return p >= 1 ? 0 : known(gsl_cdf_binomial_P((unsigned)c, p, (unsigned)n));
}

double hypergeometric_at_most(int64_t c, int64_t n, int64_t marked, int64_t lot)
{
    CHECK(c >= 0 && n >= 0 && n <= lot && lot <= DISTRIBUTION_OF_MAX);
    CHECK(marked >= 0 && marked <= lot);
    if (c >= n || c >= marked) {
        return 1;
    }
    return known(gsl_cdf_hypergeometric_P((unsigned)c, (unsigned)marked, (unsigned)(lot - marked),
                                          (unsigned)n));
}

double poisson_at_least(int64_t c, double mean)
{
    CHECK(c >= 0 && c <= DISTRIBUTION_COUNT_MAX && mean >= 0);
    if (c == 0 || mean <= 0) {
        return c == 0 ? 1 : 0;
    }
    return known(gsl_cdf_gamma_P(mean, (double)c, 1));
}

double poisson_at_most(int64_t c, double mean)
{
    CHECK(c >= 0 && c <= DISTRIBUTION_COUNT_MAX && mean >= 0);
    return mean <= 0 ? 1 : known(gsl_cdf_gamma_Q(mean, (double)c + 1, 1));
}

double ln_choose(int64_t n, int64_t k)
{
    CHECK(k >= 0 && k <= n && n <= DISTRIBUTION_OF_MAX);
    return known(gsl_sf_lnchoose((unsigned)n, (unsigned)k));
}

double ln_factorial(int64_t n)
{
    CHECK(n >= 0 && n <= DISTRIBUTION_COUNT_MAX);
    return known(gsl_sf_lnfact((unsigned)n));
}

struct tail {
    double count;
    double of;
    double wanted;
};

static double share_above(double p, const void *with)
{
    const struct tail *t = with;
    return known(gsl_cdf_beta_P(p, t->count, t->of - t->count + 1)) - t->wanted;
}

static double share_below(double p, const void *with)
{
    const struct tail *t = with;
    return known(gsl_cdf_beta_Q(p, t->count + 1, t->of - t->count)) - t->wanted;
}

static void share_check(int64_t counted, int64_t of, double tail)
{
    CHECK(of >= 1 && of <= DISTRIBUTION_COUNT_MAX && counted >= 0 && counted <= of);
    CHECK(tail > 0 && tail <= 0.25);
}

double share_low(int64_t counted, int64_t of, double tail)
{
    share_check(counted, of, tail);
    struct tail t = {(double)counted, (double)of, tail};
    return counted == 0 ? 0 : root_between(share_above, &t, 0, 1);
}

double share_high(int64_t counted, int64_t of, double tail)
{
    share_check(counted, of, tail);
    struct tail t = {(double)counted, (double)of, tail};
    return counted == of ? 1 : root_between(share_below, &t, 0, 1);
}

static double mean_above(double mean, const void *with)
{
    const struct tail *t = with;
    return poisson_at_least((int64_t)t->count, mean) - t->wanted;
}

static double mean_below(double mean, const void *with)
{
    const struct tail *t = with;
    return poisson_at_most((int64_t)t->count, mean) - t->wanted;
}

double poisson_low(int64_t count, double tail)
{
    CHECK(tail > 0 && tail <= 0.25);
    struct tail t = {.count = (double)count, .wanted = tail};
    /* At a mean of the count itself, the count or more comes half the time or more often. */
    return count == 0 ? 0 : root_between(mean_above, &t, 0, (double)count);
}

double poisson_high(int64_t count, double tail)
{
    CHECK(tail > 0 && tail <= 0.25);
    struct tail t = {.count = (double)count, .wanted = tail};
    double low = (double)count, step = 4 + 4 * sqrt(low);
    while (mean_below(low + step, &t) > 0) {
        step *= 2;
    }
    return root_between(mean_below, &t, low, low + step);
}
