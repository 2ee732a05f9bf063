#include "support.h"

#define COLUMNS                                                                                  \
    "'columns':{'customer':'Customer','order':'Order','line':'Line','item':'Item','day':'Day','" \
    "pieces':'Pieces'}"
#define HEADER "Customer;Order;Line;Item;Day;Pieces\n"

static void map_orders(void)
{
    map_ok("orders", "{" COLUMNS ",'delimiter':';'}");
}

static void wrong_columns_are_named(void **state)
{
    map_orders();
    struct result r =
        read_file("Customer;Order;Line;Article;Day;Pieces\nC1;1;1;a;2026-03-04;240\n");
    assert_int_equal(r.code, CODE_FEED_COLUMN);
    assert_int_equal(r.line, 1);
    assert_string_equal(r.value[0], "Item");
    assert_string_equal(r.value[1], "Customer, Order, Line, Article, Day, Pieces");
    assert_refused("Customer;Order;Line;Item;Day;Pieces;Item\n", FEED_COLUMN_TWICE, 1, 37);
}

static void an_open_last_line_is_a_caution(void **state)
{
    map_orders();
    read_ok(HEADER "C1;1;1;a;2026-03-04;120");
    assert_int_equal(fx.content.report.caution_count, 1);
    assert_int_equal(fx.content.report.cautions[0].code, CODE_FEED_OPEN_END);
    map_ok("orders", "{" COLUMNS ",'end':'line'}");
    assert_refused(HEADER "C1;1;1;a;2026-03-04;120", FEED_TRUNCATED, 2, 1);
    read_ok(HEADER "C1;1;1;a;2026-03-04;120\n");
    assert_int_equal(fx.content.report.caution_count, 0);
}

static void a_trailer_closes_the_file(void **state)
{
    map_ok("orders", "{" COLUMNS ",'trailer':'END'}");
    read_ok(HEADER "C1;1;1;a;2026-03-04;120\nEND OF FILE;1\n");
    assert_int_equal(fx.content.order_count, 1);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;120\n", FEED_TRUNCATED, 2, 1);
    assert_refused(HEADER "C1;1;1;a;2026-03-04;120\nEND\nC1;1;2;a;2026-03-04;120\n", FEED_TRAILER,
                   4, 1);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(wrong_columns_are_named),
        FEED_TEST(an_open_last_line_is_a_caution),
        FEED_TEST(a_trailer_closes_the_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
