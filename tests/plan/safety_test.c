#include "instance.h"
#include "plan/safety.h"
#include "support.h"

/* Six chambers, two weeks of forecasts of 60 to 90 pieces that miss by 30. */
struct scene {
    struct handmade h;
    struct chance_crop crop;
    struct chance_model model;
    struct safety_wish wish;
};

static void scene_init(struct scene *s)
{
    *s = (struct scene){.crop = {.yield_mean = 1.1, .yield_relative = 0.12}};
    handmade_init(&s->h);
    s->h.p.day_count = 14;
    s->h.p.chamber_count = 6;
    s->h.fills[0] = (struct plan_fill){5, 20};
    for (int d = 4; d < 14; d++) {
        handmade_want(&s->h, d, 60 + d % 4 * 10);
        s->h.lines[s->h.p.line_count - 1].key = d < 6 ? "order" : NULL;
        s->h.lines[s->h.p.line_count - 1].spread_pieces = d < 6 ? 0 : 30;
    }
    s->model = (struct chance_model){&s->crop, 0, 7, 400};
    s->wish = (struct safety_wish){.trial_futures = 100};
}

static void choose(struct arena *a, struct scene *s, struct safety_choice *out)
{
    struct result r = safety_plan(a, &s->h.p, &s->model, &s->wish, NULL, out);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
}

static void safety_is_told_to_the_search_as_a_problem(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.running[0] = (struct plan_running){"lot-r", 0, 0,    2,    100,   1, s.h.ready_day, NULL, 0,
                                           0,       0, NULL, NULL, false, 0};
    s.h.p.running_count = 1;
    /* a start of today is harvested on day 4; until then an order of 60 and what is made a forecast
     * here: day 3, 50 pieces, spread 24 */
    handmade_want(&s.h, 3, 50);
    s.h.lines[10].key = NULL;
    s.h.lines[10].spread_pieces = 24;
    double level[1] = {2};
    struct safety safety = {level};
    const struct plan_problem *q = safety_problem(*state, &s.h.p, &s.model, &safety);
    assert_int_equal(plan_problem_check(q).code, CODE_OK);
    assert_close(q->crops[0].ways[0].packed_kg_per_seed_kg, 5 * 1.1, 1e-12);
    assert_close(q->running[0].packed_kg, 110, 1e-12);
    assert_close(s.h.ways[0].packed_kg_per_seed_kg, 5, 0);
    assert_int_equal(s.h.p.line_count, 11);
    assert_int_equal(q->line_count, 12 + 9);
    for (int i = 0; i < 11; i++)
        assert_memory_equal(&q->lines[i], &s.h.p.lines[i], sizeof q->lines[i]);
    /* twice the root of 24 squared and (0.12 * 110) squared: 54.8 pieces of 1 kg */
    assert_null(q->lines[11].key);
    assert_int_equal(q->lines[11].day, 4);
    assert_int_equal(q->lines[11].pieces, 55);
    assert_close(q->lines[11].shortage_cost_per_kg, 5, 1e-12);
    /* until the last day: all spreads, and all that is wanted in batches of full chambers, 110 kg
     */
    int64_t pieces = 0;
    for (int i = 11; i < q->line_count; i++) {
        assert_int_equal(q->lines[i].day, i - 7);
        assert_true(q->lines[i].pieces > 0);
        pieces += q->lines[i].pieces;
    }
    double wanted = 0, spread = 24 * 24;
    for (int i = 0; i < 11; i++) {
        wanted += (double)s.h.lines[i].pieces;
        spread += i < 10 ? s.h.lines[i].spread_pieces * s.h.lines[i].spread_pieces : 0;
    }
    double batches = floor(wanted / 110), rest = wanted - 110 * batches;
    double deviation = sqrt(spread + 0.0144 * (110 * 110 * batches + rest * rest));
    assert_true(fabs((double)pieces - 2 * deviation) < 6); /* each line is rounded */
    level[0] = 0;
    assert_int_equal(safety_problem(*state, &s.h.p, &s.model, &safety)->line_count, 11);
}

static void dear_shortage_asks_for_more_and_dear_waste_for_less(void **state)
{
    struct scene s;
    struct safety_choice dear, cheap;
    scene_init(&s);
    for (int i = 0; i < s.h.p.line_count; i++)
        s.h.lines[i].shortage_cost_per_kg = 40;
    choose(*state, &s, &dear);
    scene_init(&s);
    for (int i = 0; i < s.h.p.line_count; i++)
        s.h.lines[i].shortage_cost_per_kg = 2;
    s.h.crop.waste_cost_per_kg = 4;
    choose(*state, &s, &cheap);
    assert_true(dear.safety.level[0] > cheap.safety.level[0]);
    assert_true(dear.outcome.start_count >= cheap.outcome.start_count);
}

