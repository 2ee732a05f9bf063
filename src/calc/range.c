#include "calc/range.h"

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
