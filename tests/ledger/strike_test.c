/* Corrections: what a strike takes back, who may, what stands in the way, and what a replacement
 * keeps fed. */
#include "fixture.h"

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

static void a_struck_receipt_leaves_nothing_but_its_trace(void **state)
{
    int64_t entry = receive("100 kg");
    assert_int_equal(account("supplier"), -100000000);
    assert_ok(strike(6, entry, ""));
    assert_int_equal(account("supplier"), 0);
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_false(found);
    struct entry e;
    assert_ok(entry_by_seq(h.store, &h.arena, entry, &e, &found));
    assert_true(found); /* both stay visible */
    assert_code(strike(6, entry, ""), ENTRY_STRUCK);
    assert_code(strike(2, house_number(&h, "entry"), ""), STRIKE_KIND);
    receive("50 kg"); /* the code is free again */
    assert_int_equal(house_balance(&h, "SEED-1", UNIT_MG), 50000000);
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

static void dependants_refuse_a_strike_and_are_named(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, growing, &lot, &found));
    house_pack(&h, growing);
    assert_code(strike(2, lot.entry, ""), STRIKE_DEPENDANTS);
    assert_non_null(strstr(h.refusal.value[0], "harvest"));
    struct dependants d;
    assert_ok(strike_dependants(h.store, &h.arena, &lot.entry, 1, &d));
    assert_int_equal(d.count, 1); /* the harvest; what rests on that is its own */
    assert_string_equal(d.list[0].kind, "harvest");
    assert_string_equal(d.list[0].lot, growing);
}

static void striking_all_of_a_chain_together_is_taken(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    int64_t last = h.lg->next_seq - 1;
    house_pack(&h, growing);
    const char *list = "";
    for (int64_t e = last + 1; e < h.lg->next_seq - 1; e++) {
        list = arena_printf(&h.arena, "%s%s%lld", list, list[0] != '\0' ? "," : "", (long long)e);
    }
    assert_ok(strike(2, h.lg->next_seq - 1, arena_printf(&h.arena, ",'also':[%s]", list)));
    assert_int_equal(house_balance(&h, growing, UNIT_MG),
                     100000000); /* the seed is in the chamber again */
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, growing, &lot, &found));
    assert_int_equal(lot.closed_ms, 0);
    assert_int_equal(account("unexplained"), 0);
    assert_int_equal(house_account(&h, "made", "pc"), 0);
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

static void the_recorder_strikes_within_the_shift_then_quality(void **state)
{
    int64_t entry = receive("100 kg");
    assert_code(strike(5, entry, ""), STRIKE_LATE);
    assert_code(strike(1, entry, ""), STRIKE_LATE);
    house_wait(&h, "10 h"); /* a shift has nine */
    assert_code(strike(6, entry, ""), STRIKE_LATE);
    assert_code(strike(11, entry, ""), ROLE_MISSING);
    assert_ok(strike(2, entry, ""));
}

static void some_kinds_are_never_struck(void **state)
{
    int64_t person = house_take(&h, "{'kind':'person','number':50,'role':'line'}");
    assert_code(strike(2, person, ""), STRIKE_KIND);
    assert_code(strike(2, 9999, ""), ENTRY_UNKNOWN);
    assert_code(house_send(&h, "{'kind':'strike','person':2,'entry':%lld}", (long long)person),
                FIELD_MISSING);
    assert_code(strike(2, person, ",'also':['x']"), FIELD_TYPE);
}

static void a_hold_is_struck_by_two(void **state)
{
    receive("100 kg");
    int64_t hold = house_take(
        &h, "{'kind':'hold','person':2,'hold_kind':'quality','lot':'SEED-1','stops':['use'],"
            "'needs':'paper','reason':'wrong lot'}");
    assert_code(strike(2, hold, ""), STRIKE_SECOND);
    assert_code(strike(2, hold, ",'second':2"), STRIKE_SECOND);
    assert_code(strike(2, hold, ",'second':5"), STRIKE_SECOND);
    assert_code(strike(2, hold, ",'second':77"), PERSON_UNKNOWN);
    assert_ok(strike(2, hold, ",'second':3"));
    struct hold *holds;
    size_t count;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, "SEED-1"), 0, "", &holds, &count));
    assert_int_equal(count, 0);
}

