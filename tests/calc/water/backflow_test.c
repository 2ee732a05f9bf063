#include "../../support.h"

#include "../near.h"
#include "calc/water/backflow.h"

static enum backflow_state judged(struct backflow_connection c, int32_t today)
{
    struct backflow_report r;
    assert_ok(backflow_judge(&c, today, &r));
    return r.state;
}

static void the_day_it_is_due_it_still_holds(void **state)
{
    (void)state;
    struct backflow_connection valve = {.device = BACKFLOW_REDUCED_PRESSURE,
                                        .last_test_day = 20000};
    assert_int_equal(judged(valve, 20365), BACKFLOW_OK);
    assert_int_equal(judged(valve, 20366), BACKFLOW_OVERDUE);
    valve.test_every_day = 30;
    assert_int_equal(judged(valve, 20030), BACKFLOW_OK);
    assert_int_equal(judged(valve, 20031), BACKFLOW_OVERDUE);
    valve.last_test_day = BACKFLOW_NEVER;
    assert_int_equal(judged(valve, 20031), BACKFLOW_UNTESTED);
}

static void a_gap_is_judged_before_its_test(void **state)
{
    (void)state;
    struct backflow_connection gap = {.device = BACKFLOW_AIR_GAP,
                                      .bore_mm = 12.5,
                                      .gap_mm = 24.9,
                                      .last_test_day = BACKFLOW_NEVER,
                                      .test_every_day = 30};
    assert_int_equal(judged(gap, 0), BACKFLOW_GAP_SMALL);
    gap.gap_mm = 25;
    assert_int_equal(judged(gap, 0), BACKFLOW_UNTESTED);
    gap.last_test_day = -10;
    assert_int_equal(judged(gap, 0), BACKFLOW_OK);
    gap.bore_mm = 13;
    assert_int_equal(judged(gap, 0), BACKFLOW_GAP_SMALL);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct backflow_report r;
    struct backflow_connection c = {.device = BACKFLOW_AIR_GAP, .bore_mm = 0, .gap_mm = 25};
    assert_string_equal(backflow_judge(&c, 0, &r).field, "bore_mm");
    assert_int_equal(r.state, BACKFLOW_NO_DEVICE);
    c = (struct backflow_connection){.device = BACKFLOW_REDUCED_PRESSURE, .last_test_day = 1};
    assert_string_equal(backflow_judge(&c, 0, &r).field, "last_test_day");
    c.test_every_day = -1;
    assert_string_equal(backflow_judge(&c, 0, &r).field, "test_every_day");
    assert_string_equal(backflow_state_word(BACKFLOW_OVERDUE), "overdue");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_day_it_is_due_it_still_holds),
        cmocka_unit_test(a_gap_is_judged_before_its_test),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
