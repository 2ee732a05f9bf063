#include "../support.h"

#include <time.h>

#include "base/world.h"

static void a_fixed_world_repeats(void **state)
{
    (void)state;
    struct world_fixed one = {.now_ms = 5, .state = 42}, two = one,
                       other = {.now_ms = 5, .state = 43};
    struct world w1 = world_fixed(&one), w2 = world_fixed(&two), w3 = world_fixed(&other);
    uint8_t x[3][40] = {{0}}, y[3][40] = {{0}}, z[40];
    for (int i = 0; i < 3; i++) {
        w1.random(w1.self, x[i], 33 + (size_t)i);
        w2.random(w2.self, y[i], 33 + (size_t)i);
    }
    assert_memory_equal(x, y, sizeof x);
    assert_memory_not_equal(x[0], x[1], 33);
    assert_int_equal(x[0][33], 0); /* not one byte too many */
    w3.random(w3.self, z, 40);
    assert_memory_not_equal(x[0], z, 33);
    assert_int_equal(w1.now_ms(w1.self), 5);
    one.now_ms = 7;
    assert_int_equal(w1.now_ms(w1.self), 7);
}

static void the_real_world_goes_on(void **state)
{
    (void)state;
    struct world w = world_real();
    int64_t before = (int64_t)time(NULL) * 1000;
    int64_t now = w.now_ms(w.self);
    int64_t after = ((int64_t)time(NULL) + 1) * 1000;
    assert_true(before <= now && now <= after);
    uint8_t x[32] = {0}, y[32] = {0};
    w.random(w.self, x, 32);
    w.random(w.self, y, 32);
    assert_memory_not_equal(x, y, 32);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fixed_world_repeats),
        cmocka_unit_test(the_real_world_goes_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
