#include "../support.h"

#include "calc/answer.h"
#include "near.h"

static void decimals_become_whole_numbers_on_the_safe_side(void **state)
{
    (void)state;
    static const struct {
        double value;
        double scale;
        int64_t down, near, up;
    } cases[] = {
        {85.2, 1000, 85200, 85200, 85200},
        {0.1, 1000, 100, 100, 100},
        {4.35, 100, 435, 435, 435},
        {-0.25, 1000, -250, -250, -250},
        {1.2345, 1000, 1234, 1235, 1235},
        {-1.2345, 1000, -1235, -1235, -1234},
        {1.2341, 1000, 1234, 1234, 1235},
        {0, 1000, 0, 0, 0},
        {942300.1, 1e6, 942300100000, 942300100000, 942300100000},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        assert_int_equal(calc_scaled_down(cases[i].value, cases[i].scale), cases[i].down);
        assert_int_equal(calc_scaled_near(cases[i].value, cases[i].scale), cases[i].near);
        assert_int_equal(calc_scaled_up(cases[i].value, cases[i].scale), cases[i].up);
    }
}

static void scale_too_large(void *argument)
{
    (void)argument;
    calc_scaled_down(1e15, 1000);
}

static void put_nan(void *argument)
{
    calc_put_number(argument, "x", (double)NAN);
}

static void put_infinite_list(void *argument)
{
    const double values[] = {1, (double)INFINITY};
    calc_put_numbers(argument, "x", values, 2);
}

static void nothing_that_is_no_number_goes_out(void **state)
{
    (void)state;
    json_t *results = json_object();
    struct calc_answer out = {.results = results};
    assert_aborts(scale_too_large, NULL);
    assert_aborts(put_nan, &out);
    assert_aborts(put_infinite_list, &out);
    json_decref(results);
}

static void fields_and_results_keep_their_shape(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *in = json_pack("{s:f, s:i, s:s, s:[f,i], s:[[i,f],[i,f]], s:[]}", "n", 2.5, "i", 7, "t",
                           "yes", "list", 1.5, 2, "table", 0, 20.5, 10, 21.5, "none");
    size_t count = 9;
    assert_near(calc_number(in, "n"), 2.5, 0);
    assert_near(calc_number(in, "i"), 7, 0);
    assert_int_equal(calc_integer(in, "i"), 7);
    assert_true(calc_yes(in, "t"));
    assert_true(calc_has(in, "t") && !calc_has(in, "u"));
    const double *list = calc_numbers(in, "list", &a, &count);
    assert_int_equal(count, 2);
    assert_near(list[1], 2, 0);
    assert_int_equal(calc_row_length(in, "list"), 0);
    const double *table = calc_numbers(in, "table", &a, &count);
    assert_int_equal(count, 4);
    assert_int_equal(calc_row_length(in, "table"), 2);
    assert_near(table[3], 21.5, 0);
    calc_numbers(in, "none", &a, &count);
    assert_int_equal(count, 0);
    json_decref(in);

    struct calc_answer out = {json_object(), json_array(), json_array()};
    calc_put_number(&out, "x", 1.5);
    calc_put_integer(&out, "y", 3);
    calc_put_text(&out, "z", "good");
    const double values[] = {4, 5};
    calc_put_numbers(&out, "w", values, 2);
    calc_caution(&out, "Look twice.");
    calc_used(&out, "mass_chain_hull");
    assert_int_equal(json_object_size(out.results), 4);
    assert_near(json_real_value(json_array_get(json_object_get(out.results, "w"), 1)), 5, 0);
    assert_string_equal(json_string_value(json_array_get(out.cautions, 0)), "Look twice.");
    assert_string_equal(json_string_value(json_array_get(out.constants, 0)), "mass_chain_hull");
    json_decref(out.results);
    json_decref(out.cautions);
    json_decref(out.constants);
    arena_release(&a);
}

/* Tables have the columns they should, choices are told apart, counts are whole. */
static void tables_and_choices_are_read_once(void **state)
{
    (void)state;
    static const char *const words[] = {"air", "water", "steam"};
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *in = json_pack("{s:[[i,f],[i,f]], s:[], s:s}", "table", 0, 20.5, 10, 21.5, "none", "by",
                           "steam");
    const double *values;
    double *x, *y;
    size_t rows = 9;
    int64_t whole;
    assert_ok(calc_table(in, "table", &a, 2, "time, temperature", &values, &rows));
    assert_int_equal(rows, 2);
    assert_near(values[2], 10, 0);
    assert_ok(calc_table(in, "none", &a, 3, "anything", &values, &rows));
    assert_int_equal(rows, 0);
    assert_code(calc_table(in, "table", &a, 3, "three", &values, &rows), FIELD_RANGE);
    assert_ok(calc_pairs(in, "table", &a, &x, &y, &rows));
    assert_near(x[1], 10, 0);
    assert_near(y[0], 20.5, 0);
    assert_int_equal(calc_choice(in, "by", words, 3), 2);
    assert_ok(calc_whole(&a, "table", 1, 0, 12, &whole));
    assert_int_equal(whole, 12);
    struct result r = calc_whole(&a, "table", 1, 0, 12.5, &whole);
    assert_code(r, FIELD_TYPE);
    assert_string_equal(r.field, "table[1][0]");
    r = calc_whole(&a, "list", 4, SIZE_MAX, 1e300, &whole);
    assert_string_equal(r.field, "list[4]");
    json_decref(in);
    arena_release(&a);
}

static void an_end_that_is_not_determined_says_so(void **state)
{
    (void)state;
    struct calc_answer out = {json_object(), json_array(), json_array()};
    calc_put_end(&out, "low", 1.5);
    calc_put_end(&out, "high", (double)INFINITY);
    assert_near(json_real_value(json_object_get(out.results, "low")), 1.5, 0);
    assert_string_equal(json_string_value(json_object_get(out.results, "high")), "not determined");
    json_decref(out.results);
    json_decref(out.cautions);
    json_decref(out.constants);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decimals_become_whole_numbers_on_the_safe_side),
        cmocka_unit_test(nothing_that_is_no_number_goes_out),
        cmocka_unit_test(fields_and_results_keep_their_shape),
        cmocka_unit_test(tables_and_choices_are_read_once),
        cmocka_unit_test(an_end_that_is_not_determined_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
