#include "ledger/order_book.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static struct arena arena;

static int set_up(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static int tear_down(void **state)
{
    arena_release(&arena);
    return 0;
}

static struct order_line line(const char *key, int32_t day, int64_t pieces)
{
    return (struct order_line){
        .key = key, .customer = "C1", .item = "a", .source = "shop", .day = day, .pieces = pieces};
}

static struct order_line booked(const char *key, int32_t day, int64_t pieces, int64_t version,
                                int64_t shipped)
{
    struct order_line l = line(key, day, pieces);
    l.version = version;
    l.shipped_pieces = shipped;
    return l;
}

/* The one difference between a booked line (NULL: none) and an asked one. */
static struct order_difference one(const struct order_line *was, const struct order_line *asked)
{
    struct order_book book = {.booked = was,
                              .booked_count = was != NULL,
                              .asked = asked,
                              .asked_count = 1,
                              .source = "shop"};
    struct order_difference *list;
    size_t count;
    order_book_compare(&arena, &book, &list, &count);
    assert_int_equal(count, 1);
    return list[0];
}

static void a_line_nobody_knew_is_version_1(void **state)
{
    struct order_line asked = line("k", 100, 5);
    struct order_difference d = one(NULL, &asked);
    assert_int_equal(d.change, ORDER_CHANGE_NEW);
    assert_int_equal(d.next.version, 1);
    assert_null(d.booked);
    asked.state = ORDER_CANCELLED;
    assert_int_equal(one(NULL, &asked).change, ORDER_CHANGE_UNCHANGED);
}

static void any_difference_is_the_next_version(void **state)
{
    struct order_line was = booked("k", 100, 5, 3, 0);
    struct order_line asked = line("k", 100, 5);
    assert_int_equal(one(&was, &asked).change, ORDER_CHANGE_UNCHANGED);
    struct order_line differs[4] = {asked, asked, asked, asked};
    differs[0].day = 101;
    differs[1].pieces = 6;
    differs[2].item = "b";
    differs[3].customer = "C2";
    for (int i = 0; i < 4; i++) {
        struct order_difference d = one(&was, &differs[i]);
        assert_int_equal(d.change, ORDER_CHANGE_CHANGED);
        assert_int_equal(d.next.version, 4);
        assert_int_equal(d.next.pieces, differs[i].pieces);
    }
}

static void cancelled_lines_stay_so_until_asked_for_again(void **state)
{
    struct order_line was = booked("k", 100, 5, 3, 0);
    struct order_line asked = line("k", 100, 0);
    asked.state = ORDER_CANCELLED;
    assert_int_equal(one(&was, &asked).change, ORDER_CHANGE_CANCELLED);
    was.state = ORDER_CANCELLED;
    assert_int_equal(one(&was, &asked).change, ORDER_CHANGE_UNCHANGED);
    asked = line("k", 100, 5);
    assert_int_equal(one(&was, &asked).change, ORDER_CHANGE_CHANGED);
}

static void what_has_left_is_not_changed(void **state)
{
    struct order_line all_left = booked("k", 100, 5, 1, 5);
    struct order_line part_left = booked("k", 100, 5, 1, 2);
    struct order_line more = line("k", 101, 6);
    struct order_line less = line("k", 100, 2);
    struct order_line too_few = line("k", 100, 1);
    struct order_line other = line("k", 100, 5);
    struct order_line gone = line("k", 100, 5);
    other.item = "b";
    gone.state = ORDER_CANCELLED;
    assert_int_equal(one(&all_left, &more).change, ORDER_CHANGE_SHIPPED);
    assert_int_equal(one(&all_left, &gone).change, ORDER_CHANGE_SHIPPED);
    assert_int_equal(one(&part_left, &more).change, ORDER_CHANGE_CHANGED);
    assert_int_equal(one(&part_left, &less).change, ORDER_CHANGE_CHANGED);
    assert_int_equal(one(&part_left, &too_few).change, ORDER_CHANGE_SHIPPED);
    assert_int_equal(one(&part_left, &other).change, ORDER_CHANGE_SHIPPED);
    assert_int_equal(one(&part_left, &gone).change, ORDER_CHANGE_SHIPPED);
    assert_int_equal(one(&part_left, &more).next.shipped_pieces, 2);
}

static void a_whole_book_cancels_within_its_days_and_source(void **state)
{
    struct order_line was[7];
    static const char *const keys[7] = {"d", "a", "b", "c", "e", "f", "g"};
    for (int i = 0; i < 7; i++) {
        was[i] = booked(keys[i], 100 + i, 5, 1, 0);
    }
    was[3].source = "phone";
    was[4].state = ORDER_CANCELLED;
    was[5].shipped_pieces = 5;
    struct order_line asked = line("a", 101, 5);
    struct order_book book = {
        .booked = was, .booked_count = 7, .asked = &asked, .asked_count = 1, .source = "shop"};
    struct order_difference *list;
    size_t count;
    order_book_compare(&arena, &book, &list, &count);
    assert_int_equal(count, 1); /* a part of the book says nothing about the rest */
    book.whole = true;
    book.whole_from = 101;
    book.whole_to = 105;
    order_book_compare(&arena, &book, &list, &count);
    assert_int_equal(count, 3);
    assert_int_equal(list[0].change, ORDER_CHANGE_UNCHANGED);
    assert_string_equal(list[1].booked->key, "b");
    assert_int_equal(list[1].change, ORDER_CHANGE_CANCELLED);
    assert_null(list[1].asked);
    assert_int_equal(list[1].next.version, 2);
    assert_int_equal(list[1].next.state, ORDER_CANCELLED);
    assert_string_equal(list[2].booked->key, "f");
    assert_int_equal(list[2].change, ORDER_CHANGE_SHIPPED);
}

static void a_line_that_moved_out_of_the_days_is_not_gone(void **state)
{
    struct order_line was = booked("k", 100, 5, 1, 0);
    struct order_line asked = line("k", 120, 5);
    struct order_book book = {.booked = &was,
                              .booked_count = 1,
                              .asked = &asked,
                              .asked_count = 1,
                              .whole = true,
                              .whole_from = 99,
                              .whole_to = 120,
                              .source = "shop"};
    struct order_difference *list;
    size_t count;
    order_book_compare(&arena, &book, &list, &count);
    assert_int_equal(count, 1);
    assert_int_equal(list[0].change, ORDER_CHANGE_CHANGED);
}

static void empty_books_compare(void **state)
{
    struct order_book book = {.whole = true, .source = "shop"};
    struct order_difference *list;
    size_t count;
    order_book_compare(&arena, &book, &list, &count);
    assert_int_equal(count, 0);
}

#define BOOK_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        BOOK_TEST(a_line_nobody_knew_is_version_1),
        BOOK_TEST(any_difference_is_the_next_version),
        BOOK_TEST(cancelled_lines_stay_so_until_asked_for_again),
        BOOK_TEST(what_has_left_is_not_changed),
        BOOK_TEST(a_whole_book_cancels_within_its_days_and_source),
        BOOK_TEST(a_line_that_moved_out_of_the_days_is_not_gone),
        BOOK_TEST(empty_books_compare),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
