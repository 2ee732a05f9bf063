#include "logger_support.h"

static const char *night(const char *const *clocks, size_t count)
{
    const char *text = HEADER;
    for (size_t i = 0; i < count; i++) {
        text = arena_printf(&fx.arena, "%s2026-10-25 %s;%zu;85\n", text, clocks[i], 50 + i);
    }
    return text;
}

#define NIGHT(...)                            \
    night((const char *const[]){__VA_ARGS__}, \
          sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *))

static void map_hourly(const char *interval)
{
    map_ok("logger",
           arena_printf(&fx.arena,
                        "{'series':'s','unit':'Cel','zone':'Europe/Vienna','interval_s':'%s',"
                        "'columns':{'time':'Time','channel-1':'T1','channel-2':'T2'}}",
                        interval));
}

static void assert_times(const char *const *want, size_t count)
{
    assert_int_equal(fx.content.series.count, count);
    for (size_t i = 0; i < count; i++) {
        const char *got = civil_text(&fx.arena, fx.content.series.ms[i], 0);
        assert_string_equal(got, arena_printf(&fx.arena, "2026-10-2%sZ", want[i]));
    }
}

#define assert_utc(...)                              \
    assert_times((const char *const[]){__VA_ARGS__}, \
                 sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *))

static void exact_duplicates_are_dropped_and_counted(void **state)
{
    map_treater("");
    read_ok(HEADER
            "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;86;85\n2026-03-01 05:30:10;86.000;85\n"
            "2026-03-01 05:30:20;87;85\n"
            "2026-03-01 05:30:10;86;85\n2026-03-01 05:30:20;87;85\n2026-03-01 05:30:30;88;85\n");
    assert_string_equal(values(), "85000,85000 86000,85000 87000,85000 88000,85000");
    assert_string_equal(gaps(), "");
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 3);
    assert_int_equal(fx.content.report.notes[0].line, 4);
}

static void a_clock_that_runs_back_is_refused(void **state)
{
    map_treater("");
    assert_refused(
        HEADER "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;86;85\n2026-03-01 05:30:05;86;85\n",
        FEED_CLOCK_BACK, 4, 1);
    /* back to a time that is there, but not as it was */
    assert_refused(
        HEADER "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;86;85\n2026-03-01 05:30:00;85;84\n",
        FEED_CLOCK_BACK, 4, 1);
    struct result r = read_file(HEADER "2026-03-01 05:30:10;85;85\n2026-03-01 05:30:00;86;85\n");
    assert_string_equal(r.value[0], "2026-03-01T05:30:10+01:00");
    assert_string_equal(r.value[1], "2026-03-01T05:30:00+01:00");
}

/* Europe/Vienna, 2026-03-29: 02:00 to 03:00 does not exist; 2026-10-25: 02:00 to 03:00 is there
 * twice, first at +02:00 (European Union 2000, Directive 2000/84/EC: last Sundays of March and
 * October at 01:00 UTC; from memory, and as the machine's zone data has it). */
static void the_skipped_hour_of_spring(void **state)
{
    map_treater("");
    read_ok(HEADER
            "2026-03-29 01:59:50;85;85\n2026-03-29 03:00:00;85;85\n2026-03-29 03:00:10;85;85\n");
    assert_int_equal(fx.content.series.ms[0], at("2026-03-29T00:59:50Z"));
    assert_int_equal(fx.content.series.ms[1], at("2026-03-29T01:00:00Z"));
    assert_string_equal(gaps(), "");
    assert_refused(HEADER "2026-03-29 01:59:50;85;85\n2026-03-29 02:00:00;85;85\n", TIME_GAP, 3, 1);
}

static void the_repeated_hour_of_autumn_is_settled_by_order(void **state)
{
    map_hourly("1800");
    read_ok(NIGHT("01:30:00", "02:00:00", "02:30:00", "02:00:00", "02:30:00", "03:00:00"));
    assert_utc("4T23:30:00", "5T00:00:00", "5T00:30:00", "5T01:00:00", "5T01:30:00", "5T02:00:00");
    assert_string_equal(gaps(), "");
    assert_int_equal(fx.content.report.cautions[0].code, CODE_FEED_HOUR_TWICE);
    assert_string_equal(fx.content.report.cautions[0].value[0], "4");
    /* the hour alone, no rows around it */
    read_ok(NIGHT("02:00:00", "02:30:00", "02:00:00", "02:30:00"));
    assert_utc("5T00:00:00", "5T00:30:00", "5T01:00:00", "5T01:30:00");
    /* equal readings in both passes are no duplicates */
    read_ok(HEADER "2026-10-25 02:00:00;85;85\n2026-10-25 02:30:00;85;85\n2026-10-25 "
                   "02:00:00;85;85\n2026-10-25 02:30:00;85;85\n");
    assert_int_equal(fx.content.series.count, 4);
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 0);
}

