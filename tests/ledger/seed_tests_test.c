/* Tests of seed. */
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

static void a_test_that_fails_is_a_deviation_and_no_approval(void **state)
{
    const char *seed = receive("A7", "100 kg");
    passes(seed);
    /* 94 % is the least (the profile's germination) */
    house_rule(&h, TEST_FAILED, "seed-test-failed",
               house_text(&h,
                          "{'kind':'seed-test','lot':'%s','test':'germination','replicates':[93,93,"
                          "93,93]}",
                          seed));
    house_refused(
        &h, TEST_MISSING,
        house_text(&h, "{'kind':'approve','person':2,'lot':'%s','state':'approved'}", seed));
    house_wait(&h, "1 h");
    house_take(&h,
               "{'kind':'seed-test','lot':'%s','test':'germination','replicates':[95,96,94,95]}",
               seed);
    say(seed, "approved");
    /* an old slip of paper found later does not speak louder than the newest test */
    house_take(
        &h,
        "{'kind':'seed-test','lot':'%s','test':'germination','replicates':[80,81,82,80],'at':"
        "'%s'}",
        seed, house_time(&h, -30));
    say(seed, "approved");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_test_that_fails_is_a_deviation_and_no_approval),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
