/* Seed is treated before it is wetted. */
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

static void a_treatment_that_is_too_cold_starts_nothing(void **state)
{
    const char *seed = receive("A7", "300 kg");
    passes(seed);
    say(seed, "approved");
    house_rule(&h, TREATMENT_NOT_MET, "treatment-not-met", treat_text(seed, "100 kg", 84000));
    const char *cold = house_answer(&h, "lot");
    house_wait(&h, "5 min");
    house_rule(&h, NOT_TREATED, "not-treated",
               house_text(&h, "{'kind':'soak','lot':'%s','place':'SOAK'}", cold));
    house_clean(&h, "C1", 0);
    house_rule(&h, NOT_TREATED, "not-treated", grow_text(cold, "C1"));
    /* cooling it is no crime */
    const char *second = treated(seed, "100 kg");
    house_take(&h, "{'kind':'cool','mode':'ask','lot':'%s','place':'SOAK'}", second);
    house_take(&h, "{'kind':'soak','mode':'ask','lot':'%s','place':'SOAK'}", second);
    /* nor is cooling what is held */
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'check',"
               "'reason':'smells'}",
               second);
    house_take(&h, "{'kind':'cool','mode':'ask','lot':'%s','place':'SOAK'}", second);
    house_rule(&h, HELD, "held-used",
               house_text(&h, "{'kind':'soak','lot':'%s','place':'SOAK'}", second));
}

static void a_cold_load_that_is_treated_again_is_a_treated_load(void **state)
{
    const char *seed = receive("A7", "300 kg");
    passes(seed);
    say(seed, "approved");
    house_take(&h, "%s", treat_text(seed, "100 kg", 84000));
    const char *cold = house_answer(&h, "lot");
    house_wait(&h, "5 min");
    house_take(&h, "%s", treat_text(cold, "100 kg", 86000));
    const char *warm = house_answer(&h, "lot");
    house_take(&h, "{'kind':'soak','mode':'ask','lot':'%s','place':'SOAK'}", warm);
    house_clean(&h, "C1", 0);
    house_take(&h, "%s", grow_text(warm, "C1")); /* the profile asks */
    assert_int_equal(house_deviations(&h), 0);
}

static void one_filling_is_one_item(void **state)
{
    house_take(&h, "{'kind':'item','code':'URDSEED','item_kind':'seed','family':'urd'}");
    const char *mung = receive("A7", "100 kg");
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'URDSEED','mass':'100 kg','place':"
               "'STORE'}");
    const char *urd = house_answer(&h, "lot");
    const char *command = treat_text(mung, "50 kg", 86000);
    const char *rest = strstr(command, "}],'place'");
    assert_code(house_send(&h, "%.*s},{'lot':'%s'%s", (int)(rest - command), command, urd, rest),
                FIELD_CHOICE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_treatment_that_is_too_cold_starts_nothing),
        T(a_cold_load_that_is_treated_again_is_a_treated_load),
        T(one_filling_is_one_item),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
