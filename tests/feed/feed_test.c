#include "orders_support.h"

static void sentences_say_where_and_what_to_do(void **state)
{
    map_orders();
    struct result r = read_file(HEADER "C1;1;1;a;4.3.26;240\n");
    assert_string_equal(
        result_sentence(&fx.arena, &r),
        "line 2, column 10: Day is \"4.3.26\"; the mapping expects a form such as 2026-03-29 or "
        "2026-03-29 05:30:00. Correct the cell, or dates in the mapping.");
}

/* The command tells by its uuid whether it was sent: equal for the same file on the same book,
 * another when the same file comes back after a change. */
static void the_uuid_follows_the_versions(void **state)
{
    struct feed_known known = known_lines(1);
    const char *first;
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;120\n");
    plan_ok(&known);
    first = arena_copy(&fx.arena, text_of(command(0), "uuid"));
    assert_int_equal(strlen(first), 36);
    assert_int_equal(first[14], '8');
    plan_ok(&known);
    assert_string_equal(text_of(command(0), "uuid"), first);
    booked[0].version = 3;
    plan_ok(&known);
    assert_string_not_equal(text_of(command(0), "uuid"), first);
}

static void the_zone_of_the_house_is_put_back(void **state)
{
    map_ok("orders", "{" COLUMNS ",'zone':'America/New_York'}");
    read_ok(HEADER "C1;1;1;a;2026-03-04;100\n");
    assert_string_equal(civil_zone(), "Asia/Tokyo");
    map_ok("orders", "{" COLUMNS ",'zone':'Atlantis/Poseidonis'}");
    assert_refused(HEADER "C1;1;1;a;2026-03-04;100\n", ZONE_UNKNOWN, 0, 0);
    assert_string_equal(civil_zone(), "Asia/Tokyo");
}

static void a_file_over_the_limit_is_refused_unread(void **state)
{
    map_orders();
    assert_int_equal(read_bytes(HEADER, (size_t)FEED_FILE_BYTES_MAX + 1).code, CODE_INPUT_LARGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(sentences_say_where_and_what_to_do),
        FEED_TEST(the_uuid_follows_the_versions),
        FEED_TEST(the_zone_of_the_house_is_put_back),
        FEED_TEST(a_file_over_the_limit_is_refused_unread),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
