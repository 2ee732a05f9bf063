#include <stdio.h>

#include "support.h"

/* A heat treater's log with four probes, as its device writes it. */
#define TREATER                                                                                   \
    "'series':'treater-1','unit':'Cel','zone':'Europe/Vienna','delimiter':';','interval_s':'10'," \
    "'columns':{'time':'Time','channel-1':'T1','channel-2':'T2'}"
#define HEADER "Time;T1;T2\n"

static void map_treater(const char *more)
{
    map_ok("logger", arena_printf(&fx.arena, "{" TREATER "%s}", more));
}

static int64_t at(const char *text)
{
    int64_t ms;
    struct result r = civil_read(text, "at", &ms);
    assert_int_equal(r.code, CODE_OK);
    return ms;
}

/* "85000,84900 85100,-": the samples' values, - where missing. */
static const char *values(void)
{
    const struct series *s = &fx.content.series;
    const char *text = "";
    for (size_t i = 0; i < s->count; i++) {
        for (int c = 0; c < s->channels; c++) {
            bool missing = s->missing[i] >> c & 1;
            const char *one = missing ? "-"
                                      : arena_printf(&fx.arena, "%d",
                                                     s->value[i * (size_t)s->channels + (size_t)c]);
            text = arena_printf(&fx.arena, "%s%s%s", text, c > 0 ? "," : i > 0 ? " " : "", one);
        }
    }
    return text;
}

/* "jump/1@4x1 ...": reason, channel, line, count. */
static const char *gaps(void)
{
    const char *text = "";
    for (size_t i = 0; i < fx.content.gap_count; i++) {
        const struct series_gap *g = &fx.content.gaps[i];
        text = arena_printf(&fx.arena, "%s%s%s/%d@%lldx%zu", text, i > 0 ? " " : "",
                            series_gap_text(g->reason), g->channel, (long long)g->line, g->count);
    }
    return text;
}

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

static void missing_marks_and_flaws_are_gaps_with_their_line(void **state)
{
    map_treater(",'missing':['','---','NaN','Err'],'range':{'low':'-40','high':'130'}");
    read_ok(HEADER "2026-03-01 05:30:00;85;85\n"
                   "2026-03-01 05:30:10;---;85\n"
                   "2026-03-01 05:30:20;Err;85\n"
                   "2026-03-01 05:30:30;85;8x\n"
                   "2026-03-01 05:30:40;;85\n"
                   "2026-03-01 05:30:50;85;999.9\n"
                   "2026-03-01 05:31:00;85;3000000\n");
    assert_string_equal(values(), "85000,85000 -,85000 -,85000 85000,- -,85000 85000,- 85000,-");
    assert_string_equal(
        gaps(), "missing/1@3x2 unreadable/2@5x1 missing/1@6x1 range/2@7x1 unreadable/2@8x1");
    assert_int_equal(fx.content.gaps[0].from_ms, at("2026-03-01T04:30:10Z"));
    assert_int_equal(fx.content.gaps[0].to_ms, at("2026-03-01T04:30:20Z"));
    assert_int_equal(fx.content.report.count[FEED_MARK_GAP], 5);
    assert_string_equal(fx.content.report.notes[0].what,
                        "missing channel-1 2026-03-01T05:30:10+01:00 x2");
    assert_int_equal(fx.content.report.notes[0].line, 3);
}

static void a_jump_is_a_gap_until_readings_agree_again(void **state)
{
    map_treater(",'jump':'5'");
    read_ok(HEADER "2026-03-01 05:30:00;85;20\n"
                   "2026-03-01 05:30:10;95;25\n" /* up by 10 */
                   "2026-03-01 05:30:20;85;30\n" /* and down: the spike spoils both */
                   "2026-03-01 05:30:30;85;35\n"
                   "2026-03-01 05:30:40;70;40\n" /* a step that stays spoils one */
                   "2026-03-01 05:30:50;70;45\n");
    assert_string_equal(values(), "85000,20000 -,25000 -,30000 85000,35000 -,40000 70000,45000");
    assert_string_equal(gaps(), "jump/1@3x1 jump/1@4x1 jump/1@6x1");
    assert_int_equal(fx.content.gaps[0].from_ms, at("2026-03-01T04:30:00Z"));
    assert_int_equal(fx.content.gaps[0].to_ms, at("2026-03-01T04:30:10Z"));
    /* after a silence nothing is known of the way there */
    read_ok(HEADER "2026-03-01 05:30:00;85;20\n2026-03-01 05:31:00;20;20\n");
    assert_string_equal(values(), "85000,20000 20000,20000");
}

