/* Chances of a plan of fruit against what can be counted by hand. Bounds are four standard errors
 * of the drawn share unless said otherwise: one run in sixteen thousand would miss them, and the
 * seed is fixed. */
#include "plan/intake_chance.h"

#include <math.h>

#include "intake_support.h"
#include "plan/intake_construct.h"
#include "support.h"

enum { FUTURES = 4000 };

struct luck {
    struct intake_luck luck;
    struct intake_luck_use use;
    struct intake_came_list came[8];
};

static void luck_init(struct luck *l)
{
    *l = (struct luck){.luck = {.seed = 5, .future_count = FUTURES}};
    l->luck.uses = &l->use;
    l->luck.came = l->came;
}

/* One delivery a day, each packed on the day for a line. */
static const struct intake_plan *two_days(struct arena *a, struct small *s)
{
    small_init(s, 3);
    s->part.share = 1;
    s->need.hours_per_kg = 0;
    for (int i = 0; i < 2; i++) {
        s->deliveries[i] = (struct intake_delivery){.key = "f", .good = 0, .day = i, .kg = 100};
        s->lines[i] = (struct plan_line){
            .key = i == 0 ? "1" : "2", .day = i, .pieces = 80, .shortage_cost_per_kg = 2};
    }
    s->p.delivery_count = s->p.line_count = 2;
    const struct intake_plan *plan = intake_construct(a, intake_frame_make(a, &s->p));
    int64_t *met = intake_met_pieces(a, plan);
    assert_int_equal(met[0], 80);
    assert_int_equal(met[1], 80);
    return plan;
}

static double error_of(double chance)
{
    return 4 * sqrt(chance * (1 - chance) / FUTURES);
}

static void without_luck_all_is_as_planned(void **state)
{
    struct small s;
    struct luck l;
    luck_init(&l);
    const struct intake_plan *plan = two_days(*state, &s);
    struct intake_chance x = intake_chance_of(*state, plan, &l.luck);
    assert_close(x.lines[0].met, 1, 0);
    assert_close(x.lines[1].share, 1, 0);
    assert_close(x.days[2].met, 1, 0); /* nothing is wanted */
    assert_close(x.short_kg.mean, 0, 1e-9);
    assert_close(x.wanted_kg.mean, 160, 1e-9);
    assert_close(x.cost.mean, intake_cost(*state, plan), 1e-9);
}

/* Of ten deliveries due one did not come, two brought half and one came a day late. Day 0 is met
 * in 6 of 10. On day 1 comes enough in 6 of 10, else with what came late of day 0 (1 in 10), for of
 * day 0 are left 20 kg at most: 0.6 + 0.4 * 0.1 = 0.64. computed here, by counting all pairs */
static void deliveries_come_as_they_did(void **state)
{
    static const struct intake_came seen[10] = {{0, 0}, {0.5, 0}, {0.5, 0}, {1, 1}, {1, 0},
                                                {1, 0}, {1, 0},   {1, 0},   {1, 0}, {1, 0}};
    struct small s;
    struct luck l;
    luck_init(&l);
    const struct intake_plan *plan = two_days(*state, &s);
    l.came[0] = l.came[1] = (struct intake_came_list){seen, 10};
    double chance[2] = {0, 0};
    for (int i = 0; i < 10; i++)
        for (int k = 0; k < 10; k++) {
            double first = seen[i].late_days == 0 ? 100 * seen[i].share : 0;
            double left = fmax(0, first - 80);
            double second = left + (seen[i].late_days == 1 ? 100 * seen[i].share : 0) +
                            (seen[k].late_days == 0 ? 100 * seen[k].share : 0);
            chance[0] += (first >= 80) / 100.0;
            chance[1] += (second >= 80) / 100.0;
        }
    struct intake_chance x = intake_chance_of(*state, plan, &l.luck);
    assert_close(chance[0], 0.6, 1e-9);
    assert_close(chance[1], 0.64, 1e-9);
    assert_close(x.lines[0].met, chance[0], error_of(chance[0]));
    assert_close(x.lines[1].met, chance[1], error_of(chance[1]));
    assert_close(x.days[0].met, x.lines[0].met, 0);
    assert_close(x.lines[0].share, 0.6 + 0.2 * 50 / 80, 0.03); /* 4 errors of a share */
}

/* Too few to tell: as agreed. */
static void few_deliveries_tell_nothing(void **state)
{
    static const struct intake_came seen[4] = {{0, 0}, {0, 0}, {0, 0}, {0, 0}};
    struct small s;
    struct luck l;
    luck_init(&l);
    const struct intake_plan *plan = two_days(*state, &s);
    l.came[0] = (struct intake_came_list){seen, 4};
    assert_close(intake_chance_of(*state, plan, &l.luck).lines[0].met, 1, 0);
}

/* A use that gives what is sold takes more where it gives less, as long as there is fruit: 80
 * packs of 100 kg are met where a day gives 0.8 or more. Its shares are a beta distribution, of
 * which the share above 0.8 is counted from its density. */
static void packs_are_met_as_far_as_fruit_goes(void **state)
{
    const double taken[6] = {100, 100, 100, 100, 100, 100}, given[6] = {67, 77, 72, 82, 62, 78};
    struct small s;
    struct luck l;
    luck_init(&l);
    const struct intake_plan *plan = two_days(*state, &s);
    l.use = intake_luck_learn(*state, &s.use, taken, given, 6);
    l.use.mean_precision = INFINITY; /* the mean for certain, so that it can be counted */
    double alpha = l.use.expected[0] * l.use.precision, beta = l.use.precision - alpha;
    double above = 0, all = 0;
    for (int i = 0; i < 100000; i++) {
        double at = (i + 0.5) / 100000;
        double density = exp((alpha - 1) * log(at) + (beta - 1) * log1p(-at));
        all += density;
        above += at >= 0.8 ? density : 0;
    }
    double chance = above / all;
    assert_true(chance > 0.4 && chance < 0.8);
    struct intake_chance x = intake_chance_of(*state, plan, &l.luck);
    assert_close(x.lines[0].met, chance, error_of(chance));
}

