#include "asked.h"

static void a_share_or_a_lot(void **state)
{
    (void)state;
    asked_refused("two-class-plan", "{\"samples\": 5, \"accept\": 0}", CODE_FIELD_MISSING, "share");
    asked_refused("two-class-plan", "{\"samples\": 5, \"accept\": 0, \"bad\": 1}",
                  CODE_FIELD_MISSING, "lot_size");
    asked_refused("two-class-plan", "{\"samples\": 5, \"accept\": 0, \"lot_size\": 9}",
                  CODE_FIELD_MISSING, "bad");
    asked_refused("two-class-plan",
                  "{\"samples\": 5, \"accept\": 0, \"share\": 0.1, \"lot_size\": 9, \"bad\": 1}",
                  CODE_FIELD_MISSING, "share");
    asked_refused("two-class-plan", "{\"samples\": 5, \"accept\": 5, \"share\": 0.1}",
                  CODE_FIELD_RANGE, "accept");
}

static void curves_fall_from_certainty(void **state)
{
    (void)state;
    struct arena a;
    json_t *answer;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(
        asked(&a, "two-class-plan", "{\"samples\": 80, \"accept\": 2, \"share\": 0.01}", &answer));
    const json_t *curve = json_object_get(json_object_get(answer, "results"), "curve_accepted");
    size_t count = json_array_size(curve);
    assert_near(json_number_value(json_array_get(curve, 0)), 1, 0);
    assert_near(json_number_value(json_array_get(curve, count - 1)), 0.001, 1e-9);
    for (size_t i = 1; i < count; i++) {
        assert_true(json_number_value(json_array_get(curve, i)) <
                    json_number_value(json_array_get(curve, i - 1)));
    }
    json_decref(answer);
    arena_release(&a);
}

static void shares_cannot_exceed_the_lot(void **state)
{
    (void)state;
    asked_refused("three-class-plan",
                  "{\"samples\": 5, \"accept\": 1, \"marginal\": 0.7, \"defective\": 0.4}",
                  CODE_FIELD_RANGE, "marginal");
    assert_true(asked_gives("three-class-plan",
                            "{\"samples\": 5, \"accept\": 1, \"marginal\": 0, \"defective\": 1}",
                            "accepted"));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_share_or_a_lot),
        cmocka_unit_test(curves_fall_from_certainty),
        cmocka_unit_test(shares_cannot_exceed_the_lot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
