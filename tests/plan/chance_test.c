#include "calc/distribution.h"
#include "chance_scene.h"
#include "instance.h"
#include "plan/draw.h"
#include "support.h"

/* A start that gets a tenth less seed brings a tenth less, and costs its seed no more. */
static void seed_that_a_start_does_not_get_is_missing(void **state)
{
    struct scene s;
    scene_init(&s);
    handmade_want(&s.h, 4, 80);
    s.model.future_count = 3;
    play(*state, &s);
    double cost = s.chance.cost.mean, seed_kg = 0;
    assert_true(s.chance.lines[0].met == 1);
    for (int i = 0; i < s.plan.start_count; i++)
        seed_kg += s.plan.starts[i].seed_kg;
    s.crop.seed_less = 0.1;
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 0);
    assert_close(s.chance.short_kg.mean, 8, 1e-6);
    double seed_saved = 0.1 * seed_kg * s.h.lots[0].cost_per_kg;
    assert_close(s.chance.cost.mean, cost + 8 * s.h.p.lines[0].shortage_cost_per_kg - seed_saved,
                 1e-6);
    s.crop.seed_less = 1;
    assert_int_equal(chance_check(&s.h.p, &s.model).code, CODE_PLAN_FIELD);
}

static void without_chance_the_future_is_the_plan(void **state)
{
    struct scene s;
    scene_init(&s);
    handmade_want(&s.h, 4, 80);
    handmade_want(&s.h, 2, 10); /* too early for any start */
    s.model.future_count = 3;
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 1);
    assert_true(s.chance.lines[0].share == 1);
    assert_true(s.chance.lines[1].met == 0);
    assert_true(s.chance.lines[1].share == 0);
    assert_close(s.chance.wanted_kg.mean, 90, 1e-12);
    assert_close(s.chance.short_kg.mean, 10, 1e-12);
    assert_close(s.chance.cost.mean, s.plan.improvement.cost, 1e-9);
    assert_close(s.chance.cost.error, 0, 1e-9);
}

/* On invented houses with every feature, nothing left to chance: the floor serves by priority and
 * the plan by cost, so single lines may differ, but not what is made; and all is met or short. */
static void without_chance_every_kilogram_is_accounted_for(void **state)
{
    for (uint64_t seed = 1; seed <= 30; seed++) {
        struct arena *a = *state;
        struct plan_problem *p = instance_make(a, seed, &instance_small);
        struct chance_crop crops[2] = {{.yield_mean = 1}, {.yield_mean = 1}};
        struct chance_model model = {crops, 0, 1, 2};
        struct plan_outcome plan;
        struct chance chance;
        struct plan_line *lines = ARENA_ARRAY(a, struct plan_line, (size_t)p->line_count);
        memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
        for (int i = 0; i < p->line_count; i++)
            lines[i].spread_pieces = 0;
        p->lines = lines;
        plan_of(a, p, NULL, &plan);
        assert_int_equal(chance_of(a, p, plan.starts, plan.start_count, &model, &chance).code,
                         CODE_OK);
        double wanted = 0, met = 0, late = 0;
        for (int i = 0; i < p->line_count; i++) {
            double kg = plan_line_kg(p, &p->lines[i]);
            wanted += kg;
            met += chance.lines[i].late_share * kg;
            late += (chance.lines[i].late_share - chance.lines[i].share) * kg;
            assert_true(chance.lines[i].met == 1 || chance.lines[i].share < 1);
            assert_true(chance.lines[i].late_met == 1 || chance.lines[i].late_share < 1);
        }
        assert_close(chance.wanted_kg.mean, wanted, 1e-9);
        /* a line of no pieces counts as served in share and in no kg */
        assert_close(chance.met_kg.mean, met, 1e-9);
        assert_close(chance.late_kg.mean, late, 1e-9);
        assert_close(chance.met_kg.mean + chance.short_kg.mean, wanted, 1e-9);
    }
}

