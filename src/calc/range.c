#include "calc/range.h"

#include <math.h>
#include <stdio.h>

struct result range_check(const char *field, int64_t value, int64_t low, int64_t high)
{
    if (value >= low && value <= high) {
        return RESULT_OK;
    }
    char text[24], range[64];
    snprintf(text, sizeof text, "%lld", (long long)value);
    snprintf(range, sizeof range, "from %lld to %lld", (long long)low, (long long)high);
    return FAIL2(FIELD_RANGE, field, text, range);
}

struct result range_number(const char *field, double value, double low, double high)
{
    if (!isfinite(value)) {
        return FAIL0(NUMBER_BAD, field);
    }
    if (value >= low && value <= high) {
        return RESULT_OK;
    }
    char text[40], range[100];
    snprintf(text, sizeof text, "%.10g", value);
    snprintf(range, sizeof range, "from %.10g to %.10g", low, high);
    return FAIL2(FIELD_RANGE, field, text, range);
}
