#include "plan/yield.h"
#include "support.h"

/* Chain and crops as calc/growth works with them; the numbers are the mass chain's defaults (common
 * practice). */
static const struct mass_chain chain = {8, 0.06, 0.15, 0.03, 0.02};
/* Goal and base for soy: three growing protocols agree on about 2450 degree-hours over 4 C
 * (derived). */
static const struct heat_sum_crop soy = {4000, 30000, 2450000};

static void a_regime_becomes_days_and_yield(void **state)
{
    (void)state;
    struct yield_history none = yield_history_of(NULL, NULL, 0);
    struct yield_house house = {8, 12, 0, 0};
    struct plan_way way;
    /* 2450 / (22 - 4) = 136.1 h: from 8:00 to the sixth day, 0:07; by noon of it */
    assert_int_equal(yield_way("warm", 22000, &soy, &chain, &none, &house, &way).code, CODE_OK);
    assert_int_equal(way.grow_days, 6);
    /* F of 1 kg of seed: 8 * 0.94 * 0.85 * 0.97 * 1.02, computed here */
    assert_close(way.packed_kg_per_seed_kg, 6.324244800, 1e-6);
    /* twelve hours of soaking first: 12:07, a little after noon */
    house.lead_h = 12;
    assert_int_equal(yield_way("warm", 22000, &soy, &chain, &none, &house, &way).code, CODE_OK);
    assert_int_equal(way.grow_days, 7);
    assert_int_equal(yield_way("cool", 18000, &soy, &chain, &none, &house, &way).code, CODE_OK);
    /* 2450 / 14 = 175 h */
    assert_int_equal(way.grow_days, 8);
    assert_int_equal(yield_way("cold", 4000, &soy, &chain, &none, &house, &way).code,
                     CODE_PLAN_FIELD);
    assert_int_equal(yield_way("cold", 4500, &soy, &chain, &none, &house, &way).code,
                     CODE_PLAN_FIELD);
}

static void caution_comes_from_the_houses_own_batches(void **state)
{
    (void)state;
    const double standard[6] = {100, 100, 100, 100, 100, 200};
    const double actual[6] = {90, 100, 95, 105, 110, 200};
    struct yield_history h = yield_history_of(actual, standard, 6);
    assert_close(h.mean_ratio, 1, 1e-12);
    /* squares .01 + 0 + .0025 + .0025 + .01 + 0 over 5 */
    assert_close(h.relative_spread, sqrt(0.025 / 5), 1e-12);
    assert_close(yield_cautious(500, &h, 1), 500 * (1 - sqrt(0.005)), 1e-9);
    assert_close(yield_cautious(500, &h, 0), 500, 1e-9);
    /* three good batches don't raise the plan, three bad ones lower it */
    const double good[3] = {120, 130, 125}, bad[3] = {80, 70, 75};
    h = yield_history_of(good, standard, 3);
    assert_close(h.mean_ratio, 1, 0);
    assert_true(h.relative_spread > 0);
    h = yield_history_of(bad, standard, 3);
    assert_close(h.mean_ratio, 0.75, 1e-12);
    /* never below a tenth */
    h.relative_spread = 5;
    assert_close(yield_cautious(500, &h, 1), 50, 1e-9);
}

/* Three lots of three batches: means 1, 1.1 and 0.6, each batch 0.1 off its lot's mean or on it.
 * All numbers computed here, by ten rounds of the formulas of yield.h in numpy and
 * scipy.stats.norm. */
static void a_poor_lot_shows_in_its_first_chambers(void **state)
{
    const struct yield_batch batches[9] = {{7, 0.9}, {7, 1.0}, {7, 1.1}, {8, 1.0}, {8, 1.1},
                                           {8, 1.2}, {9, 0.5}, {9, 0.6}, {9, 0.7}};
    struct yield_lots x = yield_lots_of(*state, batches, 9);
    double deviation;
    assert_close(x.mean, 1.050502626342, 1e-11); /* of the two that are alike */
    assert_close(x.within, 0.06 / 6, 1e-12);
    assert_close(x.between, 0.000609737271, 1e-11);
    assert_close(x.odd_part, 0.160655066961, 1e-11);
    assert_close(x.odd_off, -0.216185994263, 1e-11);
    assert_close(yield_lot_ratio(&x, 9, &deviation), 0.586617403074, 1e-11);
    assert_close(deviation, 0.053020293848, 1e-11);
    assert_close(yield_lot_ratio(&x, 7, &deviation), 0.989787901128, 1e-11);
    assert_close(deviation, 0.026998217559, 1e-11);
    /* nothing known of it: it may be odd */
    assert_close(yield_lot_ratio(&x, 10, &deviation), 0.966938325985, 1e-11);
    assert_close(deviation, 0.112647712497, 1e-11);
    /* its chambers alone, one and two of them */
    struct yield_lots first = x;
    first.batches = &batches[6];
    first.batch_count = 1;
    assert_close(yield_lot_ratio(&first, 9, &deviation), 0.534096391555, 1e-11);
    assert_close(deviation, 0.086083495732, 1e-11);
    first.batch_count = 2;
    assert_close(yield_lot_ratio(&first, 9, &deviation), 0.550758650219, 1e-11);
    assert_close(deviation, 0.063839408529, 1e-11);
}