/* 20 kg of seed are planned to give 100 packed kg; the order takes 90. */
/* Packs of another weight in stock: what they are given for costs and counts as in the plan. */
static void what_is_given_instead_is_given_in_every_future(void **state)
{
    struct scene s;
    scene_init(&s);
    struct plan_product products[2] = {s.h.product, {"large", 0, 1.25, 3, 0, NULL, 0}};
    struct plan_swap swap = {0, 1, 0.4, NULL};
    s.h.p.products = products;
    s.h.p.product_count = 2;
    s.h.p.swaps = &swap;
    s.h.p.swap_count = 1;
    s.h.p.stock_count = 1;
    s.h.stock[0] = (struct plan_stock){"stock", 0, 1, 0, 25, 1, s.h.ready_day, NULL, NULL, NULL};
    handmade_want(&s.h, 1, 20);
    handmade_want(&s.h, 4, 80);
    s.model.future_count = 3;
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 1);
    assert_true(s.chance.lines[1].met == 1);
    assert_close(s.chance.met_kg.mean, 100, 1e-9);
    assert_close(s.chance.cost.mean, s.plan.improvement.cost, 1e-9);
    swap.cost_per_kg = 100; /* dearer than the shortage: rather short */
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 0);
    assert_close(s.chance.cost.mean, s.plan.improvement.cost, 1e-9);
}

/* Both harvests of a start fail together, and what waits for its chamber waits for the last. */
static void harvests_of_a_start_have_one_luck(void **state)
{
    static const int shifts[1] = {1};
    struct scene s;
    scene_init(&s);
    struct plan_part parts[2] = {{0, 0.5, 1}, {2, 0.5, 1}};
    s.h.ways[0].parts = parts;
    s.h.ways[0].part_count = 2;
    s.h.p.chamber_count = 1;
    handmade_want(&s.h, 4, 50);
    handmade_want(&s.h, 6, 50);
    s.crop.barred = 10;
    s.crop.passed = 10;
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.5);
    assert_true(s.chance.lines[0].met == s.chance.lines[1].met);
    s.crop.barred = 0;
    s.crop.shift_days = shifts;
    s.crop.shift_count = 1;
    s.h.lines[1].day = 8; /* the second is harvested on day 7: in time */
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 0);
    assert_true(s.chance.lines[1].met == 1);
}

static void an_order_is_met_as_often_as_the_yield_allows(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.fills[0].seed_min_kg = 20;
    s.crop.yield_relative = 0.2;
    handmade_want(&s.h, 4, 90);
    play(*state, &s);
    assert_int_equal(s.plan.start_count, 1);
    /* log-normal with mean 1 and relative deviation 0.2 (derived) */
    double variance = log(1.04);
    assert_share(s.chance.lines[0].met, normal_below((-log(0.9) - variance / 2) / sqrt(variance)));
    assert_true(s.chance.lines[0].share > s.chance.lines[0].met);
    assert_true(s.chance.cost.error > 0);
    /* half as much again: hardly ever short */
    s.crop.yield_mean = 1.5;
    play(*state, &s);
    assert_share(s.chance.lines[0].met, normal_below((-log(0.6) - variance / 2) / sqrt(variance)));
    /* doubt about the mean counts as if it were spread, for one batch */
    s.crop = (struct chance_crop){.yield_mean = 1, .mean_relative = 0.2};
    play(*state, &s);
    assert_share(s.chance.lines[0].met, normal_below((-log(0.9) - variance / 2) / sqrt(variance)));
}

/* Two batches for one order: doubt about the mean hits both, the batches' own luck does not. */
static void batches_share_what_is_not_known_of_the_mean(void **state)
{
    struct scene own, shared;
    scene_init(&own);
    scene_init(&shared);
    own.crop.yield_relative = 0.15;
    shared.crop.mean_relative = 0.15;
    own.h.fills[0].seed_min_kg = shared.h.fills[0].seed_min_kg = 20;
    handmade_want(&own.h, 4, 170);
    handmade_want(&shared.h, 4, 170);
    play(*state, &own);
    play(*state, &shared);
    assert_int_equal(own.plan.start_count, 2);
    /* of 200 planned, 170 wanted: deviations 0.15 / sqrt(2) and 0.15 of the mean */
    assert_true(own.chance.lines[0].met > shared.chance.lines[0].met + 0.03);
}

