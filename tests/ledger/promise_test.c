/* What orders get instead: of the newest promise, until it has left. */
#include "evidence.h"

#include "base/civil.h"
#include "ledger/promise.h"

static struct house h;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(&h, "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
                   "'item':'MUNG500','day':'2026-03-20','pieces':100},{'key':'O-2','customer':"
                   "'COTYLEDON','item':'MUNG500','day':'2026-03-20','pieces':100}]}");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static void promise(int first, int second)
{
    house_take(&h,
               "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'O-1','day':"
               "'2026-03-20','pieces':100,'instead':[{'item':'MUNG250','pieces':%d}]},{'order':"
               "'O-2','day':'2026-03-20','pieces':90,'instead':[{'item':'MUNG250','pieces':%d}]},"
               "{'order':'O-2','day':'2026-03-22','pieces':10}]}",
               first, second);
}

static size_t all(struct promised_instead **out)
{
    size_t count;
    assert_ok(
        promised_instead_all(h.store, &h.arena, day_of_house(h.fixed.now_ms, 0, 240), out, &count));
    return count;
}

static bool gives(const char *order, const char *item)
{
    bool out;
    assert_ok(promised_gives(h.store, order, item, &out));
    return out;
}

static void the_newest_promise_says_it(void **state)
{
    (void)state;
    struct promised_instead *list;
    assert_int_equal(all(&list), 0);
    assert_false(gives("O-1", "MUNG250"));
    promise(40, 60);
    assert_int_equal(all(&list), 2);
    assert_string_equal(list[0].order, "O-1");
    assert_string_equal(list[0].item, "MUNG250");
    assert_int_equal(list[0].pieces, 40);
    assert_int_equal(list[1].pieces, 60);
    assert_true(gives("O-2", "MUNG250"));
    assert_false(gives("O-2", "MUNG500"));
    house_take(&h, "{'kind':'plan-take','person':9,'starts':[],'promises':[{'order':'O-2','day':"
                   "'2026-03-20','pieces':0}]}");
    assert_int_equal(all(&list), 1);
    assert_false(gives("O-2", "MUNG250"));
}

static void what_has_left_is_not_given_again(void **state)
{
    (void)state;
    struct promised_instead *list;
    struct house_batch b = house_batch(&h, "C1", true);
    promise(60, 40);
    house_take(&h,
               "{'kind':'ship','mode':'tell','customer':'COTYLEDON','order':'O-1','units':['%s-"
               "0001']}",
               b.packed);
    assert_int_equal(all(&list), 2);
    assert_int_equal(list[0].pieces, 20); /* a case of 40 left */
    house_take(&h,
               "{'kind':'ship','mode':'tell','customer':'COTYLEDON','order':'O-2','units':['%s-"
               "0002']}",
               b.packed);
    assert_int_equal(all(&list), 1);
    assert_string_equal(list[0].order, "O-1");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_newest_promise_says_it),
        TEST(what_has_left_is_not_given_again),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
