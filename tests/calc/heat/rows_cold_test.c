#include "../called.h"

static const char *text(const json_t *answer, const char *name)
{
    return json_string_value(json_object_get(json_object_get(answer, "results"), name));
}

static size_t length(const json_t *answer, const char *name)
{
    return json_array_size(json_object_get(json_object_get(answer, "results"), name));
}

/* Finer than a thousandth, a reading and its doubt are taken warmer. */
static void readings_enter_on_the_warm_side(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *end, *uncertainty, *verdict;
    } cases[] = {{"5", "0", "pass"},
                 {"5.0001", "0", "review"},
                 {"4.9", "0.1", "pass"},
                 {"4.9", "0.1001", "review"}};
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        json_t *answer = called("cooling-check",
                                arena_printf(&a,
                                             "{\"points\": [[0, 20], [3600, %s]], "
                                             "\"uncertainty_c\": [%s], \"rule\": "
                                             "\"food-code-ambient\"}",
                                             cases[i].end, cases[i].uncertainty),
                                &a);
        assert_string_equal(text(answer, "verdict"), cases[i].verdict);
        json_decref(answer);
    }
    arena_release(&a);
}

static void a_log_without_data_or_end_shows_no_crossing(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *none = called("cooling-check", "{\"points\": [], \"rule\": \"us-meat-older\"}", &a);
    json_t *open =
        called("cooling-check", "{\"points\": [[0, 60], [600, 50]], \"rule\": \"food-code\"}", &a);
    assert_string_equal(text(none, "verdict"), "review");
    assert_null(text(none, "chill_start"));
    assert_int_equal(length(none, "to_c"), 0);
    assert_true(warns(none, "cut off"));
    assert_string_equal(text(open, "states"), "open, open");
    assert_int_equal(length(open, "crossed_min"), 0);
    assert_int_equal(length(open, "start_min"), 2);
    assert_true(warns(open, "No probe uncertainty"));
    json_decref(none);
    json_decref(open);
    arena_release(&a);
}

static void a_stand_in_rate_says_so(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *stand_in = called("listeria-rate", "{\"temp_c\": 5}", &a);
    json_t *own = called("listeria-rate", "{\"temp_c\": 5, \"egr5_log_d\": 0.1}", &a);
    assert_true(warns(stand_in, "stand-in"));
    assert_false(warns(own, "stand-in"));
    json_decref(stand_in);
    json_decref(own);
    arena_release(&a);
}

static void numbers_above_the_ceiling_stay(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer =
        called("listeria-log", "{\"points\": [[0, 30], [3600, 30]], \"start_log\": 9}", &a);
    const json_t *results = json_object_get(answer, "results");
    assert_near(json_number_value(json_object_get(results, "end_log")), 9, 0);
    assert_true(warns(answer, "above the range"));
    assert_near(json_number_value(json_object_get(results, "above_range_h")), 1, 1e-12);
    json_decref(answer);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_enter_on_the_warm_side),
        cmocka_unit_test(a_log_without_data_or_end_shows_no_crossing),
        cmocka_unit_test(a_stand_in_rate_says_so),
        cmocka_unit_test(numbers_above_the_ceiling_stay),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
