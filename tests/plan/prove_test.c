#include <time.h>

#include "instance.h"
#include "plan/construct.h"
#include "plan/prove.h"
#include "support.h"

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static struct prover *begin(struct arena *a, const char *path, double seconds,
                            const struct plan_frame **f)
{
    *f = plan_frame_make(a, instance_make(a, 2, &instance_plain));
    struct solver_options options = {.path = path, .gap = 0};
    return prover_begin(*f, &options, plan_construct(a, *f), now_s() + seconds);
}

static void a_small_house_is_solved(void **state)
{
    const struct plan_frame *f;
    struct prover_news news;
    prover_end(begin(*state, SOLVE_PATH, 60, &f), *state, &news);
    assert_int_equal(news.solver.code, CODE_OK);
    assert_true(news.is_over && news.is_solved && news.has_bound);
    assert_non_null(news.plan);
    assert_close(plan_cost(*state, news.plan), news.bound, 1e-6);
}

static void what_is_wrong_with_the_solver_is_news(void **state)
{
    const struct plan_frame *f;
    struct prover_news news;
    prover_end(begin(*state, "/nonexistent/plumule-solve", 60, &f), *state, &news);
    assert_int_equal(news.solver.code, CODE_SOLVER_START);
    assert_false(news.has_bound);
    assert_null(news.plan);
    /* an answer that breaks the rules */
    prover_end(begin(*state, FAKE_PATH, 60, &f), *state, &news);
    assert_int_equal(news.solver.code, CODE_SOLVER_GARBLED);
    assert_null(news.plan);
}

static void it_is_cut_short_at_once(void **state)
{
    struct instance_size size = instance_small;
    size.days = 60;
    size.chambers = 60;
    const struct plan_frame *f = plan_frame_make(*state, instance_make(*state, 1, &size));
    struct solver_options options = {.path = SOLVE_PATH, .gap = 0};
    double begun_s = now_s();
    struct prover *p = prover_begin(f, &options, plan_construct(*state, f), begun_s + 600);
    prover_halt(p);
    struct prover_news news;
    prover_end(p, *state, &news);
    assert_true(now_s() - begun_s < 60);
    assert_int_equal(news.solver.code, CODE_OK);
}

/* Windows around a plan that somebody offers end no worse than it. */
static void windows_improve_what_is_offered(void **state)
{
    struct instance_size size = instance_small;
    size.days = 24;
    size.chambers = 12;
    const struct plan_frame *f = plan_frame_make(*state, instance_make(*state, 9, &size));
    const struct plan *made = plan_construct(*state, f);
    struct solver_options options = {.path = SOLVE_PATH, .gap = 0};
    struct prover *p = prover_begin(f, &options, made, now_s() + 12);
    prover_offer(p, made, true);
    double best = plan_cost(*state, made), first = best;
    struct prover_news news = {0};
    while (!news.is_over) {
        prover_news(p, *state, &news);
        nanosleep(&(struct timespec){0, 50000000}, NULL);
        if (!news.plan) continue;
        if (plan_cost(*state, news.plan) >= best) continue;
        best = plan_cost(*state, news.plan);
        prover_offer(p, news.plan, true);
    }
    prover_end(p, *state, &news);
    assert_true(best < first);
    assert_true(news.has_bound && news.bound <= best + 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_small_house_is_solved),
        EACH(what_is_wrong_with_the_solver_is_news),
        EACH(it_is_cut_short_at_once),
        EACH(windows_improve_what_is_offered),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_prove", tests, NULL, NULL);
}
