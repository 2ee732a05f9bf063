#include "plan/evening.h"
#include "support.h"

static struct chance_crop certain = {.yield_mean = 1};

/* 100 kg a day, a day's growing after four, three days' keeping; chambers of 50 to 100 kg at a kg
 * of seed each. */
struct scene {
    struct evening_case c;
    struct evening_want want;
    struct evening_lot lots[8];
};

static void scene_init(struct scene *s)
{
    *s = (struct scene){.want = {.keep_days = 3, .short_cost_per_kg = 5}};
    for (int d = 0; d < EVENING_DAYS_MAX; d++)
        s->want.mean_kg[d] = 100;
    s->c = (struct evening_case){.crop = &certain,
                                 .seed = 3,
                                 .day_count = 10,
                                 .grow_days = 4,
                                 .cleaning_days = 1,
                                 .wants = &s->want,
                                 .want_count = 1,
                                 .lots = s->lots,
                                 .kg_per_seed_kg = 1,
                                 .seed_min_kg = 50,
                                 .seed_max_kg = 100,
                                 .start_cost = 10,
                                 .seed_cost_per_kg = 0.5,
                                 .waste_cost_per_kg = 0.2,
                                 .hold_cost_per_kg_day = 0.02,
                                 .deviation_kg = 40};
    for (int d = 0; d < EVENING_DAYS_MAX; d++) {
        s->c.chambers[d] = 6;
        s->c.starts_max[d] = 6;
    }
}

static void lot(struct scene *s, int day, double kg, bool is_here)
{
    s->lots[s->c.lot_count++] = (struct evening_lot){day, day, kg, is_here, true, true, 0};
}

static double cost_of(struct arena *a, const struct scene *s, struct evening_rule rule,
                      struct evening_start tonight)
{
    return evening_play(&s->c, evening_draw(a, &s->c, 1), 0, &rule, &tonight);
}

static void without_luck_a_future_costs_what_it_takes(void **state)
{
    struct scene s;
    scene_init(&s);
    lot(&s, -1, 150, true);
    lot(&s, 2, 200, false);
    /* Day 0: 100 of stock, a day old. Day 1: 50 of it, 50 short. Days 2, 3: the lot. Days 4 to 9:
     * six chambers of 100, tonight's and those of evenings 1 to 5. */
    double hold = 0.02 * (100 * 1 + 50 * 2 + 100 * 0 + 100 * 1);
    double chambers = 6 * (10 + 0.5 * 100);
    struct evening_rule rule = {0, 0};
    assert_close(cost_of(*state, &s, rule, (struct evening_start){1, 100}),
                 hold + 50 * 5 + chambers, 1e-9);
    /* none tonight: day 4 is short, and nothing else changes */
    assert_close(cost_of(*state, &s, rule, (struct evening_start){0, 0}),
                 hold + 150 * 5 + chambers - 60, 1e-9);
    /* two: the second serves day 5, a day old; tomorrow nothing is missing */
    assert_close(cost_of(*state, &s, rule, (struct evening_start){2, 100}),
                 hold + 50 * 5 + chambers + 0.02 * 100, 1e-9);
}

static void what_nobody_takes_is_waste_and_what_is_left_has_its_worth(void **state)
{
    struct scene s;
    scene_init(&s);
    for (int d = 0; d < EVENING_DAYS_MAX; d++)
        s.want.mean_kg[d] = 0;
    lot(&s, 0, 100, true);
    lot(&s, 8, 70, false);
    s.c.end_value_per_kg = 0.3;
    struct evening_rule rule = {0, 0};
    struct evening_start none = {0, 0};
    assert_close(cost_of(*state, &s, rule, none), 100 * 0.2 - 70 * 0.3, 1e-9);
    /* sold only when too old: the laboratory took that long */
    s.lots[0] = (struct evening_lot){1, 6, 100, false, true, true, 0};
    assert_close(cost_of(*state, &s, rule, none), 100 * 0.2 - 70 * 0.3, 1e-9);
}

static void a_cover_and_a_longer_filling_start_more(void **state)
{
    struct scene s;
    scene_init(&s);
    struct evening_start none = {0, 0};
    /* chambers of 500: a filling for two more days is the next two evenings' */
    s.c.seed_max_kg = 500;
    double plain = cost_of(*state, &s, (struct evening_rule){0, 0}, none);
    double filled = cost_of(*state, &s, (struct evening_rule){0, 2}, none);
    /* of evenings 1 to 5: 5 starts of 100; 2 of 300 with 100 left at the end */
    double shorts = 5 * 100 * 5;
    assert_close(plain, shorts + 5 * 10 + 500 * 0.5, 1e-9);
    assert_close(filled, shorts + 2 * 10 + 600 * 0.5 + 0.02 * (100 + 200 + 100), 1e-9);
    /* a cover of 40 kg more is started once, then kept */
    double covered = cost_of(*state, &s, (struct evening_rule){1, 0}, none);
    assert_close(covered, shorts + 5 * 10 + 540 * 0.5 + 4 * 40 * 0.02, 1e-9);
}

