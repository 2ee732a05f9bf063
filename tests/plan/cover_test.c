#include "plan/cover.h"
#include "support.h"

static struct chance_crop certain = {.yield_mean = 1};

/* 100 kg a day, chambers of any size up to 200, three days' keeping. */
static struct cover_case plain(void)
{
    struct cover_case c = {.grow_days = 5,
                           .keep_days = 3,
                           .chamber_min_kg = 1,
                           .chamber_max_kg = 100,
                           .start_cost = 10,
                           .made_cost_per_kg = 0.4,
                           .short_cost_per_kg = 5,
                           .waste_cost_per_kg = 0.2,
                           .hold_cost_per_kg_day = 0.02,
                           .crop = &certain,
                           .seed = 5,
                           .future_count = 100};
    for (int j = 0; j < COVER_WEEK; j++)
        c.mean_kg[j] = 100;
    return c;
}

static void a_deviation_adds_what_may_go_otherwise(void **state)
{
    (void)state;
    const double spread[3] = {30, 40, 0}, batch[2] = {300, 400};
    struct chance_crop crop = {.yield_mean = 1, .yield_relative = 0.1};
    assert_close(cover_deviation_kg(&certain, spread, 3, batch, 2), 50, 1e-12);
    /* 0.01 * (90000 + 160000) */
    assert_close(cover_deviation_kg(&crop, NULL, 0, batch, 2), 50, 1e-12);
    crop = (struct chance_crop){.yield_mean = 1, .mean_relative = 0.1};
    assert_close(cover_deviation_kg(&crop, NULL, 0, batch, 2), 70, 1e-12);
    /* barred in one of ten: 0.09 of 250000 */
    crop = (struct chance_crop){.yield_mean = 1, .barred = 1, .passed = 9};
    assert_close(cover_deviation_kg(&crop, NULL, 0, batch, 2), 150, 1e-9);
}

static void without_chance_nothing_is_short_and_a_kilogram_costs_what_it_takes(void **state)
{
    struct cover_case c = plain();
    const double levels[2] = {0, 4};
    struct cover_score score[2];
    cover_rehearse(*state, &c, levels, 2, score);
    for (int i = 0; i < 2; i++) {
        assert_close(score[i].service, 1, 1e-12);
        /* a chamber of 100 kg a day, sold on its day: 0.4 + 10 / 100 */
        assert_close(score[i].cost_per_kg, 0.5, 1e-9);
    }
}

static void a_higher_level_serves_more_and_wastes_more(void **state)
{
    static struct chance_crop crop = {.yield_mean = 1, .yield_relative = 0.1};
    struct cover_case c = plain();
    c.crop = &crop;
    for (int l = 1; l <= 5; l++)
        c.relative[l] = 0.2;
    const double levels[6] = {0, 1, 2, 3, 4, 5};
    struct cover_score score[6];
    cover_rehearse(*state, &c, levels, 6, score);
    for (int i = 1; i < 5; i++)
        assert_true(score[i].service > score[i - 1].service - 1e-3);
    assert_true(score[0].service < 0.97);
    assert_true(score[3].service > 0.985);
    /* short kg are dear: none is too little, most is too much */
    assert_true(score[2].cost_per_kg < score[0].cost_per_kg);
    assert_true(score[2].cost_per_kg < score[5].cost_per_kg);
    /* cheap shortage and dear waste turn it round */
    c.short_cost_per_kg = 0.7;
    c.waste_cost_per_kg = 5;
    c.keep_days = 0;
    cover_rehearse(*state, &c, levels, 6, score);
    assert_true(score[0].cost_per_kg < score[2].cost_per_kg);
}

/* One day's keeping, orders that are only known on their day: what is started for a day is sold on
 * it or wasted, so each day is a newsvendor's, and the best level is his. */
static void goods_of_one_day_are_a_newsvendors(void **state)
{
    struct cover_case c = plain();
    c.keep_days = 0;
    c.grow_days = 1;
    c.relative[1] = 0.2;
    c.start_cost = 0;
    c.made_cost_per_kg = 1;
    c.waste_cost_per_kg = 0.5;
    c.chamber_max_kg = 300;
    c.future_count = 400;
    c.short_cost_per_kg = 4;
    /* too few costs 4 - 1, one too many 1.5: 2 / 3, whose standard normal quantile is 0.4307
     * (computed here); deviation 20 kg */
    double levels[9];
    struct cover_score score[9];
    for (int i = 0; i < 9; i++)
        levels[i] = 0.4307 + 0.25 * (i - 4);
    c.chamber_min_kg = 1;
    for (int j = 0; j < COVER_WEEK; j++)
        c.mean_kg[j] = 100;
    cover_rehearse(*state, &c, levels, 9, score);
    for (int i = 0; i < 9; i++)
        assert_true(score[4].cost_per_kg <= score[i].cost_per_kg + 1e-3);
}

static void late_and_barred_batches_cost_service(void **state)
{
    static const int shifts[4] = {0, 0, 0, 1};
    static struct chance_crop late = {.yield_mean = 1, .shift_days = shifts, .shift_count = 4};
    static struct chance_crop barred = {.yield_mean = 1, .barred = 1, .passed = 19};
    struct cover_case c = plain();
    const double none[1] = {0};
    struct cover_score score[1];
    c.crop = &late;
    cover_rehearse(*state, &c, none, 1, score);
    assert_true(score[0].service < 0.95 && score[0].service > 0.7);
    c.crop = &barred;
    cover_rehearse(*state, &c, none, 1, score);
    assert_true(score[0].service < 0.99 && score[0].service > 0.85);
}

static void the_same_seed_gives_the_same_scores(void **state)
{
    struct cover_case c = plain();
    c.relative[5] = 0.3;
    const double levels[2] = {1, 2};
    struct cover_score first[2], alone[1];
    cover_rehearse(*state, &c, levels, 2, first);
    cover_rehearse(*state, &c, &levels[1], 1, alone);
    assert_true(first[1].cost_per_kg == alone[0].cost_per_kg);
    assert_true(first[1].service == alone[0].service);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(a_deviation_adds_what_may_go_otherwise),
        EACH(without_chance_nothing_is_short_and_a_kilogram_costs_what_it_takes),
        EACH(a_higher_level_serves_more_and_wastes_more),
        EACH(goods_of_one_day_are_a_newsvendors),
        EACH(late_and_barred_batches_cost_service),
        EACH(the_same_seed_gives_the_same_scores),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