static void a_barred_batch_serves_nobody(void **state)
{
    struct scene s;
    scene_init(&s);
    s.crop.barred = 2;
    s.crop.passed = 6;
    handmade_want(&s.h, 4, 100);
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.75);
    assert_share(s.chance.lines[0].share, 0.75);
}

/* Goods of day 0 are ready on day 4 (100 h after hour 8: hour 12 of it), with 24 h more on day 5:
 * one order in four is late, as many batches as wait; a house that plans the second test starts a
 * day sooner and is never late. */
static void a_second_test_moves_the_ready_day(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.market.laboratory_h = 100;
    s.h.market.retest_h = 24;
    s.crop.retested = 2;
    s.crop.once = 6;
    handmade_want(&s.h, 4, 100);
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.75);
    assert_share(s.chance.lines[0].share, 0.75);
    s.h.group.late_days = 1; /* the same plan: a day later all have their result */
    struct result r =
        chance_of(*state, &s.h.p, s.plan.starts, s.plan.start_count, &s.model, &s.chance);
    assert_int_equal(r.code, CODE_OK);
    assert_share(s.chance.lines[0].met, 0.75);
    assert_true(s.chance.lines[0].late_met == 1);
    s.h.group.late_days = 0;
    s.h.p.retest_planned = true;
    s.h.lines[0].day = 5;
    play(*state, &s);
    assert_int_equal(s.plan.starts[0].day, 0);
    assert_true(s.chance.lines[0].met == 1);
    s.h.market.retest_h = 0; /* nothing to wait for */
    s.h.lines[0].day = 4;
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 1);
    s.crop.once = 0;
    assert_int_equal(chance_check(&s.h.p, &s.model).code, CODE_PLAN_FIELD);
}

/* Both parts of a running lot wait for one result: harvested on days 0 and 1, ready on day 2 or 3.
 */
static void harvests_of_a_lot_wait_for_one_result(void **state)
{
    static const int once[1] = {2}, again[1] = {3};
    struct scene s;
    scene_init(&s);
    for (int i = 0; i < 2; i++)
        s.h.running[i] = (struct plan_running){.lot = "lot",
                                               .harvest_day = i,
                                               .packed_kg = 50,
                                               .markets = 1,
                                               .ready_day = once,
                                               .once_day = once,
                                               .again_day = again};
    s.h.p.running_count = 2;
    handmade_want(&s.h, 2, 50);
    handmade_want(&s.h, 2, 50);
    s.crop.retested = 5;
    s.crop.once = 5;
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.5);
    assert_true(s.chance.lines[0].met == s.chance.lines[1].met);
    s.h.running[0].again_day = s.h.running[1].again_day = NULL; /* in already */
    play(*state, &s);
    assert_true(s.chance.lines[1].met == 1);
}

/* 50 kg packed of a lot whose other half still grows, sold from tomorrow on or, where the result is
 * tested again, a day later: all of the lot waits for the one result, and is barred with it. */
static void goods_in_stock_wait_for_an_open_result(void **state)
{
    static const int once[1] = {1}, again[1] = {2};
    struct scene s;
    scene_init(&s);
    s.h.running[0] = (struct plan_running){.lot = "batch",
                                           .harvest_day = 1,
                                           .packed_kg = 50,
                                           .markets = 1,
                                           .ready_day = once,
                                           .once_day = once,
                                           .again_day = again};
    s.h.p.running_count = 1;
    s.h.stock[0] = (struct plan_stock){"stock", 0, PLAN_NONE, 0, 50, 1, once, "batch", once, again};
    s.h.p.stock_count = 1;
    handmade_want(&s.h, 1, 50);
    handmade_want(&s.h, 1, 50);
    s.crop.retested = 2;
    s.crop.once = 6;
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.75);
    assert_true(s.chance.lines[0].met == s.chance.lines[1].met);
    s.crop.retested = 0;
    s.crop.barred = 1;
    s.crop.passed = 3;
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.75);
    assert_true(s.chance.lines[0].met == s.chance.lines[1].met);
    assert_close(s.chance.met_kg.mean, 100 * s.chance.lines[0].met, 1e-9);
    s.h.stock[0].batch = NULL; /* every result is in */
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 1);
    assert_share(s.chance.lines[1].met, 0.75);
}

