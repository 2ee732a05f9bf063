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
}

static void choose(struct arena *a, struct scene *s, struct safety_choice *out)
{
    struct result r = safety_choose(a, &s->h.p, &s->model, &s->wish, NULL, out);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
}

static void safety_is_told_to_the_search_as_a_problem(void **state)
{
    struct scene s;
    scene_init(&s);
    s.h.running[0] = (struct plan_running){"lot-r", 0, 0, 2, 100, 1, s.h.ready_day};
    s.h.p.running_count = 1;
    const double buffer[1] = {1};
    struct safety safety = {0.5, buffer};
    const struct plan_problem *q = safety_problem(*state, &s.h.p, &s.model, &safety);
    assert_int_equal(plan_problem_check(q).code, CODE_OK);
    /* 1.1 * (1 - 0.5 * 0.12) */
    assert_close(q->crops[0].ways[0].packed_kg_per_seed_kg, 5 * 1.034, 1e-12);
    assert_close(q->running[0].packed_kg, 103.4, 1e-12);
    assert_close(s.h.ways[0].packed_kg_per_seed_kg, 5, 0);
    /* two orders without, eight forecasts with a buffer behind them */
    assert_int_equal(s.h.p.line_count, 10);
    assert_int_equal(q->line_count, 18);
    for (int i = 0; i < 10; i++)
        assert_memory_equal(&q->lines[i], &s.h.p.lines[i], sizeof q->lines[i]);
    for (int i = 10; i < 18; i++) {
        assert_null(q->lines[i].key);
        assert_int_equal(q->lines[i].day, i - 4);
        assert_int_equal(q->lines[i].pieces, 30);
        /* half a deviation is exceeded in 0.3085 of cases: standard normal table, from memory */
        assert_close(q->lines[i].shortage_cost_per_kg, 10 * 0.3085, 5e-4);
    }
    const double none[1] = {0};
    safety = (struct safety){0, none};
    assert_int_equal(safety_problem(*state, &s.h.p, &s.model, &safety)->line_count, 10);
}

/* Scored on the futures it was chosen by, no level tried costs less. */
static void the_cheapest_level_is_chosen(void **state)
{
    struct scene s;
    struct safety_choice best;
    scene_init(&s);
    choose(*state, &s, &best);
    assert_true(best.trial_count >= 21);
    for (int k = 0; k <= 4; k++)
        for (int b = 0; b <= 4; b++) {
            const double buffer[1] = {b * 0.5};
            struct safety safety = {k * 0.5, buffer};
            if (safety.caution > 1) continue;
            struct plan_outcome plan;
            struct chance chance;
            plan_of(*state, safety_problem(*state, &s.h.p, &s.model, &safety), NULL, &plan);
            assert_int_equal(
                chance_of(*state, &s.h.p, plan.starts, plan.start_count, &s.model, &chance).code,
                CODE_OK);
            assert_true(chance.cost.mean >= best.chance.cost.mean - 1e-9);
        }
    /* a short kg costs ten times what a kg too many does: more than the forecast is planned */
    assert_true(best.safety.buffer[0] > 0);
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
    assert_true(dear.chance.waste_kg.mean > cheap.chance.waste_kg.mean);
    assert_true(dear.chance.short_kg.mean < cheap.chance.short_kg.mean);
}

static void a_service_level_is_met_as_cheaply_as_it_can_be(void **state)
{
    struct scene s;
    struct safety_choice free_, most;
    scene_init(&s);
    for (int i = 0; i < s.h.p.line_count; i++)
        s.h.lines[i].shortage_cost_per_kg = 2;
    choose(*state, &s, &free_);
    double reached = free_.chance.met_kg.mean / free_.chance.wanted_kg.mean;
    s.wish.service = 0.97;
    choose(*state, &s, &most);
    assert_true(reached < 0.97);
    assert_true(most.chance.met_kg.mean / most.chance.wanted_kg.mean >= 0.97);
    assert_true(most.chance.cost.mean >= free_.chance.cost.mean);
    /* more than can be had: the most that was found */
    s.wish.service = 1;
    choose(*state, &s, &free_);
    assert_true(free_.chance.met_kg.mean >= most.chance.met_kg.mean - 1e-9);
    s.wish.service = 1.5;
    assert_int_equal(safety_choose(*state, &s.h.p, &s.model, &s.wish, NULL, &free_).code,
                     CODE_PLAN_FIELD);
}

static void what_serves_a_buffer_is_nobodys(void **state)
{
    struct scene s;
    struct safety_choice x;
    scene_init(&s);
    choose(*state, &s, &x);
    for (int i = 0; i < x.outcome.sale_count; i++)
        assert_true(x.outcome.sales[i].line < s.h.p.line_count);
    for (int i = 0; i < x.outcome.short_count; i++)
        assert_true(x.outcome.shorts[i].line < s.h.p.line_count);
    for (int i = 0; i < x.outcome.purpose_count; i++)
        assert_true(x.outcome.purposes[i].line < s.h.p.line_count);
}

/* Two products of one crop, one certain, one wild: only the wild one needs a buffer. */
static void each_product_has_its_own_buffer(void **state)
{
    struct scene s;
    struct safety_choice x;
    scene_init(&s);
    struct plan_product products[2] = {s.h.product, s.h.product};
    products[1].code = "other";
    s.h.p.products = products;
    s.h.p.product_count = 2;
    for (int i = 0; i < s.h.p.line_count; i++)
        if (s.h.lines[i].day % 2) {
            s.h.lines[i].product = 1;
            s.h.lines[i].spread_pieces = 0;
        }
    choose(*state, &s, &x);
    assert_true(x.safety.buffer[0] > 0);
    for (int i = 0; i < s.h.p.line_count; i++)
        assert_in_range((int)(x.chance.lines[i].share * 1000), 0, 1000);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(safety_is_told_to_the_search_as_a_problem),
        EACH(the_cheapest_level_is_chosen),
        EACH(dear_shortage_asks_for_more_and_dear_waste_for_less),
        EACH(a_service_level_is_met_as_cheaply_as_it_can_be),
        EACH(what_serves_a_buffer_is_nobodys),
        EACH(each_product_has_its_own_buffer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
