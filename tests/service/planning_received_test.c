/* Planning problems of a hall that receives fruit, read from a small record. */
#include "hall.h"

#include <math.h>

static const struct intake_store *store_of(const struct planning_received *c, const char *name)
{
    for (int i = 0; i < c->problem.store_count; i++) {
        if (strcmp(c->problem.stores[i].code, name) == 0) {
            return &c->problem.stores[i];
        }
    }
    fail_msg("no store %s", name);
    return NULL;
}

static bool is(double x, double wanted)
{
    return x > wanted - 1e-9 && x < wanted + 1e-9;
}

static void a_hall_at_rest_is_a_problem(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    hall_open(&h);
    hall_read(&h, &c);
    const struct intake_problem *p = &c.problem;
    assert_int_equal(p->first_day, h.fixed.now_ms / HALL_DAY_MS);
    assert_int_equal(p->day_count, 14);
    assert_int_equal(p->good_count, 14);
    assert_int_equal(p->lot_count, 0);
    /* cold rooms in service together; tanks by the smallest */
    assert_true(is(store_of(&c, "cold rooms")->limit[3], 15000));
    assert_true(is(store_of(&c, "tanks")->tank_size, 1000));
    assert_int_equal(store_of(&c, "tanks")->tank_count, 2);
    assert_true(isinf(store_of(&c, "dry store")->limit[0])); /* STORE has no capacity */
    assert_true(is(p->goods[8].room_per_kg, 1 / 1.2));
    /* a Monday: HESPERIDIUM-1 comes on it, on Wednesday, on Friday, the growers between */
    assert_int_equal(p->delivery_count, 3 * 2 + 2 * 2);
    assert_int_equal(p->deliveries[0].day, 0);
    assert_true(is(p->deliveries[0].kg, 4000));
    assert_true(p->deliveries[0].is_booked);
    assert_true(is(p->machines[0].hours[0], 14));
    assert_true(is(p->machines[0].hours[6], 0)); /* Sunday */
    assert_true(is(p->uses[0].needs[0].hours_per_kg, 1.0 / 1200));
    assert_true(is(p->uses[10].parts[0].share, 1.172));
    assert_true(isinf(p->offers[1].kg_in_all));
    assert_int_equal(p->product_count, 2);
    assert_int_equal(p->line_count, 0);
    house_close(&h);
}

static void fruit_that_stands_is_seen_by_its_supplier(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "1500 kg");
    hall_receive(&h, "ALBEDO-2", "700 kg"); /* not approved: held */
    hall_read(&h, &c);
    assert_int_equal(c.problem.lot_count, 1);
    assert_string_equal(c.problem.goods[c.problem.lots[0].good].code, "limes of HESPERIDIUM-1");
    assert_true(is(c.problem.lots[0].kg, 1500));
    assert_int_equal(c.problem.lots[0].born_day, 0);
    /* what has come today is taken off today's delivery */
    assert_true(is(c.problem.deliveries[0].kg, 2500));
    house_wait(&h, "2 d");
    hall_read(&h, &c);
    assert_int_equal(c.problem.lots[0].born_day, -2);
    assert_true(is(c.problem.deliveries[0].kg, 4000));
    house_close(&h);
}

static double due(const struct planning_received *c, const char *key, int day)
{
    double kg = 0;
    for (int i = 0; i < c->problem.delivery_count; i++) {
        const struct intake_delivery *d = &c->problem.deliveries[i];
        kg += strcmp(d->key, key) == 0 && d->day == day ? d->kg : 0;
    }
    return kg;
}

/* A delivery agreed comes beside the standing ones; what comes of it is taken off it alone. */
static void a_delivery_agreed_comes_as_well(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    hall_open(&h);
    house_take(&h,
               "{'kind':'delivery-agree','code':'PERICARP-7','supplier':'HESPERIDIUM-1',"
               "'item':'LIME','day':'%s','mass':'2 t'}",
               hall_day(&h, 0));
    house_take(&h,
               "{'kind':'delivery-agree','code':'PERICARP-8','supplier':'HESPERIDIUM-1',"
               "'item':'LIME','day':'%s','mass':'900 kg'}",
               hall_day(&h, 3));
    hall_read(&h, &c);
    assert_int_equal(c.problem.delivery_count, 3 * 2 + 2 * 2 + 2);
    assert_true(is(due(&c, "PERICARP-7", 0), 2000));
    assert_true(is(due(&c, "PERICARP-8", 3), 900));
    const struct intake_delivery *last = &c.problem.deliveries[c.problem.delivery_count - 1];
    assert_true(last->is_booked);
    assert_string_equal(c.problem.goods[last->good].code, "limes of HESPERIDIUM-1");
    double standing = c.problem.deliveries[0].kg;
    house_take(&h, "{'kind':'receive','supplier':'HESPERIDIUM-1','item':'LIME','mass':'700 kg',"
                   "'instrument':'SCALE','place':'COLD-1','supplier_lot':'L-1',"
                   "'delivery':'PERICARP-7'}");
    hall_read(&h, &c);
    assert_true(is(due(&c, "PERICARP-7", 0), 1300));
    assert_true(is(c.problem.deliveries[0].kg, standing));
    house_take(&h,
               "{'kind':'delivery-agree','code':'PERICARP-8','supplier':'HESPERIDIUM-1',"
               "'item':'LIME','day':'%s','mass':'900 kg','active':false}",
               hall_day(&h, 3));
    house_wait(&h, "1 d"); /* the rest of the other was for yesterday */
    hall_read(&h, &c);
    assert_true(is(due(&c, "PERICARP-7", 0), 0));
    assert_true(is(due(&c, "PERICARP-8", 2), 0));
    house_close(&h);
}

static void orders_are_met_from_fruit(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    hall_order(&h, "B", "LIME-BOTTLE", 2, 300);
    hall_read(&h, &c);
    assert_int_equal(c.problem.line_count, 2);
    assert_string_equal(c.problem.products[c.problem.lines[0].product].code, "LIME-BOX");
    assert_int_equal(c.problem.groups[c.problem.lines[0].group].remaining_days, 14);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    assert_int_equal(x.met_pieces[0], 200);
    assert_int_equal(x.met_pieces[1], 300);
    assert_int_equal(x.short_count, 0);
    /* a dearer shortage where the good's own value says so: bottles 3, boxes 2.2 a kg */
    assert_true(c.problem.lines[1].shortage_cost_per_kg > c.problem.lines[0].shortage_cost_per_kg);
    /* more than 44 % of the fruit there is today */
    hall_order(&h, "C", "LIME-BOX", 0, 900);
    hall_read(&h, &c);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    assert_true(x.short_count > 0);
    house_close(&h);
}

static void a_tank_without_capacity_is_no_store(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    hall_open(&h);
    house_take(&h, "{'kind':'place','code':'TANK-3','place_kind':'tank'}");
    struct result r = planning_received_read(h.store, h.lg->profile, h.fixed.now_ms, &h.arena, &c);
    assert_int_equal(r.code, CODE_PLAN_FIELD);
    assert_string_equal(r.field, "tanks");
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hall_at_rest_is_a_problem),
        cmocka_unit_test(fruit_that_stands_is_seen_by_its_supplier),
        cmocka_unit_test(a_delivery_agreed_comes_as_well),
        cmocka_unit_test(orders_are_met_from_fruit),
        cmocka_unit_test(a_tank_without_capacity_is_no_store),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
