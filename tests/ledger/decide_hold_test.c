/* Holds: what they cover and what they stop. */
#include "fixture.h"

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

static bool is_held(const char *lot, const char *stop)
{
    struct hold *holds;
    size_t count;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, lot), 0, stop, &holds, &count));
    return count > 0;
}

static bool case_is_held(const char *code, const char *kind)
{
    struct unit unit;
    struct hold *holds;
    size_t count;
    bool found, held = false;
    assert_ok(unit_by_code(h.store, &h.arena, code, &unit, &found));
    assert_true(found);
    assert_ok(holds_on(h.store, &h.arena, unit.lot, unit.id, "load", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        held = held || strcmp(holds[i].kind, kind) == 0;
    }
    return held;
}

static const char *receive(const char *supplier_lot, const char *mass)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','supplier_lot':'%s','item':'MUNGSEED','mass'"
               ":'%s','place':'STORE'}",
               supplier_lot, mass);
    return house_answer(&h, "lot");
}

static void a_seed_lot_is_held_with_everything_grown_from_it(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    const char *packed = house_pack(&h, growing);
    house_take(&h,
               "{'kind':'hold','person':2,'hold_kind':'supplier','seed_lot':'%s','stops':['load','"
               "use'],'needs':'paper',"
               "'reason':'supplier called'}",
               h.seed);
    assert_string_equal(house_answer(&h, "lots.0"), h.seed);
    /* seed, load, growing, harvested, washed, hulls, sorted, culls, packed */
    assert_int_equal(house_number(&h, "lots"), 9);
    assert_true(is_held(packed, "load"));
    assert_true(is_held(growing, "use"));
    assert_false(is_held(packed, "mix"));
}

static void a_supplier_lot_reaches_every_delivery_of_it(void **state)
{
    const char *first = receive("A7", "100 kg"), *second = receive("A7", "50 kg"),
               *other = receive("B1", "50 kg");
    house_take(&h, "{'kind':'hold','hold_kind':'supplier','supplier_lot':'RADICLE/"
                   "A7','stops':['use'],'needs':'paper',"
                   "'reason':'called back'}");
    assert_true(is_held(first, "use"));
    assert_true(is_held(second, "use"));
    assert_false(is_held(other, "use"));
}

static void a_lot_alone_leaves_what_came_of_it_and_names_it(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    const char *packed = house_pack(&h, growing);
    house_take(&h,
               "{'kind':'hold','person':4,'hold_kind':'quality','lot':'%s','stops':['use'],'needs':"
               "'check','reason':'warm'}",
               growing);
    assert_int_equal(house_number(&h, "lots"), 1);
    assert_int_equal(house_number(&h, "not_covered"),
                     6); /* harvested, washed, hulls, sorted, culls, packed */
    assert_false(is_held(packed, "use"));
}

static void what_is_made_from_held_goods_is_born_held(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['load'],'needs':'check','"
               "reason':'warm'}",
               growing);
    const char *packed = house_pack(&h, growing);
    assert_true(is_held(packed, "load"));
}

static void a_run_window_covers_what_came_out_and_what_is_told_later(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    const char *one = house_answer(&h, "lot");
    const char *from = civil_text(&h.arena, h.fixed.now_ms, 0);
    house_take(&h, "{'kind':'run-start','person':5,'place':'WASH','run':'W-1','family':'mung','"
                   "carry_over':'0 s'}");
    house_wait(&h, "20 min");
    const char *to = civil_text(&h.arena, h.fixed.now_ms, 0);
    house_take(&h,
               "{'kind':'wash','run':'W-1','place':'WASH','inputs':[{'lot':'%s','mass':'100 "
               "kg'}],'start':'%s','end':'%s',"
               "'outputs':[{'role':'main','mass':'93 kg'},{'role':'hulls','mass':'7 kg'}]}",
               one, from, to);
    const char *washed = house_answer(&h, "lots.0.lot");
    house_take(&h,
               "{'kind':'hold','hold_kind':'foreign-body','run':'W-1','from':'%s','to':'%s','stops'"
               ":['pack','load'],"
               "'needs':'check','reason':'a screw is missing'}",
               from, to);
    assert_true(is_held(washed, "pack"));
    house_take(&h,
               "{'kind':'wash','run':'W-1','place':'WASH','inputs':[{'lot':'%s','mass':'100 "
               "kg'}],'start':'%s','end':'%s',"
               "'outputs':[{'role':'main','mass':'92 kg'},{'role':'hulls','mass':'8 kg'}]}",
               one, from, to);
    assert_true(is_held(house_answer(&h, "lots.0.lot"), "pack"));
    house_wait(&h, "20 min");
    const char *later = civil_text(&h.arena, h.fixed.now_ms, 0);
    house_take(&h,
               "{'kind':'wash','run':'W-1','place':'WASH','inputs':[{'lot':'%s','mass':'100 "
               "kg','from':'%s','to':'%s'}],"
               "'start':'%s','end':'%s','outputs':[{'role':'main','mass':'93 "
               "kg'},{'role':'hulls','mass':'7 kg'}]}",
               one, later, later, later, later);
    assert_false(is_held(house_answer(&h, "lots.0.lot"), "pack"));
}

