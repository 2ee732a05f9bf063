#include "calc/wilson.h"

#include <math.h>
#include <stdio.h>

#include "calc/constants.gen.h"

#define OF_MAX INT64_C(1000000000)

struct result wilson(int64_t counted, int64_t of, struct wilson *out)
{
    char text[24];
    *out = (struct wilson){0};
    if (of < 1 || of > OF_MAX) {
        snprintf(text, sizeof text, "%lld", (long long)of);
        return FAIL2(FIELD_RANGE, "of", text, "from 1 to 1000000000");
    }
    if (counted < 0 || counted > of) {
        snprintf(text, sizeof text, "%lld", (long long)counted);
        return FAIL2(FIELD_RANGE, "counted", text, "from 0 to the number looked at");
    }
    double z = CONSTANT_NORMAL_QUANTILE_975;
    double n = (double)of;
    double p = (double)counted / n;
    double spread = 1 + z * z / n;
    double centre = (p + z * z / (2 * n)) / spread;
    double half = z * sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / spread;
    /* At the ends the formula gives 0 and 1 but for the last digit. */
    out->low = counted == 0 ? 0 : centre - half;
    out->high = counted == of ? 1 : centre + half;
    out->low_ppm = (int64_t)floor(out->low * 1e6);
    out->high_ppm = (int64_t)ceil(out->high * 1e6);
    return RESULT_OK;
}