/* Gap limit of twice the nominal logging interval: common practice. */
static void silence_is_a_gap(void **state)
{
    map_treater("");
    read_ok(HEADER
            "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:20;85;85\n2026-03-01 05:30:41;85;85\n");
    assert_string_equal(gaps(), "silence/0@4x0");
    assert_int_equal(fx.content.gaps[0].from_ms, at("2026-03-01T04:30:20Z"));
    assert_int_equal(fx.content.gaps[0].to_ms, at("2026-03-01T04:30:41Z"));
}

static void a_row_whose_time_is_unreadable_is_a_gap(void **state)
{
    map_treater("");
    read_ok(
        HEADER
        "2026-03-01 05:30:00;85;85\n2026-03-01 05:3:10;85;85\n;85;85\n2026-03-01 05:30:20;85;85\n"
        "2026-03-01 05:30:30;85;85\nlost;1;1\n");
    assert_int_equal(fx.content.series.count, 3);
    assert_string_equal(gaps(), "unreadable/0@3x2 unreadable/0@7x1");
    assert_int_equal(fx.content.gaps[0].from_ms, at("2026-03-01T04:30:00Z"));
    assert_int_equal(fx.content.gaps[0].to_ms, at("2026-03-01T04:30:20Z"));
}

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

static void conflicting_duplicates_are_a_gap(void **state)
{
    map_treater("");
    read_ok(HEADER
            "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;86;85\n2026-03-01 05:30:10;86;84\n"
            "2026-03-01 05:30:10;86;85\n2026-03-01 05:30:20;87;85\n");
    assert_string_equal(values(), "85000,85000 -,- 87000,85000");
    assert_string_equal(gaps(), "conflict/0@3x1");
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

static void device_numbers_show_what_is_lost(void **state)
{
    map_ok("logger", "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'10','columns':{'n':'No'"
                     ",'time':'Time','channel-1':'T1'}}");
    read_ok(
        "No;Time;T1\n1;2026-03-01 05:30:00;1\n2;2026-03-01 05:30:10;1\n5;2026-03-01 05:30:40;1\n");
    assert_string_equal(gaps(), "lost/0@4x2");
    assert_refused("No;Time;T1\n7;2026-03-01 05:30:00;1\n5;2026-03-01 05:30:10;1\n",
                   FEED_NUMBER_BACK, 3, 3);
    read_ok(
        "No;Time;T1\n7;2026-03-01 05:30:00;1\nx;2026-03-01 05:30:10;1\n9;2026-03-01 05:30:20;1\n");
    assert_string_equal(gaps(), "unreadable/0@3x1 lost/0@4x1");
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

static void too_many_gaps_are_no_record(void **state)
{
    size_t rows = 200003;
    char *text = arena_alloc(&fx.arena, 40 * rows);
    char *end = stpcpy(text, HEADER);
    for (size_t i = 0; i < rows; i++) {
        end += sprintf(end, "2026-03-0%zu %02zu:%02zu:%02zu;%s;1\n", 1 + i / 86400, i / 3600 % 24,
                       i / 60 % 60, i % 60, i % 2 == 0 ? "1" : "");
    }
    map_treater("");
    assert_refused(text, FEED_GAPS, 200003, 1);
}

/* Planning: pieces, and what is sealed already. */

static const char *minutes(int from, int to, int step, int value)
{
    char *text = arena_alloc(&fx.arena, (size_t)(to - from) * 40 + 40);
    char *end = stpcpy(text, HEADER);
    for (int i = from; i < to; i += step) {
        end += sprintf(end, "2026-03-01 %02d:%02d:00;%d;%d\n", i / 60, i % 60, value, i);
    }
    return text;
}

static struct series_piece piece_of(const json_t *seal)
{
    uint8_t *bytes;
    size_t len;
    struct result r = base64_read(&fx.arena, text_of(seal, "bytes_b64"), "b", &bytes, &len);
    assert_int_equal(r.code, CODE_OK);
    return (struct series_piece){.bytes = bytes, .len = len};
}

/* The pieces of the commands at hand. */
static struct feed_known sealed(void)
{
    size_t count = json_array_size(fx.commands);
    struct series_piece *pieces = ARENA_ARRAY(&fx.arena, struct series_piece, count + 1);
    for (size_t i = 0; i < count; i++) {
        pieces[i] = piece_of(command(i));
    }
    return (struct feed_known){.pieces = pieces, .piece_count = count};
}

static void samples_go_into_pieces_of_an_hour(void **state)
{
    map_hourly("60");
    read_ok(minutes(30, 200, 1, 85));
    plan_ok(&(struct feed_known){0});
    assert_int_equal(fx.report.pieces,
                     4); /* 0:30, 1, 2 and 3 o'clock; Vienna is a whole hour from UTC */
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 170);
    assert_string_equal(text_of(command(0), "kind"), "seal");
    assert_string_equal(text_of(command(0), "series"), "s");
    struct feed_known known = sealed();
    struct series s;
    struct result r =
        series_range(&fx.arena, known.pieces, known.piece_count, SERIES_MS_MIN, SERIES_MS_MAX, &s);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(s.count, 170);
    assert_memory_equal(s.ms, fx.content.series.ms, 170 * sizeof *s.ms);
    assert_memory_equal(s.value, fx.content.series.value, 170 * 2 * sizeof *s.value);
}

static void the_same_file_again_is_known(void **state)
{
    map_hourly("60");
    read_ok(minutes(30, 200, 1, 85));
    plan_ok(&(struct feed_known){0});
    struct feed_known known = sealed();
    plan_ok(&known);
    assert_int_equal(json_array_size(fx.commands), 0);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 170);
}

