/* What a strike brings in place of the struck: under its ids and codes, so that what was fed from
 * it stays fed. */
#include "fixture.h"

#include "ledger/kin.h"
#include "ledger/strike.h"

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

static int64_t receive(const char *mass)
{
    return house_take(
        &h,
        "{'kind':'receive','person':6,'supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED',"
        "'mass':'%s','place':'STORE','lot':'SEED-1'}",
        mass);
}

static struct result strike(int person, int64_t entry, const char *rest)
{
    return house_send(&h, "{'kind':'strike','person':%d,'entry':%lld,'reason':'misread'%s}", person,
                      (long long)entry, rest);
}

static int64_t account(const char *name)
{
    return house_account(&h, name, "mg");
}

static void a_replacement_takes_the_struck_one_s_place_at_its_time(void **state)
{
    int64_t entry = receive("100 kg");
    int64_t id = house_lot(&h, "SEED-1");
    int64_t happened = h.fixed.now_ms;
    house_wait(&h, "2 h");
    assert_ok(strike(6, entry,
                     ",'replace':{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':"
                     "'MUNGSEED','mass':'110 kg',"
                     "'place':'STORE','lot':'SEED-1'}"));
    assert_int_equal(house_balance(&h, "SEED-1", UNIT_MG), 110000000);
    assert_int_equal(house_lot(&h, "SEED-1"), id);
    int64_t replacement = house_number(&h, "consequences.0.entry");
    struct entry e;
    bool found;
    assert_ok(entry_by_seq(h.store, &h.arena, replacement, &e, &found));
    assert_int_equal(e.happened_ms, happened);
    assert_int_equal(e.cause, house_number(&h, "entry"));
    assert_int_equal(e.person, 6);
    assert_int_equal(house_number(&h, "consequences.0.replaces"), entry);
    /* a replacement may be replaced again */
    assert_ok(strike(6, replacement,
                     ",'replace':{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':"
                     "'MUNGSEED','mass':'120 kg',"
                     "'place':'STORE','lot':'SEED-1'}"));
    assert_int_equal(house_balance(&h, "SEED-1", UNIT_MG), 120000000);
    assert_int_equal(house_lot(&h, "SEED-1"), id);
}

static void a_replacement_keeps_fed_what_was_fed(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    const char *packed = house_pack(&h, growing);
    struct entry e = house_entry(&h, "wash");
    const char *washed = house_in_body(&h, &e, "\"lots\"", "lot");
    const char *harvested = house_in_body(&h, &e, "\"inputs\"", "lot");
    int64_t id = house_lot(&h, washed), before = house_balance(&h, washed, UNIT_MG);
    assert_ok(strike(
        2, e.seq,
        arena_printf(&h.arena,
                     ",'replace':{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':["
                     "{'role':'main','mass':'740 kg'},{'role':'hulls','mass':'60 kg'}]}",
                     harvested)));
    assert_int_equal(house_lot(&h, washed), id);
    assert_int_equal(house_balance(&h, washed, UNIT_MG), before - 10000000);
    struct id_set onward = id_set_new(&h.arena);
    id_set_add(&onward, house_lot(&h, growing));
    assert_ok(kin_onward(h.store, &onward));
    assert_int_equal(onward.count, 7); /* itself, harvested, washed, hulls, sorted, culls, packed */
    assert_true(id_set_has(&onward, house_lot(&h, packed)));
}

static void a_replacement_that_makes_too_little_is_owed(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_pack(&h, growing); /* takes 203 kg of the washed */
    struct entry e = house_entry(&h, "wash");
    const char *washed = house_in_body(&h, &e, "\"lots\"", "lot");
    const char *harvested = house_in_body(&h, &e, "\"inputs\"", "lot");
    assert_ok(
        strike(2, e.seq,
               arena_printf(&h.arena,
                            ",'replace':{'kind':'wash','inputs':[{'lot':'%s','mass':'210 "
                            "kg'}],'place':'WASH','outputs':["
                            "{'role':'main','mass':'200 kg'},{'role':'hulls','mass':'10 kg'}]}",
                            harvested)));
    int64_t owed;
    assert_ok(owed_open(h.store, house_lot(&h, washed), "mg", NULL, &owed));
    assert_int_equal(owed, 3000000);
}

static void a_replacement_of_another_kind_does_not_feed(void **state)
{
    int64_t entry = receive("100 kg");
    house_take(&h, "{'kind':'seed-test','lot':'SEED-1','test':'moisture','moisture':'10 %%'}");
    assert_code(strike(6, entry,
                       ",'replace':{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','"
                       "item':'MUNGSEED','mass':'110 kg',"
                       "'place':'STORE','lot':'SEED-2'}"),
                STRIKE_DEPENDANTS);
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_true(found); /* all or nothing */
    assert_int_equal(account("supplier"), -100000000);
}

static void a_failed_replacement_fails_the_whole(void **state)
{
    int64_t entry = receive("100 kg");
    int64_t next = h.lg->next_seq;
    assert_code(strike(6, entry,
                       ",'replace':{'kind':'receive','supplier':'NOBODY','item':'MUNGSEED','mass':'"
                       "1 kg','place':'STORE'}"),
                PARTNER_UNKNOWN);
    assert_int_equal(h.lg->next_seq, next);
    assert_code(strike(6, entry, ",'replace':{'kind':'approve','lot':'SEED-1','state':'approved'}"),
                ROLE_MISSING);
    assert_code(strike(2, entry, ",'replace':{'kind':'person','number':99,'role':'manager'}"),
                STRIKE_KIND);
    assert_int_equal(house_balance(&h, "SEED-1", UNIT_MG), 100000000);
}

