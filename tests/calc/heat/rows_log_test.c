#include "../../support.h"

#include "../near.h"
#include "calc/heat/rows_log.h"

static json_t *object(const char *text)
{
    json_t *out = json_loads(text, 0, NULL);
    assert_non_null(out);
    return out;
}

static void a_table_becomes_a_log(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *in = object("{\"points\": [[0, 20.5, 21], [0.25, 30, 31], [10, 40, 41]], "
                        "\"uncertainty_c\": [0.2, 0.3]}");
    struct heat_log log;
    assert_ok(heat_rows_log_read(in, &a, &log));
    assert_int_equal(log.points, 3);
    assert_int_equal(log.probes, 2);
    assert_int_equal(log.time_ms[1], 250);
    assert_near(log.temp_c[5], 41, 0);
    assert_near(log.uncertainty_c[1], 0.3, 0);
    assert_int_equal(heat_rows_log_gap_ms(in, &a, &log), 500);
    json_decref(in);

    in = object("{\"points\": [[0, 20, 21]], \"uncertainty_c\": [0.2]}");
    assert_ok(heat_rows_log_read(in, &a, &log));
    assert_near(log.uncertainty_c[0], 0.2, 0);
    assert_near(log.uncertainty_c[1], 0.2, 0);
    assert_int_equal(heat_rows_log_gap_ms(in, &a, &log), 1);
    json_decref(in);

    in = object("{\"points\": []}");
    assert_ok(heat_rows_log_read(in, &a, &log));
    assert_int_equal(log.points, 0);
    json_decref(in);
    arena_release(&a);
}

static void the_gap_is_taken_from_what_is_given(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *in;
        int64_t gap_ms;
    } cases[] = {
        {"{\"points\": [[0, 1], [5, 2]], \"gap_max_s\": 7.5, \"interval_s\": 3}", 7500},
        {"{\"points\": [[0, 1], [5, 2]], \"interval_s\": 3}", 6000},
        {"{\"points\": [[0, 1], [5, 2]]}", 10000},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        json_t *in = object(cases[i].in);
        struct heat_log log;
        assert_ok(heat_rows_log_read(in, &a, &log));
        assert_int_equal(heat_rows_log_gap_ms(in, &a, &log), cases[i].gap_ms);
        json_decref(in);
    }
    arena_release(&a);
}

static void logs_that_do_not_fit_are_refused(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    static const struct {
        const char *in;
        enum code code;
        const char *field;
    } cases[] = {
        {"{\"points\": [[0, 1, 2]], \"uncertainty_c\": [0.1, 0.1, 0.1]}", CODE_FIELD_RANGE,
         "uncertainty_c"},
        {"{\"points\": [[0,1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17]]}", CODE_FIELD_RANGE,
         "points"},
        {"{\"points\": [[0, 1], [5e12, 2]]}", CODE_FIELD_RANGE, "points[1][0]"},
        {"{\"points\": [[0, 1], [1, 301]]}", CODE_FIELD_RANGE, "points[1][1]"},
        {"{\"points\": [[1, 1], [0, 2]]}", CODE_LOG_BACKWARDS, "points[1][0]"},
    };
    for (size_t i = 0; i < CALC_COUNT(cases); i++) {
        json_t *in = object(cases[i].in);
        struct heat_log log;
        struct result r = heat_rows_log_read(in, &a, &log);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, cases[i].field);
        json_decref(in);
    }
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_table_becomes_a_log),
        cmocka_unit_test(the_gap_is_taken_from_what_is_given),
        cmocka_unit_test(logs_that_do_not_fit_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