/* Of sixteen batches four were barred, three of them before they were goods: what is in stock waits
 * for a result that one in thirteen fails, what still grows is barred as four in sixteen are
 * (computed here), and never is the stock barred without the rest of its batch. */
static void goods_in_stock_are_barred_for_what_may_still_come(void **state)
{
    static const int once[1] = {1};
    struct scene s;
    scene_init(&s);
    s.h.running[0] = (struct plan_running){
        .lot = "batch", .harvest_day = 1, .packed_kg = 50, .markets = 1, .ready_day = once};
    s.h.p.running_count = 1;
    s.h.stock[0] = (struct plan_stock){"stock", 0, PLAN_NONE, 0, 50, 1, once, "batch", once, once};
    s.h.p.stock_count = 1;
    handmade_want(&s.h, 1, 50);
    handmade_want(&s.h, 1, 50);
    s.crop.barred = 4;
    s.crop.barred_early = 3;
    s.crop.passed = 12;
    play(*state, &s);
    /* whichever line is served first gets the stock: both are there in 12 of 16, one in 12 of 13 */
    assert_share(s.chance.lines[0].met, 12.0 / 13);
    assert_share(s.chance.lines[1].met, 12.0 / 16);
    assert_share(s.chance.met_kg.mean / 100, (12.0 / 13 + 12.0 / 16) / 2);
}

static void a_late_harvest_misses_its_day_and_holds_up_the_chamber(void **state)
{
    static const int shifts[4] = {0, 0, 0, 1};
    struct scene s;
    scene_init(&s);
    s.h.p.chamber_count = 1;
    s.crop.shift_days = shifts;
    s.crop.shift_count = 4;
    handmade_want(&s.h, 4, 100); /* harvested and due on day 4, chamber free on day 5 */
    handmade_want(&s.h, 9, 100); /* started on day 5, if it can be */
    play(*state, &s);
    assert_int_equal(s.plan.start_count, 2);
    assert_share(s.chance.lines[0].met, 0.75);
    /* late when the first was, or by itself: on time in 9 of 16 */
    assert_share(s.chance.lines[1].met, 0.5625);
}

static void an_early_harvest_may_be_too_old(void **state)
{
    static const int shifts[2] = {-3, 0};
    struct scene s;
    scene_init(&s);
    s.h.product.life_days = 3;
    s.h.group.remaining_days = 1; /* goods of day 2 and later for day 4 */
    s.crop.shift_days = shifts;
    s.crop.shift_count = 2;
    handmade_want(&s.h, 4, 100);
    play(*state, &s);
    assert_share(s.chance.lines[0].met, 0.5);
    assert_close(s.chance.waste_kg.mean + s.chance.met_kg.mean, 100, 1e-9);
}

/* Stock for 30 pieces, forecast 20 with a spread of 8: met while the negative binomial stays at or
 * below 30. */
static void a_forecast_is_met_while_it_stays_small_enough(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.stock[0] =
        (struct plan_stock){"stock", 0, PLAN_NONE, 0, 30, 1, s.h.ready_day, NULL, NULL, NULL};
    s.h.p.stock_count = 1;
    handmade_want(&s.h, 1, 20);
    s.h.lines[0].key = NULL;
    s.h.lines[0].spread_pieces = 8;
    play(*state, &s);
    /* size 400 / (64 - 20), chance of success size / (size + 20) (derived) */
    double size = 400.0 / 44, p = size / (size + 20), at_most = 0;
    for (int k = 0; k <= 30; k++)
        at_most +=
            exp(lgamma(k + size) - lgamma(size) - lgamma(k + 1) + size * log(p) + k * log1p(-p));
    assert_share(s.chance.lines[0].met, at_most);
    assert_close(s.chance.wanted_kg.mean, 20, 0.05);
    /* nothing shared or all of it: the same spread for one day */
    s.model.shared_part = 1;
    play(*state, &s);
    assert_close(s.chance.lines[0].met, at_most, 0.03);
    assert_close(s.chance.wanted_kg.mean, 20, 0.05);
}

