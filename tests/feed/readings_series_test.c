#include <stdio.h>

#include "logger_support.h"

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
    const struct feed_note *note = &fx.content.report.notes[0];
    assert_string_equal(feed_note_words(&fx.arena, "en", note),
                        "no value, channel 1, 2026-03-01T05:30:10+01:00 ×2");
    assert_string_equal(feed_note_words(&fx.arena, "es", note),
                        "sin valor, canal 1, 2026-03-01T05:30:10+01:00 ×2");
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

static void conflicting_duplicates_are_a_gap(void **state)
{
    map_treater("");
    read_ok(HEADER
            "2026-03-01 05:30:00;85;85\n2026-03-01 05:30:10;86;85\n2026-03-01 05:30:10;86;84\n"
            "2026-03-01 05:30:10;86;85\n2026-03-01 05:30:20;87;85\n");
    assert_string_equal(values(), "85000,85000 -,- 87000,85000");
    assert_string_equal(gaps(), "conflict/0@3x1");
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

static void too_many_gaps_are_no_record(void **state)
{
    size_t rows = 200003;
    size_t room = 40 * rows;
    char *text = arena_alloc(&fx.arena, room);
    size_t len = (size_t)snprintf(text, room, "%s", HEADER);
    for (size_t i = 0; i < rows; i++) {
        len += (size_t)snprintf(text + len, room - len, "2026-03-0%zu %02zu:%02zu:%02zu;%s;1\n",
                                1 + i / 86400, i / 3600 % 24, i / 60 % 60, i % 60,
                                i % 2 == 0 ? "1" : "");
    }
    map_treater("");
    assert_refused(text, FEED_GAPS, 200003, 1);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(missing_marks_and_flaws_are_gaps_with_their_line),
        FEED_TEST(a_jump_is_a_gap_until_readings_agree_again),
        FEED_TEST(silence_is_a_gap),
        FEED_TEST(a_row_whose_time_is_unreadable_is_a_gap),
        FEED_TEST(conflicting_duplicates_are_a_gap),
        FEED_TEST(device_numbers_show_what_is_lost),
        FEED_TEST(too_many_gaps_are_no_record),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
