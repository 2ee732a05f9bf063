/* A chamber is started. */
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

static void a_chamber_is_clean_empty_and_filled_as_it_may_be(void **state)
{
    const char *seed = seed_receive(&h, "A7", "900 kg");
    seed_passes(&h, seed);
    seed_say(&h, seed, "approved");
    const char *one = seed_treated(&h, seed, "100 kg"), *two = seed_treated(&h, seed, "100 kg"),
               *small = seed_treated(&h, seed, "59.999999 kg"),
               *large = seed_treated(&h, seed, "130.000001 kg");
    house_rule(&h, NOT_CLEAN, "not-clean", seed_grow_text(&h, one, "C1"));
    house_clean(&h, "C1", 0);
    house_rule(&h, CHAMBER_TAKEN, "chamber-taken", seed_grow_text(&h, two, "C1"));
    house_clean(&h, "C2", 0);
    house_clean(&h, "C3", 0);
    house_rule(&h, SEED_AMOUNT, "seed-amount", seed_grow_text(&h, small, "C2"));
    house_rule(&h, SEED_AMOUNT, "seed-amount", seed_grow_text(&h, large, "C3"));
    house_refused(&h, PLACE_KIND, seed_grow_text(&h, one, "SOAK"));
    house_refused(&h, CHAMBER_EMPTY,
                  "{'kind':'harvest','chamber':'WASH','mass':'1 kg','place':'WASH'}");
}

/* Of seed lots split and brought together again every one is asked about. */
static void seed_that_was_split_must_still_be_approved(void **state)
{
    const char *seed = seed_receive(&h, "A7", "300 kg");
    seed_passes(&h, seed);
    seed_say(&h, seed, "approved");
    house_take(&h, "{'kind':'split','lot':'%s','mass':'100 kg','lot_out':'PART'}", seed);
    const char *load = seed_treated(&h, "PART", "100 kg");
    house_clean(&h, "C1", 0);
    house_rule(&h, SEED_NOT_APPROVED, "seed-not-approved", seed_grow_text(&h, load, "C1"));
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