static void chambers_and_starts_of_an_evening_are_kept_to(void **state)
{
    struct scene s;
    scene_init(&s);
    struct evening_start none = {0, 0};
    struct evening_rule rule = {0, 0};
    double shorts = 5 * 100 * 5;
    /* two chambers for five days each: evenings 1 and 2, then none free before day 6 */
    for (int d = 0; d < EVENING_DAYS_MAX; d++)
        s.c.chambers[d] = 2;
    assert_close(cost_of(*state, &s, rule, none), shorts + 3 * 500 + 2 * 60, 1e-9);
    scene_init(&s);
    s.c.starts_max[2] = 0;
    /* what evening 2 may not start is short on day 6 */
    assert_close(cost_of(*state, &s, rule, none), shorts + 500 + 4 * 60, 1e-9);
}

/* Lateness and barring hit what they may: not what is known. */
static void what_is_known_of_a_lot_is_not_drawn(void **state)
{
    static const int late[1] = {2};
    static struct chance_crop bad = {
        .yield_mean = 1, .shift_days = late, .shift_count = 1, .barred = 1e9, .passed = 1};
    struct scene s;
    scene_init(&s);
    s.c.crop = &bad;
    for (int d = 0; d < EVENING_DAYS_MAX; d++)
        s.want.mean_kg[d] = d == 3 ? 100 : 0;
    lot(&s, 2, 100, false);
    struct evening_rule rule = {0, 0};
    struct evening_start none = {0, 0};
    assert_close(cost_of(*state, &s, rule, none), 100 * 0.02, 1e-9);
    s.lots[0].is_passed = false; /* barred for sure */
    assert_close(cost_of(*state, &s, rule, none), 100 * 5, 1e-9);
    s.lots[0].is_passed = true;
    s.lots[0].is_day_known = false; /* comes on day 4, a day after it is wanted; waste on day 7 */
    assert_close(cost_of(*state, &s, rule, none), 100 * 5 + 100 * 0.2, 1e-9);
}

enum { FUTURES = 4000 };

/* Mean and spread of what futures cost in which nothing is started, within five standard errors. */
static void assert_costs(struct arena *a, const struct scene *s, double of_mean, double of_spread)
{
    struct evening_futures *futures = evening_draw(a, &s->c, FUTURES);
    struct evening_rule rule = {-10, 0}; /* never starts */
    struct evening_start none = {0, 0};
    double sum = 0, squares = 0;
    for (int f = 0; f < FUTURES; f++) {
        double cost = evening_play(&s->c, futures, f, &rule, &none);
        assert_close(evening_weight(futures, f), 1, 0); /* nothing is ever barred */
        sum += cost;
        squares += cost * cost;
    }
    double mean = sum / FUTURES, spread = sqrt(squares / FUTURES - mean * mean);
    assert_true(fabs(mean - of_mean) < 5 * of_spread / sqrt(FUTURES));
    assert_true(fabs(spread - of_spread) < 5 * of_spread / sqrt(2 * FUTURES));
}

/* Orders turn out with the mean and the spread that was expected of their day; orders booked do not
 * move. Costs are short kg alone. */
static void orders_come_out_as_uncertain_as_they_were(void **state)
{
    struct scene s;
    scene_init(&s);
    s.c.crop = &certain;
    s.c.shared_part = 0.3;
    s.c.day_count = 7;
    s.want.short_cost_per_kg = 1;
    for (int d = 0; d < EVENING_DAYS_MAX; d++) {
        s.want.mean_kg[d] = d == 5 ? 100 : 0;
        s.want.spread_kg[d] = d == 5 ? 20 : 0;
        s.want.relative[d] = fmin(0.2, 0.05 * d);
    }
    assert_costs(*state, &s, 100, 20);
}

/* A lot that is known has less doubt than what is soaked next. Costs are short kg alone. */
static void what_grows_has_the_doubt_of_its_own_seed(void **state)
{
    static struct chance_crop crop = {.yield_mean = 1, .mean_relative = 0.1};
    struct scene s;
    scene_init(&s);
    s.c.crop = &crop;
    s.c.day_count = 7;
    s.c.hold_cost_per_kg_day = s.c.waste_cost_per_kg = 0;
    s.want.short_cost_per_kg = 1;
    for (int d = 0; d < EVENING_DAYS_MAX; d++)
        s.want.mean_kg[d] = d == 3 ? 1000 : 0;
    lot(&s, 3, 200, false);
    assert_costs(*state, &s, 800, 20);
    s.lots[0].seed_relative = 0.05;
    assert_costs(*state, &s, 800, 10);
}

/* What a lot that may come late or be barred costs in so many futures: the weighted mean, and the
 * mean weight. Costs are short kg alone. */
