/* What stands for orders: fit for whom, taken once, what ends first first. */
#include "view_support.h"

#include "service/order_stock.h"

static struct house h;
static int32_t today, ends; /* best before of what is packed */
static int64_t there;       /* pieces of it */
static const char *packed;

static int set_up(void **state)
{
    struct lot lot;
    bool found;
    (void)state;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    assert_ok(lot_by_code(h.store, &h.arena, b.packed, &lot, &found));
    packed = b.packed;
    there = house_balance(&h, b.packed, UNIT_PIECES);
    today = (int32_t)house_day(&h);
    ends = (int32_t)lot.best_before;
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static void customer(const char *code, const char *market, int life_days)
{
    house_take(&h,
               "{'kind':'partner','code':'%s','role':'customer','market':'%s','group':'far',"
               "'life_days':%d}",
               code, market, life_days);
}

static struct order_stock stock(void)
{
    struct view v = view_as(&h, 9, "planner");
    struct order_stock s;
    assert_ok(order_stock_read(&v, &s));
    return s;
}

static void goods_are_given_once(void **state)
{
    (void)state;
    customer("HILUM", "US", 0);
    struct order_stock s = stock();
    const struct order_customer *who = order_stock_customer(&s, "HILUM");
    assert_non_null(who);
    assert_string_equal(who->group, "far");
    assert_int_equal(s.goods_count, 1);
    assert_int_equal(s.goods[0].best_before, ends);
    assert_int_equal(order_stock_take(&s, who, "MUNG250", today, 100), 100);
    assert_int_equal(order_stock_left(&s, "MUNG250"), there - 100);
    assert_int_equal(order_stock_take(&s, who, "MUNG250", today, there), there - 100);
    assert_int_equal(order_stock_take(&s, who, "MUNG250", today, 1), 0);
    assert_int_equal(s.goods[0].pieces, there);
    assert_int_equal(order_stock_take(&s, who, "SOY300", today, 1), 0);
}

/* A customer takes goods with just the life asked for, and none with a day less. */
static void life_left_is_judged_on_the_order_s_day(void **state)
{
    (void)state;
    customer("HILUM", "US", 3);
    struct order_stock s = stock();
    const struct order_customer *who = order_stock_customer(&s, "HILUM");
    assert_int_equal(order_stock_take(&s, who, "MUNG250", ends - 2, 10), 0);
    assert_int_equal(order_stock_take(&s, who, "MUNG250", ends - 3, 10), 10);
    assert_int_equal(order_stock_left(&s, "MUNG250"), there - 10);
}

/* Of goods packed for one market, somebody of another has nothing; who is not known takes any. */
static void goods_of_another_market_are_not_given(void **state)
{
    (void)state;
    customer("HILUM", "EU", 0);
    struct order_stock s = stock();
    const struct order_customer *who = order_stock_customer(&s, "HILUM");
    s.goods[0].markets = "US,house";
    assert_int_equal(order_stock_take(&s, who, "MUNG250", today, 10), 0);
    s.goods[0].markets = "US,EU";
    assert_int_equal(order_stock_take(&s, who, "MUNG250", today, 10), 10);
    assert_null(order_stock_customer(&s, "MOULT"));
    s.goods[0].markets = "US";
    assert_int_equal(order_stock_take(&s, NULL, "MUNG250", ends, 10), 10);
}

static void what_ends_first_goes_first(void **state)
{
    (void)state;
    struct order_goods two[] = {{"MUNG250", "", today + 2, 50, 50}, {"MUNG250", "", 0, 70, 70}};
    struct order_stock s = {.goods = two, .goods_count = 2};
    assert_int_equal(order_stock_take(&s, NULL, "MUNG250", today, 60), 60);
    assert_int_equal(two[0].left, 0);
    assert_int_equal(two[1].left, 60);
}

/* What is held for more than a laboratory may not leave. */
static void held_goods_do_not_stand_there(void **state)
{
    (void)state;
    house_take(
        &h,
        "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['load'],'needs':'decision',"
        "'reason':'seal'}",
        packed);
    struct order_stock s = stock();
    assert_int_equal(s.goods_count, 0);
    assert_int_equal(order_stock_take(&s, NULL, "MUNG250", today, 1), 0);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(goods_are_given_once),
        TEST(life_left_is_judged_on_the_order_s_day),
        TEST(goods_of_another_market_are_not_given),
        TEST(what_ends_first_goes_first),
        TEST(held_goods_do_not_stand_there),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
