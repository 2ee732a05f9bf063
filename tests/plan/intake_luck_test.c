/* What a use gives, learnt from days of work. */
#include "plan/intake_luck.h"

#include <math.h>

#include "support.h"

static const struct intake_part parts[] = {{.good = 1, .share = 0.4}, {.good = 2, .share = 0.5}};
static const struct intake_use sorting = {.code = "sort", .parts = parts, .part_count = 2};

static void few_days_tell_nothing(void **state)
{
    const double taken[4] = {100, 100, 100, 100};
    const double given[8] = {10, 80, 10, 80, 10, 80, 10, 80};
    struct intake_luck_use x = intake_luck_learn(*state, &sorting, taken, given, 4);
    assert_int_equal(x.days, 4);
    assert_false(x.is_known);
    assert_close(x.expected[0], 0.4, 0); /* the use's own */
    assert_close(x.expected[1], 0.5, 0);
    struct draw d;
    double mean[2], day[2];
    draw_begin(&d, 1, 0, 0);
    intake_luck_mean(&x, &sorting, &d, mean);
    intake_luck_day(&x, &sorting, mean, &d, day);
    assert_close(day[0], 0.4, 1e-12);
    assert_close(day[1], 0.5, 1e-12);
}

/* Five days, first parts 0.3, 0.4, 0.5, 0.4, 0.4, second 0.5 less what the first has more, lost
 * 0.1. By hand: means 0.4, 0.5, 0.1; variances 0.005, 0.005, 0; precision (0.24 + 0.25 + 0.09) /
 * 0.01 - 1 = 57, of the mean 58 * 5 - 1 = 289. computed here */
static void means_and_precision_are_those_of_the_days(void **state)
{
    const double taken[5] = {100, 200, 100, 50, 100};
    const double given[10] = {30, 60, 80, 100, 50, 40, 20, 25, 40, 50};
    struct intake_luck_use x = intake_luck_learn(*state, &sorting, taken, given, 5);
    assert_true(x.is_known);
    assert_close(x.shares[0], 0.4, 1e-12);
    assert_close(x.shares[1], 0.5, 1e-12);
    assert_close(x.precision, 57, 1e-9);
    assert_close(x.mean_precision, 289, 1e-9);
}

/* Five days of a part of 0.3 and the use's own 0.4, which weighs as two: (5 * 0.3 + 2 * 0.4) / 7.
 * The more days the nearer to theirs. computed here */
static void what_is_counted_on_lies_between_record_and_use(void **state)
{
    double taken[50], given[100];
    for (int i = 0; i < 50; i++) {
        taken[i] = 100;
        given[2 * i] = 30;
        given[2 * i + 1] = 60;
    }
    struct intake_luck_use x = intake_luck_learn(*state, &sorting, taken, given, 5);
    assert_close(x.shares[0], 0.3, 1e-12);
    assert_close(x.expected[0], 2.3 / 7, 1e-12);
    assert_close(x.expected[1], 4.0 / 7, 1e-12);
    x = intake_luck_learn(*state, &sorting, taken, given, 50);
    assert_close(x.expected[0], 15.8 / 52, 1e-12);
    double mean[2];
    struct draw d;
    draw_begin(&d, 1, 0, 0);
    intake_luck_mean(&x, &sorting, &d, mean); /* days all alike: the mean itself */
    assert_close(mean[0], x.expected[0], 1e-12);
}

/* Drawn shares have the mean and the variance of the Dirichlet: mean (1 - mean) / (precision + 1).
 * The bounds are four standard errors of 20 000 draws. */
static void drawn_days_differ_as_the_days_did(void **state)
{
    const double taken[5] = {100, 200, 100, 50, 100};
    const double given[10] = {30, 60, 80, 100, 50, 40, 20, 25, 40, 50};
    struct intake_luck_use x = intake_luck_learn(*state, &sorting, taken, given, 5);
    enum { N = 20000 };
    double sum = 0, squares = 0, most = 0;
    for (int i = 0; i < N; i++) {
        struct draw d;
        double day[2];
        draw_begin(&d, 7, (uint32_t)i, 0);
        intake_luck_day(&x, &sorting, x.shares, &d, day);
        sum += day[0];
        squares += day[0] * day[0];
        most = fmax(most, day[0] + day[1]);
    }
    double mean = sum / N, variance = squares / N - mean * mean, told = 0.4 * 0.6 / 58;
    assert_close(mean, 0.4, 4 * sqrt(told / N));
    assert_close(variance, told, 4 * told * sqrt(2.0 / N) * 1.2);
    assert_true(most <= 1 + 1e-12); /* never more than is taken in */
}

/* Days that are all alike are certain; a day that weighed more than it took lost nothing. */
static void days_alike_are_certain(void **state)
{
    static const struct intake_part pack[] = {{.good = 1, .share = 0.99}};
    static const struct intake_use packing = {.code = "pack", .parts = pack, .part_count = 1};
    const double taken[5] = {10, 10, 10, 10, 10}, given[5] = {10.1, 10.1, 10.1, 10.1, 10.1};
    struct intake_luck_use x = intake_luck_learn(*state, &packing, taken, given, 5);
    double mean[1], day[1];
    struct draw d;
    draw_begin(&d, 1, 0, 0);
    assert_close(x.shares[0], 1, 1e-12);
    intake_luck_mean(&x, &packing, &d, mean);
    intake_luck_day(&x, &packing, mean, &d, day);
    assert_true(isinf(x.precision));
    assert_close(day[0], (5 * 1 + 2 * 0.99) / 7, 1e-12); /* with the use's own as two days */
}

/* A carrier is added: what is given is more than what is taken in. */
static void what_is_added_counts_to_the_whole(void **state)
{
    static const struct intake_part powder[] = {{.good = 1, .share = 1.172}};
    static const struct intake_use drying = {
        .code = "dry", .parts = powder, .part_count = 1, .added_per_kg = 0.71};
    const double taken[5] = {10, 10, 10, 10, 10}, given[5] = {11, 12, 11.5, 11.5, 11.5};
    struct intake_luck_use x = intake_luck_learn(*state, &drying, taken, given, 5);
    assert_close(x.shares[0], 1.15, 1e-12);
    double most = 0;
    for (int i = 0; i < 200; i++) {
        struct draw d;
        double day[1];
        draw_begin(&d, 3, (uint32_t)i, 0);
        intake_luck_day(&x, &drying, x.shares, &d, day);
        most = fmax(most, day[0]);
    }
    assert_true(most > 1.15 && most <= 1.71);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(few_days_tell_nothing),
        EACH(means_and_precision_are_those_of_the_days),
        EACH(what_is_counted_on_lies_between_record_and_use),
        EACH(drawn_days_differ_as_the_days_did),
        EACH(days_alike_are_certain),
        EACH(what_is_added_counts_to_the_whole),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
