/* The plan that a delivery gets, and that approval waits for its inspection. */
#include "head.h"

#include "ledger/acceptance.h"

static struct acceptance_plan plan_of(int64_t size)
{
    struct acceptance_series series = {.check = "", .from = "RADICLE", .item = "MUNGSEED"};
    struct acceptance_plan plan;
    assert_ok(acceptance_plan(h.store, h.lg->profile, &series, size, h.fixed.now_ms, &plan, NULL));
    return plan;
}

/* Level I, 4.0 %: by letter A (arrow down to B) 3/0, B 3/0, C (arrow up to B) 3/0, F 20/2; lots as
 * small as the sample are looked at whole. ISO 2859-1, normal (published (seen)). */
static void the_sample_follows_from_the_size(void **state)
{
    static const struct {
        int64_t size, samples, accept;
    } rows[] = {{1, 1, 0}, {2, 2, 0}, {20, 3, 0}, {40, 3, 0}, {300, 20, 2}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct acceptance_plan plan = plan_of(rows[i].size);
        assert_int_equal(plan.inspection, INSPECTION_NORMAL);
        assert_int_equal(plan.samples, rows[i].samples);
        assert_int_equal(plan.accept, rows[i].accept);
        assert_false(plan.recalled);
    }
}

static void lots_are_noted_under_where_they_come_from(void **state)
{
    static const struct acceptance_series delivery = {"", "RADICLE", "MUNGSEED"},
                                          packs = {"seal-check", "PACK", "MUNG250"};
    assert_string_equal(acceptance_code(&h.arena, &delivery), "RADICLE/MUNGSEED");
    assert_string_equal(acceptance_code(&h.arena, &packs), "seal-check/PACK/MUNG250");
}

static void approval_waits_for_the_inspection(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'500 kg',"
                   "'place':'STORE','sacks':20,'person':6}");
    const char *lot = arena_copy(&h.arena, house_answer(&h, "lot"));
    static const char *const tests[] = {
        "'test':'purity','pure':'490 g','other':'1 g','weed':'0 g','inert':'1 g'",
        "'test':'germination','replicates':[97,96,98,97]",
        "'test':'thousand-seed-mass','replicates_g':['5.01','5.02','5.00','5.03','5.01','5.02',"
        "'5.00','5.01']",
        "'test':'moisture','moisture':'10 %'",
        "'test':'look','seed':'good','sacks':'good'",
    };
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        house_take(&h, "{'kind':'seed-test','lot':'%s',%s,'person':6}", lot, tests[i]);
    }
    const char *approve =
        house_text(&h, "{'kind':'approve','lot':'%s','state':'approved','person':2}", lot);
    struct result r = house_send(&h, "%s", approve);
    assert_int_equal(r.code, CODE_DELIVERY_NOT_ACCEPTED);
    house_take(&h, "{'kind':'delivery-check','lot':'%s','inspected':3,'bad':0,'person':6}", lot);
    house_take(&h, "%s", approve);
    assert_string_equal(house_answer(&h, "state"), "approved");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(the_sample_follows_from_the_size),
        T(lots_are_noted_under_where_they_come_from),
        T(approval_waits_for_the_inspection),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
