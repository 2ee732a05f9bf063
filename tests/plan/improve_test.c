#include <pthread.h>
#include <time.h>

#include "feasible.h"
#include "instance.h"
#include "plan/construct.h"
#include "support.h"

struct tried {
    struct plan_frame *f;
    const struct plan *given;
    struct improvement x;
};

static struct tried try_on(struct arena *a, const struct plan_problem *p,
                           const struct improve_options *options)
{
    struct tried t;
    t.f = plan_frame_make(a, p);
    t.given = plan_construct(a, t.f);
    plan_improve(a, t.f, t.given, options, &t.x);
    return t;
}

static void it_gets_better_and_says_how_good_it_is(void **state)
{
    struct plan_problem *p = instance_make(*state, 2, &instance_plain);
    struct improve_options options = solving(10, 0);
    struct tried t = try_on(*state, p, &options);
    assert_int_equal(t.x.solver.code, CODE_OK);
    assert_true(t.x.has_bound);
    assert_true(t.x.bound <= t.x.cost + 1e-6);
    assert_close(t.x.gap, 0, 1e-6);
    assert_true(t.x.cost <= plan_cost(*state, t.given) + 1e-6);
    assert_close(t.x.cost, plan_cost(*state, t.x.plan), 1e-12);
}

/* Whatever the solver does, the search's plan stands, and it is told what was wrong. */
static void every_failure_leaves_the_search(void **state)
{
    struct plan_problem *p = instance_make(*state, 2, &instance_plain);
    struct improve_options options = solving(1, 0);
    options.solver.path = "/nonexistent/plumule-solve";
    struct tried t = try_on(*state, p, &options);
    assert_int_equal(t.x.solver.code, CODE_SOLVER_START);
    assert_true(t.x.cost <= plan_cost(*state, t.given));
    assert_false(t.x.has_bound);
    /* this one answers with a plan that is none, and with a bound that may be none either; a busy
     * machine may be long in starting it */
    options = solving(5, 0);
    options.solver.path = FAKE_PATH;
    t = try_on(*state, p, &options);
    assert_int_equal(t.x.solver.code, CODE_SOLVER_GARBLED);
    assert_true(!t.x.has_bound || t.x.bound <= t.x.cost + 1e-6);
    assert_true(t.x.cost <= plan_cost(*state, t.given));
    assert_close(t.x.cost, plan_cost(*state, t.x.plan), 1e-12);
    atomic_bool stop = true;
    options = solving(1, 0);
    options.solver.stop = &stop;
    t = try_on(*state, p, &options);
    assert_int_equal(t.x.solver.code, CODE_PLAN_STOPPED);
    assert_ptr_equal(t.x.plan, t.given);
}

/* It says that nothing below a million can be had, and there is a plan of some thousands. */
static void a_bound_that_cannot_be_is_not_believed(void **state)
{
    struct plan_problem *p = instance_make(*state, 2, &instance_plain);
    struct improve_options options = solving(2, 0);
    options.solver.path = FAKE_HIGH_PATH;
    struct tried t = try_on(*state, p, &options);
    assert_int_equal(t.x.solver.code, CODE_SOLVER_GARBLED);
    assert_string_equal(t.x.solver.value[0], "its bound lies above the cost of a plan");
    assert_false(t.x.has_bound);
    assert_true(t.x.moves > 1000); /* nor does it end the search */
    assert_true(t.x.cost < plan_cost(*state, t.given));
}

/* The search alone against the solver's optimum: there, where nothing ties crops together, and near
 * it where scarce seed does. */
static void the_search_comes_close_to_the_optimum(void **state)
{
    struct instance_size size = instance_plain;
    size.days = 16;
    int compared = 0;
    for (uint64_t seed = 100; seed < 108; seed++)
        for (int tied = 0; tied < 2; tied++) {
            struct plan_problem *p = instance_make(*state, seed, &size);
            struct plan_seed_lot lot = p->seed_lots[0];
            if (!tied) lot.kg = 1e5;
            p->seed_lots = &lot;
            struct improve_options whole = solving(20, 0);
            struct improve_options alone = {
                .solver = {.seconds = 60}, .seed = seed, .moves = 30000};
            struct tried t = try_on(*state, p, &whole), u = try_on(*state, p, &alone);
            assert_false(u.x.has_bound);
            assert_int_equal(u.x.moves, 30000);
            assert_true(u.x.cost >= t.x.bound - 1e-6 * fabs(t.x.bound));
            if (t.x.gap <= 1e-6) assert_close(u.x.cost, t.x.cost, tied ? 0.005 : 1e-6);
            compared += t.x.gap <= 1e-6;
            arena_clear(*state);
        }
    assert_true(compared >= 12);
}

struct heard {
    int count;
    double cost, bound, seconds;
    bool worse;
};

static void hear(void *self, const struct improve_progress *x)
{
    struct heard *h = self;
    if (h->count > 0 && (x->cost > h->cost + 1e-9 || x->seconds < h->seconds)) h->worse = true;
    if (x->has_bound && (x->bound < h->bound - 1e-9 || x->bound > x->cost + 1e-6)) h->worse = true;
    *h = (struct heard){h->count + 1, x->cost, x->has_bound ? x->bound : h->bound, x->seconds,
                        h->worse};
}

