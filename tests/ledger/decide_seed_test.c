/* Seed is approved, rejected, blocked. */
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

static void approval_is_never_told_without_its_tests(void **state)
{
    const char *seed = seed_receive(&h, "A7", "100 kg");
    house_refused(
        &h, TEST_MISSING,
        house_text(&h, "{'kind':'approve','person':2,'lot':'%s','state':'approved'}", seed));
    house_refused(&h, FIELD_CHOICE,
                  house_text(&h, "{'kind':'approve','person':2,'lot':'%s','state':'fine'}", seed));
    assert_code(house_send(&h, "{'kind':'approve','person':6,'lot':'%s','state':'rejected'}", seed),
                ROLE_MISSING);
    seed_say(&h, seed, "rejected");
}

/* Sacks of one supplier's lot are one hazard, whenever they came. */
static void deliveries_of_a_supplier_lot_are_blocked_together(void **state)
{
    const char *one = seed_receive(&h, "A7", "100 kg"), *two = seed_receive(&h, "A7", "100 kg"),
               *other = seed_receive(&h, "B1", "100 kg");
    seed_passes(&h, one);
    seed_passes(&h, two);
    seed_passes(&h, other);
    seed_say(&h, one, "approved");
    seed_say(&h, two, "approved");
    seed_say(&h, other, "approved");
    house_clean(&h, "C1", 0);
    house_clean(&h, "C2", 0);
    const char *load = seed_treated(&h, one, "100 kg"), *free = seed_treated(&h, other, "100 kg");
    house_wait(&h, "1 h");
    seed_say(&h, two, "blocked");
    assert_true(json_is_true(json_object_get(h.answer, "all_deliveries")));
    house_rule(&h, SEED_NOT_APPROVED, "seed-not-approved", seed_grow_text(&h, load, "C1"));
    assert_code(house_send(&h, "%s", seed_grow_text(&h, free, "C2")), OK);
    assert_int_equal(house_deviations(&h), 0);
}

static void a_block_ends_with_a_later_approval_of_each_delivery(void **state)
{
    const char *one = seed_receive(&h, "A7", "200 kg");
    seed_passes(&h, one);
    seed_say(&h, one, "approved");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'approve','person':2,'lot':'RADICLE/A7','state':'blocked'}");
    house_refused(&h, LOT_KIND,
                  "{'kind':'approve','person':2,'lot':'RADICLE/A7','state':'approved'}");
    const char *load = seed_treated(&h, one, "100 kg");
    house_clean(&h, "C1", 0);
    assert_code(house_send(&h, "%s", seed_grow_text(&h, load, "C1")), SEED_NOT_APPROVED);
    seed_say(&h, one, "approved");
    assert_code(house_send(&h, "%s", seed_grow_text(&h, load, "C1")), OK);
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
