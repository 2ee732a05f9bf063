#include "calc/heat/within.h"

#include <math.h>
#include <stdio.h>

struct result within(const char *field, double value, double low, double high,
                     const char *range_words)
{
    char text[40];
    if (!isfinite(value)) {
        return FAIL0(NUMBER_BAD, field);
    }
    if (value < low || value > high) {
        snprintf(text, sizeof text, "%.6g", value);
        return FAIL2(FIELD_RANGE, field, text, range_words);
    }
    return RESULT_OK;
}

struct result within_item(const char *field, size_t index, double value, double low, double high,
                          const char *range_words)
{
    char name[64];
    snprintf(name, sizeof name, "%s[%zu]", field, index);
    return within(name, value, low, high, range_words);
}

struct result finite_result(const char *field, double value, double result)
{
    if (isfinite(result)) {
        return RESULT_OK;
    }
    char text[40];
    snprintf(text, sizeof text, "%.6g", value);
    return FAIL1(CALC_OVERFLOW, field, text);
}
