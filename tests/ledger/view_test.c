/* Reading what is folded: the row in force, and that there is none. */
#include "fixture/stock.h"

static struct house h;

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

static void a_lot_is_found_by_code_and_by_id(void **state)
{
    int64_t entry =
        house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':"
                       "'MUNGSEED','mass':'100.5 kg','place':'STORE','lot':'S1'}");
    struct lot lot, same;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, "S1", &lot, &found));
    assert_true(found);
    assert_string_equal(lot.item, "MUNGSEED");
    assert_string_equal(lot.kind, "seed");
    assert_string_equal(lot.place, "STORE");
    assert_string_equal(lot.supplier, "RADICLE");
    assert_int_equal(lot.born_ms, h.fixed.now_ms);
    assert_int_equal(lot.entry, entry);
    assert_int_equal(lot.closed_ms, 0);
    assert_true(lot.supplier_lot != 0);
    assert_ok(lot_by_id(h.store, &h.arena, lot.id, &same, &found));
    assert_true(found);
    assert_string_equal(same.code, "S1");
    int64_t mg;
    assert_ok(balance_of(h.store, lot.id, UNIT_MG, &mg));
    assert_int_equal(mg, 100500000);
    assert_ok(balance_of(h.store, lot.id, UNIT_PIECES, &mg));
    assert_int_equal(mg, 0);
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'sent back'}", (long long)entry);
    assert_ok(lot_by_code(h.store, &h.arena, "S1", &same, &found));
    assert_false(found);
    assert_ok(lot_by_id(h.store, &h.arena, lot.id, &same, &found));
    assert_false(found);
}

static void the_newest_row_of_a_code_is_in_force(void **state)
{
    struct place p;
    bool found;
    house_take(&h, "{'kind':'place','code':'R1','name':'old','place_kind':'room'}");
    assert_ok(place_by_code(h.store, &h.arena, "R1", &p, &found));
    assert_true(found);
    assert_string_equal(p.name, "old");
    assert_null(p.parent);
    assert_true(p.in_service);
    house_take(&h, "{'kind':'place','code':'R1','name':'new','place_kind':'store','parent':'STORE',"
                   "'capacity':'2 t','in_service':false}");
    assert_ok(place_by_code(h.store, &h.arena, "R1", &p, &found));
    assert_string_equal(p.name, "new");
    assert_string_equal(p.kind, "store");
    assert_string_equal(p.parent, "STORE");
    assert_int_equal(p.capacity_mg, INT64_C(2000000000));
    assert_false(p.in_service);
    assert_ok(place_by_code(h.store, &h.arena, "R2", &p, &found));
    assert_false(found);
}

static void items_partners_and_people(void **state)
{
    struct item item;
    struct partner partner;
    const char *role;
    bool found, active;
    assert_ok(item_by_code(h.store, &h.arena, "MUNG250", &item, &found));
    assert_true(found);
    assert_int_equal(item.net_mg, 250000);
    assert_int_equal(item.pieces_per_case, 40);
    assert_int_equal(item.life_days, 8);
    assert_string_equal(item.source_item, "MUNG");
    assert_null(item.gtin);
    assert_ok(item_by_code(h.store, &h.arena, "mung250", &item, &found));
    assert_false(found);
    assert_ok(partner_by_code(h.store, &h.arena, "COTYLEDON", &partner, &found));
    assert_true(found);
    assert_string_equal(partner.role, "customer");
    assert_string_equal(partner.market, "US");
    assert_ok(partner_by_code(h.store, &h.arena, "NOBODY", &partner, &found));
    assert_false(found);
    assert_ok(person_role(h.store, &h.arena, 5, &role, &active, &found));
    assert_true(found && active);
    assert_string_equal(role, "line");
    house_take(&h, "{'kind':'person','number':5,'role':'line','active':false}");
    assert_ok(person_role(h.store, &h.arena, 5, &role, &active, &found));
    assert_true(found && !active);
    assert_ok(person_role(h.store, &h.arena, 99, &role, &active, &found));
    assert_false(found || active);
    assert_null(role);
}

static void an_instrument_is_as_it_was_calibrated_then(void **state)
{
    struct instrument before, good, bad;
    bool found;
    int64_t start_ms = h.fixed.now_ms;
    assert_ok(instrument_on(h.store, &h.arena, "SCALE", start_ms, &before, &found));
    assert_true(found);
    house_wait(&h, "1 h");
    int64_t good_ms = h.fixed.now_ms;
    house_take(&h, "{'kind':'calibrate','instrument':'SCALE','as_found_error':0,'uncertainty':7,"
                   "'due':'2027-01-01T00:00:00Z','ok':true}");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'calibrate','instrument':'SCALE','as_found_error':0,'uncertainty':9,"
                   "'due':'2027-01-01T00:00:00Z','ok':false}");
    assert_ok(instrument_on(h.store, &h.arena, "SCALE", good_ms, &good, &found));
    assert_int_equal(good.uncertainty, 7);
    assert_true(good.due_ms > h.fixed.now_ms);
    assert_ok(instrument_on(h.store, &h.arena, "SCALE", h.fixed.now_ms, &bad, &found));
    assert_true(bad.due_ms < h.fixed.now_ms); /* found bad: past its calibration */
    struct instrument again;
    assert_ok(instrument_on(h.store, &h.arena, "SCALE", start_ms, &again, &found));
    assert_int_equal(again.uncertainty, before.uncertainty);
    assert_int_equal(again.due_ms, before.due_ms);
    assert_ok(instrument_on(h.store, &h.arena, "SCALE-9", start_ms, &again, &found));
    assert_false(found);
}

