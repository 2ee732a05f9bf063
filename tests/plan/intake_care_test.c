/* Care against what can be counted by hand: how much is counted on, what is chosen and what it
 * saves. Means are held to four of their standard errors: one run in sixteen thousand would miss
 * them, and the seed is fixed. */
#include "plan/intake_care.h"

#include <math.h>

#include "intake_support.h"
#include "plan/intake_construct.h"
#include "support.h"

struct vendor {
    struct small s;
    struct intake_luck_use use;
    struct intake_came_list came[8];
    struct intake_luck luck;
};

/* A day's forecast of 80 packs as a Poisson, fruit at 1 a kg, 0.1 for each kg that is left. */
static void vendor_init(struct vendor *v, double shortage)
{
    *v = (struct vendor){0};
    small_init(&v->s, 1);
    v->s.need.hours_per_kg = 0;
    v->s.goods[0].keep_days = v->s.goods[1].keep_days = 0;
    v->s.offer = (struct intake_offer){.kg_a_day = 1000, .kg_in_all = INFINITY, .price_per_kg = 1};
    v->s.lines[0] = (struct plan_line){
        .pieces = 80, .spread_pieces = sqrt(80), .shortage_cost_per_kg = shortage};
    v->s.p.offer_count = v->s.p.line_count = 1;
    v->luck = (struct intake_luck){
        .uses = &v->use, .came = v->came, .seed = 3, .future_count = INTAKE_CARE_FUTURES};
}

/* Mean and variance of the cost of so many packs, counted over the Poisson. computed here */
static double vendor_cost(int packs, double shortage, double *out_variance)
{
    double part = exp(-80.0), sum = 0, squares = 0;
    for (int wanted = 0; wanted <= 400; wanted++) {
        double cost = packs + shortage * fmax(0, wanted - packs) + 0.1 * fmax(0, packs - wanted);
        sum += part * cost;
        squares += part * cost * cost;
        part *= 80.0 / (wanted + 1);
    }
    *out_variance = squares - sum * sum;
    return sum;
}

static int packs_of(double level)
{
    return 80 + (level > 0 ? (int)lround(level * sqrt(80)) : 0);
}

/* A dear shortage asks for more, a cheap one for no more than is expected. */
static void the_level_is_the_cheapest_of_a_newsvendor(void **state)
{
    static const double shortages[] = {1.2, 2, 4, 20};
    double last = -1;
    for (int i = 0; i < 4; i++) {
        struct vendor v;
        double costs[INTAKE_CARE_LEVELS], best = INFINITY, found = INFINITY;
        vendor_init(&v, shortages[i]);
        double level = intake_care_level(*state, &v.s.p, &v.luck, 0, costs);
        for (int k = 0; k < INTAKE_CARE_LEVELS; k++) {
            double variance,
                exact = vendor_cost(packs_of(intake_care_levels[k]), shortages[i], &variance);
            assert_close(costs[k], exact, 4 * sqrt(variance / INTAKE_CARE_FUTURES));
            best = fmin(best, exact);
            if (level >= intake_care_levels[k] && level <= intake_care_levels[k]) found = exact;
        }
        assert_true(found < best * 1.03); /* drawn and counted may differ by neighbours */
        assert_true(level >= last);
        last = level;
    }
    assert_true(last >= 1.5); /* 19 / 20.1 is covered by 1.6 deviations of a normal */
}

static void a_careful_plan_saves_what_it_says(void **state)
{
    struct vendor v;
    struct intake_outcome x;
    struct intake_care care;
    double variance;
    vendor_init(&v, 20);
    v.luck.future_count = 4000;
    assert_int_equal(intake_make_careful(*state, &v.s.p, &v.luck, 0, NULL, &x, &care).code,
                     CODE_OK);
    assert_true(care.is_chosen && care.level >= 1);
    int packs = packs_of(care.level);
    assert_close(x.plan->buy_kg[0], packs, 1e-9);
    assert_int_equal(x.met_pieces[0], 80); /* what is expected: no more is wanted */
    assert_close(x.cost, packs + 0.1 * (packs - 80), 1e-6);
    double exact = vendor_cost(80, 20, &variance) - vendor_cost(packs, 20, &variance);
    assert_close(care.saved, exact, 4 * care.saved_error);
    assert_close(care.saved, care.told.cost.mean - care.chance.cost.mean, 1e-9);
    assert_true(care.chance.short_kg.mean < care.told.short_kg.mean);
    assert_true(care.chance.left_kg.mean > care.told.left_kg.mean);
    assert_int_equal(care.futures, 4000);
}

