#include "base/random.h"
#include "plan/pickup.h"
#include "support.h"

enum { DAYS = 400 };

/* Days expected to bring 100 that bring 60 to 140, half of it booked five days before. */
static void make_days(struct pickup_day *days, double noise)
{
    struct random r;
    random_seed(&r, 3);
    for (int i = 0; i < DAYS; i++) {
        double brought = 60 + (double)random_below(&r, 81);
        days[i] = (struct pickup_day){.expected = 100, .brought = brought};
        for (int l = 0; l <= PICKUP_AHEAD_MAX; l++)
            days[i].booked[l] = l == 0 ? brought : l <= 5 ? brought / 2 : 0;
        days[i].booked[5] += noise * random_normal(&r);
    }
}

static void bookings_that_say_all_are_believed(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, 0);
    pickup_learn(days, DAYS, &p);
    assert_close(p.share[5], 0.5, 1e-12);
    /* the means of expected and brought differ a little, so that the line is not met exactly */
    assert_close(p.slope[5], 2, 1e-2);
    assert_close(pickup_expect(&p, 5, 100, 65), 130, 0.01);
    assert_close(pickup_expect(&p, 5, 100, 35), 70, 0.01);
    assert_true(pickup_narrows(&p, 5) < 0.05);
    assert_true(pickup_narrows(&p, 0) < 0.05);
}

static void bookings_that_say_nothing_change_nothing(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, 0);
    pickup_learn(days, DAYS, &p);
    assert_close(p.share[6], 0, 0);
    assert_close(pickup_expect(&p, 6, 100, 0), 100, 1e-12);
    assert_close(pickup_narrows(&p, 6), 1, 1e-9);
    assert_close(pickup_expect(&p, PICKUP_AHEAD_MAX + 5, 100, 0), 100, 1e-12);
    /* what is booked is wanted all the same */
    assert_close(pickup_expect(&p, 6, 100, 170), 170, 1e-12);
    assert_close(pickup_expect(&p, PICKUP_AHEAD_MAX + 5, 100, 170), 170, 1e-12);
    /* too little seen */
    pickup_learn(days, PICKUP_DAYS_MIN - 1, &p);
    assert_close(p.slope[5], 0, 0);
    assert_close(pickup_expect(&p, 5, 100, 20), 100, 1e-12);
}

/* With noise as large as what bookings say, half is believed: slope = 2 * v / (v + n), v the
 * variance of booked less its share of what was expected, n that of the noise (derived). */
static void noisy_bookings_are_half_believed(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, sqrt(80 * 82 / 12.0) / 2);
    pickup_learn(days, DAYS, &p);
    assert_true(p.slope[5] > 0.8 && p.slope[5] < 1.2);
    assert_true(pickup_narrows(&p, 5) > 0.6 && pickup_narrows(&p, 5) < 0.8);
    assert_true(p.slope[4] > 1.9);
}

static void a_file_that_did_not_come_does_not_empty_the_house(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, 0);
    pickup_learn(days, DAYS, &p);
    assert_close(pickup_expect(&p, 5, 100, 0), 50, 1e-12);
}

static void nothing_known_is_nothing_learned(void **state)
{
    (void)state;
    struct pickup p;
    pickup_learn(NULL, 0, &p);
    assert_close(pickup_expect(&p, 3, 100, 10), 100, 1e-12);
    assert_close(pickup_narrows(&p, 3), 1, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bookings_that_say_all_are_believed),
        cmocka_unit_test(bookings_that_say_nothing_change_nothing),
        cmocka_unit_test(noisy_bookings_are_half_believed),
        cmocka_unit_test(a_file_that_did_not_come_does_not_empty_the_house),
        cmocka_unit_test(nothing_known_is_nothing_learned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