static void a_service_level_asks_for_no_more_than_it_takes(void **state)
{
    struct scene s;
    struct safety levels;
    struct cover_score cheapest, enough, most;
    scene_init(&s);
    for (int d = 1; d < 4; d++)
        handmade_want(&s.h, d, 70);
    for (int i = 0; i < s.h.p.line_count; i++) {
        s.h.lines[i].key = NULL;
        s.h.lines[i].spread_pieces = 30;
        s.h.lines[i].shortage_cost_per_kg = 1;
    }
    s.h.crop.waste_cost_per_kg = 4;
    assert_int_equal(safety_levels(*state, &s.h.p, &s.model, &s.wish, &levels, &cheapest).code,
                     CODE_OK);
    s.wish.service = 0.97;
    assert_int_equal(safety_levels(*state, &s.h.p, &s.model, &s.wish, &levels, &enough).code,
                     CODE_OK);
    /* more than can be had: the most that was found */
    s.wish.service = 1;
    s.crop.barred = 1;
    s.crop.passed = 9;
    assert_int_equal(safety_levels(*state, &s.h.p, &s.model, &s.wish, &levels, &most).code,
                     CODE_OK);
    assert_true(cheapest.service < 0.97);
    assert_true(enough.service >= 0.97);
    assert_true(enough.cost_per_kg >= cheapest.cost_per_kg);
    assert_true(most.service > cheapest.service);
    assert_true(most.service < 1);
    assert_true(levels.level[0] > 2);
}

static void a_wish_that_is_none_is_refused(void **state)
{
    struct scene s;
    struct safety_choice x;
    scene_init(&s);
    s.wish.service = 1.5;
    assert_int_equal(safety_plan(*state, &s.h.p, &s.model, &s.wish, NULL, &x).code,
                     CODE_PLAN_FIELD);
    s.wish = (struct safety_wish){.trial_futures = 0};
    assert_int_equal(safety_plan(*state, &s.h.p, &s.model, &s.wish, NULL, &x).code,
                     CODE_PLAN_FIELD);
}

static void what_serves_a_cover_is_nobodys(void **state)
{
    struct scene s;
    struct safety_choice x;
    scene_init(&s);
    s.h.p.chamber_count = 1; /* so that much is short */
    choose(*state, &s, &x);
    assert_true(x.outcome.short_count > 0);
    for (int i = 0; i < x.outcome.sale_count; i++)
        assert_true(x.outcome.sales[i].line < s.h.p.line_count);
    for (int i = 0; i < x.outcome.short_count; i++)
        assert_true(x.outcome.shorts[i].line < s.h.p.line_count);
    for (int i = 0; i < x.outcome.purpose_count; i++)
        assert_true(x.outcome.purposes[i].line < s.h.p.line_count);
}

/* On every invented house the problem with safety is one, and the plan has its chances. */
static void any_house_can_be_planned_with_safety(void **state)
{
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct plan_problem *p = instance_make(*state, seed, &instance_small);
        struct chance_crop crops[2] = {
            {.yield_mean = 1.05, .yield_relative = 0.1, .barred = 1, .passed = 50},
            {.yield_mean = 1.1, .yield_relative = 0.2, .mean_relative = 0.05}};
        struct chance_model model = {crops, 0.2, seed, 50};
        struct safety_wish wish = {.trial_futures = 20};
        struct safety_choice x;
        assert_int_equal(safety_plan(*state, p, &model, &wish, NULL, &x).code, CODE_OK);
        for (int k = 0; k < 2; k++)
            assert_true(x.safety.level[k] >= 0 && x.safety.level[k] <= SAFETY_LEVEL_MAX);
        for (int i = 0; i < p->line_count; i++)
            assert_true(x.chance.lines[i].met >= 0 && x.chance.lines[i].met <= 1 &&
                        x.chance.lines[i].share <= 1 + 1e-9);
    }
}

static void a_crop_nobody_wants_needs_no_cover(void **state)
{
    struct scene s;
    struct safety_choice x;
    scene_init(&s);
    s.h.p.line_count = 0;
    choose(*state, &s, &x);
    assert_close(x.safety.level[0], 0, 0);
    assert_int_equal(x.outcome.start_count, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(safety_is_told_to_the_search_as_a_problem),
        EACH(dear_shortage_asks_for_more_and_dear_waste_for_less),
        EACH(a_service_level_asks_for_no_more_than_it_takes),
        EACH(a_wish_that_is_none_is_refused),
        EACH(what_serves_a_cover_is_nobodys),
        EACH(any_house_can_be_planned_with_safety),
        EACH(a_crop_nobody_wants_needs_no_cover),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
