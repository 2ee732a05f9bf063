#include "feasible.h"
#include "instance.h"
#include "support.h"

/* One seed, made at once and solved: both hold, cost what they say, and the solved one costs no
 * more. */
static void instance_holds(struct arena *a, uint64_t seed, const struct instance_size *size,
                           struct improve_options options)
{
    const struct plan_problem *p = instance_make(a, seed, size);
    struct plan_outcome at_once, solved;
    plan_of(a, p, NULL, &at_once);
    feasible_check(p, &at_once);
    assert_close(at_once.improvement.cost, feasible_cost(p, &at_once), 1e-6);
    plan_of(a, p, &options, &solved);
    if (solved.improvement.solver.code != CODE_OK)
        fail_msg("seed %d: %s", (int)seed, result_sentence(a, &solved.improvement.solver));
    feasible_check(p, &solved);
    assert_close(solved.improvement.cost, feasible_cost(p, &solved), 1e-6);
    assert_true(solved.improvement.cost <= at_once.improvement.cost + 1e-6);
}

static void plans_hold_on_many_instances(void **state)
{
    struct instance_size size = instance_small;
    size.days = 11;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        instance_holds(*state, seed, &size, solving(6, 0.02));
        arena_clear(*state);
    }
}

static void plans_hold_with_the_search_alone(void **state)
{
    struct improve_options options = {.solver = {.seconds = 60}, .seed = 1, .moves = 20000};
    for (uint64_t seed = 30; seed <= 41; seed++) {
        instance_holds(*state, seed, &instance_small, options);
        arena_clear(*state);
    }
}

/* Lots that grow are harvested as the plan chooses, by the search alone and with the solver. */
static void plans_hold_where_running_lots_have_other_days(void **state)
{
    struct improve_options alone = {.solver = {.seconds = 60}, .seed = 1, .moves = 20000};
    int off = 0;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        instance_holds(*state, seed, &instance_choices, seed % 2 ? solving(6, 0.02) : alone);
        arena_clear(*state);
    }
    for (uint64_t seed = 1; seed <= 12; seed++) {
        const struct plan_problem *p = instance_make(*state, seed, &instance_choices);
        struct plan_outcome x;
        plan_of(*state, p, &alone, &x);
        for (int i = 0; i < p->running_count; i++)
            off += x.improvement.plan->choices[i] != p->running[i].told;
        arena_clear(*state);
    }
    assert_true(off >= 6);
}

static void plans_of_dishes_hold(void **state)
{
    struct instance_size size = instance_dishes;
    struct improve_options alone = {.solver = {.seconds = 60}, .seed = 1, .moves = 10000};
    size.days = 11;
    for (uint64_t seed = 50; seed <= 55; seed++) {
        instance_holds(*state, seed, &size, seed % 2 ? solving(6, 0.02) : alone);
        arena_clear(*state);
    }
}

/* Lines on a day when nothing leaves go the next day where they are taken late, else not at all. */
static void plans_hold_where_the_house_is_closed(void **state)
{
    struct instance_size size = instance_small;
    size.shut = true;
    struct improve_options options = {.solver = {.seconds = 60}, .seed = 1, .moves = 20000};
    int late = 0;
    for (uint64_t seed = 60; seed < 66; seed++) {
        instance_holds(*state, seed, &size, options);
        arena_clear(*state);
    }
    size.days = 11;
    for (uint64_t seed = 66; seed < 70; seed++) {
        instance_holds(*state, seed, &size, solving(6, 0.02));
        arena_clear(*state);
    }
    for (uint64_t seed = 60; seed < 70; seed++) {
        const struct plan_problem *p = instance_make(*state, seed, &size);
        struct plan_outcome x;
        plan_of(*state, p, NULL, &x);
        for (int i = 0; i < p->line_count; i++) {
            if (x.met_pieces[i] == 0 || p->lines[i].day != 4) continue;
            assert_true(x.met_days[i] > 4);
            late++;
        }
        arena_clear(*state);
    }
    assert_true(late > 0);
}