static void a_run_knows_its_end_and_its_carry_over(void **state)
{
    struct run run;
    bool found;
    house_take(&h, "{'kind':'run-start','place':'WASH','run':'W1','family':'mung','allergens':"
                   "'soy','carry_over':'90 s'}");
    assert_ok(run_by_code(h.store, &h.arena, "W1", &run, &found));
    assert_true(found);
    assert_string_equal(run.place, "WASH");
    assert_string_equal(run.allergens, "soy");
    assert_int_equal(run.carry_ms, 90000);
    assert_int_equal(run.end_ms, 0);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'run-end','run':'W1'}");
    assert_ok(run_by_code(h.store, &h.arena, "W1", &run, &found));
    assert_int_equal(run.end_ms, h.fixed.now_ms);
    house_take(&h, "{'kind':'run-start','place':'WASH','run':'W2','family':'mung','carry_over':"
                   "'unknown'}");
    assert_ok(run_by_code(h.store, &h.arena, "W2", &run, &found));
    assert_int_equal(run.carry_ms, -1);
    assert_ok(run_by_code(h.store, &h.arena, "W3", &run, &found));
    assert_false(found);
}

static size_t holds(const char *lot, int64_t unit, const char *stop)
{
    struct hold *list;
    size_t count;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, lot), unit, stop, &list, &count));
    return count;
}

static void holds_are_asked_by_what_they_stop(void **state)
{
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    size_t all = holds(packed, 0, ""), use = holds(packed, 0, "use");
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use','mix'],'needs':"
               "'check','reason':'smells'}",
               packed);
    house_take(&h,
               "{'kind':'hold','hold_kind':'seal','units':['%s-0002'],'stops':['use'],'needs':"
               "'check','reason':'open'}",
               packed);
    int64_t second = house_case(&h, packed, 2).id, third = house_case(&h, packed, 3).id;
    assert_int_equal(holds(packed, 0, ""), all + 1);
    assert_int_equal(holds(packed, 0, "use"), use + 1);
    assert_int_equal(holds(packed, 0, "pack"), holds(packed, third, "pack"));
    assert_int_equal(holds(packed, third, "use"), use + 1);
    assert_int_equal(holds(packed, second, "use"), use + 2); /* its lot's, and its own */
}

static void a_changed_limit_lies_over_the_profile_from_its_time(void **state)
{
    struct limit l;
    assert_ok(limit_in_force(h.store, h.lg->profile, "purity", NULL, h.fixed.now_ms, &l));
    int64_t low = l.low;
    assert_true(l.has_low);
    house_wait(&h, "1 h");
    int64_t before_ms = h.fixed.now_ms - 1;
    house_take(&h, "{'kind':'limit','person':2,'limit':'purity','low':'99.5','source':'house','"
                   "reason':'tighter'}");
    assert_ok(limit_in_force(h.store, h.lg->profile, "purity", NULL, h.fixed.now_ms, &l));
    assert_int_equal(l.low, 99500);
    assert_ok(limit_in_force(h.store, h.lg->profile, "purity", NULL, before_ms, &l));
    assert_int_equal(l.low, low);
    assert_ok(limit_in_force(h.store, h.lg->profile, "of nothing", NULL, before_ms, &l));
    assert_false(l.has_low || l.has_high);
}

static const char *in_use(const char *place, int from, int to)
{
    const char *lot;
    assert_ok(place_in_use(h.store, &h.arena, place, h.fixed.now_ms + from * INT64_C(60000),
                           h.fixed.now_ms + to * INT64_C(60000), &lot));
    return lot != NULL ? lot : "";
}

static void a_place_is_in_use_while_product_is_on_it(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "3 h");
    assert_string_equal(in_use("C1", -400, -180), "");
    assert_string_equal(in_use("C1", -400, -179), growing);
    assert_string_equal(in_use("C1", 100, 200), growing); /* it still grows */
    assert_string_equal(in_use("C2", -400, 0), "");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'rest','mass':'800 kg','place':'WASH',"
               "'emptied':true}",
               growing);
    const char *harvested = house_answer(&h, "lot");
    assert_string_equal(in_use("C1", 0, 200), "");
    assert_string_equal(in_use("WASH", -10, 10), ""); /* it only stands there */
    house_wait(&h, "3 h");
    house_take(&h,
               "{'kind':'wash','place':'WASH','start':'%s','end':'%s','inputs':[{'lot':'%s'}],"
               "'outputs':[{'role':'main','mass':'800 kg'}]}",
               house_time(&h, -60), house_time(&h, -30), harvested);
    const char *washed = house_answer(&h, "lots.0.lot");
    assert_string_equal(in_use("WASH", -90, -60), "");
    assert_string_equal(in_use("WASH", -90, -59), washed);
    assert_string_equal(in_use("WASH", -45, -45), washed);
    assert_string_equal(in_use("WASH", -31, 0), washed);
    assert_string_equal(in_use("WASH", -30, 0), "");
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'another line'}",
               (long long)house_entry(&h, "wash").seq);
    assert_string_equal(in_use("WASH", -45, -45), "");
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_lot_is_found_by_code_and_by_id),
        T(the_newest_row_of_a_code_is_in_force),
        T(items_partners_and_people),
        T(an_instrument_is_as_it_was_calibrated_then),
        T(a_run_knows_its_end_and_its_carry_over),
        T(holds_are_asked_by_what_they_stop),
        T(a_changed_limit_lies_over_the_profile_from_its_time),
        T(a_place_is_in_use_while_product_is_on_it),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
