/* What if: problems of a hall changed on the way to a plan. */
#include "hall.h"

#include <math.h>

#include "service/planning_received_change.h"

static struct house h;
static struct planning_received was, now;

static int set_up(void **state)
{
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    hall_read(&h, &was);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* day stands for DAY; ' for ". */
static struct result changed(const char *text, const char *day)
{
    char *all = arena_copy(&h.arena, text), *at = strstr(all, "DAY");
    if (at != NULL) {
        *at = '\0';
        all = arena_printf(&h.arena, "%s%s%s", all, day, at + 3);
    }
    for (char *c = all; *c != '\0'; c++) {
        *c = *c == '\'' ? '"' : *c;
    }
    json_t *changes = json_loads(all, 0, NULL);
    assert_non_null(changes);
    now = was;
    struct result r =
        planning_received_change(h.store, h.lg->profile, h.fixed.now_ms, &h.arena, changes, &now);
    json_decref(changes);
    return r;
}

static bool is(double x, double wanted)
{
    return x > wanted - 1e-9 && x < wanted + 1e-9;
}

static void a_store_and_a_machine(void **state)
{
    (void)state;
    assert_ok(changed("[{'what':'store','name':'cold rooms','milli':5000000},"
                      "{'what':'store','name':'tanks','milli':2500000},"
                      "{'what':'machine','name':'press','minutes':90}]",
                      ""));
    assert_true(is(now.problem.stores[0].limit[5], 5000));
    assert_true(is(was.problem.stores[0].limit[5], 15000));
    assert_int_equal(now.problem.stores[1].tank_count, 3); /* of 1000 L: as many as hold it */
    assert_true(is(now.problem.machines[2].hours[0], 1.5));
    assert_true(is(now.problem.machines[2].hours[6], 0)); /* Sunday stays one */
    assert_code(changed("[{'what':'store','name':'attic','milli':1}]", ""), FIELD_CHOICE);
    assert_code(changed("[{'what':'machine','name':'mill','minutes':1}]", ""), FIELD_CHOICE);
    assert_code(changed("[{'what':'machine','name':'press','minutes':1441}]", ""), FIELD_RANGE);
}

static void an_order_and_one_more(void **state)
{
    (void)state;
    assert_ok(changed("[{'what':'order','order':'A','pieces':350},"
                      "{'what':'order','item':'LIME-BOTTLE','day':'DAY','pieces':60}]",
                      hall_day(&h, 4)));
    assert_int_equal(now.problem.line_count, was.problem.line_count + 1);
    const struct plan_line *more = &now.problem.lines[was.problem.line_count];
    assert_int_equal(now.problem.lines[0].pieces, 350);
    assert_int_equal(was.problem.lines[0].pieces, 200);
    assert_int_equal(more->day, 4);
    assert_int_equal(more->pieces, 60);
    assert_true(more->shortage_cost_per_kg > 0);
    assert_non_null(planning_order(&now.demand, was.problem.line_count));
    assert_code(changed("[{'what':'order','order':'Z','pieces':1}]", ""), ORDER_UNKNOWN);
    assert_code(
        changed("[{'what':'order','item':'LIME','day':'DAY','pieces':60}]", hall_day(&h, 4)),
        ITEM_UNKNOWN);
    assert_code(
        changed("[{'what':'order','item':'LIME-BOX','day':'DAY','pieces':60}]", hall_day(&h, 40)),
        FIELD_RANGE);
    assert_code(changed("[{'what':'order','item':'LIME-BOX','group':'moon','day':'DAY',"
                        "'pieces':60}]",
                        hall_day(&h, 4)),
                PARTNER_UNKNOWN);
}

/* Fruit offered for nothing is fruit the plan may take: it never costs more. */
static void fruit_that_is_offered(void **state)
{
    (void)state;
    struct intake_outcome before, after;
    assert_ok(changed("[{'what':'offer','good':'firsts','day':'DAY','g':900000,"
                      "'price_milli':250}]",
                      hall_day(&h, 2)));
    const struct intake_offer *more = &now.problem.offers[was.problem.offer_count];
    assert_int_equal(now.problem.offer_count, was.problem.offer_count + 1);
    assert_int_equal(more->lead_days, 2);
    assert_true(is(more->kg_in_all, 900));
    assert_true(is(more->price_per_kg, 0.25));
    assert_ok(planning_received_make(&h.arena, &was, 0, NULL, &before));
    assert_ok(planning_received_make(&h.arena, &now, 0, NULL, &after));
    assert_true(after.cost <= before.cost + 1e-6);
    assert_code(changed("[{'what':'offer','good':'pears','day':'DAY','g':1,'price_milli':0}]",
                        hall_day(&h, 2)),
                FIELD_CHOICE);
    assert_code(changed("[{'what':'wish'}]", ""), FIELD_CHOICE);
    assert_code(changed("['wish']", ""), FIELD_TYPE);
}

/* On Wednesday nothing is packed, or nothing at all; what was closed is opened again. */
static void a_day_closed_and_opened(void **state)
{
    (void)state;
    assert_ok(changed("[{'what':'closed-day','day':'DAY','of':'pack'}]", hall_day(&h, 2)));
    assert_true(is(now.problem.machines[1].hours[2], 0)); /* packing */
    assert_true(is(now.problem.machines[0].hours[2], 14));
    assert_true(is(was.problem.machines[1].hours[2], 14));
    assert_ok(changed("[{'what':'closed-day','day':'DAY'}]", hall_day(&h, 2)));
    for (int m = 0; m < now.problem.machine_count; m++) {
        assert_true(is(now.problem.machines[m].hours[2], 0));
        assert_true(is(now.problem.machines[m].hours[3], was.problem.machines[m].hours[3]));
    }
    const char *day = hall_day(&h, 2);
    assert_ok(changed(arena_printf(&h.arena,
                                   "[{'what':'closed-day','day':'%s'},"
                                   "{'what':'open-day','day':'%s'}]",
                                   day, day),
                      ""));
    assert_true(is(now.problem.machines[0].hours[2], 14));
    assert_code(changed("[{'what':'closed-day','day':'DAY','of':'tea'}]", day), FIELD_CHOICE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_store_and_a_machine),
        TEST(an_order_and_one_more),
        TEST(fruit_that_is_offered),
        TEST(a_day_closed_and_opened),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
