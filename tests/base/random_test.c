#include "../support.h"

#include <math.h>

#include "base/random.h"

/* Blackman, Vigna 2018, xoshiro256starstar.c: what the authors' program gives from the state 1, 2,
 * 3, 4, as several public test suites repeat it - published (seen). */
static void xoshiro_gives_the_authors_numbers(void **state)
{
    (void)state;
    static const uint64_t wanted[] = {
        11520u,
        0u,
        1509978240u,
        UINT64_C(1215971899390074240),
        UINT64_C(1216172134540287360),
        UINT64_C(607988272756665600),
        UINT64_C(16172922978634559625),
        UINT64_C(8476171486693032832),
        UINT64_C(10595114339597558777),
        UINT64_C(2904607092377533576),
    };
    struct random r = {{1, 2, 3, 4}};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        assert_true(random_u64(&r) == wanted[i]);
    }
}

/* Vigna 2015, splitmix64.c: the first numbers from the seed 1234567, as several public test suites
 * repeat them
 * - published (seen). */
static void splitmix_gives_the_authors_numbers(void **state)
{
    (void)state;
    static const uint64_t wanted[] = {UINT64_C(6457827717110365317), UINT64_C(3203168211198807973),
                                      UINT64_C(9817491932198370423), UINT64_C(4593380528125082431)};
    struct random r;
    random_seed(&r, 1234567);
    assert_memory_equal(r.s, wanted, sizeof wanted);
}

static void below_is_fair(void **state)
{
    (void)state;
    struct random r;
    random_seed(&r, 1);
    enum { SIDES = 7, THROWS = 70000 };
    int count[SIDES] = {0};
    for (int i = 0; i < THROWS; i++) {
        uint64_t side = random_below(&r, SIDES);
        assert_true(side < SIDES);
        count[side]++;
    }
    /* Standard deviation of a count: sqrt(70000 * 1/7 * 6/7) = 92.6; five of them. */
    for (int i = 0; i < SIDES; i++) {
        assert_in_range(count[i], 10000 - 463, 10000 + 463);
    }
    /* Of 2^63 + 1 sides a plain remainder would give those below 2^63 - 1 twice as often. */
    int low = 0;
    for (int i = 0; i < 10000; i++) {
        low += random_below(&r, (UINT64_C(1) << 63) + 1) < (UINT64_C(1) << 62);
    }
    assert_in_range(low, 4750, 5250); /* half of them, five deviations of 50 */
    assert_int_equal(random_below(&r, 1), 0);
}

static void unit_and_normal_have_their_moments(void **state)
{
    (void)state;
    struct random r;
    random_seed(&r, 2);
    enum { DRAWS = 100000 };
    double unit_sum = 0, sum = 0, squares = 0, fourths = 0;
    for (int i = 0; i < DRAWS; i++) {
        double u = random_unit(&r), z = random_normal(&r);
        assert_true(u >= 0 && u < 1);
        unit_sum += u;
        sum += z;
        squares += z * z;
        fourths += z * z * z * z;
    }
    /* Five standard deviations of each mean: sqrt(1/12), 1, sqrt(2), sqrt(96), over sqrt(100000).
     */
    assert_true(fabs(unit_sum / DRAWS - 0.5) < 5 * 0.2887 / 316.2);
    assert_true(fabs(sum / DRAWS) < 5 * 1.0 / 316.2);
    assert_true(fabs(squares / DRAWS - 1) < 5 * 1.4142 / 316.2);
    assert_true(fabs(fourths / DRAWS - 3) < 5 * 9.798 / 316.2);
}

static void of_nothing(void *argument)
{
    random_below(argument, 0);
}

static void misuse_stops_the_program(void **state)
{
    (void)state;
    struct random r;
    random_seed(&r, 0);
    assert_aborts(of_nothing, &r);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(xoshiro_gives_the_authors_numbers),
        cmocka_unit_test(splitmix_gives_the_authors_numbers),
        cmocka_unit_test(below_is_fair),
        cmocka_unit_test(unit_and_normal_have_their_moments),
        cmocka_unit_test(misuse_stops_the_program),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
