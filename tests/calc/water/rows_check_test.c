#include "../called.h"

static const char *state_of(const char *readings, const char *limit, struct arena *a)
{
    json_t *answer = called("water-period",
                            arena_printf(a,
                                         "{\"readings\": [%s], \"begin_h\": 0, \"end_h\": 1, "
                                         "\"interval_max_h\": 1, %s}",
                                         readings, limit),
                            a);
    const char *out = arena_copy(
        a, json_string_value(json_object_get(json_object_get(answer, "results"), "state")));
    json_decref(answer);
    return out;
}

/* Finer than a thousandth, a reading or a limit moves to the side on which it is kept less. */
static void decimals_enter_on_the_safe_side(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *reading, *limit, *state;
    } cases[] = {
        {"[0, 0.5, 7, 10, 0.3, 650, 40]", "\"disinfectant_low_mg_l\": 0.5", "good"},
        {"[0, 0.4999, 7, 10, 0.3, 650, 40]", "\"disinfectant_low_mg_l\": 0.499", "good"},
        {"[0, 0.5, 7, 10, 0.3, 650, 40]", "\"disinfectant_low_mg_l\": 0.5001", "bad"},
        {"[0, 0.5, 7, 10, 0.3, 650, 40]", "\"turbidity_high_ntu\": 0.3", "good"},
        {"[0, 0.5, 7, 10, 0.3001, 650, 40]", "\"turbidity_high_ntu\": 0.3", "bad"},
        {"[0, 0.5, 7, 10, 0.3, 649.5, 40]", "\"orp_low_mv\": 650", "bad"},
        {"[0, 0.5, 7, 10, 0.3, 650, 40.0001]", "\"flow_high_l_min\": 40", "bad"},
        {"[0, 0.5, 7.5, 10, 0.3, 650, 40]", "\"ph_high\": 7.5, \"temp_low_c\": 10", "good"},
        {"[0, 0.5, 7.5, 9.9999, 0.3, 650, 40]", "\"temp_low_c\": 10", "bad"},
        {"[0, 0.5, -9999, 10, 0.3, 650, 40]", "\"ph_high\": 7.5", "unknown"},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        assert_string_equal(state_of(cases[i].reading, cases[i].limit, &a), cases[i].state);
    }
    arena_release(&a);
}

static void a_reading_out_of_this_world_is_refused(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *in = json_loads("{\"readings\": [[0, 1e300, 7, 10, 0.3, 650, 40]], \"begin_h\": 0, "
                            "\"end_h\": 1, \"interval_max_h\": 1}",
                            0, NULL);
    json_t *out = NULL;
    struct result r = registry_call("water-period", in, &a, &out);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "readings[0][1]");
    json_decref(in);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decimals_enter_on_the_safe_side),
        cmocka_unit_test(a_reading_out_of_this_world_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
