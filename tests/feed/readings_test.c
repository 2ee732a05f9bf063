#include "logger_support.h"

static void readings_become_samples(void **state)
{
    map_treater("");
    read_ok(HEADER "2026-03-01 05:30:00;85.25;84.9\n2026-03-01 05:30:10;85.5;-0.125\n");
    const struct series *s = &fx.content.series;
    assert_int_equal(s->count, 2);
    assert_int_equal(s->channels, 2);
    assert_int_equal(s->scale, 3);
    assert_string_equal(s->unit, "Cel");
    assert_int_equal(s->ms[0], at("2026-03-01T04:30:00Z"));
    assert_int_equal(s->ms[1], at("2026-03-01T04:30:10Z"));
    assert_int_equal(s->n[1], s->ms[1]);
    assert_string_equal(values(), "85250,84900 85500,-125");
    assert_string_equal(gaps(), "");
    assert_int_equal(fx.content.lines[1], 3);
    assert_int_equal(fx.content.report.from_ms, s->ms[0]);
    assert_int_equal(fx.content.report.to_ms, s->ms[1]);
}

static void every_form_of_time_reads_the_same(void **state)
{
    static const char *const forms[][2] = {
        {"", "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;85;85\n"},
        {"", "2026-03-01T05:30;85;85\n2026-03-01T05:30:10.000;85;85\n"},
        {"", "2026-03-01T04:30:00Z;85;85\n2026-03-01T05:30:10+01:00;85;85\n"},
        {"", "2026-03-01 13:30:00 +0900;85;85\n2026-02-28T23:30:10-05:00;85;85\n"},
        {",'dates':'day-first','decimal':','",
         "01.03.2026 05:30:00;85,0;85\n01.03.26 5:30:10,0;85,00;85\n"},
        {",'dates':'day-first'", "1/3/2026 5:30;85;85\n1/3/2026 5:30:10;85;85\n"},
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        map_treater(forms[i][0]);
        read_ok(arena_printf(&fx.arena, HEADER "%s", forms[i][1]));
        assert_int_equal(fx.content.series.ms[0], at("2026-03-01T04:30:00Z"));
        assert_int_equal(fx.content.series.ms[1], at("2026-03-01T04:30:10Z"));
        assert_string_equal(values(), "85000,85000 85000,85000");
    }
    map_ok("logger",
           "{'series':'s','unit':'Cel','zone':'Europe/Vienna','interval_s':10,'dates':'day-first',"
           "'columns':{'date':'Day','clock':'Clock','channel-1':'T'}}");
    read_ok("Day;Clock;T\n01.03.2026;05:30:00;85\n01.03.2026;05:30:10;85\n");
    assert_int_equal(fx.content.series.ms[1], at("2026-03-01T04:30:10Z"));
}

static void wrong_columns_are_refused(void **state)
{
    map_treater("");
    assert_refused("Time;T1\n2026-03-01 05:30:00;85\n", FEED_COLUMN, 1, 1);
    assert_refused("Time;T1 [F];T2\n2026-03-01 05:30:00;85;85\n", FEED_COLUMN, 1, 1);
    assert_refused(HEADER "2026-03-01 05:30:00;85\n2026-03-01 05:30:10;85;85\n", FEED_WIDTH, 2, 21);
    assert_refused(HEADER "2026-03-01 05:30:00;85,1;85\n2026-03-01 05:30:10;85,1;85\n",
                   FEED_UNREADABLE, 2, 21);
    assert_refused(HEADER "01.03.2026 05:30:00;85;85\n01.03.2026 05:30:10;85;85\n", FEED_UNREADABLE,
                   2, 1);
    assert_refused(HEADER, FEED_EMPTY, 1, 1);
}