static void cases_are_held_by_number(void **state)
{
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    house_take(&h,
               "{'kind':'hold','person':8,'hold_kind':'damage','units':['%s-0003..%s-0005'],'stops'"
               ":['load'],'needs':'check',"
               "'reason':'wet'}",
               packed, packed);
    assert_int_equal(house_number(&h, "units"), 3);
    assert_true(case_is_held(arena_printf(&h.arena, "%s-0004", packed), "damage"));
    assert_false(case_is_held(arena_printf(&h.arena, "%s-0006", packed), "damage"));
}

static void a_hold_says_one_thing_and_why(void **state)
{
    const char *lot = receive("A7", "100 kg");
    assert_code(
        house_send(
            &h,
            "{'kind':'hold','hold_kind':'quality','stops':['use'],'needs':'check','reason':'r'}"),
        HOLD_COVERS);
    assert_code(house_send(&h,
                           "{'kind':'hold','hold_kind':'quality','lot':'%s','seed_lot':'%s','stops'"
                           ":['use'],'needs':'check',"
                           "'reason':'r'}",
                           lot, lot),
                HOLD_COVERS);
    assert_code(
        house_send(
            &h, "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'check'}",
            lot),
        FIELD_MISSING);
    assert_code(house_send(&h,
                           "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':[],'needs':'"
                           "check','reason':'r'}",
                           lot),
                FIELD_MISSING);
    assert_code(house_send(&h,
                           "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['eat'],'needs'"
                           ":'check','reason':'r'}",
                           lot),
                FIELD_CHOICE);
    assert_code(house_send(&h,
                           "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs'"
                           ":'luck','reason':'r'}",
                           lot),
                FIELD_CHOICE);
    assert_code(house_send(&h, "{'kind':'hold','hold_kind':'quality','seed_lot':'RADICLE/"
                               "A7','stops':['use'],'needs':'check',"
                               "'reason':'r'}"),
                LOT_KIND);
    assert_code(house_send(&h,
                           "{'kind':'hold','person':6,'hold_kind':'quality','lot':'%s','stops':['"
                           "use'],'needs':'check',"
                           "'reason':'r'}",
                           lot),
                ROLE_MISSING);
}

/* An input told late reaches an output told before, and what that output had gone into since. */
static void a_late_input_that_is_held_holds_what_went_on(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    const char *one = house_answer(&h, "lot");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'400 kg','place':'WASH'}", growing);
    const char *two = house_answer(&h, "lot"), *from = civil_text(&h.arena, h.fixed.now_ms, 0);
    house_take(&h, "{'kind':'run-start','person':5,'place':'WASH','run':'W-1','family':'mung','"
                   "carry_over':'5 min'}");
    house_wait(&h, "20 min");
    const char *to = civil_text(&h.arena, h.fixed.now_ms, 0);
    house_take(&h,
               "{'kind':'wash','run':'W-1','place':'WASH','inputs':[{'lot':'%s','mass':'100 "
               "kg'}],'start':'%s','end':'%s',"
               "'outputs':[{'role':'main','mass':'93 kg'},{'role':'hulls','mass':'7 kg'}]}",
               one, from, to);
    house_take(&h,
               "{'kind':'sort','inputs':[{'lot':'%s'}],'place':'SORT','outputs':[{'role':'main','"
               "mass':'92 kg'},"
               "{'role':'culls','mass':'1 kg'}]}",
               house_answer(&h, "lots.0.lot"));
    const char *sorted = house_answer(&h, "lots.0.lot");
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['pack'],'needs':'check','"
               "reason':'smell'}",
               two);
    assert_false(is_held(sorted, "pack"));
    house_take(&h,
               "{'kind':'wash','run':'W-1','place':'WASH','inputs':[{'lot':'%s','mass':'100 "
               "kg'}],'start':'%s','end':'%s',"
               "'outputs':[{'role':'main','mass':'93 kg'},{'role':'hulls','mass':'7 kg'}]}",
               two, from, to);
    assert_true(is_held(sorted, "pack"));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_seed_lot_is_held_with_everything_grown_from_it),
        TEST(a_supplier_lot_reaches_every_delivery_of_it),
        TEST(a_lot_alone_leaves_what_came_of_it_and_names_it),
        TEST(what_is_made_from_held_goods_is_born_held),
        TEST(a_run_window_covers_what_came_out_and_what_is_told_later),
        TEST(cases_are_held_by_number),
        TEST(a_hold_says_one_thing_and_why),
        TEST(a_late_input_that_is_held_holds_what_went_on),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
