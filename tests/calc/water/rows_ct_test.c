#include "../called.h"

static void what_is_not_the_safe_side_says_so(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *plain = called("ct-required", "{\"ph\": 7, \"temp_c\": 12, \"residual_mg_l\": 1}", &a);
    json_t *between = called("ct-required",
                             "{\"ph\": 7, \"temp_c\": 12, \"residual_mg_l\": 1, \"method\": "
                             "\"interpolated\"}",
                             &a);
    json_t *odd = called("ct-required", "{\"ph\": 7.5, \"temp_c\": 1, \"residual_mg_l\": 2.2}", &a);
    assert_false(warns(plain, "Not the safe side"));
    assert_true(warns(between, "Not the safe side"));
    assert_false(warns(plain, "297"));
    assert_true(warns(odd, "297"));
    json_decref(plain);
    json_decref(between);
    json_decref(odd);
    arena_release(&a);
}

/* A baffle's share is from memory: the answer brings it with its word, a tracer test's does not. */
static void a_share_for_baffles_comes_with_its_source(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *word = called("contact-time",
                          "{\"volume_l\": 100, \"flow_l_min\": 10, \"baffles\": \"average\"}", &a);
    json_t *tracer =
        called("contact-time", "{\"volume_l\": 100, \"flow_l_min\": 10, \"baffling\": 0.5}", &a);
    const json_t *used = json_object_get(word, "constants");
    assert_int_equal(json_array_size(used), 1);
    assert_string_equal(json_string_value(json_object_get(json_array_get(used, 0), "word")),
                        "from memory");
    assert_int_equal(json_array_size(json_object_get(tracer, "constants")), 0);
    json_decref(word);
    json_decref(tracer);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_not_the_safe_side_says_so),
        cmocka_unit_test(a_share_for_baffles_comes_with_its_source),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
