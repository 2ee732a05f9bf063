#include "../support.h"

#include "calc/constants.h"
#include "calc/registry.h"
#include "near.h"

static json_t *called(const char *name, const char *input, struct arena *a)
{
    json_t *in = json_loads(input, 0, NULL);
    assert_non_null(in);
    json_t *out = NULL;
    assert_ok(registry_call(name, in, a, &out));
    json_decref(in);
    return out;
}

static bool is_a_word(const char *word)
{
    for (size_t i = 0; i < constant_count(); i++) {
        if (strcmp(constant_at(i)->word, word) == 0) {
            return true;
        }
    }
    return false;
}

static void row_is_whole(const struct calc_row *row)
{
    assert_ptr_equal(registry_find(row->name), row);
    assert_true(strlen(row->purpose) > 10 && strlen(row->formula) > 5);
    assert_true(row->in_count > 0 && row->out_count > 0);
    assert_true(row->source_count > 0 && row->cautions[0] != NULL);
    for (size_t i = 0; i < row->source_count; i++) {
        assert_true(is_a_word(row->sources[i].word));
    }
    for (size_t i = 0; row->constants[i] != NULL; i++) {
        assert_non_null(constant_find(row->constants[i]));
    }
    for (size_t i = 0; i < row->in_count; i++) {
        assert_true(row->in[i].low <= row->in[i].high);
        assert_false(row->in[i].needed && row->in[i].fallback != NULL);
    }
    for (size_t i = 0; i < row->out_count; i++) {
        assert_true(row->out[i].round == CALC_AS_IT_IS || row->out[i].step > 0);
    }
}

static void each_row_is_whole_and_its_example_runs(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_true(registry_count() >= 10);
    for (size_t i = 0; i < registry_count(); i++) {
        const struct calc_row *row = registry_at(i);
        row_is_whole(row);
        json_t *answer = called(row->name, row->example, &a);
        assert_true(json_object_size(json_object_get(answer, "results")) > 0);
        assert_string_equal(json_string_value(json_object_get(answer, "formula")), row->formula);
        assert_true(json_array_size(json_object_get(answer, "cautions")) > 0);
        assert_true(json_array_size(json_object_get(answer, "sources")) > 0);
        json_decref(answer);
    }
    assert_null(registry_find("no-such-thing"));
    arena_release(&a);
}

static void the_asked_for_rows_are_there(void **state)
{
    (void)state;
    static const char *const names[] = {
        "lethality",          "hold-check", "germination-test", "two-tests", "seed-purity",
        "thousand-seed-mass", "mass-chain", "seed-needed",      "heat-sum",  "harvest-forecast"};
    for (size_t i = 0; i < CALC_COUNT(names); i++) {
        assert_non_null(registry_find(names[i]));
    }
}

static void an_answer_shows_inputs_constants_and_rounding(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer = called("seed-needed", "{\"packed_kg\": 1000}", &a);
    json_t *inputs = json_object_get(answer, "inputs");
    assert_near(json_number_value(json_object_get(inputs, "packed_kg")), 1000, 0);
    assert_near(json_number_value(json_object_get(inputs, "trim")), 0.15, 0);
    double exact =
        json_number_value(json_object_get(json_object_get(answer, "unrounded"), "seed_kg"));
    double shown =
        json_number_value(json_object_get(json_object_get(answer, "results"), "seed_kg"));
    assert_true(shown >= exact && shown < exact + 0.1);
    assert_near(shown, 158.2, 0);
    assert_string_equal(
        json_string_value(json_object_get(json_object_get(answer, "rounding"), "seed_kg")),
        "rounded up to 0.1 kg");
    json_t *constants = json_object_get(answer, "constants");
    assert_int_equal(json_array_size(constants), 5);
    for (size_t i = 0; i < json_array_size(constants); i++) {
        json_t *c = json_array_get(constants, i);
        assert_true(strlen(json_string_value(json_object_get(c, "source"))) > 5);
        assert_true(is_a_word(json_string_value(json_object_get(c, "word"))));
        assert_true(json_is_number(json_object_get(c, "low")));
    }
    json_decref(answer);
    arena_release(&a);
}

