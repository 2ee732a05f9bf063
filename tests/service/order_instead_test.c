/* What orders get instead, piece by piece, and how it is said. */
#include "view_support.h"

#include "service/order_instead.h"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static void it_is_taken_item_by_item(void **state)
{
    (void)state;
    const char *day = day_text(&h.arena, (int32_t)house_day(&h) + 1), *item = NULL;
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':100}]}",
               day);
    house_take(&h,
               "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'O-1','day':'%s',"
               "'pieces':100,'instead':[{'item':'MUNG500','pieces':30},{'item':'MUNG250',"
               "'pieces':20}]}]}",
               day);
    struct view v = view_as(&h, 9, "planner");
    struct order_instead s;
    assert_ok(order_instead_read(&v, (int32_t)house_day(&h), &s));
    size_t at = 0;
    assert_int_equal(order_instead_next(&s, "O-1", &at, 100, &item), 30);
    assert_string_equal(item, "MUNG500");
    assert_int_equal(order_instead_next(&s, "O-1", &at, 15, &item), 15); /* no more is open */
    assert_string_equal(item, "MUNG250");
    assert_int_equal(order_instead_next(&s, "O-1", &at, 0, &item), 0);
    at = 0;
    assert_int_equal(order_instead_next(&s, "O-2", &at, 100, &item), 0);
}

static void it_is_said_in_sentences(void **state)
{
    (void)state;
    struct view v = view_as(&h, 9, "planner");
    struct order_notes n = {.given = NULL};
    assert_string_equal(order_notes_text(&v, &n), "");
    order_notes_given(&v, &n, 30, "MUNG500", "MUNG250");
    assert_string_equal(order_notes_text(&v, &n),
                        " In place of what was ordered: 30 of MUNG500 (MUNG250 ordered).");
    order_notes_standing(&v, &n, "S-1", 40);
    order_notes_standing(&v, &n, "S-2", 5);
    assert_non_null(strstr(order_notes_text(&v, &n),
                           " 45 of them by standing orders, no order yet: S-1, S-2."));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(it_is_taken_item_by_item),
        TEST(it_is_said_in_sentences),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
