#include "calc/heat/reduction_count.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/distribution.h"
#include "calc/heat/tolerance.h"
#include "calc/heat/within.h"
#include "calc/range.h"
#include "calc/sum.h"

enum { COUNT_MAX = 1000000000, BATCHES_MAX = 10000 };

static const double COVERAGE = 0.95, CONFIDENCE = 0.95;

struct result reduction_count(int64_t before, int64_t after, double amount_ratio,
                              struct reduction_count *out)
{
    *out = (struct reduction_count){0};
    TRY(range_check("before", before, 1, COUNT_MAX));
    TRY(range_check("after", after, 0, COUNT_MAX));
    TRY(within("amount_ratio", amount_ratio, 1e-12, 1e12, "above 0"));
    double first = (double)before * amount_ratio;
    if (after == 0) {
        out->none_found = true;
        out->reduction = out->low = log10(first / CONSTANT_COUNT_NONE_UPPER);
        return RESULT_OK;
    }
    out->reduction = log10(first / (double)after);
    out->se = M_LOG10E * sqrt(1 / (double)before + 1 / (double)after);
    out->low = out->reduction - normal_quantile(0.95) * out->se;
    return RESULT_OK;
}

struct result reduction_none_found(double initial_per_g, double amount_g, double *out)
{
    *out = 0;
    TRY(within("initial_per_g", initial_per_g, WITHIN_ABOVE_ZERO, 1e15, "above 0 per g"));
    TRY(within("amount_g", amount_g, WITHIN_ABOVE_ZERO, 1e12, "above 0 g"));
    *out = log10(initial_per_g * amount_g / CONSTANT_COUNT_NONE_UPPER);
    return RESULT_OK;
}

struct result reduction_batches(const double *reductions, size_t n, struct reduction_batches *out)
{
    struct sum sum = {0}, squares = {0};
    *out = (struct reduction_batches){0};
    TRY(range_check("reductions", (int64_t)n, 2, BATCHES_MAX));
    double least = INFINITY;
    for (size_t i = 0; i < n; i++) {
        TRY(within_item("reductions", i, reductions[i], -20, 300, "from -20 to 300 log10"));
        sum_add(&sum, reductions[i]);
        least = fmin(least, reductions[i]);
    }
    double mean = sum_value(&sum) / (double)n;
    for (size_t i = 0; i < n; i++) {
        sum_add(&squares, (reductions[i] - mean) * (reductions[i] - mean));
    }
    *out = (struct reduction_batches){
        .mean = mean,
        .sd = sqrt(sum_value(&squares) / (double)(n - 1)),
        .least = least,
        .factor = tolerance_factor(n, COVERAGE, CONFIDENCE),
        .least_confidence = 1 - pow(COVERAGE, (double)n),
    };
    out->low = mean - out->factor * out->sd;
    return RESULT_OK;
}
