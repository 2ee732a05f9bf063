#include "../called.h"

static void levels_are_rounded_to_the_safe_side(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer = called("water-balance",
                            "{\"volume_l\": 2000, \"load_g_h\": 400, \"blow_down_l_h\": 470, "
                            "\"limit_mg_l\": 600}",
                            &a);
    /* Steady at 851.06 mg/L, at the limit after 5.196 h, kept by 666.67 L/h (computed here). */
    assert_near(number(answer, "steady_mg_l"), 851.1, 1e-12);
    assert_near(number(answer, "limit_h"), 5.19, 1e-12);
    assert_near(number(answer, "make_up_l_h"), 666.7, 1e-12);
    json_decref(answer);
    arena_release(&a);
}

static void a_loop_without_an_end_says_so(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer = called("water-balance", "{\"volume_l\": 2000, \"load_g_h\": 400}", &a);
    assert_false(has(answer, "steady_mg_l"));
    assert_false(has(answer, "limit_h"));
    const char *first = json_string_value(json_array_get(json_object_get(answer, "cautions"), 0));
    assert_non_null(strstr(first, "without end"));
    json_decref(answer);
    arena_release(&a);
}

static void high_load_is_taken_where_nothing_is_said(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *plain = called("wash-kill", "{\"start_mg_l\": 1, \"time_s\": 30}", &a);
    json_t *clean =
        called("wash-kill", "{\"start_mg_l\": 1, \"time_s\": 30, \"organics\": \"clean\"}", &a);
    assert_true(number(plain, "kill_log") < 0.28 * number(clean, "kill_log"));
    assert_true(number(plain, "kill_low_log") < number(plain, "kill_log"));
    json_decref(plain);
    json_decref(clean);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(levels_are_rounded_to_the_safe_side),
        cmocka_unit_test(a_loop_without_an_end_says_so),
        cmocka_unit_test(high_load_is_taken_where_nothing_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