static void a_longer_file_adds_what_is_new(void **state)
{
    map_hourly("60");
    read_ok(minutes(90, 100, 1, 85));
    plan_ok(&(struct feed_known){0});
    struct feed_known known = sealed();
    read_ok(minutes(80, 130, 1, 85)); /* before, over and behind what is sealed */
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 10);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 40);
    assert_int_equal(fx.report.pieces, 3); /* 1:20 to 1:30, 1:40 to 2:00, 2:00 to 2:10 */
    struct series_piece all[4] = {known.pieces[0], piece_of(command(0)), piece_of(command(1)),
                                  piece_of(command(2))};
    struct series s;
    struct result r = series_range(&fx.arena, all, 4, SERIES_MS_MIN, SERIES_MS_MAX, &s);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(s.count, 50);
    assert_memory_equal(s.value, fx.content.series.value, 50 * 2 * sizeof *s.value);
}

static void a_piece_between_two_new_samples_parts_them(void **state)
{
    map_hourly("60");
    read_ok(minutes(91, 92, 1, 85));
    plan_ok(&(struct feed_known){0});
    struct feed_known known = sealed();
    read_ok(minutes(90, 94, 2, 85)); /* 1:30 and 1:32; 1:31 is sealed */
    plan_ok(&known);
    assert_int_equal(fx.report.pieces, 2);
}

static void a_file_that_contradicts_what_is_sealed_is_refused(void **state)
{
    map_hourly("60");
    read_ok(minutes(90, 100, 1, 85));
    plan_ok(&(struct feed_known){0});
    struct feed_known known = sealed();
    read_ok(minutes(80, 130, 1, 86));
    struct result r = plan(&known);
    assert_int_equal(r.code, CODE_FEED_SEALED);
    assert_int_equal(r.line, 12); /* 1:30 */
    known.piece_count = 1;
    read_ok(HEADER "2026-03-01 01:31:30;85;85\n");
    r = plan(&known);
    assert_int_equal(r.code, CODE_FEED_SEALED); /* inside a sealed piece, which had nothing there */
    map_ok("logger",
           "{'series':'s','unit':'Cel','scale':2,'zone':'Europe/Vienna','interval_s':'60',"
           "'columns':{'time':'Time','channel-1':'T1','channel-2':'T2'}}");
    read_ok(minutes(90, 100, 1, 85));
    r = plan(&known);
    assert_int_equal(r.code, CODE_SERIES_MIXED);
}

