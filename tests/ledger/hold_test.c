/* Holds as rows: what one says and covers, and whether anything of that is still here. */
#include "fixture/stock.h"

#include "ledger/hold.h"

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

static struct hold_row row_of(const char *code)
{
    struct hold_row row;
    bool found;
    assert_ok(hold_by_code(h.store, &h.arena, code, &row, &found));
    assert_true(found);
    return row;
}

static bool here(const char *lot)
{
    bool is;
    assert_ok(lot_is_here(h.store, house_lot(&h, lot), &is));
    return is;
}

static void a_hold_says_what_it_was_told(void **state)
{
    house_take(&h, "{'kind':'run-start','place':'WASH','run':'W1','family':'mung','carry_over':"
                   "'90 s'}");
    house_wait(&h, "1 h");
    int64_t from_ms = h.fixed.now_ms - 40 * 60000, to_ms = h.fixed.now_ms - 20 * 60000;
    int64_t entry = house_take(&h,
                               "{'kind':'hold','hold_kind':'foreign-body','run':'W1','from':'%s',"
                               "'to':'%s','stops':['use','load'],'needs':'re-passed','reason':'a "
                               "screw is missing','at':'%s'}",
                               house_time(&h, -40), house_time(&h, -20), house_time(&h, -10));
    struct hold_row row = row_of(house_answer(&h, "hold"));
    assert_string_equal(row.code, house_answer(&h, "hold"));
    assert_string_equal(row.kind, "foreign-body");
    assert_string_equal(row.needs, "re-passed");
    assert_int_equal(row.placed_ms, h.fixed.now_ms - 10 * 60000); /* when, not when told */
    assert_int_equal(row.entry, entry);
    assert_true(row.run != 0);
    assert_int_equal(row.from_ms, from_ms);
    assert_int_equal(row.to_ms, to_ms);
    assert_int_equal(row.lifted_ms, 0);
    bool found;
    assert_ok(hold_by_code(h.store, &h.arena, "H1-1", &row, &found));
    assert_false(found);
}

static void a_lifted_hold_says_when(void **state)
{
    const char *lot = house_grow(&h, "C1", "100 kg");
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'paper',"
               "'reason':'no certificate'}",
               lot);
    const char *code = house_answer(&h, "hold");
    struct hold_row row = row_of(code);
    assert_int_equal(row.run, 0);
    assert_int_equal(row.from_ms, 0);
    house_wait(&h, "5 min");
    int64_t paper = house_take(&h,
                               "{'kind':'attach','name':'note.txt','paper_kind':'report',"
                               "'bytes_b64':'bm90ZQ==','lot':'%s'}",
                               lot);
    house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", code,
               (long long)paper);
    assert_int_equal(row_of(code).lifted_ms, h.fixed.now_ms);
}

static void it_covers_lots_or_cases(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg"), *packed = house_pack(&h, growing);
    struct id_set lots = id_set_new(&h.arena), units = id_set_new(&h.arena);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['load'],'needs':'check',"
               "'reason':'smells'}",
               growing);
    assert_ok(hold_covers(h.store, row_of(house_answer(&h, "hold")).id, &lots, &units));
    assert_int_equal(units.count, 0);
    assert_int_equal(lots.count, 1);
    assert_true(id_set_has(&lots, house_lot(&h, growing)));
    house_take(&h,
               "{'kind':'hold','hold_kind':'supplier','seed_lot':'%s','stops':['load'],'needs':"
               "'paper','reason':'a warning from its supplier'}",
               h.seed);
    assert_ok(hold_covers(h.store, row_of(house_answer(&h, "hold")).id, &lots, &units));
    assert_int_equal(units.count, 0);
    assert_true(id_set_has(&lots, house_lot(&h, h.seed)));
    assert_true(id_set_has(&lots, house_lot(&h, packed))); /* with everything grown from it */
    lots = id_set_new(&h.arena);
    house_take(&h,
               "{'kind':'hold','hold_kind':'seal','units':['%s-0002..%s-0004'],'stops':['load'],"
               "'needs':'check','reason':'open seals'}",
               packed, packed);
    assert_ok(hold_covers(h.store, row_of(house_answer(&h, "hold")).id, &lots, &units));
    assert_int_equal(lots.count, 0);
    assert_int_equal(units.count, 3);
    for (int n = 2; n <= 4; n++) {
        assert_true(id_set_has(&units, house_case(&h, packed, n).id));
    }
}

static void a_lot_is_here_until_the_last_of_it_has_gone(void **state)
{
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    assert_true(here(packed));
    house_take(&h,
               "{'kind':'ship','mode':'tell','customer':'COTYLEDON','units':['%s-0001..%s-0019']}",
               packed, packed);
    assert_true(here(packed));
    house_take(&h, "{'kind':'destroy','units':['%s-0020'],'to':'waste','reason':'crushed'}",
               packed);
    assert_false(here(packed));
}

static void an_entry_knows_what_struck_it(void **state)
{
    int64_t by, entry = house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED',"
                                       "'mass':'100 kg','place':'STORE'}");
    assert_ok(struck_by(h.store, entry, &by));
    assert_int_equal(by, 0);
    int64_t strike =
        house_take(&h, "{'kind':'strike','entry':%lld,'reason':'another dock'}", (long long)entry);
    assert_ok(struck_by(h.store, entry, &by));
    assert_int_equal(by, strike);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_hold_says_what_it_was_told),  T(a_lifted_hold_says_when),
        T(it_covers_lots_or_cases),       T(a_lot_is_here_until_the_last_of_it_has_gone),
        T(an_entry_knows_what_struck_it),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