/* Share of the packs wanted that so many meet, counted over the Poisson. computed here */
static double vendor_share(int packs)
{
    double part = exp(-80.0), met = 0;
    for (int wanted = 0; wanted <= 400; wanted++) {
        met += part * (wanted < packs ? wanted : packs);
        part *= 80.0 / (wanted + 1);
    }
    return met / 80;
}

static void asks(void **state, struct vendor *v, double service, struct intake_care *care)
{
    struct intake_outcome x;
    assert_int_equal(intake_make_careful(*state, &v->s.p, &v->luck, service, NULL, &x, care).code,
                     CODE_OK);
    intake_feasible(&v->s.p, x.frame, x.plan);
    assert_close(x.cost, intake_cost(*state, x.plan), 1e-6);
}

/* Where a shortage is cheap nothing is made for it unless it is asked for: then the least that is
 * enough. Shares asked for stand well between those of two levels: 0.9554 of 80 packs, 0.9772 of
 * 84, 0.9914 of 89, 0.9967 of 93 and 0.9992 of 98. */
static void a_share_that_is_asked_for_is_met_with_the_least_care(void **state)
{
    static const struct {
        double service, level;
    } cases[] = {{0, -1}, {0.9, -1}, {0.967, 0.5}, {0.985, 1}, {0.994, 1.5}, {0.998, 2}};
    for (int i = 0; i < 6; i++) {
        struct vendor v;
        struct intake_care care;
        vendor_init(&v, 1.02);
        v.luck.future_count = 4000;
        asks(state, &v, cases[i].service, &care);
        assert_close(care.level, cases[i].level, 0);
        double share = intake_share(&care.chance);
        assert_true(share >= cases[i].service);
        assert_close(share, vendor_share(packs_of(care.level)),
                     4 * care.chance.short_kg.error / 80);
        assert_true(care.level < 0 || care.saved < 0); /* that is what it costs more */
        assert_close(care.service, cases[i].service, 0);
    }
}

/* Levels are tried on few futures. Where those flatter a level, so that on all of them it meets
 * less than was asked for, the next is taken. */
static void a_level_that_falls_short_on_all_futures_is_left(void **state)
{
    int found = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct vendor v;
        struct intake_care few, all, asked;
        vendor_init(&v, 1.02);
        v.luck.seed = seed;
        asks(state, &v, 0.967, &few);
        v.luck.future_count = 2000;
        asks(state, &v, 0.967, &all);
        double flattered = intake_share(&few.chance), share = intake_share(&all.chance);
        if (fabs(few.level - 0.5) > 0 || fabs(all.level - 0.5) > 0 || flattered < share + 0.0005) {
            continue;
        }
        found++;
        double service = (flattered + share) / 2;
        assert_close(intake_care_level(*state, &v.s.p, &v.luck, service, NULL), 0.5, 0);
        asks(state, &v, service, &asked);
        assert_close(asked.level, 1, 0);
        assert_true(intake_share(&asked.chance) >= service);
    }
    assert_true(found > 0);
}

/* Less is never made for a share than for the least cost. */
static void a_low_share_takes_no_care_away(void **state)
{
    struct vendor v;
    struct intake_care least, asked;
    vendor_init(&v, 20);
    asks(state, &v, 0, &least);
    asks(state, &v, 0.5, &asked);
    assert_true(least.level >= 1);
    assert_close(asked.level, least.level, 0);
    assert_close(asked.chance.cost.mean, least.chance.cost.mean, 0);
}

/* No more than 84 kg can be bought: most is met with all of them, and that is less than is asked.
 */
