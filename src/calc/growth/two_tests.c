#include "calc/growth/two_tests.h"

#include <stdio.h>
#include <stdlib.h>

/* Least average of the row, allowed difference; lower halves use 101 less themselves. */
static const signed char rows[][2] = {
    {99, 2}, {97, 3}, {94, 4}, {91, 5}, {87, 6}, {82, 7}, {76, 8}, {70, 9}, {60, 10}, {51, 11},
};

static struct result percent_check(const char *field, int64_t pct)
{
    if (pct >= 0 && pct <= 100) {
        return RESULT_OK;
    }
    char text[24];
    snprintf(text, sizeof text, "%lld", (long long)pct);
    return FAIL2(FIELD_RANGE, field, text, "from 0 to 100 whole percent");
}

struct result two_tests(int64_t first_pct, int64_t second_pct, bool of_200,
                        struct two_tests_report *out)
{
    *out = (struct two_tests_report){0};
    TRY(percent_check("first_pct", first_pct));
    TRY(percent_check("second_pct", second_pct));
    out->average_pct = (int)((first_pct + second_pct + 1) / 2);
    out->difference = (int)llabs(first_pct - second_pct);
    int row_pct = out->average_pct >= 51 ? out->average_pct : 101 - out->average_pct;
    size_t row = 0;
    while (row_pct < rows[row][0]) {
        row++;
    }
    out->allowed = rows[row][1] + (of_200 ? 2 : 0);
    out->compatible = out->difference <= out->allowed;
    return RESULT_OK;
}
