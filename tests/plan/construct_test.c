#include "base/random.h"
#include "feasible.h"
#include "instance.h"
#include "plan/construct.h"
#include "support.h"

static void whole_chambers_for_what_is_due_first(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 150);
    handmade_want(&h, 7, 40);
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    feasible_check(&h.p, &x);
    /* two chambers harvested on day 6: the second is filled further for day 7 rather than a third
     * begun */
    assert_int_equal(x.start_count, 2);
    assert_int_equal(x.starts[0].day, 2);
    assert_int_equal(x.starts[1].day, 2);
    assert_close(x.starts[0].packed_kg + x.starts[1].packed_kg, 190, 1e-6);
    assert_int_equal(x.short_count, 0);
}

static void what_is_there_is_used_first(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 5, 80);
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 0, 0,    4,    100,   1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.start_count, 0);
    assert_int_equal(x.short_count, 0);
}

static void the_dearer_shortage_is_served(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 1;
    h.product.life_days = 1;
    handmade_want(&h, 6, 100);
    handmade_want(&h, 6, 100);
    h.lines[0].shortage_cost_per_kg = 5;
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.met_pieces[0], 0);
    assert_int_equal(x.met_pieces[1], 100);
}

static void nothing_is_begun_at_a_loss(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 2);
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.start_count, 0);
    assert_close(x.improvement.cost, 20, 1e-9);
}

static void taken_starts_are_kept(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.change_cost = 25;
    h.p.taken_count = 2;
    h.taken[0] = (struct plan_taken){3, 1, 0, 0, 15, PLAN_NONE};
    h.taken[1] = (struct plan_taken){0, 0, 0, 0, 15, PLAN_NONE};
    h.p.frozen_days = 1;
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    feasible_check(&h.p, &x);
    assert_int_equal(x.start_count, 2);
    assert_true(x.starts[0].is_fixed);
    assert_close(x.starts[0].seed_kg, 15, 1e-9);
    assert_int_equal(x.starts[1].taken, 0);
    assert_int_equal(x.starts[1].chamber, 1);
}

/* Fills of nothing, limits of nothing: it ends, and starts nothing. */
static void no_limit_makes_it_run_for_ever(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.fills[0].seed_min_kg = 0;
    handmade_want(&h, 6, 50);
    for (int d = 0; d < 10; d++)
        h.days[d].treat_seed_kg = 0;
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.start_count, 0);
    assert_int_equal(x.shorts[0].limit, PLAN_LIMIT_TREATMENT);
}

static void hundreds_of_instances_hold(void **state)
{
    struct random r;
    random_seed(&r, 77);
    int starts = 0;
    for (int i = 0; i < 300; i++) {
        struct instance_size size = instance_small;
        size.days = 5 + (int)random_below(&r, 25);
        size.crops = 1 + (int)random_below(&r, 3);
        size.chambers = 3 + (int)random_below(&r, 20);
        size.lots = size.crops + (int)random_below(&r, 8);
        size.outages = random_below(&r, 2);
        size.laboratory = random_below(&r, 2);
        size.day_limits = random_below(&r, 2);
        size.dishes = i % 3 == 0;
        const struct plan_problem *p = instance_make(*state, random_u64(&r), &size);
        struct plan_outcome x;
        plan_of(*state, p, NULL, &x);
        feasible_check(p, &x);
        assert_close(x.improvement.cost, feasible_cost(p, &x), 1e-6);
        starts += x.start_count;
        arena_clear(*state);
    }
    assert_true(starts > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(whole_chambers_for_what_is_due_first),
        EACH(what_is_there_is_used_first),
        EACH(the_dearer_shortage_is_served),
        EACH(nothing_is_begun_at_a_loss),
        EACH(taken_starts_are_kept),
        EACH(no_limit_makes_it_run_for_ever),
        EACH(hundreds_of_instances_hold),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_construct", tests, NULL, NULL);
}