static void a_run_told_again_keeps_its_steps(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH'}", growing);
    const char *lot = house_answer(&h, "lot");
    int64_t start = house_take(
        &h, "{'kind':'run-start','person':5,'place':'WASH','family':'mung','carry_over':'0 s'}");
    const char *run = house_answer(&h, "run");
    house_wait(&h, "10 min");
    house_take(&h,
               "{'kind':'wash','run':'%s','place':'WASH','inputs':[{'lot':'%s','mass':'100 kg'}],"
               "'outputs':[{'role':'main','mass':'93 kg'},{'role':'hulls','mass':'7 kg'}]}",
               run, lot);
    house_take(&h, "{'kind':'run-end','person':5,'run':'%s'}", run);
    struct run before, after;
    bool found;
    assert_ok(run_by_code(h.store, &h.arena, run, &before, &found));
    assert_code(strike(5, start, ""), STRIKE_DEPENDANTS);
    assert_ok(strike(
        5, start,
        ",'replace':{'kind':'run-start','place':'WASH','family':'mung','carry_over':'90 s'}"));
    assert_ok(run_by_code(h.store, &h.arena, run, &after, &found));
    assert_true(found);
    assert_int_equal(after.id, before.id);
    assert_int_equal(after.end_ms, before.end_ms);
    assert_int_equal(after.carry_ms, 90000);
    assert_string_equal(house_answer(&h, "consequences.0.run"), run);
}

static void packing_told_again_keeps_its_cases_where_they_went(void **state)
{
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, packed, &lot, &found));
    const char *code = arena_printf(&h.arena, "%s-0003", packed);
    house_take(&h, "{'kind':'move','units':['%s'],'place':'COLD'}", code);
    struct entry e = house_entry(&h, "pack");
    const char *sorted = house_in_body(&h, &e, "\"inputs\"", "lot");
    struct unit before, after;
    assert_ok(unit_by_code(h.store, &h.arena, code, &before, &found));
    assert_string_equal(before.place, "COLD");
    assert_ok(strike(
        2, lot.entry,
        arena_printf(
            &h.arena,
            ",'replace':{'kind':'pack','inputs':[{'lot':'%s'}],'item':'MUNG250','pieces':790,"
            "'mean_net':'252 g','cases':20,'place':'PACK','markets':['US']}",
            sorted)));
    assert_ok(unit_by_code(h.store, &h.arena, code, &after, &found));
    assert_true(found);
    assert_int_equal(after.id, before.id);
    assert_string_equal(after.place, "COLD");
    assert_int_equal(after.mg, 40 * 252000);
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 790);
    /* fewer cases than have gone somewhere */
    assert_code(
        strike(2, house_number(&h, "consequences.0.entry"),
               arena_printf(
                   &h.arena,
                   ",'replace':{'kind':'pack','inputs':[{'lot':'%s'}],'item':'MUNG250','pieces':80,"
                   "'mean_net':'252 g','cases':2,'place':'PACK','markets':['US']}",
                   sorted)),
        STRIKE_DEPENDANTS);
}

/* The lot made again now comes from held goods; so does what had been made of it. */
static void a_hold_follows_a_replacement_onward(void **state)
{
    const char *packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    struct entry e = house_entry(&h, "wash");
    const char *harvested = house_in_body(&h, &e, "\"inputs\"", "lot");
    house_take(&h,
               "{'kind':'hold','hold_kind':'damage','lot':'%s','stops':['load'],'needs':'paper','"
               "reason':'r'}",
               harvested);
    struct hold *holds;
    size_t before, after;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, packed), 0, "load", &holds, &before));
    assert_ok(strike(
        2, e.seq,
        arena_printf(&h.arena,
                     ",'replace':{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':["
                     "{'role':'main','mass':'740 kg'},{'role':'hulls','mass':'60 kg'}]}",
                     harvested)));
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, packed), 0, "load", &holds, &after));
    assert_int_equal(after, before + 1);
}

static void a_lot_used_up_that_comes_with_more_is_open(void **state)
{
    int64_t entry = receive("100 kg");
    house_take(&h, "{'kind':'destroy','lot':'SEED-1','mass':'100 kg','to':'waste','reason':'wet'}");
    static const char again[] = ",'replace':{'kind':'receive','supplier':'RADICLE','supplier_lot':'"
                                "A7','item':'MUNGSEED','mass':"
                                "'%s','place':'STORE','lot':'SEED-1'}";
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_true(lot.closed_ms != 0);
    assert_ok(strike(2, entry, arena_printf(&h.arena, again, "120 kg")));
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_int_equal(lot.closed_ms, 0);
    assert_ok(strike(2, house_number(&h, "consequences.0.entry"),
                     arena_printf(&h.arena, again, "100 kg")));
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_true(lot.closed_ms != 0);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_replacement_takes_the_struck_one_s_place_at_its_time),
        TEST(a_replacement_keeps_fed_what_was_fed),
        TEST(a_replacement_that_makes_too_little_is_owed),
        TEST(a_replacement_of_another_kind_does_not_feed),
        TEST(a_failed_replacement_fails_the_whole),
        TEST(a_run_told_again_keeps_its_steps),
        TEST(packing_told_again_keeps_its_cases_where_they_went),
        TEST(a_hold_follows_a_replacement_onward),
        TEST(a_lot_used_up_that_comes_with_more_is_open),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
