#include <math.h>

#include "plans.h"

static struct house h;
static struct profile with;
static struct planning_case c;

/* A pack of mung sprouts of 250 g is a dish here: 200 g of them, 10 g of sesame. */
static int set_up(void **state)
{
    static struct pack_take takes[] = {{"SESAME", 10000}};
    static struct pack_recipe recipes[2] = {
        {.item = "NOT-HERE", .crop_mg = 1000, .takes = takes, .take_count = 1},
        {.item = "MUNG250", .crop_mg = 200000, .takes = takes, .take_count = 1}};
    static struct seed_order order = {.item = "SESAME",
                                      .lead_ms = INT64_C(7) * PLANS_DAY_MS,
                                      .least_mg = 25000000,
                                      .cover_ms = INT64_C(28) * PLANS_DAY_MS};
    (void)state;
    house_open(&h);
    with = *h.lg->profile;
    with.planning.recipes = recipes;
    with.planning.recipe_count = 2;
    with.planning.ingredient_orders = &order;
    with.planning.ingredient_order_count = 1;
    house_take(&h, "{'kind':'item','code':'SESAME','item_kind':'ingredient'}");
    plans_seed(&h);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static const char *receive(const char *mass, const char *best_before)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'SESAME','mass':'%s',"
               "'instrument':'SCALE','place':'STORE','best_before':'%s'}",
               mass, best_before);
    return house_answer(&h, "lot");
}

static void read_case(void)
{
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
}

static void the_recipe_is_in_the_problem(void **state)
{
    (void)state;
    receive("6 kg", plans_day(&h, 9));
    receive("4 kg", plans_day(&h, 60));
    read_case();
    const struct plan_problem *p = &c.problem;
    assert_int_equal(p->ingredient_count, 1);
    const struct plan_ingredient *x = &p->ingredients[0];
    assert_string_equal(x->code, "SESAME");
    assert_int_equal(x->lot_count, 2);
    assert_true(fabs(x->lots[0].kg - 6) < 1e-9);
    assert_int_equal(x->lots[0].last_day, 9);
    assert_true(fabs(x->lots[1].kg - 4) < 1e-9);
    int dish = PLAN_NONE;
    for (int i = 0; i < p->product_count; i++) {
        dish = strcmp(p->products[i].code, "MUNG250") == 0 ? i : dish;
        double each = strcmp(p->products[i].code, "MUNG250") == 0 ? 0.01 : 0;
        assert_true(fabs(x->kg_per_piece[i] - each) < 1e-12);
    }
    /* half a per cent more than the label says */
    assert_true(fabs(p->products[dish].crop_kg - 0.201) < 1e-9);
    assert_true(fabs(p->products[dish].net_kg - 0.25125) < 1e-9);
}

/* 100 g of soy sprouts go with the mung sprouts; the crop named first is the dish's own. */
static void a_dish_of_two_crops_is_in_the_problem(void **state)
{
    static struct pack_crop soy = {"SOY", 100000}, mung = {"MUNG", 100000};
    struct pack_recipe *dish = &with.planning.recipes[1];
    (void)state;
    for (int turned = 0; turned < 2; turned++) {
        dish->crop = turned ? "SOY" : "MUNG";
        dish->with = turned ? &mung : &soy;
        dish->with_count = 1;
        read_case();
        const struct plan_problem *p = &c.problem;
        assert_ok(plan_problem_check(p));
        for (int i = 0; i < p->product_count; i++) {
            const struct plan_product *x = &p->products[i];
            bool is_dish = strcmp(x->code, "MUNG250") == 0;
            assert_int_equal(x->with_count, is_dish);
            if (!is_dish) {
                continue;
            }
            assert_string_equal(p->crops[x->crop].code, turned ? "SOY" : "MUNG");
            assert_string_equal(p->crops[x->with[0].crop].code, turned ? "MUNG" : "SOY");
            assert_true(fabs(x->crop_kg - 0.201) < 1e-9);
            assert_true(fabs(x->with[0].kg - 0.1005) < 1e-9);
        }
    }
    dish->crop = NULL;
    dish->with_count = 0;
}

/* There is no soy seed: the dish is short, of soy. */
static void a_dish_is_short_of_its_second_crop(void **state)
{
    static struct pack_crop soy = {"SOY", 100000};
    struct pack_recipe *dish = &with.planning.recipes[1];
    struct plan_outcome outcome;
    (void)state;
    receive("60 kg", plans_day(&h, 60));
    plans_order(&h, "O-1", 14, 1000);
    dish->crop = "MUNG";
    dish->with = &soy;
    dish->with_count = 1;
    read_case();
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_int_equal(outcome.met_pieces[0], 0);
    assert_int_equal(outcome.start_count, 0); /* nor is mung started for nothing */
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    const json_t *first = json_array_get(json_object_get(plan, "shorts"), 0);
    assert_non_null(strstr(json_string_value(json_object_get(first, "sentence")),
                           "of the SOY in it, no usable seed is left"));
    json_decref(plan);
    dish->crop = NULL;
    dish->with_count = 0;
}

static void what_is_held_is_not_there(void **state)
{
    (void)state;
    const char *lot = receive("6 kg", plans_day(&h, 60));
    house_take(&h,
               "{'kind':'hold','lot':'%s','stops':['use'],'hold_kind':'quality',"
               "'reason':'smells','needs':'decision'}",
               lot);
    read_case();
    assert_int_equal(c.problem.ingredients[0].lot_count, 0);
}

/* 6 kg for 600 dishes of the 1000 ordered. */
static void what_runs_out_is_named_and_to_be_bought(void **state)
{
    struct plan_outcome outcome;
    struct planning_why why;
    (void)state;
    receive("6 kg", plans_day(&h, 60));
    plans_order(&h, "O-1", 14, 1000);
    read_case();
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_int_equal(outcome.met_pieces[0], 600);
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    planning_why(&c, &outcome, &with, &h.arena, &why);
    planning_board(&c, &outcome, &why, &h.arena, "en", plan);
    const json_t *first = json_array_get(json_object_get(plan, "shorts"), 0);
    assert_string_equal(json_string_value(json_object_get(first, "limit")), "ingredient");
    assert_non_null(
        strstr(json_string_value(json_object_get(first, "sentence")), "SESAME runs out"));
    const json_t *gain = json_object_get(first, "gain");
    assert_int_equal(json_integer_value(json_object_get(gain, "pieces")), 400);
    const json_t *buy = NULL, *o;
    size_t i;
    json_array_foreach(json_object_get(plan, "purchase"), i, o)
    {
        buy = strcmp(json_string_value(json_object_get(o, "item")), "SESAME") == 0 ? o : buy;
    }
    assert_non_null(buy);
    assert_int_equal(json_integer_value(json_object_get(buy, "here_g")), 6000);
    assert_int_equal(json_integer_value(json_object_get(buy, "use_g")), 10000);
    assert_int_equal(json_integer_value(json_object_get(buy, "order_g")), 25000);
    json_decref(plan);
    receive("4 kg", plans_day(&h, 60));
    read_case();
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_int_equal(outcome.met_pieces[0], 1000);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_recipe_is_in_the_problem),
        TEST(a_dish_of_two_crops_is_in_the_problem),
        TEST(a_dish_is_short_of_its_second_crop),
        TEST(what_is_held_is_not_there),
        TEST(what_runs_out_is_named_and_to_be_bought),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
