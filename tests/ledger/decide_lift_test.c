/* What lifts a hold, and what never does. */
#include "fixture/evidence.h"

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

static const char *receive(const char *supplier_lot, const char *mass)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','supplier_lot':'%s','item':'MUNGSEED','mass'"
               ":'%s','place':'STORE'}",
               supplier_lot, mass);
    return house_answer(&h, "lot");
}

static int64_t attach(const char *lot)
{
    return house_take(&h,
                      "{'kind':'attach','name':'note.txt','paper_kind':'report','bytes_b64':'"
                      "bm90ZQ==','lot':'%s'}",
                      lot);
}

static void a_hold_is_lifted_by_what_it_needs_and_nothing_else(void **state)
{
    const char *lot = receive("A7", "100 kg"), *other = receive("B1", "100 kg");
    int64_t before = attach(lot);
    house_take(&h,
               "{'kind':'hold','hold_kind':'supplier','lot':'%s','stops':['use'],'needs':'paper','"
               "reason':'no certificate'}",
               lot);
    const char *hold = house_answer(&h, "hold");
    int64_t of_other = attach(other);
    int64_t move =
        house_take(&h, "{'kind':'seed-test','lot':'%s','test':'moisture','moisture':'10 %%'}", lot);
    int64_t paper = attach(lot);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'H0-0','evidence':%lld}",
                           (long long)paper),
                HOLD_UNKNOWN);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':9999}", hold),
                ENTRY_UNKNOWN);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                           (long long)before),
                HOLD_EVIDENCE_OLD);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                           (long long)of_other),
                HOLD_EVIDENCE);
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                           (long long)move),
                HOLD_EVIDENCE);
    assert_code(house_send(&h, "{'kind':'lift','person':5,'hold':'%s','evidence':%lld}", hold,
                           (long long)paper),
                ROLE_MISSING);
    assert_true(is_held(lot, "use"));
    house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
               (long long)paper);
    assert_false(is_held(lot, "use"));
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                           (long long)paper),
                HOLD_LIFTED);
}

static void holds_on_one_thing_are_lifted_one_by_one(void **state)
{
    const char *lot = receive("A7", "100 kg");
    house_take(&h,
               "{'kind':'hold','hold_kind':'supplier','lot':'%s','stops':['use'],'needs':'paper','"
               "reason':'one'}",
               lot);
    const char *one = house_answer(&h, "hold");
    house_take(&h,
               "{'kind':'hold','hold_kind':'other','lot':'%s','stops':['use'],'needs':'paper','"
               "reason':'two'}",
               lot);
    int64_t paper = attach(lot);
    house_take(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", one, (long long)paper);
    assert_true(is_held(lot, "use"));
}

/* The record's own entry of that kind in the last answer. */
static const json_t *concluded(const char *kind)
{
    const json_t *list = json_object_get(h.answer, "consequences");
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *one = json_array_get(list, i);
        if (strcmp(json_string_value(json_object_get(one, "kind")), kind) == 0) {
            return one;
        }
    }
    return NULL;
}

static void a_positive_is_not_lifted_by_a_negative(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    house_result(&h, b.sample, "Salmonella spp.", "confirmed-positive");
    const json_t *scope = concluded("scope");
    const char *batch =
        arena_copy(&h.arena, json_string_value(json_array_get(json_object_get(scope, "holds"), 0)));
    const char *seed =
        arena_copy(&h.arena, json_string_value(json_array_get(json_object_get(scope, "holds"), 1)));
    const char *again = house_sample(&h, b.growing);
    house_result(&h, again, "Salmonella spp.", "negative");
    int64_t negative = house_number(&h, "entry");
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", batch,
                           (long long)negative),
                HOLD_POSITIVE);
    assert_code(
        house_send(
            &h,
            "{'kind':'lift','person':1,'seed_route':true,'reason':'r','hold':'%s','evidence':%lld}",
            batch, (long long)negative),
        HOLD_STOCK);
    house_take(&h, "{'kind':'destroy','person':2,'lot':'%s','to':'waste','reason':'r'}", b.packed);
    int64_t destroyed = house_number(&h, "entry");
    assert_code(house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", batch,
                           (long long)destroyed),
                HOLD_STOCK);
    /* the seed: quality alone may not, a manager with a reason may */
    assert_code(
        house_send(
            &h,
            "{'kind':'lift','person':2,'seed_route':true,'reason':'r','hold':'%s','evidence':%lld}",
            seed, (long long)negative),
        ROLE_MISSING);
    assert_code(
        house_send(&h, "{'kind':'lift','person':1,'seed_route':true,'hold':'%s','evidence':%lld}",
                   seed, (long long)negative),
        FIELD_MISSING);
    int64_t paper = house_take(&h,
                               "{'kind':'attach','name':'source.txt','paper_kind':'report','bytes_"
                               "b64':'bm90ZQ==','lot':'%s'}",
                               b.seed);
    house_take(&h,
               "{'kind':'lift','person':1,'seed_route':true,'reason':'the source was the "
               "hose','hold':'%s','evidence':%lld}",
               seed, (long long)paper);
}

/* Packed lots of two batches, each of 20 cases. */
static void two_packed(const char *packed[2])
{
    packed[0] = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    packed[1] = house_pack(&h, house_grow(&h, "C2", "100 kg"));
}

static const char *hold_cases(const char *needs, const char *units)
{
    house_take(&h,
               "{'kind':'hold','hold_kind':'seal','units':[%s],'stops':['use'],'needs':'%s',"
               "'reason':'open seals'}",
               units, needs);
    return house_answer(&h, "hold");
}

