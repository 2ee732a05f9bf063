#include "calc/microbe/attribute_plan.h"

#include <math.h>

#include "base/check.h"
#include "calc/distribution.h"
#include "calc/range.h"
#include "calc/root.h"

enum { QUALITY_ACCEPT_MAX = 50 };

struct result attribute_plan_check(const struct attribute_plan *plan)
{
    TRY(range_check("samples", plan->samples, 1, ATTRIBUTE_SAMPLES_MAX));
    return range_check("accept", plan->accept, 0, plan->samples - 1);
}

double accept_two_class(const struct attribute_plan *plan, double share)
{
    return binomial_at_most(plan->accept, plan->samples, share);
}

double accept_poisson(const struct attribute_plan *plan, double share)
{
    CHECK(share >= 0 && share <= 1);
    return poisson_at_most(plan->accept, (double)plan->samples * share);
}

/* No sample defective, and at most c of them marginal among the rest. */
double accept_three_class(const struct attribute_plan *plan, double marginal, double defective)
{
    CHECK(marginal >= 0 && defective >= 0 && marginal + defective <= 1 + 1e-9);
    if (defective >= 1) {
        return 0;
    }
    double of_rest = fmin(1, marginal / (1 - defective));
    return exp((double)plan->samples * log1p(-defective)) *
           binomial_at_most(plan->accept, plan->samples, of_rest);
}

struct wanted {
    const struct attribute_plan *plan;
    const struct lognormal_limits *limits;
    double chance;
};

static double over_wanted(double share, const void *with)
{
    const struct wanted *w = with;
    return accept_two_class(w->plan, share) - w->chance;
}

double share_accepted(const struct attribute_plan *plan, double chance)
{
    CHECK(chance > 0 && chance < 1);
    struct wanted w = {.plan = plan, .chance = chance};
    return root_between(over_wanted, &w, 0, 1);
}

struct result accept_of_lot(const struct attribute_plan *plan, int64_t lot_size, int64_t bad,
                            double *out_chance)
{
    *out_chance = 0;
    TRY(attribute_plan_check(plan));
    TRY(range_check("lot_size", lot_size, plan->samples, ATTRIBUTE_LOT_MAX));
    TRY(range_check("bad", bad, 0, lot_size));
    *out_chance = hypergeometric_at_most(plan->accept, plan->samples, bad, lot_size);
    return RESULT_OK;
}

/* Upper tails, so that a small share keeps its digits. */
static void shares_fill(const struct lognormal_limits *l, double mean_log10, double *marginal,
                        double *defective)
{
    double over_m = normal_below((mean_log10 - l->m_log10) / l->sd_log10);
    *defective = l->has_most ? normal_below((mean_log10 - l->most_log10) / l->sd_log10) : 0;
    *marginal = fmax(0, over_m - *defective);
}

static double over_wanted_mean(double mean_log10, const void *with)
{
    const struct wanted *w = with;
    double marginal, defective;
    shares_fill(w->limits, mean_log10, &marginal, &defective);
    return accept_three_class(w->plan, marginal, defective) - w->chance;
}

struct result lognormal_plan(const struct attribute_plan *plan,
                             const struct lognormal_limits *limits,
                             struct lognormal_plan_report *out)
{
    *out = (struct lognormal_plan_report){0};
    TRY(attribute_plan_check(plan));
    TRY(range_number("mean_log10", limits->mean_log10, -30, 30));
    TRY(range_number("sd_log10", limits->sd_log10, 0.001, 10));
    TRY(range_number("m_log10", limits->m_log10, -30, 30));
    if (limits->has_most) {
        TRY(range_number("most_log10", limits->most_log10, limits->m_log10, 30));
    }
    TRY(range_number("confidence", limits->confidence, 0.5, 0.9999));
    shares_fill(limits, limits->mean_log10, &out->marginal, &out->defective);
    out->chance = accept_three_class(plan, out->marginal, out->defective);
    struct wanted w = {plan, limits, 1 - limits->confidence};
    /* Forty deviations below m all is well, forty above it nothing. */
    double reach = 40 * limits->sd_log10;
    out->rejected_mean_log10 =
        root_between(over_wanted_mean, &w, limits->m_log10 - reach, limits->m_log10 + reach);
    return RESULT_OK;
}

struct result limiting_quality_samples(double quality, double risk, int64_t accept,
                                       int64_t *out_samples)
{
    *out_samples = 0;
    TRY(range_number("quality", quality, 0.0001, 0.5));
    TRY(range_number("risk", risk, 0.001, 0.5));
    TRY(range_check("accept", accept, 0, QUALITY_ACCEPT_MAX));
    int64_t low = accept, high = accept + 1;
    while (binomial_at_most(accept, high, quality) > risk) {
        if (high == DISTRIBUTION_OF_MAX) {
            return FAIL1(CALC_OVERFLOW, "quality", "more samples than can be taken");
        }
        low = high;
        high = high > DISTRIBUTION_OF_MAX / 2 ? DISTRIBUTION_OF_MAX : 2 * high;
    }
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        bool enough = binomial_at_most(accept, middle, quality) <= risk;
        high = enough ? middle : high;
        low = enough ? low : middle;
    }
    *out_samples = high;
    return RESULT_OK;
}