static void without_a_solver_there_still_is_a_plan(void **state)
{
    const struct plan_problem *p = instance_make(*state, 7, &instance_small);
    struct improve_options options = solving(2, 0);
    options.solver.path = "/nonexistent/plumule-solve";
    struct plan_outcome x;
    plan_of(*state, p, &options, &x);
    assert_int_equal(x.improvement.solver.code, CODE_SOLVER_START);
    assert_false(x.improvement.has_bound);
    assert_true(x.start_count > 0);
    feasible_check(p, &x);
}

static void a_wrong_problem_is_refused(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.cleaning_days = 0;
    struct plan_outcome x;
    struct result r = plan_make(*state, &h.p, NULL, &x);
    assert_int_equal(r.code, CODE_PLAN_FIELD);
    assert_string_equal(r.field, "cleaning_days");
}

/* Mistyped by a dozen zeros: still a plan that takes no more than there is. (The independent
 * checker tells tenths of a gram, which such numbers no longer hold.) */
static void absurd_amounts_are_no_crash(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 0, 0,    2,    1e15,  1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    handmade_want(&h, 6, 1000000000000000);
    h.lots[0].kg = 1e14;
    h.fills[0].seed_max_kg = 1e13;
    h.crop.end_kg_wanted = 1e16;
    h.crop.end_value_per_kg = 1e-3;
    for (int solver = 0; solver < 2; solver++) {
        struct improve_options options = solving(2, 0);
        if (!solver) options = (struct improve_options){.solver = {.seconds = 60}, .moves = 2000};
        struct plan_outcome x;
        plan_of(*state, &h.p, &options, &x);
        const struct plan *plan = x.improvement.plan;
        assert_true(isfinite(x.improvement.cost));
        double *made = plan_node_kg(*state, plan), *used = plan_node_used_kg(*state, plan);
        double seed_kg = 0;
        for (int n = 0; n < x.frame->node_count; n++)
            assert_true(used[n] <= made[n] * (1 + 1e-9) + 1e-6);
        for (int i = 0; i < x.frame->fill_count; i++)
            seed_kg += plan->seed_kg[i];
        assert_true(seed_kg <= h.lots[0].kg * (1 + 1e-9));
    }
}

static void nothing_wanted_nothing_started(void **state)
{
    struct handmade h;
    handmade_init(&h);
    struct improve_options options = solving(5, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.start_count, 0);
    assert_close(x.improvement.cost, 0, 1e-9);
}

static void an_empty_house_has_an_empty_plan(void **state)
{
    struct handmade h;
    handmade_init(&h);
    struct plan_problem p = {.first_day = 20500,
                             .day_count = 10,
                             .cleaning_days = 1,
                             .markets = &h.market,
                             .market_count = 1,
                             .days = h.days};
    struct improve_options options = solving(5, 0);
    struct plan_outcome x;
    plan_of(*state, &p, &options, &x);
    assert_int_equal(x.improvement.solver.code, CODE_OK);
    assert_int_equal(x.start_count, 0);
    assert_int_equal(x.short_count, 0);
}

static void the_same_problem_gives_the_same_plan(void **state)
{
    struct instance_size size = instance_small;
    size.days = 9;
    const struct plan_problem *p = instance_make(*state, 11, &size);
    struct improve_options options = {.solver = {.seconds = 60}, .seed = 5, .moves = 30000};
    struct plan_outcome x, y;
    plan_of(*state, p, &options, &x);
    plan_of(*state, p, &options, &y);
    assert_int_equal(x.start_count, y.start_count);
    for (int i = 0; i < x.start_count; i++) {
        assert_int_equal(x.starts[i].day, y.starts[i].day);
        assert_int_equal(x.starts[i].chamber, y.starts[i].chamber);
        assert_close(x.starts[i].seed_kg, y.starts[i].seed_kg, 1e-9);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(plans_hold_on_many_instances),
        EACH(plans_hold_with_the_search_alone),
        EACH(plans_hold_where_running_lots_have_other_days),
        EACH(plans_of_dishes_hold),
        EACH(plans_hold_where_the_house_is_closed),
        EACH(without_a_solver_there_still_is_a_plan),
        EACH(a_wrong_problem_is_refused),
        EACH(nothing_wanted_nothing_started),
        EACH(an_empty_house_has_an_empty_plan),
        EACH(absurd_amounts_are_no_crash),
        EACH(the_same_problem_gives_the_same_plan),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_make", tests, NULL, NULL);
}
