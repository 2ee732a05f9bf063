#include "feasible.h"
#include "plan/realize.h"
#include "untied.h"

static void outcome_of(struct arena *a, const struct plan_frame *f, const struct realized *r,
                       struct plan_outcome *out)
{
    plan_flows_tidy(r->plan);
    struct improvement x = {.plan = r->plan, .cost = r->cost};
    plan_outcome_make(a, f, &x, out);
}

/* Where nothing is in the way the plan costs what the search says. */
static void the_plan_is_the_searchs_own(void **state)
{
    for (uint64_t seed = 1; seed <= 8; seed++) {
        struct plan_problem *p = untied_make(*state, seed);
        struct plan_frame *f = plan_frame_make(*state, p);
        struct search *s = untied_search(*state, f, seed, 600);
        struct realized r = plan_realize(realizer_new(*state, f), *state, s);
        assert_false(r.is_cut);
        assert_close(r.cost, s->cost, 1e-6);
        struct plan_outcome x;
        outcome_of(*state, f, &r, &x);
        feasible_check(p, &x);
        assert_true(x.start_count > 0);
        search_release(s);
        arena_clear(*state);
    }
}

/* Where limits bind it still keeps all of them. */
static void what_does_not_fit_is_cut(void **state)
{
    int cut = 0;
    for (uint64_t seed = 1; seed <= 18; seed++) {
        const struct plan_problem *p = instance_make(*state, seed,
                                                     seed > 12  ? &instance_choices
                                                     : seed % 2 ? &instance_small
                                                                : &instance_dishes);
        struct plan_frame *f = plan_frame_make(*state, p);
        struct search *s = untied_search(*state, f, seed, 3000);
        struct realizer *w = realizer_new(*state, f);
        struct realized r = plan_realize(w, *state, s);
        double cost = r.cost;
        cut += r.is_cut;
        /* the same again from the same place */
        r = plan_realize(w, *state, s);
        assert_true(r.cost == cost);
        struct plan_outcome x;
        outcome_of(*state, f, &r, &x);
        feasible_check(p, &x);
        assert_close(r.cost, feasible_cost(p, &x), 1e-6);
        search_release(s);
        arena_clear(*state);
    }
    assert_true(cut >= 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_plan_is_the_searchs_own),
        EACH(what_does_not_fit_is_cut),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_realize", tests, NULL, NULL);
}
