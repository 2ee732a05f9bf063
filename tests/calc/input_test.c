#include "../support.h"

#include "calc/input.h"
#include "near.h"

static const struct calc_field fields[] = {
    CALC_NEED_NUMBER("temp_c", "C", "A temperature.", -60, 300),
    CALC_NEED_INTEGER("seeds", "1", "A count.", 1, 400),
    CALC_CHOICE("gap", "What a gap is worth.", "zero|bridge", "\"zero\""),
    CALC_MAY_NUMBER("z_c", "C", "A rise.", 0, INFINITY, NULL),
    CALC_MAY_LIST("masses", "g", "Masses.", 0, 10, 2, 3, "[1, 2]"),
    {.name = "log", .unit = "s", .what = "A log.", .type = CALC_TABLE, .count_high = 3},
};

static const struct calc_row row = {.name = "sample", .in = fields, .in_count = CALC_COUNT(fields)};

static struct result checked(const char *text, json_t **out)
{
    json_t *in = json_loads(text, 0, NULL);
    assert_non_null(in);
    struct result r = calc_input_check(&row, in, out);
    json_decref(in);
    return r;
}

static void defaults_are_filled_in(void **state)
{
    (void)state;
    json_t *full = NULL;
    assert_ok(checked("{\"temp_c\": 20, \"seeds\": 400, \"z_c\": null}", &full));
    assert_int_equal(json_object_size(full), 4);
    assert_string_equal(json_string_value(json_object_get(full, "gap")), "zero");
    assert_int_equal(json_array_size(json_object_get(full, "masses")), 2);
    json_decref(full);
    assert_ok(checked("{\"temp_c\": -60, \"seeds\": 1, \"gap\": \"bridge\", \"z_c\": 1e300, "
                      "\"masses\": [0, 10, 5], \"log\": [[0, 1], [2, 3]]}",
                      &full));
    assert_int_equal(json_object_size(full), 6);
    json_decref(full);
}

static void what_is_wrong_is_named(void **state)
{
    (void)state;
    static const struct {
        const char *in;
        enum code code;
        const char *field;
        const char *value;
    } cases[] = {
        {"{\"seeds\": 1}", CODE_FIELD_MISSING, "temp_c", "A temperature."},
        {"{\"temp_c\": null, \"seeds\": 1}", CODE_FIELD_MISSING, "temp_c", "A temperature."},
        {"{\"temp_c\": 1, \"seeds\": 1, \"x\": 1}", CODE_FIELD_UNKNOWN, "x", "sample"},
        {"{\"temp_c\": \"1\", \"seeds\": 1}", CODE_FIELD_TYPE, "temp_c", "a number"},
        {"{\"temp_c\": 300.1, \"seeds\": 1}", CODE_FIELD_RANGE, "temp_c", "300.1"},
        {"{\"temp_c\": -60.1, \"seeds\": 1}", CODE_FIELD_RANGE, "temp_c", "-60.1"},
        {"{\"temp_c\": 1, \"seeds\": 1.5}", CODE_FIELD_TYPE, "seeds", "a whole number"},
        {"{\"temp_c\": 1, \"seeds\": 401}", CODE_FIELD_RANGE, "seeds", "401"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"gap\": \"ze\"}", CODE_FIELD_CHOICE, "gap", "ze"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"gap\": \"zero|bridge\"}", CODE_FIELD_CHOICE, "gap",
         "zero|bridge"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"gap\": 0}", CODE_FIELD_TYPE, "gap", "a text"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"z_c\": -1}", CODE_FIELD_RANGE, "z_c", "-1"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"masses\": 3}", CODE_FIELD_TYPE, "masses", "a list"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"masses\": [1]}", CODE_FIELD_RANGE, "masses",
         "a list of 1"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"masses\": [1, 11]}", CODE_FIELD_RANGE, "masses[1]", "11"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"masses\": [1, true]}", CODE_FIELD_TYPE, "masses[1]",
         "a number"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"masses\": [1, null]}", CODE_FIELD_TYPE, "masses[1]",
         "a number"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"log\": [[0, 1], [2]]}", CODE_FIELD_RANGE, "log[1]",
         "a list of 1"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"log\": [[0], [2]]}", CODE_FIELD_RANGE, "log[0]",
         "a list of 1"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"log\": [[0, 1], 2]}", CODE_FIELD_TYPE, "log[1]",
         "a list of numbers"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"log\": [[0, \"x\"]]}", CODE_FIELD_TYPE, "log[0][1]",
         "a number"},
        {"{\"temp_c\": 1, \"seeds\": 1, \"log\": [[0,1],[0,1],[0,1],[0,1]]}", CODE_FIELD_RANGE,
         "log", "a list of 4"},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        json_t *full = NULL;
        struct result r = checked(cases[i].in, &full);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_null(full);
        assert_string_equal(r.field, cases[i].field);
        assert_string_equal(r.value[0], cases[i].value);
    }
}

static void input_is_an_object_of_finite_numbers(void **state)
{
    (void)state;
    json_t *full = NULL;
    struct result r = calc_input_check(&row, NULL, &full);
    assert_code(r, FIELD_MISSING);
    json_t *list = json_array();
    assert_code(calc_input_check(&row, list, &full), FIELD_TYPE);
    json_decref(list);
    /* JSON has no way to say infinity, and neither has a caller in C. */
    assert_null(json_real((double)INFINITY));
    assert_null(json_real((double)NAN));
}

static void ranges_are_said_in_words(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(calc_range_words(&fields[0], &a), "from -60 to 300 C");
    assert_string_equal(calc_range_words(&fields[1], &a), "from 1 to 400");
    assert_string_equal(calc_range_words(&fields[2], &a), "");
    assert_string_equal(calc_range_words(&fields[3], &a), "0 C or more");
    assert_string_equal(calc_range_words(&fields[5], &a), "");
    const struct calc_field any = CALC_MAY_NUMBER("x", "C", "", -INFINITY, INFINITY, NULL);
    const struct calc_field below = CALC_MAY_NUMBER("x", "1", "", -INFINITY, 5, NULL);
    assert_string_equal(calc_range_words(&any, &a), "");
    assert_string_equal(calc_range_words(&below, &a), "5 or less");
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(defaults_are_filled_in),
        cmocka_unit_test(what_is_wrong_is_named),
        cmocka_unit_test(input_is_an_object_of_finite_numbers),
        cmocka_unit_test(ranges_are_said_in_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
