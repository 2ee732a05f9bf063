#include "calc/water/turbidity.h"

#include <stdio.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/range.h"
#include "calc/whole.h"

#define MNTU_PER_NTU 1000.0
#define READING_MAX_MNTU 10000000

struct result turbidity_judge(enum turbidity_filter filter, const int64_t *readings_mntu,
                              size_t count, struct turbidity_report *out)
{
    bool slow = filter == TURBIDITY_SLOW;
    double limit_ntu =
        slow ? CONSTANT_WATER_TURBIDITY_SLOW_NTU : CONSTANT_WATER_TURBIDITY_CONVENTIONAL_NTU;
    double peak_ntu = slow ? CONSTANT_WATER_TURBIDITY_SLOW_MAX_NTU
                           : CONSTANT_WATER_TURBIDITY_CONVENTIONAL_MAX_NTU;
    struct turbidity_report r = {
        .state = TURBIDITY_NO_DATA,
        .limit_mntu = whole_near(limit_ntu * MNTU_PER_NTU),
        .peak_mntu = whole_near(peak_ntu * MNTU_PER_NTU),
    };
    *out = r;
    for (size_t i = 0; i < count; i++) {
        char field[40];
        snprintf(field, sizeof field, "readings[%zu]", i);
        TRY(range_check(field, readings_mntu[i], 0, READING_MAX_MNTU));
        r.within += readings_mntu[i] <= r.limit_mntu;
        r.highest_mntu = readings_mntu[i] > r.highest_mntu ? readings_mntu[i] : r.highest_mntu;
    }
    if (count == 0) {
        return RESULT_OK;
    }
    r.above = count - r.within;
    r.share_pct = 100.0 * (double)r.within / (double)count;
    /* In whole numbers: 95 of 100 is enough. */
    bool enough = (double)r.within * 100 >= CONSTANT_WATER_TURBIDITY_SHARE_PCT * (double)count;
    r.state = r.highest_mntu > r.peak_mntu ? TURBIDITY_PEAK
              : enough                     ? TURBIDITY_PASS
                                           : TURBIDITY_SHARE;
    *out = r;
    return RESULT_OK;
}

const char *turbidity_state_word(enum turbidity_state state)
{
    static const char *const words[] = {"pass", "no-data", "share", "peak"};
    CHECK((size_t)state < sizeof words / sizeof words[0]);
    return words[state];
}
