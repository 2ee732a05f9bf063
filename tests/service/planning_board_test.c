/* What stands on the board beside a plan: why, what for, when the rest, which seed. */
#include "plans.h"

static struct house h;
static struct planning_case c;
static struct plan_outcome outcome;
static struct planning_why why;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static json_t *board(const char *lang)
{
    plans_read(&h, &c);
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    planning_why(&c, &outcome, h.lg->profile, &h.arena, &why);
    json_t *plan = planning_json(&c, &outcome, &h.arena, lang);
    planning_board(&c, &outcome, &why, &h.arena, lang, plan);
    return plan;
}

static const json_t *first_of(const json_t *plan, const char *list)
{
    const json_t *first = json_array_get(json_object_get(plan, list), 0);
    assert_non_null(first);
    return first;
}

static int64_t number(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static const char *text(const json_t *o, const char *key)
{
    const char *value = json_string_value(json_object_get(o, key));
    assert_non_null(value);
    return value;
}

static void each_start_says_what_it_is_for(void **state)
{
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    json_t *plan = board("en");
    double kg = 0;
    size_t i, k;
    json_t *start, *use;
    json_array_foreach(json_object_get(plan, "starts"), i, start)
    {
        json_array_foreach(json_object_get(start, "for"), k, use)
        {
            assert_string_equal(text(use, "order"), "O-1");
            assert_string_equal(text(use, "day"), plans_day(&h, 14));
            kg += (double)number(use, "g") / 1000;
        }
    }
    assert_true(kg > 1599 * 0.25125 &&
                kg < 1601 * 0.25125); /* a piece weighs half a per cent more */
    const json_t *order = first_of(plan, "orders");
    assert_int_equal(number(order, "met"), 1600);
    assert_true(json_is_null(json_object_get(order, "rest")));
    const json_t *sums = json_object_get(plan, "sums");
    assert_int_equal(number(sums, "booked"), 1600);
    assert_int_equal(number(sums, "booked_met"), 1600);
    assert_int_equal(number(sums, "short_orders"), 0);
    json_decref(plan);
}

/* Three chambers, each with at most 130 kg of seed. */
static void a_shortage_says_what_one_more_would_give_and_when_the_rest_comes(void **state)
{
    plans_seed(&h);
    plans_order(&h, "O-1", 12, 9000);
    json_t *plan = board("en");
    const json_t *x = first_of(plan, "shorts"), *gain = json_object_get(x, "gain");
    assert_string_equal(text(x, "limit"), "seed");
    assert_true(number(gain, "pieces") > 0);
    assert_non_null(strstr(text(gain, "sentence"), "kg more of MUNGSEED would give"));
    const json_t *rest = json_object_get(first_of(plan, "orders"), "rest");
    assert_int_equal(number(rest, "pieces"), number(x, "pieces"));
    assert_true(json_is_null(json_object_get(rest, "day"))); /* there is no seed for it */
    json_decref(plan);
    plan = board("es");
    assert_non_null(strstr(text(json_object_get(first_of(plan, "shorts"), "gain"), "sentence"),
                           "kg más de MUNGSEED"));
    json_decref(plan);
}

static void seed_is_to_be_bought_before_it_runs_out(void **state)
{
    plans_seed(&h);
    plans_order(&h, "O-1", 12, 9000);
    json_t *plan = board("en");
    const json_t *buy = first_of(plan, "purchase");
    assert_string_equal(text(buy, "item"), "MUNGSEED");
    assert_int_equal(number(buy, "here_g"), 300000);
    assert_true(number(buy, "use_g") > 300000);
    assert_int_equal(number(buy, "order_g") % 25000, 0); /* in sacks, as the profile says */
    assert_true(number(buy, "order_g") >= 500000);
    assert_true(number(buy, "late_days") > 0); /* three weeks of lead, and it runs out before */
    assert_non_null(strstr(text(buy, "sentence"), "should have been ordered"));
    json_decref(plan);
    plans_order(&h, "O-1", 12, 0 + 1000); /* a smaller one: what is here lasts */
    plan = board("en");
    size_t i;
    json_t *o;
    json_array_foreach(json_object_get(plan, "purchase"), i, o)
    {
        assert_true(number(o, "use_g") < 300000);
    }
    json_decref(plan);
}

/* Starts of the plan's last days serve what comes after it: their seed is to be had as well. */
static void seed_is_bought_for_the_starts_of_the_last_days_too(void **state)
{
    plans_seed_of(&h, "MUNGSEED", 900);
    for (int day = 12; day < 21; day++) {
        plans_order(&h, arena_printf(&h.arena, "O-%d", day), day, 1000);
    }
    json_t *plan = board("en");
    const json_t *buy = first_of(plan, "purchase");
    int crop = c.problem.products[c.problem.lines[0].product].crop;
    const struct plan_way *way = &c.problem.crops[crop].ways[0];
    double kg = 9 * 1000 * 0.25125 / plan_way_yield(way); /* filled with half a per cent more */
    double later_kg = kg * way->grow_days / c.problem.day_count;
    assert_string_equal(text(buy, "item"), "MUNGSEED");
    assert_true((double)number(buy, "use_g") / 1000 >= kg + later_kg - 0.1);
    assert_true((double)number(buy, "use_g") / 1000 <= kg + later_kg + 130); /* a chamber */
    json_decref(plan);
}

/* No more than three chambers of 130 kg can use, whatever is ordered. */
static void no_more_seed_is_bought_than_chambers_grow(void **state)
{
    plans_seed(&h);
    plans_order(&h, "O-1", 20, 1000000);
    json_t *plan = board("en");
    const json_t *buy = first_of(plan, "purchase");
    const struct plan_way *way = &c.problem.crops[c.problem.products[0].crop].ways[0];
    double most_kg =
        3 * 130.0 * c.problem.day_count / (plan_way_days(way) + c.problem.cleaning_days);
    assert_string_equal(text(buy, "item"), "MUNGSEED");
    assert_true((double)number(buy, "use_g") / 1000 <= most_kg + 130);
    json_decref(plan);
}

static void what_grows_and_what_is_out_stand_in_the_picture(void **state)
{
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_take(&h, "{'kind':'place','code':'C3','place_kind':'chamber','in_service':false}");
    json_t *plan = board("en");
    const json_t *running = first_of(plan, "running"), *out = first_of(plan, "out");
    assert_string_equal(text(running, "lot"), lot);
    assert_string_equal(text(running, "chamber"), "C2");
    assert_string_equal(text(out, "chamber"), "C3");
    assert_true(json_is_null(json_object_get(out, "to")));
    assert_int_equal(number(plan, "chambers"), 3);
    json_decref(plan);
}

static void a_plan_taken_tells_each_order(void **state)
{
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    json_decref(board("en"));
    json_t *command = planning_take(&c, &outcome, why.promises, why.promise_count, &h.arena);
    const json_t *told = first_of(command, "promises");
    assert_string_equal(text(told, "order"), "O-1");
    assert_string_equal(text(told, "day"), plans_day(&h, 14));
    assert_int_equal(number(told, "pieces"), 1600);
    assert_ok(house_send_json(&h, command));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(each_start_says_what_it_is_for),
        TEST(a_shortage_says_what_one_more_would_give_and_when_the_rest_comes),
        TEST(seed_is_to_be_bought_before_it_runs_out),
        TEST(seed_is_bought_for_the_starts_of_the_last_days_too),
        TEST(no_more_seed_is_bought_than_chambers_grow),
        TEST(what_grows_and_what_is_out_stand_in_the_picture),
        TEST(a_plan_taken_tells_each_order),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
