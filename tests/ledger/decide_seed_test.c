/* Seed is approved, rejected, blocked. */
#include "evidence.h"
#include "stock.h"

#include "base/digest.h"

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

static const char *receive(const char *supplier_lot, const char *mass)
{
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','supplier_lot':'%s','item':'MUNGSEED',"
               "'mass':'%s','place':'STORE'}",
               supplier_lot, mass);
    return house_answer(&h, "lot");
}

static void passes(const char *lot)
{
    static const char *const tests[] = {
        "'test':'purity','pure':'99 g','other':'0.4 g','weed':'0.1 g','inert':'0.5 g'",
        "'test':'germination','replicates':[96,95,97,96]",
        "'test':'thousand-seed-mass','replicates_g':['5.52','5.50','5.49','5.51','5.53','5.50','5."
        "52','5.51']",
        "'test':'moisture','moisture':'10.2 %'",
        "'test':'look','seed':'good','sacks':'good'",
    };
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        house_take(&h, "{'kind':'seed-test','lot':'%s',%s}", lot, tests[i]);
    }
}

static void say(const char *lot, const char *state)
{
    house_take(&h, "{'kind':'approve','person':2,'lot':'%s','state':'%s'}", lot, state);
}

/* A log with a reading every two seconds for a minute. */
static const char *treat_text(const char *lot, const char *mass, int mc)
{
    const char *points = house_text(&h, "[0,%d]", mc);
    for (int s = 2; s <= 60; s += 2) {
        points = house_text(&h, "%s,[%d000,%d]", points, s, mc);
    }
    const char *paper = "%PDF-1.4 a validation";
    house_take(&h, "{'kind':'attach','name':'v.pdf','paper_kind':'validation','bytes_b64':'%s'}",
               base64_text(&h.arena, paper, strlen(paper)));
    const char *sha = house_answer(&h, "sha256"), *start = house_time(&h, 0);
    house_wait(&h, "2 min");
    const char *end = house_time(&h, -1);
    return house_text(&h,
                      "{'kind':'heat-treat','inputs':[{'lot':'%s','mass':'%s'}],'place':'TREAT',"
                      "'recipe':'hot-water-85','start':'%s','end':'%s','cool_start':'%s','log':{"
                      "'probes':['PROBE-1'],'points':[%s]},'papers':['%s']}",
                      lot, mass, start, end, end, points, sha);
}

static const char *treated(const char *lot, const char *mass)
{
    house_take(&h, "%s", treat_text(lot, mass, 86000));
    assert_int_equal(house_deviations(&h), 0);
    return house_answer(&h, "lot");
}

static const char *grow_text(const char *load, const char *chamber)
{
    return house_text(&h, "{'kind':'grow','chamber':'%s','item':'MUNG','inputs':[{'lot':'%s'}]}",
                      chamber, load);
}

static void approval_is_never_told_without_its_tests(void **state)
{
    const char *seed = receive("A7", "100 kg");
    house_refused(
        &h, TEST_MISSING,
        house_text(&h, "{'kind':'approve','person':2,'lot':'%s','state':'approved'}", seed));
    house_refused(&h, FIELD_CHOICE,
                  house_text(&h, "{'kind':'approve','person':2,'lot':'%s','state':'fine'}", seed));
    assert_code(house_send(&h, "{'kind':'approve','person':6,'lot':'%s','state':'rejected'}", seed),
                ROLE_MISSING);
    say(seed, "rejected");
}

/* Sacks of one supplier's lot are one hazard, whenever they came. */
static void deliveries_of_a_supplier_lot_are_blocked_together(void **state)
{
    const char *one = receive("A7", "100 kg"), *two = receive("A7", "100 kg"),
               *other = receive("B1", "100 kg");
    passes(one);
    passes(two);
    passes(other);
    say(one, "approved");
    say(two, "approved");
    say(other, "approved");
    house_clean(&h, "C1", 0);
    house_clean(&h, "C2", 0);
    const char *load = treated(one, "100 kg"), *free = treated(other, "100 kg");
    house_wait(&h, "1 h");
    say(two, "blocked");
    assert_true(json_is_true(json_object_get(h.answer, "all_deliveries")));
    house_rule(&h, SEED_NOT_APPROVED, "seed-not-approved", grow_text(load, "C1"));
    assert_code(house_send(&h, "%s", grow_text(free, "C2")), OK);
    assert_int_equal(house_deviations(&h), 0);
}

static void a_block_ends_with_a_later_approval_of_each_delivery(void **state)
{
    const char *one = receive("A7", "200 kg");
    passes(one);
    say(one, "approved");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'approve','person':2,'lot':'RADICLE/A7','state':'blocked'}");
    house_refused(&h, LOT_KIND,
                  "{'kind':'approve','person':2,'lot':'RADICLE/A7','state':'approved'}");
    const char *load = treated(one, "100 kg");
    house_clean(&h, "C1", 0);
    assert_code(house_send(&h, "%s", grow_text(load, "C1")), SEED_NOT_APPROVED);
    say(one, "approved");
    assert_code(house_send(&h, "%s", grow_text(load, "C1")), OK);
    assert_int_equal(house_deviations(&h), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(approval_is_never_told_without_its_tests),
        T(deliveries_of_a_supplier_lot_are_blocked_together),
        T(a_block_ends_with_a_later_approval_of_each_delivery),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
