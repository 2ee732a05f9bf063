/* Trucks: what they take, what of it is there, which chambers it comes from. */
#include "dayline_support.h"

static int truck_at(const struct dayline *d, const char *name)
{
    for (int i = 0; i < d->problem.truck_count; i++) {
        if (strcmp(d->problem.trucks[i].code, name) == 0) {
            return i;
        }
    }
    fail_msg("no truck %s", name);
    return -1;
}

static int needs_of(const struct dayline *d, int truck)
{
    int count = 0;
    for (int i = 0; i < d->problem.need_count; i++) {
        count += d->problem.needs[i].truck == truck ? 1 : 0;
    }
    return count;
}

static void orders_of_the_next_day_come_from_the_chambers(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "COTYLEDON", "MUNG250", AHEAD + 1, 400);
    dayline_order(&h, "2", "COTYLEDON", "MUNG250", AHEAD, 400); /* another day's */
    dayline_of(&h, AHEAD, &d);
    int retail = truck_at(&d, "retail"), kitchens = truck_at(&d, "kitchens");
    assert_int_equal(d.problem.truck_count, 3);
    assert_true(kitchens < retail); /* by cut-off */
    assert_int_equal(d.trucks[retail].wanted, 400);
    assert_int_equal(d.trucks[retail].stock, 0);
    assert_int_equal(d.trucks[retail].lacking, 0);
    assert_int_equal(needs_of(&d, retail), 1);
    assert_int_equal(d.problem.trucks[retail].weight, 7); /* priority 3 of 9 */
    assert_int_equal(d.problem.trucks[retail].cut_off, 7 * 60);
    assert_int_equal(d.problem.trucks[retail].load_min, 30);
    assert_int_equal(d.trucks[kitchens].wanted, 0);
    house_close(&h);
}

/* Two chambers of mung give far less than 10000 packs of 250 g. */
static void what_no_chamber_brings_is_lacking(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "COTYLEDON", "MUNG250", AHEAD + 1, 10000);
    dayline_of(&h, AHEAD, &d);
    int retail = truck_at(&d, "retail");
    assert_int_equal(needs_of(&d, retail), 2);
    double kg = (10000 - (double)d.trucks[retail].lacking) * 0.25;
    assert_true(kg > 1000 && kg < 1600);
    house_close(&h);
}

static void stock_goes_first_and_earlier_days_before(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "9 d");
    house_pack(&h, lot); /* 800 packs */
    dayline_order(&h, "1", "COTYLEDON", "MUNG250", 0, 300);
    dayline_order(&h, "2", "COTYLEDON", "MUNG250", 1, 600);
    dayline_of(&h, 0, &d);
    int retail = truck_at(&d, "retail");
    assert_int_equal(d.trucks[retail].wanted, 600);
    assert_int_equal(d.trucks[retail].stock, 500);
    assert_int_equal(d.trucks[retail].lacking, 100);
    assert_int_equal(needs_of(&d, retail), 0);
    house_close(&h);
}

/* As the order book judges: goods that end too soon for who ordered are not loaded. */
static void goods_too_old_for_a_customer_are_not_taken(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "9 d");
    house_pack(&h, lot);
    house_take(&h, "{'kind':'partner','code':'COTYLEDON','role':'customer','group':'retail',"
                   "'market':'US','priority':3,'life_days':60}");
    dayline_order(&h, "1", "COTYLEDON", "MUNG250", 1, 600);
    dayline_of(&h, 0, &d);
    int retail = truck_at(&d, "retail");
    assert_int_equal(d.trucks[retail].wanted, 600);
    assert_int_equal(d.trucks[retail].stock, 0);
    assert_int_equal(d.trucks[retail].lacking, 600);
    house_close(&h);
}

/* A standing order that nobody ordered by goes with its customer's truck, and packs promised in
 * place of others go as they are. */
static void what_is_not_in_the_order_book_is_taken_too(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "9 d");
    house_pack(&h, lot); /* 800 packs of 250 g */
    const char *next = day_text(&h.arena, (int32_t)house_day(&h) + 1);
    house_take(&h, "{'kind':'item','code':'MUNG500','item_kind':'packed','net':'500 g',"
                   "'pieces_per_case':10,'life_days':8,'source_item':'MUNG'}");
    house_take(&h,
               "{'kind':'standing-order','code':'S-1','customer':'COTYLEDON','item':'MUNG250',"
               "'weekdays':['mon','tue','wed','thu','fri','sat','sun'],'pieces':30,'from':'%s',"
               "'to':'%s'}",
               next, next);
    dayline_order(&h, "1", "COTYLEDON", "MUNG500", 1, 100);
    house_take(&h,
               "{'kind':'plan-take','starts':[],'promises':[{'order':'1','day':'%s','pieces':60,"
               "'instead':[{'item':'MUNG250','pieces':60}]}]}",
               next);
    dayline_of(&h, 0, &d);
    int retail = truck_at(&d, "retail"), kitchens = truck_at(&d, "kitchens");
    assert_int_equal(d.trucks[retail].wanted, 130);
    assert_int_equal(d.trucks[retail].stock, 90);
    assert_int_equal(d.trucks[retail].lacking, 40);
    dayline_says(d.trucks[retail].notes,
                 " In place of what was ordered: 60 of MUNG250 (MUNG500 ordered).");
    dayline_says(d.trucks[retail].notes, " 30 of them by standing orders, no order yet: S-1.");
    assert_string_equal(d.trucks[kitchens].notes, "");
    house_close(&h);
}

static void a_truck_leaves_on_its_weekdays(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    struct profile p = *h.lg->profile;
    struct truck only = p.lines.trucks[1];
    struct view v = view_as(&h, 9, "planner");
    only.weekdays = 2; /* Tuesday */
    p.lines.trucks = &only;
    p.lines.truck_count = 1;
    v.profile = &p;
    assert_ok(dayline_read(&v, (int32_t)house_day(&h), &d)); /* a Monday */
    assert_int_equal(d.problem.truck_count, 0);
    assert_ok(dayline_read(&v, (int32_t)house_day(&h) + 1, &d));
    assert_int_equal(d.problem.truck_count, 1);
    assert_ok(dayline_read(&v, (int32_t)house_day(&h) - 6, &d)); /* over */
    assert_int_equal(d.problem.truck_count, 0);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orders_of_the_next_day_come_from_the_chambers),
        cmocka_unit_test(what_no_chamber_brings_is_lacking),
        cmocka_unit_test(stock_goes_first_and_earlier_days_before),
        cmocka_unit_test(goods_too_old_for_a_customer_are_not_taken),
        cmocka_unit_test(a_truck_leaves_on_its_weekdays),
        cmocka_unit_test(what_is_not_in_the_order_book_is_taken_too),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