static void where_no_care_is_enough_most_is_met(void **state)
{
    struct vendor v;
    struct intake_care care;
    vendor_init(&v, 1.02);
    v.s.offer.kg_a_day = 84;
    asks(state, &v, 0.999, &care);
    double share = intake_share(&care.chance);
    assert_true(share < 0.999);
    assert_true(share > intake_share(&care.told));
    assert_close(share, vendor_share(84), 4 * care.chance.short_kg.error / 80);
    struct intake_outcome x;
    assert_int_equal(intake_make_careful(*state, &v.s.p, &v.luck, 1.01, NULL, &x, &care).code,
                     CODE_PLAN_FIELD);
}

/* An order is all that is wanted: nothing can go otherwise, and nothing is tried. */
static void what_is_certain_needs_no_care(void **state)
{
    struct vendor v;
    struct intake_outcome x, told;
    struct intake_care care;
    vendor_init(&v, 20);
    v.s.lines[0].key = "1";
    v.s.lines[0].spread_pieces = 0;
    assert_false(intake_varies(&v.s.p, &v.luck));
    assert_int_equal(intake_make_careful(*state, &v.s.p, &v.luck, 0, NULL, &x, &care).code,
                     CODE_OK);
    assert_false(care.is_chosen);
    assert_true(care.level < 0);
    assert_close(care.saved, 0, 0);
    assert_int_equal(intake_make(*state, &v.s.p, NULL, &told).code, CODE_OK);
    assert_close(x.cost, told.cost, 0);
    asks(state, &v, 0.99, &care);
    assert_true(!care.is_chosen && care.level < 0);
    assert_close(intake_share(&care.chance), 1, 0);
    v.s.p.day_count = 0;
    assert_int_equal(intake_make_careful(*state, &v.s.p, &v.luck, 0, NULL, &x, &care).code,
                     CODE_PLAN_FIELD);
}

/* Ten days of 0.7 and 0.9 with 0.8 told: expected 0.8, precision 0.32 / (2 * 0.1 / 9) - 1... of
 * one part and its loss variance 2 * (10 * 0.01 / 9), spread 2 * 0.16: precision 13.4, of the mean
 * 14.4 * 10 - 1 = 143; a deviation is sqrt(0.16 / 14.4 + 0.16 / 144). Of six due two came late, one
 * with half: mean 3.5 / 6, variance (3.25 / 6 - mean^2). computed here */
static void a_level_counts_on_so_many_deviations_less(void **state)
{
    static const struct intake_came seen[6] = {{1, 0}, {1, 1}, {0.5, 0}, {1, 0}, {1, 2}, {1, 0}};
    double taken[10], given[10];
    struct vendor v;
    vendor_init(&v, 2);
    for (int i = 0; i < 10; i++) {
        taken[i] = 100;
        given[i] = i % 2 == 0 ? 70 : 90;
    }
    v.s.part.share = 0.8;
    v.use = intake_luck_learn(*state, &v.s.use, taken, given, 10);
    assert_close(v.use.precision, 13.4, 1e-9);
    v.s.deliveries[0] = v.s.deliveries[1] = (struct intake_delivery){.key = "f", .kg = 100};
    v.s.p.delivery_count = 2;
    v.came[0] = (struct intake_came_list){seen, 6};
    v.came[1] = (struct intake_came_list){seen, 4}; /* too few to tell */
    const struct intake_problem *q = intake_careful(*state, &v.s.p, &v.luck, 1.5);
    assert_close(q->uses[0].parts[0].share, 0.8 - 1.5 * sqrt(0.16 / 14.4 + 0.16 / 144), 1e-9);
    double mean = 3.5 / 6, deviation = sqrt(3.25 / 6 - mean * mean);
    assert_close(q->deliveries[0].kg, 100 * fmax(0, mean - 1.5 * deviation), 1e-9);
    assert_close(q->deliveries[1].kg, 100, 0);
    assert_int_equal(q->lines[0].pieces, 80 + 13);
    q = intake_careful(*state, &v.s.p, &v.luck, 0);
    assert_close(q->uses[0].parts[0].share, 0.8, 1e-12);
    assert_close(q->deliveries[0].kg, 100 * mean, 1e-9);
    assert_int_equal(intake_check(q).code, CODE_OK);
    q = intake_careful(*state, &v.s.p, &v.luck, 100);
    assert_close(q->uses[0].parts[0].share, INTAKE_CARE_LEAST * 0.8, 1e-12);
    assert_close(q->deliveries[0].kg, 0, 0);
}