/* What all days share shows in the sum of days. */
static void days_of_a_forecast_move_together(void **state)
{
    double error[2];
    for (int k = 0; k < 2; k++) {
        struct scene s;
        scene_init(&s);
        for (int d = 0; d < 8; d++) {
            handmade_want(&s.h, d, 100);
            s.h.lines[d].key = NULL;
            s.h.lines[d].spread_pieces = 40;
        }
        s.model.shared_part = k;
        play(*state, &s);
        error[k] = s.chance.wanted_kg.error * sqrt(4000);
    }
    /* eight days of deviation 40: root of 8 apart, 8 times together less each day's Poisson part
     * (derived) */
    assert_close(error[0], 40 * sqrt(8), 0.08);
    assert_close(error[1], sqrt(64 * 1500 + 8 * 100), 0.08);
}

static void the_first_in_rank_is_served_first_from_the_oldest_that_will_do(void **state)
{
    struct scene s;
    scene_init(&s);
    struct plan_group groups[2] = {{.code = "late", .priority = 9},
                                   {.code = "strict", .remaining_days = 2, .priority = 1}};
    s.h.p.groups = groups;
    s.h.p.group_count = 2;
    /* life 3: the strict group takes goods of day 0 on day 1, not those of day -1 */
    s.h.stock[0] =
        (struct plan_stock){"new", 0, PLAN_NONE, 0, 40, 1, s.h.ready_day, NULL, NULL, NULL};
    s.h.stock[1] =
        (struct plan_stock){"old", 0, PLAN_NONE, -1, 25, 1, s.h.ready_day, NULL, NULL, NULL};
    s.h.p.stock_count = 2;
    handmade_want(&s.h, 1, 30);
    handmade_want(&s.h, 1, 40);
    s.h.lines[1].group = 1;
    s.model.future_count = 1;
    play(*state, &s);
    assert_true(s.chance.lines[1].met == 1);
    assert_close(s.chance.lines[0].share, 25 / 30.0, 1e-9);
}

static void a_start_keeps_its_luck_beside_others(void **state)
{
    struct scene s;
    scene_init(&s);
    s.crop.yield_relative = 0.3;
    s.h.fills[0].seed_min_kg = 20;
    handmade_want(&s.h, 4, 100);
    play(*state, &s);
    double alone = s.chance.lines[0].met, cost = s.chance.cost_of[17];
    play(*state, &s);
    assert_true(s.chance.lines[0].met == alone);
    assert_true(s.chance.cost_of[17] == cost);
    handmade_want(&s.h, 9, 100);
    play(*state, &s);
    assert_int_equal(s.plan.start_count, 2);
    assert_true(s.chance.lines[0].met == alone);
    s.model.seed++;
    play(*state, &s);
    assert_true(s.chance.lines[0].met != alone);
}

static void a_days_limits_hold_in_every_future(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.days[4].pack_kg = 60;
    handmade_want(&s.h, 4, 100);
    s.crop.yield_relative = 0.1;
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 0);
    assert_true(s.chance.met_kg.mean <= 60 + 1e-9);
}

static void a_model_that_is_none_is_refused(void **state)
{
    struct scene s;
    scene_init(&s);
    s.model.future_count = 0;
    struct chance out;
    assert_int_equal(chance_of(*state, &s.h.p, NULL, 0, &s.model, &out).code, CODE_PLAN_FIELD);
    s.model.future_count = 10;
    s.model.shared_part = 1.5;
    assert_int_equal(chance_of(*state, &s.h.p, NULL, 0, &s.model, &out).code, CODE_PLAN_FIELD);
    s.model.shared_part = 0;
    s.crop.yield_mean = 0;
    assert_int_equal(chance_of(*state, &s.h.p, NULL, 0, &s.model, &out).code, CODE_PLAN_FIELD);
    s.crop = (struct chance_crop){.yield_mean = 1, .yield_relative = -1};
    assert_int_equal(chance_of(*state, &s.h.p, NULL, 0, &s.model, &out).code, CODE_PLAN_FIELD);
    s.crop = (struct chance_crop){.yield_mean = 1, .barred = 1};
    assert_int_equal(chance_of(*state, &s.h.p, NULL, 0, &s.model, &out).code, CODE_PLAN_FIELD);
    s.crop = (struct chance_crop){.yield_mean = 1, .barred = 1, .barred_early = 2, .passed = 1};
    assert_int_equal(chance_of(*state, &s.h.p, NULL, 0, &s.model, &out).code, CODE_PLAN_FIELD);
}

