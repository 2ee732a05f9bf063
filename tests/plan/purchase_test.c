#include "support.h"

#include "plan/purchase.h"

enum { DAYS = 10 };

static int buy(struct arena *a, const double *use, const struct purchase_lot *lots, int lot_count,
               struct purchase_rule rule, struct purchase **out)
{
    return purchase_list(a, use, 1, DAYS, lots, lot_count, &rule, out);
}

static const double ten_a_day[DAYS] = {10, 10, 10, 10, 10, 10, 10, 10, 10, 10};

/* 65 kg last to day 5; day 6 lacks 5 kg, then 10 a day. */
static void what_is_here_is_used_up_and_the_rest_is_bought(void **state)
{
    const struct purchase_lot lot = {0, 65, 0, 1000};
    struct purchase *list;
    struct purchase_rule rule = {.lead_days = 4, .cover_days = 7};
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 1);
    assert_int_equal(list[0].out_day, 6);
    assert_int_equal(list[0].order_by_day, 2);
    assert_close(list[0].need_kg, 65, 1e-9); /* 5 and six times 10 */
    assert_close(list[0].order_kg, 65, 1e-9);
    assert_close(list[0].use_kg, 100, 1e-9);
    assert_close(list[0].useless_kg, 0, 1e-9);
    rule.least_kg = 50;
    rule.step_kg = 25;
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 1);
    assert_close(list[0].order_kg, 75, 1e-9); /* three sacks */
    rule.least_kg = 200;
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 1);
    assert_close(list[0].order_kg, 200, 1e-9);
}

static void a_lead_longer_than_the_stock_is_late(void **state)
{
    const struct purchase_lot lot = {0, 65, 0, 1000};
    struct purchase *list;
    struct purchase_rule rule = {.lead_days = 20, .cover_days = 7};
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 1);
    assert_int_equal(list[0].order_by_day, -14);
    rule.lead_days = PURCHASE_UNKNOWN;
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 1);
    assert_int_equal(list[0].order_by_day, 6);
}

/* The use goes on after the plan's last day: 150 kg last to day 14. */
static void what_runs_out_after_the_plan_may_have_to_be_ordered_in_it(void **state)
{
    const struct purchase_lot lot = {0, 150, 0, 1000};
    struct purchase *list;
    struct purchase_rule rule = {.lead_days = 6, .cover_days = 1};
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 1);
    assert_int_equal(list[0].out_day, 15);
    assert_int_equal(list[0].order_by_day, 9);
    rule.lead_days = 5; /* a later plan's concern */
    assert_int_equal(buy(*state, ten_a_day, &lot, 1, rule, &list), 0);
}

/* The lot that becomes useless first is used first; what of it is left on its last day is lost. */
static void seed_that_expires_covers_nothing_after_it(void **state)
{
    const struct purchase_lot lots[] = {{0, 40, 0, 1000}, {0, 50, 0, 2}, {0, 10, 4, 1000}};
    struct purchase *list;
    struct purchase_rule rule = {.lead_days = 0, .cover_days = 1};
    assert_int_equal(buy(*state, ten_a_day, lots, 3, rule, &list), 1);
    assert_close(list[0].here_kg, 100, 1e-9);
    assert_int_equal(list[0].out_day, 8); /* days 0 to 2, then 50 kg for five days */
    assert_close(list[0].useless_kg, 20, 1e-9);
}

static void an_item_nobody_uses_is_not_bought(void **state)
{
    static const double none[DAYS] = {0};
    struct purchase *list;
    struct purchase_rule rule = {.lead_days = 4, .cover_days = 7};
    assert_int_equal(buy(*state, none, NULL, 0, rule, &list), 0);
}

static void several_items_stand_by_the_day_of_ordering(void **state)
{
    double use[2 * DAYS];
    for (int i = 0; i < 2 * DAYS; i++)
        use[i] = 10;
    const struct purchase_lot lots[] = {{0, 65, 0, 1000}, {1, 35, 0, 1000}};
    const struct purchase_rule rules[] = {{.lead_days = 1, .cover_days = 1},
                                          {.lead_days = 1, .cover_days = 1}};
    struct purchase *list;
    assert_int_equal(purchase_list(*state, use, 2, DAYS, lots, 2, rules, &list), 2);
    assert_int_equal(list[0].item, 1);
    assert_int_equal(list[0].out_day, 3);
    assert_int_equal(list[1].item, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(what_is_here_is_used_up_and_the_rest_is_bought),
        EACH(a_lead_longer_than_the_stock_is_late),
        EACH(what_runs_out_after_the_plan_may_have_to_be_ordered_in_it),
        EACH(seed_that_expires_covers_nothing_after_it),
        EACH(an_item_nobody_uses_is_not_bought),
        EACH(several_items_stand_by_the_day_of_ordering),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
