#include "../called.h"

/* Finer than a thousandth, a reading moves to the side on which the rule is kept less. */
static void decimals_enter_on_the_safe_side(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *readings, *filter, *state;
        int64_t above;
    } cases[] = {
        {"0.1, 0.3", "conventional", "pass", 0}, {"0.1, 0.3001", "conventional", "share", 1},
        {"0.1, 0.3001", "slow", "pass", 0},      {"0.1, 1.0001", "conventional", "peak", 1},
        {"", "conventional", "no-data", 0},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        json_t *answer = called("turbidity-month",
                                arena_printf(&a, "{\"readings_ntu\": [%s], \"filter\": \"%s\"}",
                                             cases[i].readings, cases[i].filter),
                                &a);
        const json_t *results = json_object_get(answer, "results");
        assert_string_equal(json_string_value(json_object_get(results, "state")), cases[i].state);
        assert_int_equal(json_integer_value(json_object_get(results, "above")), cases[i].above);
        json_decref(answer);
    }
    arena_release(&a);
}

/* An air gap is its bore and its height: one alone says nothing. */
static void half_an_air_gap_is_refused(void **state)
{
    (void)state;
    static const char *const halves[][2] = {
        {"{\"device\": \"air-gap\", \"gap_mm\": 60}", "bore_mm"},
        {"{\"device\": \"air-gap\", \"bore_mm\": 20}", "gap_mm"}};
    for (size_t i = 0; i < CALC_COUNT(halves); i++) {
        struct arena a;
        arena_init(&a, ARENA_LIMIT_DEFAULT);
        json_t *in = json_loads(halves[i][0], 0, NULL), *out = NULL;
        struct result r = registry_call("backflow-check", in, &a, &out);
        assert_code(r, FIELD_MISSING);
        assert_string_equal(r.field, halves[i][1]);
        json_decref(in);
        arena_release(&a);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decimals_enter_on_the_safe_side),
        cmocka_unit_test(half_an_air_gap_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
