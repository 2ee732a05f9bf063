#include "../called.h"

static void a_dose_shows_only_what_is_known(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *solid = called("sanitiser-make-up",
                           "{\"target_mg_l\": 100, \"counts\": \"product\", \"volume_l\": 10, "
                           "\"strength\": \"solid-pct\"}",
                           &a);
    json_t *liquid = called("sanitiser-make-up",
                            "{\"target_mg_l\": 100, \"counts\": \"substance\", \"volume_l\": 10, "
                            "\"strength\": \"liquid-g-l\", \"substance_strength\": 150}",
                            &a);
    assert_near(number(solid, "product_g"), 1, 1e-15);
    assert_false(has(solid, "product_ml") || has(solid, "available_g_l"));
    assert_true(has(liquid, "product_ml"));
    assert_false(has(liquid, "product_g") || has(liquid, "available_g_l"));
    json_decref(solid);
    json_decref(liquid);
    arena_release(&a);
}

static void a_limit_comes_with_its_source(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *known =
        called("sanitiser-limit",
               "{\"sanitiser\": \"peracid\", \"use\": \"raw\", \"level_mg_l\": 90}", &a);
    json_t *none = called("sanitiser-limit",
                          "{\"sanitiser\": \"iodine\", \"use\": \"raw\", \"level_mg_l\": 0}", &a);
    const json_t *constant = json_array_get(json_object_get(known, "constants"), 0);
    assert_string_equal(json_string_value(json_object_get(constant, "name")),
                        "water_peracid_raw_mg_l");
    assert_false(has(none, "limit_mg_l"));
    assert_int_equal(json_array_size(json_object_get(none, "constants")), 0);
    json_decref(known);
    json_decref(none);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dose_shows_only_what_is_known),
        cmocka_unit_test(a_limit_comes_with_its_source),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
