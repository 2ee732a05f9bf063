#include "calc/heat/rate_sum.h"

#include "base/check.h"
#include "calc/heat/within.h"
#include "calc/sum.h"

struct result rate_sum(const double *rates, size_t count, double interval, struct rate_sum *out)
{
    struct sum all = {0}, simpson = {0};
    CHECK(count > 0);
    *out = (struct rate_sum){0};
    TRY(within("interval", interval, WITHIN_ABOVE_ZERO, 1e12, "above 0"));
    for (size_t i = 0; i < count; i++) {
        TRY(within_item("rates", i, rates[i], 0, 1e300, "0 or more"));
        bool end = i == 0 || i + 1 == count;
        sum_add(&all, rates[i]);
        sum_add(&simpson, rates[i] * (end ? 1 : i % 2 == 1 ? 4 : 2));
    }
    struct rate_sum r = {.rectangle = interval * sum_value(&all),
                         .has_simpson = count >= 3 && count % 2 == 1};
    r.trapezoid = count > 1 ? interval * (sum_value(&all) - (rates[0] + rates[count - 1]) / 2) : 0;
    r.simpson = r.has_simpson ? interval * sum_value(&simpson) / 3 : 0;
    TRY(finite_result("interval", interval, r.rectangle + r.simpson));
    *out = r;
    return RESULT_OK;
}
