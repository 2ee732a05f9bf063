/* Samples of a file beside what is sealed already. */
#include <stdio.h>

#include "support.h"

#define HEADER "Time;T1;T2\n"

static int64_t at(const char *text)
{
    int64_t ms;
    struct result r = civil_read(text, "at", &ms);
    assert_int_equal(r.code, CODE_OK);
    return ms;
}

static void map_hourly(const char *interval)
{
    map_ok("logger",
           arena_printf(&fx.arena,
                        "{'series':'s','unit':'Cel','zone':'Europe/Vienna','interval_s':'%s',"
                        "'columns':{'time':'Time','channel-1':'T1','channel-2':'T2'}}",
                        interval));
}

static const char *minutes(int from, int to, int step, int value)
{
    size_t room = (size_t)(to - from) * 40 + 40;
    char *text = arena_alloc(&fx.arena, room);
    size_t len = (size_t)snprintf(text, room, "%s", HEADER);
    for (int i = from; i < to; i += step) {
        len += (size_t)snprintf(text + len, room - len, "2026-03-01 %02d:%02d:00;%d;%d\n", i / 60,
                                i % 60, value, i);
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