/* Counted on for a half, really all: 160 kg give 160 packs, 80 of them wanted. 50 have room. */
static void what_is_expected_of_a_careful_plan(void **state)
{
    struct vendor v;
    vendor_init(&v, 20);
    small_init(&v.s, 2);
    v.s.need.hours_per_kg = 0;
    v.s.offer = (struct intake_offer){.kg_a_day = 1000, .kg_in_all = INFINITY, .price_per_kg = 1};
    v.s.lines[0] = (struct plan_line){.key = "1", .pieces = 80, .shortage_cost_per_kg = 20};
    v.s.p.offer_count = v.s.p.line_count = 1;
    v.s.limit[0] = 50;
    struct small half = v.s;
    struct intake_part part = {1, 0.5};
    struct intake_use use = v.s.use;
    use.parts = &part;
    half.p = v.s.p;
    half.p.uses = &use;
    struct intake_plan *careful = intake_construct(*state, intake_frame_make(*state, &half.p));
    assert_close(careful->buy_kg[0], 160, 1e-6);
    struct intake_plan *plan = intake_expected(*state, &v.s.p, careful);
    intake_feasible(&v.s.p, plan->f, plan);
    assert_int_equal(intake_met_pieces(*state, plan)[0], 80);
    assert_close(plan->out_kg[intake_node(plan->f, 1, 0) * 2], 30, 1e-6);
}

/* On made-up halls a plan with care is one of the hall, and costs no more than the one without. */
static void a_hall_is_no_dearer_with_care(void **state)
{
    static const struct intake_came seen[6] = {{0.8, 0},  {1, 0},    {1, 1},
                                               {0.95, 0}, {1.05, 0}, {0, 0}};
    for (uint64_t seed = 1; seed <= 4; seed++) {
        struct hall *h = ARENA_NEW(*state, struct hall);
        struct intake_outcome x;
        struct intake_care care;
        hall_init(h, seed);
        struct intake_luck_use *uses = ARENA_ARRAY(*state, struct intake_luck_use, 16);
        struct intake_came_list *came = ARENA_ARRAY(*state, struct intake_came_list, 32);
        for (int i = 0; i < h->p.delivery_count; i++)
            came[i] = (struct intake_came_list){seen, 6};
        struct intake_luck luck = {.uses = uses, .came = came, .seed = 1, .future_count = 60};
        assert_int_equal(intake_make_careful(*state, &h->p, &luck, 0, NULL, &x, &care).code,
                         CODE_OK);
        intake_feasible(&h->p, x.frame, x.plan);
        assert_true(care.chance.cost.mean <= care.told.cost.mean);
        assert_close(x.cost, intake_cost(*state, x.plan), 1e-6);
        for (int i = 0, at = 0; i < h->p.line_count; i++) {
            if (x.met_pieces[i] >= h->p.lines[i].pieces) continue;
            assert_int_equal(x.shorts[at].line, i);
            assert_int_equal(x.shorts[at++].pieces, h->p.lines[i].pieces - x.met_pieces[i]);
        }
        arena_clear(*state);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_level_is_the_cheapest_of_a_newsvendor),
        EACH(a_careful_plan_saves_what_it_says),
        EACH(a_share_that_is_asked_for_is_met_with_the_least_care),
        EACH(a_level_that_falls_short_on_all_futures_is_left),
        EACH(a_low_share_takes_no_care_away),
        EACH(where_no_care_is_enough_most_is_met),
        EACH(what_is_certain_needs_no_care),
        EACH(a_level_counts_on_so_many_deviations_less),
        EACH(what_is_expected_of_a_careful_plan),
        EACH(a_hall_is_no_dearer_with_care),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
