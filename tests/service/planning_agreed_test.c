/* Deliveries awaited, in the problem, the plan and the list of what to buy. */
#include <math.h>

#include "plans.h"

static struct house h;
static struct profile with;
static struct planning_case c;
static struct seed_order seed_order, sesame_order;

/* A pack of mung sprouts takes 10 g of sesame. */
static int set_up(void **state)
{
    static struct pack_take takes[] = {{"SESAME", 10000}};
    static struct pack_recipe recipe = {
        .item = "MUNG250", .crop_mg = 200000, .takes = takes, .take_count = 1};
    (void)state;
    house_open(&h);
    seed_order = (struct seed_order){.item = "MUNGSEED",
                                     .lead_ms = INT64_C(7) * PLANS_DAY_MS,
                                     .cover_ms = INT64_C(28) * PLANS_DAY_MS,
                                     .accept_ms = -1};
    sesame_order = seed_order;
    sesame_order.item = "SESAME";
    with = *h.lg->profile;
    with.planning.recipes = &recipe;
    with.planning.recipe_count = 1;
    with.planning.seed_orders = &seed_order;
    with.planning.seed_order_count = 1;
    with.planning.ingredient_orders = &sesame_order;
    with.planning.ingredient_order_count = 1;
    house_take(&h, "{'kind':'item','code':'SESAME','item_kind':'ingredient'}");
    house_take(&h, "{'kind':'item','code':'FILM','item_kind':'packaging'}");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static void agree(const char *code, const char *item, int days, const char *mass)
{
    house_take(&h,
               "{'kind':'delivery-agree','code':'%s','supplier':'RADICLE','item':'%s','day':'%s',"
               "'mass':'%s'}",
               code, item, plans_day(&h, days), mass);
}

static void read_case(void)
{
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
}

static void a_delivery_is_a_lot_on_its_way(void **state)
{
    (void)state;
    const char *here = plans_seed(&h);
    agree("D-1", "MUNGSEED", 3, "200 kg");
    agree("D-2", "SESAME", 4, "20 kg");
    agree("D-3", "FILM", 2, "10 kg");
    read_case();
    const struct plan_problem *p = &c.problem;
    assert_int_equal(p->seed_lot_count, 2);
    assert_string_equal(planning_seed_lot(&c, 0), here);
    assert_null(planning_seed_lot(&c, 1));
    assert_string_equal(p->seed_lots[1].code, "D-1");
    assert_true(fabs(p->seed_lots[1].kg - 200) < 1e-9);
    assert_int_equal(p->seed_lots[1].from_day, 3 + 7); /* tests and approval */
    assert_int_equal(p->seed_lots[1].markets, (1U << p->market_count) - 1);
    assert_int_equal(p->ingredients[0].lot_count, 1);
    assert_true(fabs(p->ingredients[0].lots[0].kg - 20) < 1e-9);
    assert_int_equal(p->ingredients[0].lots[0].from_day, 4);
    assert_int_equal(c.agreed_count, 3);
    assert_int_equal(c.agreed[0].from_day, 10);
    assert_int_equal(c.agreed[1].from_day, 4);
    assert_int_equal(c.agreed[2].from_day, PLAN_NONE); /* no recipe takes it */
    seed_order.accept_ms = INT64_C(12) * PLANS_DAY_MS;
    sesame_order.accept_ms = PLANS_DAY_MS + 1;
    read_case();
    assert_int_equal(c.problem.seed_lots[1].from_day, 3 + 12);
    assert_int_equal(c.problem.ingredients[0].lots[0].from_day, 4 + 2);
}

/* Neither what came nor what did not come on its day is on its way. */
static void what_came_or_is_late_is_not_counted_on(void **state)
{
    (void)state;
    agree("D-1", "SESAME", 0, "20 kg");
    agree("D-2", "SESAME", -1, "30 kg");
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'SESAME','mass':'15 kg',"
               "'instrument':'SCALE','place':'STORE','best_before':'%s','delivery':'D-1'}",
               plans_day(&h, 90));
    read_case();
    const struct plan_ingredient *x = &c.problem.ingredients[0];
    assert_int_equal(x->lot_count, 2);
    assert_true(fabs(x->lots[0].kg - 15) < 1e-9);
    assert_true(fabs(x->lots[1].kg - 5) < 1e-9);
    assert_int_equal(c.agreed_count, 2);
    assert_int_equal(c.agreed[1].from_day, PLAN_NONE);
}

static const json_t *of_item(const json_t *plan, const char *list, const char *item)
{
    const json_t *o, *found = NULL;
    size_t i;
    json_array_foreach(json_object_get(plan, list), i, o)
    {
        found = strcmp(json_string_value(json_object_get(o, "item")), item) == 0 ? o : found;
    }
    return found;
}

static json_t *board(struct plan_outcome *outcome)
{
    struct planning_why why;
    read_case();
    assert_ok(planning_at_once(&c, &h.arena, outcome));
    json_t *plan = planning_json(&c, outcome, &h.arena, "en");
    planning_why(&c, outcome, &with, &h.arena, &why);
    planning_board(&c, outcome, &why, &h.arena, "en", plan);
    return plan;
}

