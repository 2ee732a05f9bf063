/* Pieces of packed lots counted at a check. The profile asks level S-4, 1.0 % of seals: of 100
 * pieces (letter D, by its arrow E) 13 and none bad, tightened (by arrows F) 20 and none bad. ISO
 * 2859-1 tables as in calc/microbe/sampling_plan.c; published (seen). */
#include "head.h"

#include "ledger/check_pieces.h"

static int open_packs(void **state)
{
    house_open(&h);
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH'}", growing);
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main',"
               "'lot':'W','mass':'760 kg'}]}",
               house_answer(&h, "lot"));
    return 0;
}

#undef T
#define T(function) cmocka_unit_test_setup_teardown(function, open_packs, head_close)

static const char *pack(void)
{
    house_wait(&h, "1 min");
    house_take(&h, "{'kind':'pack','inputs':[{'lot':'W','mass':'25.1 kg'}],'item':'MUNG250',"
                   "'pieces':100,'mean_net':'251 g','place':'PACK','markets':['US']}");
    return arena_copy(&h.arena, house_answer(&h, "lot"));
}

static int64_t look(const char *lot, int inspected, int bad)
{
    house_wait(&h, "1 min");
    return house_take(&h,
                      "{'kind':'seal-check','place':'PACK','lot':'%s','inspected':%d,'bad':%d,"
                      "'what':'open corner','person':5}",
                      lot, inspected, bad);
}

/* By a hold of its sample: it waits for its laboratory besides. */
static bool held(const char *lot)
{
    struct hold *holds;
    size_t count;
    bool is = false;
    assert_ok(holds_on(h.store, &h.arena, house_lot(&h, lot), 0, "load", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        is = is || strcmp(holds[i].kind, "quality") == 0;
    }
    return is;
}

static bool accepted(void)
{
    return json_is_true(json_object_get(h.answer, "accepted"));
}

static struct check_pieces pieces_of(const char *lot, bool *out_asked)
{
    struct lot row = house_lot_row(&h, lot);
    struct check_pieces p;
    assert_ok(check_pieces_of(h.store, &h.arena, h.lg->profile, "seal-check", &row, h.fixed.now_ms,
                              &p, out_asked));
    return p;
}

static void a_sample_without_a_bad_one_lets_the_lot_pass(void **state)
{
    bool asked;
    const char *lot = pack();
    struct check_pieces p = pieces_of(lot, &asked);
    assert_true(asked);
    assert_int_equal(p.size, 100);
    assert_int_equal(p.plan.samples, 13);
    assert_int_equal(p.plan.accept, 0);
    assert_string_equal(p.series.from, "PACK");
    look(lot, 13, 0);
    assert_true(accepted());
    assert_true(json_is_true(json_object_get(h.answer, "ok")));
    assert_string_equal(house_answer(&h, "inspection"), "normal");
    assert_int_equal(house_deviations(&h), 0);
    assert_false(held(lot));
    pieces_of("W", &asked); /* no packed lot */
    assert_false(asked);
}

static void a_bad_one_too_many_holds_the_lot(void **state)
{
    const char *lot = pack();
    look(lot, 2, 1); /* bad is bad however few were looked at */
    assert_false(accepted());
    assert_true(json_is_false(json_object_get(h.answer, "ok")));
    assert_int_equal(house_effect(&h, "reading", 0, 8), 0);
    assert_true(house_deviates(&h, "packs-refused"));
    assert_int_equal(house_deviations(&h), 1);
    assert_true(held(lot));
    assert_false(house_held(&h, lot, "quality")); /* it may be used: sorted and packed anew */
}

/* The hold goes when a sample of the sorted lot is good. */
static void a_good_sample_lifts_the_hold(void **state)
{
    const char *lot = pack();
    look(lot, 13, 1);
    const char *hold = arena_copy(&h.arena, house_answer(&h, "hold"));
    int64_t entry = look(lot, 13, 0);
    assert_true(accepted());
    house_take(&h, "{'kind':'lift','hold':'%s','evidence':%lld,'reason':'sorted','person':2}", hold,
               (long long)entry);
    assert_false(held(lot));
}

static void too_few_decide_nothing(void **state)
{
    for (int i = 0; i < 5; i++) {
        const char *lot = pack();
        look(lot, 12, 0);
        assert_true(house_deviates(&h, "packs-sample-small"));
        assert_true(held(lot));
    }
    look(pack(), 13, 0);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
}

/* Two of five not accepted: tightened; five accepted in a row: normal again. */
static void inspection_follows_what_came_before(void **state)
{
    look(pack(), 13, 1);
    look(pack(), 13, 0);
    const char *twice = pack();
    int64_t second = look(twice, 13, 1);
    look(twice, 13, 1); /* given in again: changes nothing */
    bool asked;
    assert_int_equal(pieces_of(twice, &asked).plan.inspection, INSPECTION_TIGHTENED);
    for (int i = 0; i < 5; i++) {
        look(pack(), 20, 0);
        assert_string_equal(house_answer(&h, "inspection"), "tightened");
        assert_true(accepted());
    }
    look(pack(), 13, 0);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
    /* struck, the second is as if it had not been, and the one given in again counts for it */
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'another lot','person':2}",
               (long long)second);
    look(pack(), 13, 0);
    assert_string_equal(house_answer(&h, "inspection"), "normal");
}

