#include "../support.h"

#include "web/limits.h"
#include "web/tries.h"

static void an_address_has_so_many_tries_in_a_quarter_of_an_hour(void **state)
{
    (void)state;
    struct world_fixed fixed = {.now_ms = 1000000, .state = 1};
    struct tries *t = tries_new(world_fixed(&fixed));
    for (int i = 0; i < WEB_TRIES_PER_ADDRESS; i++) {
        assert_int_equal(tries_count(t, "10.0.0.1"), 0);
    }
    fixed.now_ms += 60000;
    assert_int_equal(tries_count(t, "10.0.0.1"), WEB_TRIES_S - 60);
    assert_int_equal(tries_count(t, "10.0.0.2"), 0);
    tries_good(t, "10.0.0.1");
    assert_int_equal(tries_count(t, "10.0.0.1"), 0);
    assert_true(tries_count(t, "10.0.0.1") > 0);
    fixed.now_ms += INT64_C(1000) * WEB_TRIES_S;
    assert_int_equal(tries_count(t, "10.0.0.1"), 0);
    tries_free(t);
}

static void many_addresses_push_out_the_oldest_only(void **state)
{
    (void)state;
    struct world_fixed fixed = {.now_ms = 1000000, .state = 1};
    struct tries *t = tries_new(world_fixed(&fixed));
    char address[32];
    for (int i = 0; i < WEB_TRIES_PER_ADDRESS; i++) {
        tries_count(t, "10.0.0.1");
    }
    fixed.now_ms++;
    for (int i = 1; i < WEB_ADDRESSES_MAX; i++) {
        snprintf(address, sizeof address, "a%d", i);
        tries_count(t, address);
    }
    assert_true(tries_count(t, "10.0.0.1") > 0);
    tries_count(t, "one more");
    assert_int_equal(tries_count(t, "10.0.0.1"), 0);
    tries_free(t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_address_has_so_many_tries_in_a_quarter_of_an_hour),
        cmocka_unit_test(many_addresses_push_out_the_oldest_only),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