/* A jump is seen only with the reading before it: a file that begins right behind does not
 * contradict. */
static void what_one_of_two_files_lacks_is_no_contradiction(void **state)
{
    map_ok("logger", "{'series':'s','unit':'Cel','zone':'UTC','interval_s':'60','jump':'5','"
                     "columns':{'time':'Time','channel-1':'T1'}}");
    read_ok("Time;T1\n2026-03-01 05:30;20\n2026-03-01 05:31;80\n2026-03-01 05:32;80\n");
    plan_ok(&(struct feed_known){0});
    struct feed_known known = sealed();
    read_ok("Time;T1\n2026-03-01 05:31;80\n2026-03-01 05:32;80\n2026-03-01 05:33;80\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 2);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 1);
}

static void a_piece_carries_its_gaps(void **state)
{
    map_hourly("60");
    read_ok(HEADER "2026-03-01 00:58:00;1;1\n2026-03-01 00:59:00;;1\n2026-03-01 "
                   "01:00:00;1;1\n2026-03-01 01:10:00;1;1\nlost;1;1\n");
    plan_ok(&(struct feed_known){0});
    assert_int_equal(fx.report.pieces, 2);
    const json_t *first = json_object_get(command(0), "gaps");
    const json_t *second = json_object_get(command(1), "gaps");
    assert_int_equal(json_array_size(first), 1);
    assert_int_equal(json_array_size(second), 2);
    const json_t *gap = json_array_get(first, 0);
    assert_string_equal(text_of(gap, "reason"), "missing");
    assert_int_equal(json_integer_value(json_object_get(gap, "line")), 3);
    assert_int_equal(json_integer_value(json_object_get(gap, "channel")), 1);
    assert_int_equal(json_integer_value(json_object_get(gap, "from_ms")),
                     at("2026-02-28T23:59:00Z"));
    assert_string_equal(text_of(json_array_get(second, 0), "reason"), "silence");
    assert_string_equal(text_of(json_array_get(second, 1), "reason"), "unreadable");
    assert_int_equal(strlen(text_of(command(0), "file")), 64);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(readings_become_samples),
        FEED_TEST(every_form_of_time_reads_the_same),
        FEED_TEST(missing_marks_and_flaws_are_gaps_with_their_line),
        FEED_TEST(a_jump_is_a_gap_until_readings_agree_again),
        FEED_TEST(silence_is_a_gap),
        FEED_TEST(a_row_whose_time_is_unreadable_is_a_gap),
        FEED_TEST(exact_duplicates_are_dropped_and_counted),
        FEED_TEST(conflicting_duplicates_are_a_gap),
        FEED_TEST(a_clock_that_runs_back_is_refused),
        FEED_TEST(wrong_columns_are_refused),
        FEED_TEST(unit_device_and_zone_are_checked),
        FEED_TEST(the_lines_before_the_header_are_checked),
        FEED_TEST(a_cut_file_is_refused),
        FEED_TEST(the_skipped_hour_of_spring),
        FEED_TEST(the_repeated_hour_of_autumn_is_settled_by_order),
        FEED_TEST(a_single_pass_goes_with_its_neighbour),
        FEED_TEST(a_repeated_hour_that_order_does_not_settle_is_refused),
        FEED_TEST(other_zones_have_other_nights),
        FEED_TEST(device_numbers_show_what_is_lost),
        FEED_TEST(finer_readings_are_rounded_and_counted),
        FEED_TEST(too_many_gaps_are_no_record),
        FEED_TEST(samples_go_into_pieces_of_an_hour),
        FEED_TEST(the_same_file_again_is_known),
        FEED_TEST(a_longer_file_adds_what_is_new),
        FEED_TEST(a_piece_between_two_new_samples_parts_them),
        FEED_TEST(a_file_that_contradicts_what_is_sealed_is_refused),
        FEED_TEST(what_one_of_two_files_lacks_is_no_contradiction),
        FEED_TEST(a_piece_carries_its_gaps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
