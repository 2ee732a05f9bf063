#include "base/random.h"
#include "plan/pickup.h"
#include "support.h"

enum { DAYS = 400, WEEK_DAYS = 7 };

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

static void learn(const struct pickup_day *days, int count, struct pickup *out)
{
    const struct pickup_series series = {days, count};
    pickup_learn(&series, 1, out);
}

/* A day that stands alone. */
static double expect(const struct pickup *p, int ahead, double expected, double booked)
{
    struct pickup_day day = {.expected = expected};
    day.booked[ahead < PICKUP_AHEAD_MAX ? ahead : PICKUP_AHEAD_MAX] = booked;
    const struct pickup_series series = {&day, 1};
    return pickup_expect(p, &series, 0, ahead);
}

static void bookings_that_say_all_are_believed(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, 0);
    learn(days, DAYS, &p);
    assert_close(p.share[5], 0.5, 1e-12);
    /* the means of expected and brought differ a little, so that the line is not met exactly */
    assert_close(p.slope[5], 2, 1e-2);
    assert_close(expect(&p, 5, 100, 65), 130, 0.01);
    assert_close(expect(&p, 5, 100, 35), 70, 0.01);
    assert_true(pickup_narrows(&p, 5) < 0.05);
    assert_true(pickup_narrows(&p, 0) < 0.05);
}

static void bookings_that_say_nothing_change_nothing(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, 0);
    learn(days, DAYS, &p);
    assert_close(p.share[6], 0, 0);
    assert_close(expect(&p, 6, 100, 0), 100, 1e-12);
    assert_close(pickup_narrows(&p, 6), 1, 1e-9);
    assert_close(expect(&p, PICKUP_AHEAD_MAX + 5, 100, 0), 100, 1e-12);
    /* what is booked is wanted all the same */
    assert_close(expect(&p, 6, 100, 170), 170, 1e-12);
    assert_close(expect(&p, PICKUP_AHEAD_MAX + 5, 100, 170), 170, 1e-12);
    /* too little seen */
    learn(days, PICKUP_DAYS_MIN - 1, &p);
    assert_close(p.slope[5], 0, 0);
    assert_close(expect(&p, 5, 100, 20), 100, 1e-12);
}

/* With noise as large as what bookings say, half is believed: slope = 2 * v / (v + n), v the
 * variance of booked less its share of what was expected, n that of the noise (derived). */
static void noisy_bookings_are_half_believed(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, sqrt(80 * 82 / 12.0) / 2);
    learn(days, DAYS, &p);
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
    learn(days, DAYS, &p);
    assert_close(expect(&p, 5, 100, 0), 50, 1e-12);
}

/* Weeks that bring up to half more or less on each of their days, nothing of it booked a week
 * before; five days before, half is. A day that has nothing booked itself is known from those
 * around it (closed forms). */
static void days_around_speak_for_a_day(void **state)
{
    (void)state;
    struct pickup_day days[DAYS] = {0};
    struct pickup p;
    struct random r;
    random_seed(&r, 5);
    double times = 1;
    for (int i = 0; i < DAYS; i++) {
        if (i % WEEK_DAYS == 0) times = 0.5 + random_unit(&r);
        days[i] = (struct pickup_day){.expected = 100, .brought = 100 * times};
        for (int l = 0; l <= 5; l++)
            days[i].booked[l] = days[i].brought / (l == 0 ? 1 : 2);
    }
    learn(days, DAYS, &p);
    assert_close(p.share[6], 0, 0);
    assert_close(p.slope[6], 0, 0);
    assert_true(p.lean[6] > 0.5 && p.lean[6] <= 1);
    assert_true(pickup_narrows(&p, 6) < 0.8);
    assert_close(p.lean[0], 0, 0); /* the day itself says all */
    /* 40 % more on the three days before: (3 * 20) / (3 * 50) */
    struct pickup_day now[4] = {
        {.expected = 100}, {.expected = 100}, {.expected = 100}, {.expected = 100}};
    for (int i = 0; i < 3; i++)
        now[i].booked[3 + i] = 70;
    const struct pickup_series series = {now, 4};
    double around = (p.share[3] > 0 ? 210 - 100 * (p.share[3] + p.share[4] + p.share[5]) : 0) /
                    (100 * (p.share[3] + p.share[4] + p.share[5]));
    assert_close(around, 0.4, 0.05);
    assert_close(pickup_expect(&p, &series, 3, 6), 100 + 100 * p.lean[6] * around, 1e-9);
    /* a day that is not known says nothing */
    now[0].expected = now[1].expected = now[2].expected = 0;
    assert_close(pickup_expect(&p, &series, 3, 6), 100, 1e-12);
}

/* Days over already count with all they brought. */
static void yesterday_speaks_for_tomorrow(void **state)
{
    (void)state;
    struct pickup p = {.lean = {0, 0.5}};
    struct pickup_day now[2] = {{.expected = 200, .brought = 300}, {.expected = 100}};
    now[0].booked[0] = 300;
    const struct pickup_series series = {now, 2};
    assert_close(pickup_expect(&p, &series, 1, 1), 100 + 0.5 * 100.0 / 200 * 100, 1e-12);
}

/* Neighbours that have nothing in common are not leant on. */
static void chance_is_no_sign(void **state)
{
    (void)state;
    struct pickup_day days[DAYS];
    struct pickup p;
    make_days(days, 0);
    learn(days, DAYS, &p);
    assert_close(p.lean[6], 0, 0);
    learn(days, PICKUP_AROUND_MIN - 1, &p);
    assert_close(p.lean[6], 0, 0);
}

static void nothing_known_is_nothing_learned(void **state)
{
    (void)state;
    struct pickup p;
    pickup_learn(NULL, 0, &p);
    assert_close(expect(&p, 3, 100, 10), 100, 1e-12);
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
        cmocka_unit_test(days_around_speak_for_a_day),
        cmocka_unit_test(yesterday_speaks_for_tomorrow),
        cmocka_unit_test(chance_is_no_sign),
        cmocka_unit_test(nothing_known_is_nothing_learned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
