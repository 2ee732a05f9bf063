/* Standing orders in a planning problem: eaten up by orders, not counted twice, said by name. */
#include "plans.h"

static void standing(struct house *h, const char *code, const char *weekdays, int pieces,
                     const char *more)
{
    house_take(h,
               "{'kind':'standing-order','code':'%s','customer':'COTYLEDON','item':'MUNG250',"
               "'weekdays':[%s],'pieces':%d,'from':'%s'%s,'person':9}",
               code, weekdays, pieces, plans_day(h, -40), more);
}

static const char *const every_day = "'mon','tue','wed','thu','fri','sat','sun'";

/* Pieces of a day: of standing orders, else booked or foretold. */
static int64_t pieces_on(const struct planning_case *c, int day, bool of_standing)
{
    int64_t pieces = 0;
    for (int i = 0; i < c->problem.line_count; i++) {
        const struct plan_line *line = &c->problem.lines[i];
        pieces += line->day == day && (line->standing != NULL) == of_standing ? line->pieces : 0;
    }
    return pieces;
}

static void orders_of_the_day_eat_it_up(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    standing(&h, "S-1", every_day, 100, "");
    standing(&h, "S-2", every_day, 30, "");
    plans_order(&h, "O-4", 4, 40);
    plans_order(&h, "O-5", 5, 110);
    plans_order(&h, "O-6", 6, 500);
    plans_order(&h, "O-7", 7, 10);
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'O-7','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':10,'state':'cancelled'}]}",
               plans_day(&h, 7));
    plans_read(&h, &c);
    assert_int_equal(pieces_on(&c, 3, true), 130);
    assert_int_equal(pieces_on(&c, 4, true), 90); /* 60 of the first, 30 of the second */
    assert_int_equal(pieces_on(&c, 5, true), 20);
    assert_int_equal(pieces_on(&c, 6, true), 0);
    assert_int_equal(pieces_on(&c, 7, true), 0); /* told that nothing is wanted */
    assert_int_equal(pieces_on(&c, 4, false), 40);
    assert_int_equal(pieces_on(&c, 20, true), 130);
    house_close(&h);
}

/* Of a day whose pieces were the standing order's all along, nothing more is foretold. */
static void the_forecast_does_not_count_it_twice(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    for (int day = -28; day < 0; day++) {
        plans_order(&h, arena_printf(&h.arena, "P%d", -day), day, 200);
    }
    plans_read(&h, &c);
    assert_int_equal(pieces_on(&c, 5, false), 200);
    standing(&h, "S-1", every_day, 150, "");
    plans_read(&h, &c);
    assert_int_equal(pieces_on(&c, 5, true), 150);
    assert_int_equal(pieces_on(&c, 5, false), 50);
    /* more than was ever ordered: the past had it too, as far as no order stood for it */
    standing(&h, "S-1", every_day, 260, "");
    plans_read(&h, &c);
    assert_int_equal(pieces_on(&c, 5, true), 260);
    assert_int_equal(pieces_on(&c, 5, false), 0);
    house_close(&h);
}

static const char *text_of(const json_t *o, const char *key)
{
    const char *text = json_string_value(json_object_get(o, key));
    return text != NULL ? text : "";
}

static void it_is_firm_and_said_by_its_name(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct safety_choice choice;
    struct planning_why why;
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "O-3", 3, 5);
    standing(&h, "S-1", every_day, 40, arena_printf(&h.arena, ",'to':'%s'", plans_day(&h, 3)));
    plans_read(&h, &c);
    assert_int_equal(c.problem.line_count, 5);
    double firm = c.problem.lines[0].shortage_cost_per_kg;
    for (int i = 0; i < c.problem.line_count; i++) {
        const struct plan_line *line = &c.problem.lines[i];
        assert_non_null(line->key);
        assert_true(line->shortage_cost_per_kg == firm && line->spread_pieces == 0);
    }
    assert_ok(planning_choose(&h.arena, &c, &(struct planning_ask){.seconds = 0}, &choice));
    json_t *plan = planning_json(&c, &choice.outcome, &h.arena, "en");
    planning_why(&c, &choice.outcome, h.lg->profile, &h.arena, &why);
    planning_board(&c, &choice.outcome, &why, &h.arena, "en", plan);
    planning_chance_put(&c, &choice, &h.arena, "en", plan);
    const json_t *shorts = json_object_get(plan, "shorts");
    assert_int_equal(json_array_size(shorts), 5); /* too late for all of them */
    const json_t *x = json_array_get(shorts, 1);
    assert_string_equal(text_of(x, "standing"), "S-1");
    assert_string_equal(text_of(x, "order"), "");
    assert_false(json_is_true(json_object_get(x, "forecast")));
    assert_non_null(strstr(text_of(x, "sentence"), "(standing order S-1)"));
    const json_t *demand = json_array_get(json_object_get(plan, "demand"), 3);
    assert_string_equal(text_of(demand, "day"), plans_day(&h, 3));
    assert_int_equal(json_integer_value(json_object_get(demand, "booked")), 5);
    assert_int_equal(json_integer_value(json_object_get(demand, "standing")), 35);
    assert_int_equal(json_array_size(json_object_get(plan, "orders")), 1);
    /* nobody is promised anything that is no order */
    json_t *command = planning_take(&c, &choice.outcome, why.promises, why.promise_count, &h.arena);
    const json_t *promises = json_object_get(command, "promises");
    for (size_t i = 0; i < json_array_size(promises); i++) {
        assert_string_equal(text_of(json_array_get(promises, i), "order"), "O-3");
    }
    assert_ok(house_send_json(&h, command));
    json_decref(plan);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orders_of_the_day_eat_it_up),
        cmocka_unit_test(the_forecast_does_not_count_it_twice),
        cmocka_unit_test(it_is_firm_and_said_by_its_name),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
