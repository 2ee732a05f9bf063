/* What the rows of every discipline make of their input, where that is more than handing it on. */
#include "../support.h"

#include "calc/registry.h"
#include "near.h"

static struct result called(const char *name, const char *input, struct arena *a, json_t **out)
{
    json_t *in = json_loads(input, 0, NULL);
    assert_non_null(in);
    struct result r = registry_call(name, in, a, out);
    json_decref(in);
    return r;
}

static const char *text(const json_t *answer, const char *name)
{
    return json_string_value(json_object_get(json_object_get(answer, "results"), name));
}

static double number(const json_t *answer, const char *name)
{
    return json_number_value(json_object_get(json_object_get(answer, "results"), name));
}

static bool warns(const json_t *answer, const char *part)
{
    const json_t *cautions = json_object_get(answer, "cautions");
    for (size_t i = 0; i < json_array_size(cautions); i++) {
        if (strstr(json_string_value(json_array_get(cautions, i)), part) != NULL) {
            return true;
        }
    }
    return false;
}

static void each_status_brings_its_caution(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer;
    assert_ok(called("lethality",
                     "{\"points\": [[0, 60], [10, 90], [100, 60], [100, 60]], \"reference_c\": 70, "
                     "\"z_c\": 7, \"d_s\": 5, \"gap_max_s\": 50, \"limit_c\": 95}",
                     &a, &answer));
    assert_string_equal(text(answer, "status"),
                        "gap, coarse, capped, range-unknown, limit-not-reached, same-times");
    assert_true(warns(answer, "gaps"));
    assert_true(warns(answer, "too coarsely"));
    assert_true(warns(answer, "No probe uncertainty"));
    json_decref(answer);
    assert_ok(called("lethality",
                     "{\"points\": [[0, 70], [10, 71]], \"reference_c\": 70, \"z_c\": 7, \"d_s\": "
                     "5, \"tested_max_c\": 70, \"uncertainty_c\": [0.2]}",
                     &a, &answer));
    assert_string_equal(text(answer, "status"), "good");
    assert_false(warns(answer, "gaps"));
    assert_false(warns(answer, "No probe uncertainty"));
    json_decref(answer);
    arena_release(&a);
}

static void constants_come_from_one_place(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer;
    struct result r =
        called("lethality", "{\"points\": [], \"set\": \"juice\", \"d_s\": 5}", &a, &answer);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "d_s");
    r = called("lethality", "{\"points\": [], \"reference_c\": 70, \"d_s\": 5}", &a, &answer);
    assert_code(r, FIELD_MISSING);
    assert_string_equal(r.field, "z_c");
    assert_ok(called("lethality",
                     "{\"points\": [[0, 71.1], [3, 71.1]], \"set\": \"juice\", \"tested_max_c\": "
                     "72}",
                     &a, &answer));
    /* Mazzotta 2001, Journal of Food Protection 64:315-320 (published (abstract only)): 3 s at
     * 71.1 C for five decimals. */
    assert_string_equal(text(answer, "reduction_shown"), "5.0");
    assert_true(warns(answer, "Stand-in constants"));
    json_decref(answer);
    arena_release(&a);
}

/* Decimals enter the hold check on the safe side: readings down, doubt and recipe up. */
static void the_hold_row_rounds_to_the_safe_side(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *temp, *uncertainty, *hold_c, *met;
    } cases[] = {
        {"85.3", "0.3", "85", "yes"},    {"85.2999", "0.2999", "85", "no"},
        {"85.3", "0.3001", "85", "no"},  {"85.3", "0.3", "85.0001", "no"},
        {"85.3004", "0.3", "85", "yes"},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        char in[300];
        snprintf(in, sizeof in,
                 "{\"points\": [[0, %s], [10, %s]], \"uncertainty_c\": [%s], \"hold_c\": %s, "
                 "\"hold_s\": 10}",
                 cases[i].temp, cases[i].temp, cases[i].uncertainty, cases[i].hold_c);
        json_t *answer;
        assert_ok(called("hold-check", in, &a, &answer));
        assert_string_equal(text(answer, "met"), cases[i].met);
        json_decref(answer);
    }
    arena_release(&a);
}

static void a_day_without_a_reading_is_a_gap(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer;
    assert_ok(called("hold-check",
                     "{\"points\": [[0, 90], [200000, 90], [400000, 90]], \"hold_c\": 85, "
                     "\"hold_s\": 10}",
                     &a, &answer));
    assert_string_equal(text(answer, "met"), "no");
    assert_near(number(answer, "gap_max_s"), 86400, 0);
    assert_near(number(answer, "gaps"), 2, 0);
    assert_true(warns(answer, "breaks the hold"));
    assert_true(warns(answer, "too coarse for this hold"));
    json_decref(answer);
    arena_release(&a);
}

static void a_seedling_is_whole(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer;
    struct result r =
        called("germination-test", "{\"replicates\": [96, 93.5, 95, 92]}", &a, &answer);
    assert_code(r, FIELD_TYPE);
    assert_string_equal(r.field, "replicates[1]");
    r = called("germination-test", "{\"replicates\": [96, 93, 95]}", &a, &answer);
    assert_code(r, FIELD_RANGE);
    assert_ok(called("germination-test", "{\"replicates\": [99, 97, 89, 95]}", &a, &answer));
    assert_true(warns(answer, "test again"));
    json_decref(answer);
    arena_release(&a);
}

static void purity_alone_or_with_germination(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer;
    assert_ok(called("seed-purity",
                     "{\"pure_g\": 98.666, \"other_g\": 0, \"weed_g\": 0, \"inert_g\": 1.334}", &a,
                     &answer));
    assert_near(number(answer, "purity_pct"), 98.66, 1e-12);
    assert_null(text(answer, "pls_pct"));
    assert_null(json_object_get(json_object_get(answer, "results"), "pls_pct"));
    json_decref(answer);
    assert_ok(called("seed-purity",
                     "{\"pure_g\": 98, \"other_g\": 0, \"weed_g\": 0, \"inert_g\": 2, "
                     "\"germination_pct\": 0}",
                     &a, &answer));
    assert_near(number(answer, "pls_pct"), 0, 0);
    assert_null(json_object_get(json_object_get(answer, "results"), "mass_per_pls"));
    json_decref(answer);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_status_brings_its_caution),
        cmocka_unit_test(constants_come_from_one_place),
        cmocka_unit_test(the_hold_row_rounds_to_the_safe_side),
        cmocka_unit_test(a_day_without_a_reading_is_a_gap),
        cmocka_unit_test(a_seedling_is_whole),
        cmocka_unit_test(purity_alone_or_with_germination),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
