/* What if an order were another, or one were more. */
#include "plans.h"

#include <string.h>

#include "ledger/closing.h"
#include "service/planning_change_order.h"

static struct house h;
static struct planning_case c;

static int set_up(void **state)
{
    (void)state;
    plans_open_order(&h, &c);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static struct result changed(const struct profile *p, json_t *order)
{
    struct change x = {.arena = &h.arena,
                       .o = order,
                       .path = "changes[0]",
                       .first_day = c.problem.first_day,
                       .day_count = c.problem.day_count};
    assert_non_null(order);
    struct result r = planning_change_order(&x, p, &c);
    json_decref(order);
    return r;
}

/* It leaves on an open day, as booked ones do, and is as dear to be short of as those of its item.
 */
static void one_order_more_is_like_the_others(void **state)
{
    int32_t day = c.problem.first_day + 12;
    struct closing shut = {day, day, 127, CLOSES_DISPATCH, "no trucks"};
    struct profile with = *h.lg->profile;
    (void)state;
    with.planning.closings = &shut;
    with.planning.closing_count = 1;
    int lines = c.problem.line_count;
    double dear = c.problem.lines[0].shortage_cost_per_kg;
    assert_ok(changed(&with, json_pack("{s:s,s:s,s:i}", "item", "MUNG250", "day", plans_day(&h, 12),
                                       "pieces", 77)));
    const struct plan_line *more = &c.problem.lines[lines];
    assert_int_equal(c.problem.line_count, lines + 1);
    assert_int_equal(more->pieces, 77);
    assert_int_equal(more->day, 11);
    assert_int_equal(more->moved_days, 1);
    assert_true(more->shortage_cost_per_kg == dear);
    assert_string_equal(planning_order(&c, lines), more->key);
}

static int64_t booked(int day)
{
    int64_t pieces = 0;
    size_t i;
    json_t *list = planning_demand_json(&c, &h.arena, "en"), *x;
    json_array_foreach(list, i, x)
    {
        bool is_day = strcmp(json_string_value(json_object_get(x, "day")), plans_day(&h, day)) == 0;
        pieces += is_day ? json_integer_value(json_object_get(x, "booked")) : 0;
    }
    json_decref(list);
    return pieces;
}

/* The picture of a trial shows what is wanted in it. */
static void what_is_booked_changes_with_the_order(void **state)
{
    (void)state;
    const struct profile *p = h.lg->profile;
    struct planning_case as_is = c;
    assert_int_equal(booked(14), 1600);
    assert_ok(changed(p, json_pack("{s:s,s:i}", "order", "O-1", "pieces", 10)));
    assert_int_equal(booked(14), 10);
    assert_ok(changed(
        p, json_pack("{s:s,s:s,s:i}", "item", "MUNG250", "day", plans_day(&h, 12), "pieces", 77)));
    assert_int_equal(booked(12), 77);
    assert_int_equal(booked(14), 10);
    c = as_is; /* the plan without the changes stays as it was */
    assert_int_equal(booked(14), 1600);
    assert_int_equal(booked(12), 0);
}

static void a_booked_order_changes(void **state)
{
    (void)state;
    const struct profile *p = h.lg->profile;
    assert_ok(changed(p, json_pack("{s:s,s:i}", "order", "O-1", "pieces", 10)));
    assert_int_equal(c.problem.lines[0].pieces, 10);
    assert_code(changed(p, json_pack("{s:s,s:i}", "order", "O-9", "pieces", 10)), ORDER_UNKNOWN);
    assert_code(changed(p, json_pack("{s:s,s:i}", "order", "O-1", "pieces", -1)), FIELD_RANGE);
    assert_code(changed(p, json_pack("{s:s,s:s,s:i}", "item", "MUNG", "day", plans_day(&h, 3),
                                     "pieces", 1)),
                ITEM_UNKNOWN);
    assert_code(changed(p, json_pack("{s:s,s:s,s:s,s:i}", "item", "MUNG250", "group", "moon", "day",
                                     plans_day(&h, 3), "pieces", 1)),
                PARTNER_UNKNOWN);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(one_order_more_is_like_the_others),
        TEST(what_is_booked_changes_with_the_order),
        TEST(a_booked_order_changes),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
