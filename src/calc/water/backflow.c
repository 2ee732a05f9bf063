#include "calc/water/backflow.h"

#include <math.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/range.h"

#define DAY_MAX 10000000

static struct result gap_judge(const struct backflow_connection *c, struct backflow_report *out)
{
    TRY(range_number("bore_mm", c->bore_mm, 1, 2000));
    TRY(range_number("gap_mm", c->gap_mm, 0, 10000));
    out->gap_needed_mm = fmax(CONSTANT_WATER_AIR_GAP_BORES * c->bore_mm, CONSTANT_WATER_AIR_GAP_MM);
    if (c->gap_mm < out->gap_needed_mm) {
        out->state = BACKFLOW_GAP_SMALL;
    }
    return RESULT_OK;
}

struct result backflow_judge(const struct backflow_connection *c, int32_t today_day,
                             struct backflow_report *out)
{
    *out = (struct backflow_report){.state = BACKFLOW_NO_DEVICE};
    TRY(range_check("today_day", today_day, -DAY_MAX, DAY_MAX));
    TRY(range_check("test_every_day", c->test_every_day, 0, 3660));
    if (c->device == BACKFLOW_NONE) {
        return RESULT_OK;
    }
    struct backflow_report r = {.state = BACKFLOW_OK};
    if (c->device == BACKFLOW_AIR_GAP) {
        TRY(gap_judge(c, &r));
    }
    int32_t every_day = c->test_every_day;
    int32_t most_day = (int32_t)CONSTANT_WATER_BACKFLOW_TEST_DAYS;
    if (c->device == BACKFLOW_REDUCED_PRESSURE && (every_day == 0 || every_day > most_day)) {
        every_day = most_day;
    }
    if (every_day > 0 && c->last_test_day == BACKFLOW_NEVER) {
        r.state = r.state == BACKFLOW_OK ? BACKFLOW_UNTESTED : r.state;
    } else if (every_day > 0) {
        TRY(range_check("last_test_day", c->last_test_day, -DAY_MAX, today_day));
        r.has_due = true;
        r.due_day = c->last_test_day + every_day;
        if (r.state == BACKFLOW_OK && today_day > r.due_day) {
            r.state = BACKFLOW_OVERDUE;
        }
    }
    *out = r;
    return RESULT_OK;
}

const char *backflow_state_word(enum backflow_state state)
{
    static const char *const words[] = {"ok", "no-device", "gap-small", "untested", "overdue"};
    CHECK((size_t)state < sizeof words / sizeof words[0]);
    return words[state];
}