/* Eight lots that differ by less than their batches' luck, then one chamber of a ninth. */
static void a_little_off_is_luck_and_far_off_is_the_lot(void **state)
{
    struct yield_batch batches[33];
    for (int i = 0; i < 32; i++)
        batches[i] = (struct yield_batch){i / 4, (i % 2 == 0 ? 0.9 : 1.1) + 0.01 * (i / 4 % 2)};
    struct yield_lots x = yield_lots_of(*state, batches, 32);
    double of_nothing, of_one;
    assert_true(yield_lot_ratio(&x, 99, &of_nothing) > 0.99);
    assert_true(of_nothing > 0.04); /* one in ten may be odd, and this house has seen none */
    batches[32] = (struct yield_batch){99, x.mean - 0.1};
    x.batch_count = 33;
    double near = yield_lot_ratio(&x, 99, &of_one);
    assert_true(near > 0.97 && near < 1);
    assert_true(of_one < of_nothing);
    batches[32].ratio = x.mean - 0.45;
    double far = yield_lot_ratio(&x, 99, &of_one);
    assert_true(far < 0.7 && far > 0.55);
    /* between the two nobody can tell: less sure than of either */
    batches[32].ratio = x.mean - 0.35;
    double unclear = yield_lot_ratio(&x, 99, &of_nothing);
    assert_true(unclear < near && unclear > far);
    assert_true(of_nothing > of_one);
}

static void lots_that_cannot_be_told_apart_add_nothing(void **state)
{
    const struct yield_batch alike[6] = {{1, 0.8}, {1, 1.2}, {2, 0.8},
                                         {2, 1.2}, {3, 0.8}, {3, 1.2}};
    struct yield_lots x = yield_lots_of(*state, alike, 6);
    assert_close(x.mean, 1, 1e-12);
    assert_close(yield_lot_ratio(&x, 2, NULL), 1, 1e-12);
    const struct yield_batch one[6] = {{1, 0.5}, {1, 0.6}, {1, 0.4}, {1, 0.5}, {1, 0.5}, {1, 0.5}};
    double deviation = 1;
    x = yield_lots_of(*state, one, 6);
    assert_close(x.odd_part, 0, 0);
    assert_close(yield_lot_ratio(&x, 1, &deviation), 1, 0);
    assert_close(deviation, 0, 0);
    assert_close(yield_lots_of(*state, NULL, 0).mean, 1, 0);
    x = yield_lots_of(*state, alike, 4); /* too few */
    assert_close(x.odd_part, 0, 0);
    assert_close(yield_lot_ratio(&x, 1, NULL), 1, 0);
}

static void a_lots_factor_is_its_pure_live_seed(void **state)
{
    (void)state;
    double factor = 0;
    /* purity 98.6 and germination 94 give 92.684 % pure live seed (closed form); against a
     * reference of 95 % */
    assert_int_equal(yield_lot_factor(&chain, 926840, 950000, &factor).code, CODE_OK);
    assert_close(factor, 0.926840 / 0.95, 2e-7);
    assert_true(factor <= 0.926840 / 0.95);
    assert_int_equal(yield_lot_factor(&chain, 950000, 950000, &factor).code, CODE_OK);
    assert_close(factor, 1, 0);
    assert_int_equal(yield_lot_factor(&chain, 0, 950000, &factor).code, CODE_FIELD_RANGE);
}

static void bed_behind_packs(void **state)
{
    (void)state;
    /* 1 / (0.94 * 0.85 * 0.97 * 1.02), computed here */
    assert_close(yield_bed_kg_per_packed_kg(&chain), 8 / 6.3242448, 1e-9);
}

static void a_running_chamber_gets_its_day(void **state)
{
    (void)state;
    /* 60 h at 20 C are done (960), 25 C from now: 70.95 h to go */
    const int64_t hour = 3600000, midnight = (int64_t)20500 * 24 * hour;
    struct set_point ahead = {midnight + 6 * hour, 25000};
    struct yield_clock clock = {midnight + 6 * hour, 0, 0, 20500, 8};
    int day = 0;
    /* 6:00 and 70.95 h: 4:57 of the third day after, before 8:00 */
    assert_int_equal(yield_harvest_day(&soy, 960000, &ahead, 1, &clock, &day).code, CODE_OK);
    assert_int_equal(day, 3);
    clock.harvest_hour = 4;
    assert_int_equal(yield_harvest_day(&soy, 960000, &ahead, 1, &clock, &day).code, CODE_OK);
    assert_int_equal(day, 4);
    /* a house day that begins at 5:00: 4:57 is still the second */
    clock.day_starts_min = 300;
    clock.harvest_hour = 24;
    assert_int_equal(yield_harvest_day(&soy, 960000, &ahead, 1, &clock, &day).code, CODE_OK);
    assert_int_equal(day, 2);
    /* ready already: today; too cold for ever: never */
    clock = (struct yield_clock){midnight + 6 * hour, 0, 0, 20500, 4};
    assert_int_equal(yield_harvest_day(&soy, 2500000, &ahead, 1, &clock, &day).code, CODE_OK);
    assert_int_equal(day, 0);
    ahead.temp_mc = 4000;
    assert_int_equal(yield_harvest_day(&soy, 960000, &ahead, 1, &clock, &day).code, CODE_OK);
    assert_int_equal(day, PLAN_NEVER);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_regime_becomes_days_and_yield),
        EACH(caution_comes_from_the_houses_own_batches),
        EACH(a_little_off_is_luck_and_far_off_is_the_lot),
        EACH(a_lots_factor_is_its_pure_live_seed),
        EACH(bed_behind_packs),
        EACH(a_running_chamber_gets_its_day),
        EACH(a_poor_lot_shows_in_its_first_chambers),
        EACH(lots_that_cannot_be_told_apart_add_nothing),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_yield", tests, NULL, NULL);
}