static int64_t inspect(const char *lot, int minutes_ago, const char *ok)
{
    return house_take(&h, "{'kind':'inspect','lot':'%s','ok':%s,'what':'seals','at':'%s'}", lot, ok,
                      civil_text(&h.arena, h.fixed.now_ms - (int64_t)minutes_ago * 60000, 0));
}

static struct result lift(const char *hold, int64_t evidence)
{
    return house_send(&h, "{'kind':'lift','person':2,'hold':'%s','evidence':%lld}", hold,
                      (long long)evidence);
}

static bool case_held(const char *lot, int n)
{
    struct unit unit;
    struct hold *holds;
    size_t count;
    bool found;
    assert_ok(
        unit_by_code(h.store, &h.arena, arena_printf(&h.arena, "%s-%04d", lot, n), &unit, &found));
    assert_true(found);
    assert_ok(holds_on(h.store, &h.arena, unit.lot, unit.id, "use", &holds, &count));
    return count > 0;
}

static void held_cases_are_lifted_by_a_check_of_their_lot(void **state)
{
    const char *packed[2];
    two_packed(packed);
    int64_t before = inspect(packed[0], 0, "true");
    house_wait(&h, "1 h");
    const char *hold =
        hold_cases("check", arena_printf(&h.arena, "'%s-0003..%s-0005'", packed[0], packed[0]));
    house_wait(&h, "1 h");
    assert_code(lift(hold, before), HOLD_EVIDENCE_OLD);
    assert_code(lift(hold, inspect(packed[0], 90, "true")), HOLD_EVIDENCE_OLD); /* told later */
    assert_code(lift(hold, inspect(packed[1], 0, "true")), HOLD_EVIDENCE);
    assert_code(lift(hold, inspect(packed[0], 0, "false")), HOLD_EVIDENCE);
    assert_true(case_held(packed[0], 4));
    assert_ok(lift(hold, inspect(packed[0], 30, "true")));
    assert_false(case_held(packed[0], 4));
}

static void a_lot_is_not_lifted_by_a_check_from_before_its_hold(void **state)
{
    const char *lot = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    house_wait(&h, "1 h");
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['load'],'needs':'check',"
               "'reason':'smells'}",
               lot);
    const char *hold = house_answer(&h, "hold");
    assert_code(lift(hold, inspect(lot, 30, "true")), HOLD_EVIDENCE_OLD);
    assert_ok(lift(hold, inspect(lot, 0, "true")));
}

/* One check speaks of one lot; the cases of the other one wait for theirs until they are gone. */
static void held_cases_of_two_lots_each_need_it(void **state)
{
    const char *packed[2];
    two_packed(packed);
    const char *both = arena_printf(&h.arena, "'%s-0001','%s-0001'", packed[0], packed[1]);
    const char *check = hold_cases("check", both), *again = hold_cases("decision", both);
    assert_code(lift(check, inspect(packed[0], 0, "true")), HOLD_EVIDENCE);
    assert_code(lift(again, inspect(packed[0], 0, "true")), HOLD_EVIDENCE);
    assert_true(case_held(packed[1], 1));
    house_take(&h,
               "{'kind':'destroy','person':2,'units':['%s-0001'],'to':'waste','reason':'crushed'}",
               packed[1]);
    int64_t good = inspect(packed[0], 0, "true");
    assert_ok(lift(check, good));
    assert_ok(lift(again, good));
    assert_false(case_held(packed[0], 1));
}

static void held_cases_that_are_destroyed_need_nothing_more(void **state)
{
    const char *lot = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    const char *hold =
        hold_cases("disposition", arena_printf(&h.arena, "'%s-0001..%s-0002'", lot, lot));
    for (int n = 1; n <= 2; n++) {
        house_take(
            &h, "{'kind':'destroy','person':2,'units':['%s-%04d'],'to':'waste','reason':'crushed'}",
            lot, n);
        struct result r = lift(hold, house_number(&h, "entry"));
        n == 1 ? assert_code(r, HOLD_STOCK) : assert_ok(r);
    }
}

/* It is no negative while its sample stands presumptive. */
static void a_hold_is_not_lifted_by_a_negative_after_a_presumptive(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':"
               "'negative','reason':'asked the laboratory again'}",
               b.packed);
    const char *hold = house_answer(&h, "hold");
    house_result(&h, b.sample, "Salmonella spp.", "presumptive");
    house_result(&h, b.sample, "Salmonella spp.", "negative");
    assert_code(lift(hold, house_number(&h, "entry")), HOLD_EVIDENCE);
    house_result(&h, b.sample, "Salmonella spp.", "confirmed-negative"); /* no method may */
    assert_code(lift(hold, house_number(&h, "entry")), HOLD_EVIDENCE);
    house_result(&h, house_sample(&h, b.growing), "Salmonella spp.", "negative");
    assert_ok(lift(hold, house_number(&h, "entry")));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_hold_is_lifted_by_what_it_needs_and_nothing_else),
        TEST(holds_on_one_thing_are_lifted_one_by_one),
        TEST(a_positive_is_not_lifted_by_a_negative),
        TEST(a_hold_is_not_lifted_by_a_negative_after_a_presumptive),
        TEST(held_cases_are_lifted_by_a_check_of_their_lot),
        TEST(a_lot_is_not_lifted_by_a_check_from_before_its_hold),
        TEST(held_cases_of_two_lots_each_need_it),
        TEST(held_cases_that_are_destroyed_need_nothing_more),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
