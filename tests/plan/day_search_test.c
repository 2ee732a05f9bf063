/* Sequences found against every order there is. */
#include "support.h"

#include "day_support.h"

static void the_best_of_all_orders_is_found(void **state)
{
    struct random r;
    random_seed(&r, 21);
    for (int i = 0; i < 120; i++) {
        struct day_kind kind = {.jobs = 1 + i % 7,
                                .stages = 1 + i % 5,
                                .trucks = i % 4,
                                .machines = i % 2 == 0,
                                .families = i % 3 != 0,
                                .pauses = i % 5 != 0,
                                .overlaps = i % 7 == 0,
                                .limits = i % 4 == 1,
                                .begun = i % 6 == 5};
        struct day_problem *p = day_random(*state, &r, &kind);
        struct day_sequence *s = day_search(*state, p, DAY_ROUNDS);
        struct day_score best = day_brute(*state, p);
        day_feasible(s);
        assert_true(day_in_blocks(p, s->order, p->job_count));
        if (day_compare(&s->score, &best) != 0) {
            fail_msg("day %d: %lld/%d/%d/%d found, %lld/%d/%d/%d is best", i,
                     (long long)s->score.late, s->score.over_min, s->score.setup_min,
                     s->score.end_min, (long long)best.late, best.over_min, best.setup_min,
                     best.end_min);
        }
    }
}

static void eight_jobs_against_all_their_orders(void **state)
{
    struct random r;
    random_seed(&r, 5);
    struct day_kind kind = {.jobs = 8, .stages = 4, .trucks = 3, .families = true, .pauses = true};
    for (int i = 0; i < 3; i++) {
        struct day_problem *p = day_random(*state, &r, &kind);
        p->blocks = NULL;
        struct day_sequence *s = day_search(*state, p, DAY_ROUNDS);
        struct day_score best = day_brute(*state, p);
        assert_int_equal(day_compare(&s->score, &best), 0);
    }
}

static void the_same_day_gives_the_same_sequence(void **state)
{
    struct random r;
    random_seed(&r, 3);
    struct day_kind kind = {.jobs = 30, .stages = 5, .trucks = 4, .families = true, .pauses = true};
    struct day_problem *p = day_random(*state, &r, &kind);
    struct day_sequence *x = day_search(*state, p, 10), *y = day_search(*state, p, 10);
    assert_memory_equal(x->order, y->order, 30 * sizeof(int));
    day_feasible(x);
    struct day_sequence *first = day_insert(*state, p);
    day_feasible(first);
    assert_true(day_compare(&x->score, &first->score) <= 0);
}

static void no_jobs_are_a_day_too(void **state)
{
    struct day_stage stage = {.code = "wash", .machine_count = 1};
    struct day_problem p = {.stages = &stage, .stage_count = 1};
    struct day_sequence *s = day_search(*state, &p, DAY_ROUNDS);
    assert_int_equal(s->score.end_min, 0);
    assert_int_equal(day_end_bound(&p), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_best_of_all_orders_is_found),
        EACH(eight_jobs_against_all_their_orders),
        EACH(the_same_day_gives_the_same_sequence),
        EACH(no_jobs_are_a_day_too),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
