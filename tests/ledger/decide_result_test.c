/* Results and second readings by real commands. */
#include "fixture/evidence.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static struct result result(const char *sample, const char *organism, const char *state,
                            const char *more)
{
    return house_send(&h,
                      "{'kind':'result','sample':'%s','organism':'%s','state':'%s','method':'FDA-"
                      "SSIW-2015'%s,'person':2}",
                      sample, organism, state, more);
}

static const char *batch_sample(void)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "49 h");
    return house_sample(&h, growing);
}

static void results_follow_one_another(void **state)
{
    const char *s = batch_sample();
    assert_ok(result(s, "Salmonella spp.", "pending", ""));
    assert_string_equal(house_answer(&h, "stands"), "pending");
    assert_ok(result(s, "Salmonella spp.", "presumptive", ""));
    /* a plain negative does not follow a presumptive: kept, and of no use */
    assert_code(result(s, "Salmonella spp.", "negative", ",'mode':'ask'"), RESULT_ORDER);
    assert_ok(result(s, "Salmonella spp.", "negative", ""));
    assert_string_equal(house_answer(&h, "stands"), "presumptive");
    assert_int_equal(house_number(&h, "deviations"), 1);
    /* this profile lets no method confirm a negative */
    assert_code(result(s, "Salmonella spp.", "confirmed-negative", ",'mode':'ask'"),
                RESULT_CONFIRM);
    assert_ok(result(s, "Salmonella spp.", "confirmed-negative", ""));
    assert_string_equal(house_answer(&h, "stands"), "presumptive");
    assert_ok(result(s, "Salmonella spp.", "confirmed-positive", ""));
    assert_string_equal(house_answer(&h, "stands"), "confirmed positive");
}

static void a_positive_stays(void **state)
{
    const char *s = batch_sample();
    assert_ok(result(s, "E. coli O157:H7", "confirmed-positive", ""));
    assert_code(result(s, "E. coli O157:H7", "negative", ",'mode':'ask'"), RESULT_STAYS);
    assert_ok(result(s, "E. coli O157:H7", "confirmed-negative", ""));
    assert_string_equal(house_answer(&h, "stands"), "confirmed positive");
    assert_int_equal(house_in_entry(&h, house_number(&h, "entry"), ",\"positive-stays\","), 1);
}

static void a_result_is_placed_or_refused(void **state)
{
    const char *s = batch_sample();
    assert_code(result("S-NONE", "Salmonella spp.", "negative", ""), SAMPLE_UNKNOWN);
    assert_code(result(s, "Salmonella", "negative", ""), ORGANISM_UNKNOWN);
    assert_code(result(s, "Salmonella spp.", "clean", ""), FIELD_CHOICE);
    assert_code(result(s, "Salmonella spp.", "negative",
                       ",'report':'"
                       "00000000000000000000000000000000000000000000000000000000000000ff'"),
                PAPER_UNKNOWN);
    /* something unheard of is heard when it is bad news */
    assert_ok(result(s, "Shigella spp.", "presumptive", ""));
}

static void typed_results_are_read_twice(void **state)
{
    const char *s = batch_sample();
    const char *report = house_report(&h);
    const char *more = arena_printf(&h.arena, ",'report':'%s','by_hand':true", report);
    const char *second =
        "{'kind':'second-reading','sample':'%s','organism':'Salmonella spp.','person':%d}";
    assert_code(house_send(&h, second, s, 3), SECOND_NONE);
    assert_ok(result(s, "Salmonella spp.", "negative", more));
    assert_code(house_send(&h, second, s, 2), SECOND_OWN);
    assert_code(house_send(&h, second, s, 5), ROLE_MISSING);
    house_take(&h, second, s, 3);
    assert_string_equal(house_answer(&h, "stands"), "negative");
    assert_code(house_send(&h, second, s, 1), SECOND_NONE); /* twice is enough */
    house_result(&h, s, "E. coli O157:H7", "negative");     /* from a file */
    assert_code(house_send(&h,
                           "{'kind':'second-reading','sample':'%s','organism':'E. coli "
                           "O157:H7','person':3}",
                           s),
                SECOND_NONE);
}

static void typed_without_a_report_waits(void **state)
{
    const char *s = batch_sample();
    assert_ok(result(s, "Salmonella spp.", "negative", "")); /* by hand unless it says otherwise */
    assert_code(house_send(&h,
                           "{'kind':'second-reading','sample':'%s','organism':'Salmonella spp.',"
                           "'person':3}",
                           s),
                SECOND_NONE);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(results_follow_one_another),    T(a_positive_stays),
        T(a_result_is_placed_or_refused), T(typed_results_are_read_twice),
        T(typed_without_a_report_waits),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
