/* Tests of seed. */
#include "evidence.h"
#include "seed.h"
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

static void a_test_that_fails_is_a_deviation_and_no_approval(void **state)
{
    const char *seed = seed_receive(&h, "A7", "100 kg");
    seed_passes(&h, seed);
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
    seed_say(&h, seed, "approved");
    /* an old slip of paper found later does not speak louder than the newest test */
    house_take(
        &h,
        "{'kind':'seed-test','lot':'%s','test':'germination','replicates':[80,81,82,80],'at':"
        "'%s'}",
        seed, house_time(&h, -30));
    seed_say(&h, seed, "approved");
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