/* A room of 20 kg in the evening. Day 0 brings 100 kg, or 130 in half the futures, and 80 are sold:
 * what is more than 20 then leaves, 30 kg at 0.5. computed here */
static void what_has_no_room_is_lost(void **state)
{
    static const struct intake_came seen[6] = {{1, 0},   {1, 0},   {1, 0},
                                               {1.3, 0}, {1.3, 0}, {1.3, 0}};
    struct small s;
    struct luck l;
    luck_init(&l);
    const struct intake_plan *plan = two_days(*state, &s);
    double old = intake_chance_of(*state, plan, &l.luck).left_kg.mean; /* past its life */
    l.came[0] = (struct intake_came_list){seen, 6};
    for (int d = 0; d < 3; d++)
        s.limit[d] = 20 + d * 100;
    s.goods[0].out_cost_per_kg = s.goods[1].out_cost_per_kg = 0.5;
    struct intake_chance x = intake_chance_of(*state, plan, &l.luck);
    assert_close(x.no_room_kg.mean, 15, 4 * x.no_room_kg.error);
    assert_true(x.no_room_kg.error > 0.1 && x.no_room_kg.error < 0.5);
    assert_close(x.left_kg.mean - x.no_room_kg.mean, old, 1e-6);
    double sum = 0;
    for (int i = 0; i < FUTURES; i++)
        sum += x.costs[i];
    assert_close(sum / FUTURES, x.cost.mean, 1e-9);
    /* what comes costs nothing here, and holding it neither */
    assert_close(x.cost.mean, 0.5 * x.left_kg.mean, 1e-6);
}

/* A forecast of 80 pieces and none booked: it is met where no more than 80 come. */
static void a_forecast_is_met_where_it_comes_to_no_more(void **state)
{
    struct small s;
    struct luck l;
    luck_init(&l);
    small_init(&s, 3);
    s.part.share = 1;
    s.need.hours_per_kg = 0;
    s.deliveries[0] = (struct intake_delivery){.key = "f", .good = 0, .day = 0, .kg = 80};
    s.lines[0] = (struct plan_line){
        .day = 0, .pieces = 80, .spread_pieces = 4, .shortage_cost_per_kg = 2}; /* a Poisson */
    s.p.delivery_count = s.p.line_count = 1;
    const struct intake_plan *plan = intake_construct(*state, intake_frame_make(*state, &s.p));
    double chance = 0, part = exp(-80.0);
    for (int k = 0; k <= 80; k++) {
        chance += part;
        part *= 80.0 / (k + 1);
    }
    struct intake_chance x = intake_chance_of(*state, plan, &l.luck);
    assert_close(x.lines[0].met, chance, error_of(chance));
    assert_close(x.wanted_kg.mean, 80, 4 * x.wanted_kg.error);
}

static void the_same_seed_gives_the_same_futures(void **state)
{
    static const struct intake_came seen[5] = {{0, 0}, {0.7, 1}, {1, 0}, {1.1, 0}, {0.9, 2}};
    struct small s;
    struct luck l;
    luck_init(&l);
    const struct intake_plan *plan = two_days(*state, &s);
    l.came[0] = l.came[1] = (struct intake_came_list){seen, 5};
    struct intake_chance one = intake_chance_of(*state, plan, &l.luck),
                         two = intake_chance_of(*state, plan, &l.luck);
    assert_close(one.lines[1].met, two.lines[1].met, 0);
    assert_close(one.short_kg.mean, two.short_kg.mean, 0);
}

/* On made-up halls no chance is more than certain, and a plan met by nothing but luck is not. */
static void a_hall_has_chances(void **state)
{
    static const struct intake_came seen[6] = {{0.8, 0},  {1, 0},    {1, 1},
                                               {0.95, 0}, {1.05, 0}, {0, 0}};
    struct hall *h = ARENA_NEW(*state, struct hall);
    hall_init(h, 11);
    const struct intake_plan *plan = intake_construct(*state, intake_frame_make(*state, &h->p));
    struct intake_luck_use *uses = ARENA_ARRAY(*state, struct intake_luck_use, 16);
    struct intake_came_list *came = ARENA_ARRAY(*state, struct intake_came_list, 32);
    for (int i = 0; i < h->p.delivery_count; i++)
        came[i] = (struct intake_came_list){seen, 6};
    struct intake_luck luck = {.uses = uses, .came = came, .seed = 1, .future_count = 100};
    struct intake_chance x = intake_chance_of(*state, plan, &luck);
    int64_t *met = intake_met_pieces(*state, plan);
    double sum = 0, planned = 0;
    for (int i = 0; i < h->p.line_count; i++) {
        assert_true(x.lines[i].met >= 0 && x.lines[i].met <= 1);
        assert_true(x.lines[i].share >= x.lines[i].met - 1e-9);
        sum += x.lines[i].share * (double)h->p.lines[i].pieces;
        planned += (double)met[i];
    }
    assert_true(sum > 0.3 * planned);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(without_luck_all_is_as_planned),
        EACH(deliveries_come_as_they_did),
        EACH(few_deliveries_tell_nothing),
        EACH(packs_are_met_as_far_as_fruit_goes),
        EACH(what_has_no_room_is_lost),
        EACH(a_forecast_is_met_where_it_comes_to_no_more),
        EACH(the_same_seed_gives_the_same_futures),
        EACH(a_hall_has_chances),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