static double rare_cost(struct arena *a, const struct chance_crop *crop, uint64_t seed, int count,
                        double *weight)
{
    struct scene s;
    scene_init(&s);
    s.c.crop = crop;
    s.c.seed = seed;
    s.c.hold_cost_per_kg_day = s.c.waste_cost_per_kg = 0;
    s.want.short_cost_per_kg = 1;
    for (int d = 0; d < EVENING_DAYS_MAX; d++)
        s.want.mean_kg[d] = d == 3 ? 100 : 0;
    lot(&s, 3, 100, false);
    s.lots[0].is_day_known = s.lots[0].is_passed = false;
    struct evening_futures *futures = evening_draw(a, &s.c, count);
    struct evening_rule rule = {-10, 0};
    struct evening_start none = {0, 0};
    double sum = 0;
    *weight = 0;
    for (int f = 0; f < count; f++) {
        sum += evening_weight(futures, f) * evening_play(&s.c, futures, f, &rule, &none);
        *weight += evening_weight(futures, f) / count;
    }
    return sum / count;
}

/* One batch in fifty is barred: from 200 futures the loss is known more than twice as well as from
 * drawing each alone, and is right in the mean of many times 200. One in twenty is late: in ten of
 * 200, no more and no fewer. */
static void what_is_rare_is_seen_in_its_share_of_futures(void **state)
{
    static const int late[20] = {1};
    struct chance_crop barred = {.yield_mean = 1, .barred = 2e8, .passed = 98e8};
    struct chance_crop later = {.yield_mean = 1, .shift_days = late, .shift_count = 20};
    double weight, sum = 0, squares = 0;
    enum { TIMES = 100, EACH_TIME = 200 };
    for (int i = 0; i < TIMES; i++) {
        double cost = rare_cost(*state, &barred, (uint64_t)i + 1, EACH_TIME, &weight);
        assert_close(weight, 1, 1e-4); /* none and some are as likely as they are */
        sum += cost;
        squares += cost * cost;
        assert_close(rare_cost(*state, &later, (uint64_t)i + 1, EACH_TIME, &weight), 5, 1e-9);
        assert_close(weight, 1, 1e-12);
    }
    double mean = sum / TIMES, spread = sqrt(squares / TIMES - mean * mean);
    double alone = 100 * sqrt(0.02 * 0.98 / EACH_TIME);
    assert_true(fabs(mean - 2) < 5 * (alone / 2) / sqrt(TIMES));
    assert_true(spread < alone / 2);
}

/* Ten days, one want and all, nine days ahead; never fewer than eight. */
static void futures_keep_to_the_room_there_is(void **state)
{
    (void)state;
    struct scene s;
    scene_init(&s);
    assert_int_equal(evening_room(&s.c, 100 * 10 * 2 * 9 * sizeof(double)), 100);
    assert_int_equal(evening_room(&s.c, 100 * 10 * 2 * 9 * sizeof(double) - 1), 99);
    assert_int_equal(evening_room(&s.c, 1), 8);
}

/* So few that they can't be halved, and when all are barred. */
static void few_futures_and_none_that_passes_have_their_weight(void **state)
{
    struct chance_crop all = {.yield_mean = 1, .barred = 1e9, .passed = 1e-9};
    double weight;
    for (int count = 1; count <= 4; count++)
        assert_close(rare_cost(*state, &all, 1, count, &weight) / weight, 100, 1e-9);
}

static void the_same_seed_gives_the_same_futures(void **state)
{
    static const int late[4] = {0, 0, 1, 2};
    static struct chance_crop crop = {.yield_mean = 1,
                                      .yield_relative = 0.1,
                                      .mean_relative = 0.05,
                                      .shift_days = late,
                                      .shift_count = 4,
                                      .barred = 1,
                                      .passed = 20};
    struct scene s;
    scene_init(&s);
    s.c.crop = &crop;
    lot(&s, 2, 200, false);
    s.lots[0].is_day_known = s.lots[0].is_passed = false;
    for (int d = 1; d < EVENING_DAYS_MAX; d++) {
        s.want.spread_kg[d] = 20;
        s.want.relative[d] = 0.2;
    }
    struct evening_rule rule = {1, 0};
    struct evening_start one = {1, 80};
    struct evening_futures *x = evening_draw(*state, &s.c, 20), *y = evening_draw(*state, &s.c, 20);
    bool differ = false;
    for (int f = 19; f >= 0; f--) {
        double cost = evening_play(&s.c, x, f, &rule, &one);
        assert_true(cost == evening_play(&s.c, y, f, &rule, &one));
        differ |= cost != evening_play(&s.c, x, 0, &rule, &one);
    }
    assert_true(differ);
    s.c.seed = 4;
    double other = evening_play(&s.c, evening_draw(*state, &s.c, 1), 0, &rule, &one);
    assert_true(other != evening_play(&s.c, x, 0, &rule, &one));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(without_luck_a_future_costs_what_it_takes),
        EACH(what_nobody_takes_is_waste_and_what_is_left_has_its_worth),
        EACH(a_cover_and_a_longer_filling_start_more),
        EACH(chambers_and_starts_of_an_evening_are_kept_to),
        EACH(what_is_known_of_a_lot_is_not_drawn),
        EACH(orders_come_out_as_uncertain_as_they_were),
        EACH(the_same_seed_gives_the_same_futures),
        EACH(what_is_rare_is_seen_in_its_share_of_futures),
        EACH(futures_keep_to_the_room_there_is),
        EACH(few_futures_and_none_that_passes_have_their_weight),
        EACH(what_grows_has_the_doubt_of_its_own_seed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