static void unit_device_and_zone_are_checked(void **state)
{
    map_ok(
        "logger",
        "{'series':'s','unit':'Cel','zone':'Europe/Vienna','interval_s':'10','device':'4711',"
        "'codes':{'unit':{'\xC2\xB0"
        "C':'Cel'},'zone':{'CET':'Europe/Vienna'}},"
        "'columns':{'time':'Time','channel-1':'T','unit':'Unit','device':'Serial','zone':'Zone'}}");
    read_ok("Time;T;Unit;Serial;Zone\n2026-03-01 05:30:00;85;\xB0"
            "C;4711;CET\n");
    assert_refused("Time;T;Unit;Serial;Zone\n2026-03-01 05:30:00;85;\xB0"
                   "F;4711;CET\n",
                   FEED_SAYS, 2, 24);
    assert_refused("Time;T;Unit;Serial;Zone\n2026-03-01 05:30:00;85;Cel;4712;CET\n", FEED_SAYS, 2,
                   28);
    assert_refused("Time;T;Unit;Serial;Zone\n2026-03-01 05:30:00;85;Cel;4711;UTC\n", FEED_SAYS, 2,
                   33);
    assert_refused("Time;T;Unit;Serial;Zone\n2026-03-01 05:30:00;85;Cel;4711;CET\n2026-03-01 "
                   "05:30:10;85;Cel;;CET\n",
                   FEED_SAYS, 3, 28);
}

static void the_lines_before_the_header_are_checked(void **state)
{
    map_treater(",'preamble':{'Device':'HT-1','Unit':'\xC2\xB0"
                "C'}");
    read_ok("Device: HT-1\nUnit;\xB0"
            "C\nExported;2026-03-02\n" HEADER "2026-03-01 05:30:00;85;85\n");
    assert_refused("Device: HT-2\nUnit;\xB0"
                   "C\n" HEADER "2026-03-01 05:30:00;85;85\n",
                   FEED_SAYS, 3, 1);
    assert_refused("Device: HT-1\n" HEADER "2026-03-01 05:30:00;85;85\n", FEED_PREAMBLE, 2, 1);
}

static void a_cut_file_is_refused(void **state)
{
    map_treater("");
    assert_refused(HEADER "2026-03-01 05:30:00;85.2;85.3\n2026-03-01 05:30:10;85.2", FEED_TRUNCATED,
                   3, 21);
    assert_refused(HEADER "2026-03-01 05:30:00;85.25;85.31\n2026-03-01 05:30:10;85.21;85.3",
                   FEED_TRUNCATED, 3, 1);
    assert_refused(HEADER "2026-03-01 05:30:00;85.25;85.31\n2026-03-01 05:30:10;85.21;85",
                   FEED_TRUNCATED, 3, 1);
    assert_refused(HEADER "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;85;8", FEED_TRUNCATED, 3,
                   1);
    assert_refused(HEADER "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;85;", FEED_TRUNCATED, 3,
                   1);
    assert_refused(HEADER "2026-03-01 05:30:00;85;85", FEED_TRUNCATED, 2, 1);
    /* whole, though its last line has no line end */
    read_ok(HEADER "2026-03-01 05:30:00;99.25;99.31\n2026-03-01 05:30:10;99.99;100.02");
    assert_int_equal(fx.content.series.count, 2);
    read_ok(HEADER "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;85;86");
    map_treater(",'end':'line'");
    assert_refused(HEADER "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;85;86", FEED_TRUNCATED, 3,
                   1);
    map_treater(",'trailer':'End of log'");
    assert_refused(HEADER "2026-03-01 05:30:00;85;85\n", FEED_TRUNCATED, 2, 1);
    read_ok(HEADER "2026-03-01 05:30:00;85;85\nEnd of log");
}

static void finer_readings_are_rounded_and_counted(void **state)
{
    map_treater("");
    read_ok(HEADER
            "2026-03-01 05:30:00;85.2000007629;85.0004\n2026-03-01 05:30:10;85.0005;-0.0005\n");
    assert_string_equal(values(), "85200,85000 85001,-1");
    assert_int_equal(fx.content.report.cautions[0].code, CODE_FEED_ROUNDED);
    assert_string_equal(fx.content.report.cautions[0].value[0], "4");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(readings_become_samples),
        FEED_TEST(every_form_of_time_reads_the_same),
        FEED_TEST(wrong_columns_are_refused),
        FEED_TEST(unit_device_and_zone_are_checked),
        FEED_TEST(the_lines_before_the_header_are_checked),
        FEED_TEST(a_cut_file_is_refused),
        FEED_TEST(finer_readings_are_rounded_and_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