/* Five not accepted on tightened: no sample lets a lot pass until what was done is verified. */
static void five_refused_on_tightened_end_sampling(void **state)
{
    for (int i = 0; i < 2; i++) {
        look(pack(), 13, 1);
    }
    for (int i = 0; i < 4; i++) {
        look(pack(), 20, 1);
        assert_false(house_deviates(&h, "packs-discontinued"));
    }
    look(pack(), 20, 1);
    assert_true(house_deviates(&h, "packs-discontinued"));
    int64_t id = house_effect(&h, "deviation", 1, 1); /* behind that of the lot itself */
    const char *lot = pack();
    look(lot, 20, 0);
    assert_string_equal(house_answer(&h, "inspection"), "discontinued");
    assert_false(accepted());
    assert_true(held(lot));
    assert_true(house_deviates(&h, "packs-refused"));
    assert_int_equal(house_deviations(&h), 1); /* it stands open already */
    house_wait(&h, "1 min");
    house_take(&h,
               "{'kind':'corrective-action','deviation':%lld,'cause':'jaw was cold','correction':"
               "'heater changed','disposition':'rework','person':10}",
               (long long)id);
    look(pack(), 20, 0);
    assert_string_equal(house_answer(&h, "inspection"), "discontinued");
    house_wait(&h, "1 min");
    house_take(&h, "{'kind':'verification','deviation':%lld,'ok':true,'person':2}", (long long)id);
    look(pack(), 20, 0);
    assert_string_equal(house_answer(&h, "inspection"), "tightened");
    assert_true(accepted());
}

static void what_the_profile_does_not_ask_is_not_counted(void **state)
{
    const char *lot = pack();
    house_refused(
        &h, PACKS_NOT_INSPECTED,
        house_text(&h, "{'kind':'inspect','lot':'%s','inspected':13,'bad':0,'what':'look'}", lot));
    house_refused(&h, PACKS_NOT_INSPECTED,
                  "{'kind':'seal-check','place':'PACK','inspected':13,'bad':0}");
    house_refused(&h, PACKS_NOT_INSPECTED,
                  "{'kind':'seal-check','place':'PACK','lot':'W','inspected':13,'bad':0}");
    static const char *const wrong[] = {"'inspected':101,'bad':0", "'inspected':13,'bad':14,'what'"
                                                                   ":'open'"};
    for (size_t i = 0; i < 2; i++) {
        house_refused(
            &h, FIELD_RANGE,
            house_text(&h, "{'kind':'seal-check','place':'PACK','lot':'%s',%s}", lot, wrong[i]));
    }
    static const char *const missing[] = {"'inspected':13", "'bad':0", "'inspected':13,'bad':1"};
    for (size_t i = 0; i < 3; i++) {
        house_refused(
            &h, FIELD_MISSING,
            house_text(&h, "{'kind':'seal-check','place':'PACK','lot':'%s',%s}", lot, missing[i]));
    }
    /* a look without a count is a look, and fails by what was said */
    house_take(&h, "{'kind':'seal-check','place':'PACK','lot':'%s','ok':true}", lot);
    assert_null(json_object_get(h.answer, "accepted"));
    house_take(&h,
               "{'kind':'seal-check','place':'PACK','lot':'%s','inspected':13,'bad':0,'ok':false,"
               "'what':'jaw smokes'}",
               lot);
    assert_true(accepted());
    assert_true(json_is_false(json_object_get(h.answer, "ok")));
    assert_true(house_deviates(&h, "check-failed"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_sample_without_a_bad_one_lets_the_lot_pass),
        T(a_bad_one_too_many_holds_the_lot),
        T(a_good_sample_lifts_the_hold),
        T(too_few_decide_nothing),
        T(inspection_follows_what_came_before),
        T(five_refused_on_tightened_end_sampling),
        T(what_the_profile_does_not_ask_is_not_counted),
    };
    RUN(tests);
}
