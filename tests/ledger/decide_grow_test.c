/* A chamber is started. */
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

static void a_chamber_is_clean_empty_and_filled_as_it_may_be(void **state)
{
    const char *seed = receive("A7", "900 kg");
    passes(seed);
    say(seed, "approved");
    const char *one = treated(seed, "100 kg"), *two = treated(seed, "100 kg"),
               *small = treated(seed, "59.999999 kg"), *large = treated(seed, "130.000001 kg");
    house_rule(&h, NOT_CLEAN, "not-clean", grow_text(one, "C1"));
    house_clean(&h, "C1", 0);
    house_rule(&h, CHAMBER_TAKEN, "chamber-taken", grow_text(two, "C1"));
    house_clean(&h, "C2", 0);
    house_clean(&h, "C3", 0);
    house_rule(&h, SEED_AMOUNT, "seed-amount", grow_text(small, "C2"));
    house_rule(&h, SEED_AMOUNT, "seed-amount", grow_text(large, "C3"));
    house_refused(&h, PLACE_KIND, grow_text(one, "SOAK"));
    house_refused(&h, CHAMBER_EMPTY,
                  "{'kind':'harvest','chamber':'WASH','mass':'1 kg','place':'WASH'}");
}

/* Of seed lots split and brought together again every one is asked about. */
static void seed_that_was_split_must_still_be_approved(void **state)
{
    const char *seed = receive("A7", "300 kg");
    passes(seed);
    say(seed, "approved");
    house_take(&h, "{'kind':'split','lot':'%s','mass':'100 kg','lot_out':'PART'}", seed);
    const char *load = treated("PART", "100 kg");
    house_clean(&h, "C1", 0);
    house_rule(&h, SEED_NOT_APPROVED, "seed-not-approved", grow_text(load, "C1"));
    house_sums(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_chamber_is_clean_empty_and_filled_as_it_may_be),
        T(seed_that_was_split_must_still_be_approved),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
