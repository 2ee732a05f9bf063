#include "../../support.h"

#include "../near.h"
#include "calc/registry.h"

static struct result called(const char *name, const char *input, struct arena *a, json_t **out)
{
    json_t *in = json_loads(input, 0, NULL);
    assert_non_null(in);
    struct result r = registry_call(name, in, a, out);
    json_decref(in);
    return r;
}

static double number(const json_t *answer, const char *part, const char *name)
{
    const json_t *value = json_object_get(json_object_get(answer, part), name);
    assert_true(json_is_number(value));
    return json_number_value(value);
}

static void a_weak_lot_needs_more_seed(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *plain, *weak;
    assert_ok(called("seed-needed", "{\"packed_kg\": 500}", &a, &plain));
    assert_ok(called("seed-needed",
                     "{\"packed_kg\": 500, \"pls_pct\": 90, \"reference_pls_pct\": 95}", &a,
                     &weak));
    assert_near(number(weak, "unrounded", "seed_kg"),
                number(plain, "unrounded", "seed_kg") * 95 / 90, 1e-6);
    assert_near(number(weak, "results", "expansion_lot"), 7.578947, 1e-12);
    json_decref(plain);
    json_decref(weak);
    json_t *none;
    struct result r = called("seed-needed", "{\"packed_kg\": 500, \"pls_pct\": 90}", &a, &none);
    assert_code(r, FIELD_MISSING);
    assert_string_equal(r.field, "reference_pls_pct");
    r = called("mass-chain", "{\"seed_kg\": 5, \"reference_pls_pct\": 90}", &a, &none);
    assert_string_equal(r.field, "pls_pct");
    /* So weak that the bed would not even double: beyond what the chain may say. */
    r = called("mass-chain", "{\"seed_kg\": 5, \"pls_pct\": 5, \"reference_pls_pct\": 90}", &a,
               &none);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "expansion");
    arena_release(&a);
}

static void own_temperatures_replace_the_crop(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *crop, *own;
    assert_ok(
        called("heat-sum", "{\"points\": [[0, 20], [1, 20]], \"crop\": \"mung\"}", &a, &crop));
    assert_ok(called("heat-sum",
                     "{\"points\": [[0, 20], [1, 20]], \"crop\": \"mung\", \"base_c\": 5.5, "
                     "\"optimum_c\": 15.5, \"goal_c_h\": 100}",
                     &a, &own));
    assert_near(number(crop, "results", "sum_c_h"), 10, 1e-14);
    assert_near(number(crop, "results", "goal_c_h"), 1950, 0);
    assert_near(number(own, "results", "sum_c_h"), 10, 1e-14);
    assert_near(number(own, "results", "done"), 0.1, 1e-14);
    /* A constant that was not used is not listed. */
    assert_int_equal(json_array_size(json_object_get(crop, "constants")), 4);
    assert_int_equal(json_array_size(json_object_get(own, "constants")), 1);
    json_decref(crop);
    json_decref(own);
    arena_release(&a);
}

static void a_gap_is_told(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer;
    assert_ok(called("heat-sum", "{\"points\": [[0, 20], [2.5, 20]]}", &a, &answer));
    assert_near(number(answer, "results", "gaps"), 1, 0);
    assert_non_null(strstr(
        json_string_value(json_array_get(json_object_get(answer, "cautions"), 0)), "two hours"));
    json_decref(answer);
    arena_release(&a);
}

static void tables_that_do_not_fit_are_refused(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *name, *in, *field;
        enum code code;
    } cases[] = {
        {"heat-sum", "{\"points\": [[0, 20, 21]]}", "points", CODE_FIELD_RANGE},
        {"heat-sum", "{\"points\": [[0, 20], [2e9, 21]]}", "points[1][0]", CODE_FIELD_RANGE},
        {"heat-sum", "{\"points\": [[0, 20], [1, 301]]}", "points[1][1]", CODE_FIELD_RANGE},
        {"heat-sum", "{\"points\": [[1, 20], [0, 20]]}", "points[1][0]", CODE_LOG_BACKWARDS},
        {"heat-sum", "{\"points\": [], \"base_c\": 30, \"optimum_c\": 20}", "optimum_mc",
         CODE_FIELD_RANGE},
        {"harvest-forecast", "{\"done_c_h\": 1, \"ahead\": []}", "ahead", CODE_FIELD_RANGE},
        {"harvest-forecast", "{\"done_c_h\": 1, \"ahead\": [[1, 20]]}", "ahead[0]",
         CODE_FIELD_RANGE},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        json_t *answer;
        struct result r = called(cases[i].name, cases[i].in, &a, &answer);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, cases[i].field);
        assert_null(answer);
    }
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_weak_lot_needs_more_seed),
        cmocka_unit_test(own_temperatures_replace_the_crop),
        cmocka_unit_test(a_gap_is_told),
        cmocka_unit_test(tables_that_do_not_fit_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
