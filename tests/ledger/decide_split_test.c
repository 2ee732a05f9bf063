/* Lots are split and joined: always into a new lot. */
#include "packs.h"

static struct house h;
static const char *growing, *packed;

static int set_up(void **state)
{
    packs_open(&h, &growing, &packed);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

enum { KG = 1000000, CASE_MG = PACKS_CASE_MG };

static void a_split_makes_a_new_lot_of_the_same(void **state)
{
    house_take(&h,
               "{'kind':'hold','hold_kind':'damage','units':['%s-0003'],'stops':['load'],'needs':"
               "'check','reason':'wet'}",
               packed);
    house_take(&h, "{'kind':'split','units':['%s-0001..%s-0005'],'lot_out':'SPLIT-1'}", packed,
               packed);
    struct lot made = house_lot_row(&h, "SPLIT-1");
    assert_string_equal(made.kind, "packed");
    assert_string_equal(made.item, "MUNG250");
    assert_int_equal(made.best_before, house_lot_row(&h, packed).best_before);
    assert_int_equal(house_balance(&h, "SPLIT-1", UNIT_PIECES), 200);
    assert_int_equal(house_balance(&h, "SPLIT-1", UNIT_MG), 5 * CASE_MG);
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 600);
    int64_t mg;
    assert_string_equal(house_edge(&h, packed, "SPLIT-1", &mg), "measured");
    assert_int_equal(mg, 5 * CASE_MG);
    assert_int_equal(house_case(&h, packed, 5).lot, made.id);
    /* the case that was held by its number still is */
    struct hold *holds;
    size_t count;
    assert_ok(
        holds_on(h.store, &h.arena, made.id, house_case(&h, packed, 3).id, "load", &holds, &count));
    assert_int_equal(count, 2); /* the batch's own as well */
    house_refused(&h, UNITS_WANTED,
                  house_text(&h, "{'kind':'split','lot':'%s','pieces':10}", packed));
    house_refused(
        &h, LOT_EXISTS,
        house_text(&h, "{'kind':'split','units':['%s-0007'],'lot_out':'SPLIT-1'}", packed));
    house_refused(&h, LOT_KIND,
                  house_text(&h, "{'kind':'split','lot':'%s','mass':'1 kg'}", growing));
    const char *sack = packs_seed(&h, "100 kg");
    house_rule(&h, STOCK_SHORT, "stock-below-zero",
               house_text(&h, "{'kind':'split','lot':'%s','mass':'101 kg'}", sack));
    house_sums(&h);
}

static void lots_are_joined_with_their_stricter_half(void **state)
{
    const char *one = packs_loose(&h, growing, packs_in_days(&h, 5)),
               *two = packs_loose(&h, growing, packs_in_days(&h, 3));
    house_take(&h,
               "{'kind':'join','inputs':[{'lot':'%s','pieces':40},{'lot':'%s'}],'lot_out':"
               "'JOIN-1'}",
               one, two);
    struct lot made = house_lot_row(&h, "JOIN-1");
    assert_int_equal(made.best_before, house_lot_row(&h, two).best_before);
    assert_string_equal(made.markets, "EU,US");
    assert_int_equal(house_balance(&h, "JOIN-1", UNIT_PIECES), 140);
    assert_int_equal(house_balance(&h, "JOIN-1", UNIT_MG), 140 * 251000);
    assert_true(house_closed(&h, two));
    assert_false(house_closed(&h, one));
    int64_t mg;
    assert_string_equal(house_edge(&h, one, "JOIN-1", &mg), "measured");
    assert_int_equal(mg, 40 * 251000);
    house_refused(
        &h, LOT_KIND,
        house_text(&h, "{'kind':'join','inputs':[{'lot':'%s'},{'lot':'%s'}]}", one, growing));
    const char *sack = packs_seed(&h, "10 kg"), *other = packs_seed(&h, "10 kg");
    house_refused(
        &h, FIELD_CHOICE,
        house_text(&h, "{'kind':'join','inputs':[{'lot':'%s'},{'lot':'%s'}]}", one, sack));
    house_rule(&h, LOT_KIND, "wrong-kind",
               house_text(&h, "{'kind':'join','inputs':[{'lot':'%s'},{'lot':'%s'}]}", sack, other));
    house_refused(&h, FIELD_RANGE, house_text(&h, "{'kind':'join','inputs':[{'lot':'%s'}]}", one));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h,
                             "{'kind':'join','inputs':[{'lot':'%s','pieces':1},{'lot':'%s',"
                             "'pieces':1}]}",
                             one, one));
    house_sums(&h);
}

static void held_and_free_are_joined_by_nobody_who_asks(void **state)
{
    const char *one = packs_loose(&h, growing, packs_in_days(&h, 5)),
               *two = packs_loose(&h, growing, packs_in_days(&h, 3));
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['mix','use'],'needs':"
               "'check','reason':'smells'}",
               one);
    house_rule(&h, HELD_MIX, "held-mixed",
               house_text(&h,
                          "{'kind':'join','inputs':[{'lot':'%s','pieces':5},{'lot':'%s',"
                          "'pieces':5}],'lot_out':'JOIN-2'}",
                          one, two));
    assert_true(house_stops(&h, "JOIN-2", "mix"));
    /* held with held is mixing nothing new */
    house_take(&h,
               "{'kind':'join','mode':'ask','inputs':[{'lot':'%s','pieces':5},{'lot':'JOIN-2'}]}",
               one);
    assert_int_equal(house_deviations(&h), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_split_makes_a_new_lot_of_the_same),
        T(lots_are_joined_with_their_stricter_half),
        T(held_and_free_are_joined_by_nobody_who_asks),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
