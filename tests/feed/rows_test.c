#include "support.h"

#define SEED_COLUMNS                                                                              \
    "'supplier':'Supplier','supplier_lot':'Batch','item':'Item','mass':'Mass','lot':'Lot','at':'" \
    "Date'"
#define SEED_HEADER "Supplier;Batch;Item;Mass;Lot;Date\n"

static void map_seed(const char *more)
{
    map_ok("seed",
           arena_printf(
               &fx.arena,
               "{'fixed':{'place':'store-1'},'zone':'Europe/Vienna','columns':{" SEED_COLUMNS "%s",
               more));
}

static void a_day_without_a_time_is_told_at_the_beginning_of_the_house_day(void **state)
{
    map_seed("}}");
    read_ok(SEED_HEADER "S1;B-77;mung-seed;942;M-1;2026-03-01\n");
    plan_ok(&(struct feed_known){.day_starts_min = 4 * 60 + 30});
    assert_string_equal(text_of(command(0), "at"), "2026-03-01T04:30:00+09:00");
}

static void deliveries_that_are_booked_are_not_sent_again(void **state)
{
    map_seed("}}");
    read_ok(SEED_HEADER "S1;B-1;mung-seed;942;M-1;2026-03-01\nS1;B-2;mung-seed;500;M-2;2026-03-01\n"
                        "S1;B-1;mung-seed;942.0;M-1;2026-03-01\n");
    assert_int_equal(fx.content.report.count[FEED_MARK_DUPLICATE], 1);
    const char *uuids[] = {fx.content.rows[1].uuid};
    struct feed_known known = {.uuids = uuids, .uuid_count = 1};
    plan_ok(&known);
    assert_int_equal(fx.report.count[FEED_MARK_KNOWN], 1);
    assert_int_equal(fx.report.count[FEED_MARK_NEW], 1);
    assert_int_equal(json_array_size(fx.commands), 1);
    assert_string_equal(text_of(command(0), "lot"), "M-1");
    const char *first = arena_copy(&fx.arena, text_of(command(0), "uuid"));
    /* in a longer file, the same row is still known by its uuid */
    read_ok(SEED_HEADER "S1;B-0;mung-seed;1;M-0;2026-02-01\nS1;B-1;mung-seed;942;M-1;2026-03-01\n");
    assert_string_equal(fx.content.rows[1].uuid, first);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(a_day_without_a_time_is_told_at_the_beginning_of_the_house_day),
        FEED_TEST(deliveries_that_are_booked_are_not_sent_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