/* At any moment there is a plan with its cost, and neither cost nor bound ever gets worse. */
static void progress_only_goes_forward(void **state)
{
    struct plan_problem *p = instance_make(*state, 3, &instance_small);
    struct improve_options options = solving(3, 0);
    struct heard h = {.bound = -INFINITY};
    options.tell = hear;
    options.self = &h;
    struct tried t = try_on(*state, p, &options);
    assert_true(h.count >= 2);
    assert_false(h.worse);
    assert_close(h.cost, t.x.cost, 1e-12);
    assert_close(h.cost, plan_cost(*state, t.x.plan), 1e-12);
}

static void *stop_soon(void *stop)
{
    nanosleep(&(struct timespec){0, 300000000}, NULL);
    atomic_store((atomic_bool *)stop, true);
    return NULL;
}

static void it_ends_when_told(void **state)
{
    struct instance_size size = instance_small;
    size.days = 40;
    size.chambers = 30;
    struct plan_problem *p = instance_make(*state, 8, &size);
    atomic_bool stop = false;
    struct improve_options options = solving(600, 0);
    options.solver.stop = &stop;
    pthread_t other;
    time_t begun = time(NULL);
    assert_int_equal(pthread_create(&other, NULL, stop_soon, &stop), 0);
    struct tried t = try_on(*state, p, &options);
    pthread_join(other, NULL);
    assert_true(time(NULL) - begun < 60);
    assert_true(t.x.cost <= plan_cost(*state, t.given) + 1e-9);
}

static void no_time_is_no_error(void **state)
{
    struct plan_problem *p = instance_make(*state, 9, &instance_small);
    struct improve_options options = solving(0.05, 0);
    struct tried t = try_on(*state, p, &options);
    assert_true(t.x.solver.code == CODE_OK || t.x.solver.code == CODE_SOLVER_LATE);
    assert_true(t.x.cost <= plan_cost(*state, t.given) + 1e-9);
}

/* What changes is told as cost: with a high one the taken starts stay where they are. */
static void a_new_plan_changes_little(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.taken_count = 1;
    h.taken[0] = (struct plan_taken){1, 1, 0, 0, 15, PLAN_NONE};
    handmade_want(&h, 7, 75);
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    /* fresher when started on day 3 */
    assert_int_equal(x.start_count, 1);
    assert_int_equal(x.starts[0].day, 3);
    h.p.change_cost = 100;
    plan_of(*state, &h.p, &options, &x);
    feasible_check(&h.p, &x);
    assert_int_equal(x.start_count, 1);
    assert_int_equal(x.starts[0].day, 1);
    assert_int_equal(x.starts[0].taken, 0);
}

/* Standing at the end is worth something, up to what is wanted, and not more. */
static void the_end_is_not_forced_to_nothing(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.crop.end_kg_wanted = 150;
    h.crop.end_value_per_kg = 3;
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    double kg = 0;
    for (int i = 0; i < x.start_count; i++) {
        kg += x.starts[i].packed_kg;
        assert_true(x.starts[i].harvest_day >= h.p.day_count - h.product.life_days + 1);
    }
    assert_close(kg, 150, 1e-6);
    /* 30 kg of seed at 2 and two starts at 10 against 450 */
    assert_close(x.improvement.cost, 80 - 450, 1e-6);
    h.crop.end_value_per_kg = 0.1;
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.start_count, 0);
}

/* Packs given for packs of another weight are more than the search's flow counts exactly. */
static void swaps_of_another_weight_are_found_without_the_solver(void **state)
{
    struct instance_size size = instance_small;
    size.days = 12;
    size.chambers = 4;
    size.stock = 6;
    size.day_limits = false;
    int uneven = 0, swapped = 0;
    for (uint64_t seed = 13; seed <= 24; seed++) {
        struct plan_problem *p = instance_make(*state, seed, &size);
        if (plan_frame_make(*state, p)->has_uneven_swap) {
            struct improve_options both = solving(20, 0);
            struct improve_options alone = {.solver = {.seconds = 60}, .seed = seed, .moves = 4000};
            struct plan_outcome x, y;
            plan_of(*state, p, &both, &x);
            plan_of(*state, p, &alone, &y);
            feasible_check(p, &y);
            assert_close(feasible_cost(p, &y), y.improvement.cost, 1e-5);
            assert_true(y.improvement.cost <= x.improvement.cost * 1.03);
            uneven++;
            for (int i = 0; i < y.sale_count; i++)
                swapped += y.sales[i].product != p->lines[y.sales[i].line].product;
        }
        arena_clear(*state);
    }
    assert_true(uneven >= 2);
    assert_true(swapped >= 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(it_gets_better_and_says_how_good_it_is),
        EACH(every_failure_leaves_the_search),
        EACH(a_bound_that_cannot_be_is_not_believed),
        EACH(the_search_comes_close_to_the_optimum),
        EACH(progress_only_goes_forward),
        EACH(it_ends_when_told),
        EACH(no_time_is_no_error),
        EACH(a_new_plan_changes_little),
        EACH(the_end_is_not_forced_to_nothing),
        EACH(swaps_of_another_weight_are_found_without_the_solver),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_improve", tests, NULL, NULL);
}