/* Nothing is here; what is agreed is soaked, and taken without a lot that is none yet. */
static void it_is_planned_with_and_told_so(void **state)
{
    struct plan_outcome outcome;
    (void)state;
    agree("D-1", "MUNGSEED", 2, "300 kg");
    agree("D-2", "SESAME", 4, "20 kg");
    plans_order(&h, "O-1", 19, 1000);
    json_t *plan = board(&outcome);
    assert_int_equal(outcome.met_pieces[0], 1000);
    const json_t *start = json_array_get(json_object_get(plan, "starts"), 0);
    const json_t *seed = json_array_get(json_object_get(start, "seed"), 0);
    assert_string_equal(json_string_value(json_object_get(seed, "lot")), "D-1");
    assert_true(json_is_true(json_object_get(seed, "agreed")));
    const char *soak = json_string_value(json_object_get(start, "soak"));
    assert_true(strcmp(soak, plans_day(&h, 9)) >= 0);
    const json_t *agreed = of_item(plan, "agreed", "MUNGSEED");
    assert_string_equal(json_string_value(json_object_get(agreed, "from")), plans_day(&h, 9));
    assert_non_null(strstr(json_string_value(json_object_get(agreed, "sentence")),
                           "D-1: 300 kg of MUNGSEED from RADICLE comes on"));
    json_t *take = planning_take(&c, &outcome, NULL, 0, &h.arena);
    const json_t *taken = json_array_get(json_object_get(take, "starts"), 0);
    assert_non_null(json_object_get(taken, "seed"));
    assert_null(json_object_get(taken, "seed_lot"));
    json_decref(take);
    json_decref(plan);
}

static int64_t to_order_g(const char *item)
{
    struct plan_outcome outcome;
    json_t *plan = board(&outcome);
    const json_t *buy = of_item(plan, "purchase", item);
    int64_t g = json_integer_value(json_object_get(buy, "order_g"));
    json_decref(plan);
    return g;
}

static void what_is_agreed_is_not_bought_again(void **state)
{
    struct plan_outcome outcome;
    (void)state;
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1000);
    int64_t alone = to_order_g("SESAME");
    assert_true(alone >= 10000); /* for the order, and for the days of the cover */
    agree("D-2", "SESAME", 4, "6 kg");
    json_t *plan = board(&outcome);
    const json_t *buy = of_item(plan, "purchase", "SESAME");
    assert_int_equal(json_integer_value(json_object_get(buy, "agreed_g")), 6000);
    assert_int_equal(json_integer_value(json_object_get(buy, "here_g")), 0);
    int64_t rest = json_integer_value(json_object_get(buy, "order_g"));
    assert_true(rest > 0 && rest < alone);
    json_decref(plan);
    agree("D-3", "SESAME", 4, "300 kg");
    assert_int_equal(to_order_g("SESAME"), 0);
}

/* Sachets of 10 g, one in a pack: they are asked for, awaited and told in pieces. */
static void what_is_bought_by_the_piece_is_asked_for_in_pieces(void **state)
{
    struct plan_outcome outcome;
    (void)state;
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1000);
    house_take(&h, "{'kind':'item','code':'SESAME','item_kind':'ingredient','net':'10 g'}");
    house_take(&h,
               "{'kind':'delivery-agree','code':'D-2','supplier':'RADICLE','item':'SESAME',"
               "'day':'%s','pieces':600}",
               plans_day(&h, 4));
    json_t *plan = board(&outcome);
    assert_true(fabs(c.problem.ingredients[0].lots[0].kg - 6) < 1e-9);
    const json_t *buy = of_item(plan, "purchase", "SESAME");
    int64_t g = json_integer_value(json_object_get(buy, "order_g"));
    int64_t pieces = json_integer_value(json_object_get(buy, "order_pieces"));
    assert_true(g > 0);
    assert_int_equal(pieces, (g + 9) / 10);
    assert_non_null(strstr(json_string_value(json_object_get(buy, "sentence")),
                           arena_printf(&h.arena, "%lld pieces of SESAME", (long long)pieces)));
    const json_t *agreed = of_item(plan, "agreed", "SESAME");
    assert_int_equal(json_integer_value(json_object_get(agreed, "pieces")), 600);
    assert_non_null(strstr(json_string_value(json_object_get(agreed, "sentence")),
                           "D-2: 600 pieces of SESAME from RADICLE comes on"));
    json_decref(plan);
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'SESAME','pieces':200,"
               "'place':'STORE','best_before':'%s','delivery':'D-2'}",
               plans_day(&h, 90));
    plan = board(&outcome);
    agreed = of_item(plan, "agreed", "SESAME");
    assert_int_equal(json_integer_value(json_object_get(agreed, "pieces")), 400);
    assert_int_equal(json_integer_value(json_object_get(agreed, "whole_pieces")), 600);
    json_decref(plan);
}

static void one_that_is_late_says_so(void **state)
{
    struct plan_outcome outcome;
    (void)state;
    agree("D-2", "SESAME", -1, "6 kg");
    json_t *plan = board(&outcome);
    const json_t *agreed = of_item(plan, "agreed", "SESAME");
    assert_true(json_is_true(json_object_get(agreed, "late")));
    assert_true(json_is_null(json_object_get(agreed, "from")));
    assert_non_null(strstr(json_string_value(json_object_get(agreed, "sentence")), "was to come"));
    json_decref(plan);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_delivery_is_a_lot_on_its_way),
        TEST(what_came_or_is_late_is_not_counted_on),
        TEST(it_is_planned_with_and_told_so),
        TEST(what_is_agreed_is_not_bought_again),
        TEST(one_that_is_late_says_so),
        TEST(what_is_bought_by_the_piece_is_asked_for_in_pieces),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