static void a_cap_is_said(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer = called("lethality",
                            "{\"points\": [[0, 80], [100, 80]], \"reference_c\": 80, "
                            "\"z_c\": 7, \"d_s\": 1, \"gap_max_s\": 200}",
                            &a);
    json_t *results = json_object_get(answer, "results");
    assert_near(json_number_value(json_object_get(results, "reduction_conservative")), 12, 0);
    assert_string_equal(json_string_value(json_object_get(json_object_get(answer, "rounding"),
                                                          "reduction_conservative")),
                        "rounded down to 0.1 log10, shown as 12 at most");
    json_decref(answer);
    arena_release(&a);
}

static void a_stand_in_set_says_that_it_decides_nothing(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *answer = called("lethality",
                            "{\"points\": [[0, 60], [100, 60]], \"set\": \"seed-salmonella\", "
                            "\"gap_max_s\": 200}",
                            &a);
    const char *first = json_string_value(json_array_get(json_object_get(answer, "cautions"), 0));
    assert_non_null(strstr(first, "decides nothing"));
    size_t before = 0;
    while (registry_find("lethality")->constants[before] != NULL) {
        before++;
    }
    assert_int_equal(json_array_size(json_object_get(answer, "constants")), before + 3);
    json_decref(answer);
    arena_release(&a);
}

static void an_unknown_name_and_a_refusal_leave_nothing(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *out = json_true();
    struct result r = registry_call("lethalitty", NULL, &a, &out);
    assert_code(r, CALC_UNKNOWN);
    assert_string_equal(r.value[0], "lethalitty");
    assert_null(out);
    json_t *in = json_loads("{\"points\": [[0, 80]], \"reference_c\": 80, \"z_c\": 7}", 0, NULL);
    r = registry_call("lethality", in, &a, &out);
    assert_code(r, FIELD_MISSING);
    assert_string_equal(r.field, "d_s");
    assert_null(out);
    json_decref(in);
    arena_release(&a);
}

static void a_row_describes_itself(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (size_t i = 0; i < registry_count(); i++) {
        const struct calc_row *row = registry_at(i);
        json_t *described = registry_row_json(row, &a);
        assert_string_equal(json_string_value(json_object_get(described, "name")), row->name);
        assert_int_equal(json_array_size(json_object_get(described, "in")), row->in_count);
        assert_int_equal(json_array_size(json_object_get(described, "out")), row->out_count);
        assert_true(json_is_object(json_object_get(described, "example")));
        json_decref(described);
    }
    json_t *described = registry_row_json(registry_find("lethality"), &a);
    const json_t *window = NULL;
    const json_t *list = json_object_get(described, "in");
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *field = json_array_get(list, i);
        if (strcmp(json_string_value(json_object_get(field, "name")), "window") == 0) {
            window = field;
        }
    }
    assert_non_null(window);
    assert_int_equal(json_array_size(json_object_get(window, "choices")), 3);
    assert_string_equal(json_string_value(json_object_get(window, "default")), "hold");
    json_decref(described);
    arena_release(&a);
}

static void read_past_the_end(void *argument)
{
    (void)argument;
    registry_at(registry_count());
}

static void there_is_no_row_past_the_last(void **state)
{
    (void)state;
    assert_aborts(read_past_the_end, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_row_is_whole_and_its_example_runs),
        cmocka_unit_test(the_asked_for_rows_are_there),
        cmocka_unit_test(an_answer_shows_inputs_constants_and_rounding),
        cmocka_unit_test(a_cap_is_said),
        cmocka_unit_test(a_stand_in_set_says_that_it_decides_nothing),
        cmocka_unit_test(an_unknown_name_and_a_refusal_leave_nothing),
        cmocka_unit_test(a_row_describes_itself),
        cmocka_unit_test(there_is_no_row_past_the_last),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