/* One order too early for any start and one that a start of today is for: the first is met late
 * from what the second leaves, whole or in part, with its cost. */
static void what_is_left_serves_who_takes_it_late(void **state)
{
    struct scene s;
    scene_init(&s);
    handmade_want(&s.h, 3, 10);
    handmade_want(&s.h, 4, 20);
    s.h.group.late_days = 1;
    s.h.group.late_cost_per_kg_day = 2;
    s.model.future_count = 3;
    play(*state, &s);
    assert_int_equal(s.plan.met_days[0], 4);
    assert_true(s.chance.lines[0].met == 0 && s.chance.lines[0].share == 0);
    assert_true(s.chance.lines[0].late_met == 1 && s.chance.lines[0].late_share == 1);
    assert_true(s.chance.lines[1].met == 1 && s.chance.lines[1].late_met == 1);
    assert_close(s.chance.late_kg.mean, 10, 1e-12);
    assert_close(s.chance.short_kg.mean, 0, 1e-12);
    assert_close(s.chance.met_kg.mean, 30, 1e-12);
    assert_close(s.chance.cost.mean, s.plan.improvement.cost, 1e-9);
    /* half of what was planned for: 25 kg of the 50 kg of a least start, 20 of them on their day */
    s.crop.yield_mean = 0.5;
    play(*state, &s);
    assert_true(s.chance.lines[1].met == 1);
    assert_true(s.chance.lines[0].late_met == 0);
    assert_close(s.chance.lines[0].late_share, 0.5, 1e-9);
    assert_close(s.chance.late_kg.mean, 5, 1e-9);
    /* on a shut day nothing leaves, neither late nor in time */
    s.crop.yield_mean = 1;
    plan_of(*state, &s.h.p, NULL, &s.plan);
    s.h.is_shut[4] = true;
    s.h.p.is_shut = s.h.is_shut;
    struct result r =
        chance_of(*state, &s.h.p, s.plan.starts, s.plan.start_count, &s.model, &s.chance);
    assert_int_equal(r.code, CODE_OK);
    assert_true(s.chance.lines[1].met == 0 && s.chance.lines[1].late_met == 1); /* on the fifth */
    assert_true(s.chance.lines[0].late_share == 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(without_chance_the_future_is_the_plan),
        EACH(seed_that_a_start_does_not_get_is_missing),
        EACH(without_chance_every_kilogram_is_accounted_for),
        EACH(what_is_given_instead_is_given_in_every_future),
        EACH(harvests_of_a_start_have_one_luck),
        EACH(an_order_is_met_as_often_as_the_yield_allows),
        EACH(batches_share_what_is_not_known_of_the_mean),
        EACH(a_barred_batch_serves_nobody),
        EACH(a_second_test_moves_the_ready_day),
        EACH(harvests_of_a_lot_wait_for_one_result),
        EACH(goods_in_stock_wait_for_an_open_result),
        EACH(goods_in_stock_are_barred_for_what_may_still_come),
        EACH(a_late_harvest_misses_its_day_and_holds_up_the_chamber),
        EACH(an_early_harvest_may_be_too_old),
        EACH(a_forecast_is_met_while_it_stays_small_enough),
        EACH(days_of_a_forecast_move_together),
        EACH(the_first_in_rank_is_served_first_from_the_oldest_that_will_do),
        EACH(a_start_keeps_its_luck_beside_others),
        EACH(a_days_limits_hold_in_every_future),
        EACH(what_is_left_serves_who_takes_it_late),
        EACH(a_model_that_is_none_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
