#include "support.h"

static void map_weigher(const char *more)
{
    map_ok("checkweigher", arena_printf(&fx.arena,
                                        "{'series':'weigher-2','unit':'g','zone':'Europe/Vienna',"
                                        "'columns':{'n':'No','time':'Time','weight':'Weight'%s}",
                                        more));
}

static void map_plain(void)
{
    map_weigher("}");
}

#define HEADER "No;Time;Weight\n"

static const char *values(void)
{
    const struct series *s = &fx.content.series;
    const char *text = "";
    for (size_t i = 0; i < s->count; i++) {
        text = arena_printf(&fx.arena, "%s%s%lld:", text, i > 0 ? " " : "", (long long)s->n[i]);
        for (int c = 0; c < s->channels; c++) {
            bool missing = s->missing[i] >> c & 1;
            const char *one = missing ? "-"
                                      : arena_printf(&fx.arena, "%d",
                                                     s->value[i * (size_t)s->channels + (size_t)c]);
            text = arena_printf(&fx.arena, "%s%s%s", text, c > 0 ? "," : "", one);
        }
    }
    return text;
}

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

static void packs_become_samples(void **state)
{
    map_plain();
    read_ok(
        HEADER
        "17;2026-03-01 05:30:00;251.3\n18;2026-03-01 05:30:00;249.9\n19;2026-03-01 05:40:01;250\n");
    assert_string_equal(values(), "17:2513 18:2499 19:2500");
    assert_string_equal(gaps(), ""); /* a line that stands still is no gap */
    assert_int_equal(fx.content.series.ms[0], fx.content.series.ms[1]);
    assert_string_equal(fx.content.series.unit, "g");
    assert_int_equal(fx.content.series.scale, 1);
}

static void rejected_packs_go_to_their_own_channel(void **state)
{
    map_weigher(
        ",'verdict':'Zone'},'codes':{'verdict':{'OK':'accepted','LO':'rejected','HI':'rejected'}}");
    read_ok(
        "No;Time;Weight;Zone\n1;2026-03-01 05:30:00;251;OK\n2;2026-03-01 05:30:01;220;LO\n"
        "3;2026-03-01 05:30:02;252;OK\n4;2026-03-01 05:30:03;253;??\n5;2026-03-01 05:30:04;254;\n"
        "6;2026-03-01 05:30:05;x;HI\n");
    assert_string_equal(values(), "1:2510,- 2:-,2200 3:2520,- 4:-,- 5:-,- 6:-,-");
    assert_string_equal(gaps(), "unreadable/1@5x1 missing/1@6x1 unreadable/2@7x1");
}

static void numbers_left_out_are_lost_packs(void **state)
{
    map_plain();
    read_ok(HEADER "1;2026-03-01 05:30:00;251\n4;2026-03-01 05:30:03;251\n");
    assert_string_equal(gaps(), "lost/0@3x2");
}

static void duplicates_are_dropped_and_conflicts_are_gaps(void **state)
{
    map_plain();
    read_ok(HEADER
            "1;2026-03-01 05:30:00;251\n2;2026-03-01 05:30:01;252\n2;2026-03-01 05:30:01;252\n"
            "3;2026-03-01 05:30:02;253\n3;2026-03-01 05:30:02;254\n1;2026-03-01 05:30:00;251\n"
            "4;2026-03-01 05:30:03;255\n");
    assert_string_equal(values(), "1:2510 2:2520 3:- 4:2550");
    assert_string_equal(gaps(), "conflict/0@5x1");
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 2);
}

static void what_runs_back_is_refused(void **state)
{
    map_plain();
    assert_refused(HEADER "7;2026-03-01 05:30:00;251\n5;2026-03-01 05:30:01;251\n",
                   FEED_NUMBER_BACK, 3, 3);
    assert_refused(HEADER "7;2026-03-01 05:30:00;251\n8;2026-03-01 05:29:59;251\n", FEED_CLOCK_BACK,
                   3, 3);
    assert_refused(HEADER "7;2026-03-01 05:30:00;251\n1;2026-03-01 05:29:59;251\n",
                   FEED_NUMBER_BACK, 3, 3);
}

static void numbers_may_begin_anew(void **state)
{
    map_plain();
    read_ok(HEADER
            "998;2026-03-01 05:30:00;251\n999;2026-03-01 05:30:01;252\n1;2026-03-01 05:30:02;253\n"
            "2;2026-03-01 05:30:03;254\n");
    assert_string_equal(values(), "998:2510 999:2520 1:2530 2:2540");
    assert_string_equal(gaps(), "");
    plan_ok(&(struct feed_known){0});
    assert_int_equal(fx.report.pieces, 2);
    /* within one instant nothing tells which came first */
    assert_refused(HEADER "999;2026-03-01 05:30:01;252\n1;2026-03-01 05:30:01;253\n",
                   FEED_NUMBER_BACK, 3, 3);
}

static void a_night_shift_over_the_clock_change(void **state)
{
    map_plain();
    read_ok(HEADER
            "1;2026-10-25 02:59:58;251\n2;2026-10-25 02:59:59;252\n3;2026-10-25 02:00:00;253\n"
            "4;2026-10-25 02:00:00;254\n");
    assert_int_equal(fx.content.series.ms[2] - fx.content.series.ms[1], 1000);
    assert_int_equal(fx.content.series.ms[3] - fx.content.series.ms[2], 0);
    assert_refused(HEADER "1;2026-10-25 02:59:58;251\n", TIME_TWICE, 2, 3);
}

static void the_same_packs_again_are_known(void **state)
{
    map_plain();
    read_ok(HEADER
            "1;2026-03-01 05:30:00;251\n2;2026-03-01 05:30:00;252\n3;2026-03-01 05:30:00;253\n");
    plan_ok(&(struct feed_known){0});
    uint8_t *bytes;
    struct series_piece piece;
    struct result r =
        base64_read(&fx.arena, text_of(command(0), "bytes_b64"), "b", &bytes, &piece.len);
    assert_int_equal(r.code, CODE_OK);
    piece.bytes = bytes;
    struct feed_known known = {.pieces = &piece, .piece_count = 1};
    /* packs 4 and 5 left in the same second as those that are sealed */
    read_ok(HEADER "2;2026-03-01 05:30:00;252\n3;2026-03-01 05:30:00;253\n4;2026-03-01 "
                   "05:30:00;254\n5;2026-03-01 05:30:01;255\n");
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 2);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 2);
    assert_int_equal(fx.report.pieces, 1);
    read_ok(HEADER "2;2026-03-01 05:30:00;259\n");
    assert_int_equal(plan(&known).code, CODE_FEED_SEALED);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(packs_become_samples),
        FEED_TEST(rejected_packs_go_to_their_own_channel),
        FEED_TEST(numbers_left_out_are_lost_packs),
        FEED_TEST(duplicates_are_dropped_and_conflicts_are_gaps),
        FEED_TEST(what_runs_back_is_refused),
        FEED_TEST(numbers_may_begin_anew),
        FEED_TEST(a_night_shift_over_the_clock_change),
        FEED_TEST(the_same_packs_again_are_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
