/* Strikes: what one takes back, who may, and what stands in the way. */
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

static void a_log_is_not_taken_from_under_its_treatment(void **state)
{
    h.by_series = true;
    house_grow(&h, "C1", "100 kg");
    int64_t piece = house_entry(&h, "seal").seq;
    assert_code(strike(2, piece, ""), STRIKE_DEPENDANTS);
    assert_non_null(strstr(h.refusal.value[0], "heat-treat (treater-1)"));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_struck_receipt_leaves_nothing_but_its_trace),
        TEST(dependants_refuse_a_strike_and_are_named),
        TEST(striking_all_of_a_chain_together_is_taken),
        TEST(the_recorder_strikes_within_the_shift_then_quality),
        TEST(some_kinds_are_never_struck),
        TEST(a_hold_is_struck_by_two),
        TEST(what_a_struck_entry_changed_goes_back),
        TEST(what_is_missing_after_a_strike_is_owed),
        TEST(a_lot_that_was_used_up_is_open_again),
        TEST(a_log_is_not_taken_from_under_its_treatment),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