static void a_single_pass_goes_with_its_neighbour(void **state)
{
    map_hourly("1800");
    read_ok(NIGHT("01:00:00", "01:30:00", "02:00:00",
                  "02:30:00")); /* ends in the hour: the first pass */
    assert_utc("4T23:00:00", "4T23:30:00", "5T00:00:00", "5T00:30:00");
    read_ok(NIGHT("02:00:00", "02:30:00", "03:00:00")); /* begins in the hour: the second */
    assert_utc("5T01:00:00", "5T01:30:00", "5T02:00:00");
}

static void a_repeated_hour_that_order_does_not_settle_is_refused(void **state)
{
    map_hourly("1800");
    assert_refused(NIGHT("02:30:00"), TIME_TWICE, 2, 1);
    /* an hour is lost, and nobody knows which */
    assert_refused(NIGHT("01:30:00", "02:00:00", "02:30:00", "03:00:00"), TIME_TWICE, 3, 1);
    assert_refused(NIGHT("02:00:00", "02:30:00", "02:00:00", "02:30:00", "02:00:00"),
                   FEED_CLOCK_BACK, 6, 1);
    /* a copy of an earlier row, far from where the second pass would begin */
    map_hourly("60");
    assert_refused(
        HEADER "2026-10-25 02:00:00;85;85\n2026-10-25 02:01:00;85;85\n2026-10-25 02:00:00;85;85\n",
        TIME_TWICE, 4, 1);
    struct result r = read_file(NIGHT("02:30:00"));
    assert_string_equal(result_sentence(&fx.arena, &r),
                        "line 2, column 1: Time is \"2026-10-25 02:30:00\", a time that the clock "
                        "change repeats in Europe/Vienna. Give the offset.");
    read_ok(HEADER "2026-10-25 02:30:00+02:00;85;85\n2026-10-25 02:30:00+01:00;85;85\n");
    assert_utc("5T00:30:00", "5T01:30:00");
}

static void other_zones_have_other_nights(void **state)
{
    /* New York, 2026-11-01, 01:00 to 02:00 twice; Lord Howe, 2026-04-05, half an hour; Kathmandu
     * has none. The machine's zone data is the source; the New York instants also stand in
     * tests/base. */
    map_ok("logger", "{'series':'s','unit':'Cel','zone':'America/"
                     "New_York','interval_s':'1800','columns':{'time':'Time','channel-1':'T1'}}");
    read_ok("Time;T1\n2026-11-01 00:30;1\n2026-11-01 01:00;1\n2026-11-01 01:30;1\n2026-11-01 "
            "01:00;1\n2026-11-01 01:30;1\n2026-11-01 02:00;1\n");
    assert_int_equal(fx.content.series.ms[2], at("2026-11-01T05:30:00Z"));
    assert_int_equal(fx.content.series.ms[4], at("2026-11-01T06:30:00Z"));
    map_ok("logger", "{'series':'s','unit':'Cel','zone':'Australia/"
                     "Lord_Howe','interval_s':'900','columns':{'time':'Time','channel-1':'T1'}}");
    read_ok("Time;T1\n2026-04-05 01:15;1\n2026-04-05 01:30;1\n2026-04-05 01:45;1\n2026-04-05 "
            "01:30;1\n2026-04-05 01:45;1\n2026-04-05 02:00;1\n");
    for (size_t i = 1; i < 6; i++) {
        assert_int_equal(fx.content.series.ms[i] - fx.content.series.ms[i - 1], 15 * 60 * 1000);
    }
    map_ok("logger", "{'series':'s','unit':'Cel','zone':'Asia/"
                     "Kathmandu','interval_s':'900','columns':{'time':'Time','channel-1':'T1'}}");
    read_ok("Time;T1\n2026-04-05 05:45;1\n");
    assert_int_equal(fx.content.series.ms[0], at("2026-04-05T00:00:00Z"));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(exact_duplicates_are_dropped_and_counted),
        FEED_TEST(a_clock_that_runs_back_is_refused),
        FEED_TEST(the_skipped_hour_of_spring),
        FEED_TEST(the_repeated_hour_of_autumn_is_settled_by_order),
        FEED_TEST(a_single_pass_goes_with_its_neighbour),
        FEED_TEST(a_repeated_hour_that_order_does_not_settle_is_refused),
        FEED_TEST(other_zones_have_other_nights),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