static void what_a_struck_entry_changed_goes_back(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'40 %%','mass':'320 kg','place':'WASH'}",
               growing);
    int64_t first = house_number(&h, "entry");
    int64_t second = house_take(
        &h, "{'kind':'harvest','lot':'%s','share':'rest','mass':'480 kg','place':'WASH'}", growing);
    assert_code(strike(2, first, ""),
                STRIKE_DEPENDANTS); /* the second counts from the first's share */
    assert_ok(strike(2, second, ""));
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, growing, &lot, &found));
    assert_int_equal(lot.closed_ms, 0);
    assert_int_equal(house_balance(&h, growing, UNIT_MG), 60000000);
    assert_ok(strike(2, first, ""));
    assert_int_equal(house_balance(&h, growing, UNIT_MG), 100000000);
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH'}", growing);
    assert_int_equal(house_balance(&h, growing, UNIT_MG), 0);
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

/* What a struck count had found was given away meanwhile. */
static void what_is_missing_after_a_strike_is_owed(void **state)
{
    receive("100 kg");
    int64_t count =
        house_take(&h, "{'kind':'count','lot':'SEED-1','mass':'130 kg','place':'STORE'}");
    house_take(&h, "{'kind':'destroy','lot':'SEED-1','mass':'120 kg','to':'waste','reason':'wet'}");
    assert_ok(strike(2, count, ""));
    assert_int_equal(house_balance(&h, "SEED-1", UNIT_MG), -20000000);
    int64_t owed;
    assert_ok(owed_open(h.store, house_lot(&h, "SEED-1"), "mg", NULL, &owed));
    assert_int_equal(owed, 20000000);
    assert_int_equal(house_number(&h, "deviations"), 1);
}

static void a_lot_that_was_used_up_is_open_again(void **state)
{
    receive("100 kg");
    int64_t first = house_take(
        &h, "{'kind':'destroy','lot':'SEED-1','mass':'40 kg','to':'waste','reason':'wet'}");
    house_take(&h, "{'kind':'destroy','lot':'SEED-1','mass':'60 kg','to':'waste','reason':'wet'}");
    struct lot lot;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_true(lot.closed_ms != 0);
    assert_ok(strike(2, first, ""));
    assert_ok(lot_by_code(h.store, &h.arena, "SEED-1", &lot, &found));
    assert_int_equal(lot.closed_ms, 0);
    house_take(&h, "{'kind':'destroy','mode':'ask','lot':'SEED-1','mass':'40 "
                   "kg','to':'waste','reason':'wet'}");
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

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_struck_receipt_leaves_nothing_but_its_trace),
        TEST(a_replacement_takes_the_struck_one_s_place_at_its_time),
        TEST(dependants_refuse_a_strike_and_are_named),
        TEST(striking_all_of_a_chain_together_is_taken),
        TEST(a_replacement_keeps_fed_what_was_fed),
        TEST(a_replacement_that_makes_too_little_is_owed),
        TEST(a_replacement_of_another_kind_does_not_feed),
        TEST(a_failed_replacement_fails_the_whole),
        TEST(the_recorder_strikes_within_the_shift_then_quality),
        TEST(some_kinds_are_never_struck),
        TEST(a_hold_is_struck_by_two),
        TEST(what_a_struck_entry_changed_goes_back),
        TEST(a_run_told_again_keeps_its_steps),
        TEST(packing_told_again_keeps_its_cases_where_they_went),
        TEST(what_is_missing_after_a_strike_is_owed),
        TEST(a_lot_that_was_used_up_is_open_again),
        TEST(a_hold_follows_a_replacement_onward),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
