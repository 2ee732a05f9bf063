/* Flow shops of Taillard (1993), Benchmarks for basic scheduling problems, European Journal of
 * Operational Research 64, 278-285: made anew from his seeds. The generator is published (seen) in
 * several programs; seeds, best makespans and lower bounds of the two instances, and the first of
 * their processing times, are published (seen) in the header of his file: "20 5 873654221 1278
 * 1232" and "20 5 379008056 1359 1290". */
#include "../plan/support.h"

#include "plan/day_search.h"

enum { JOBS = 20, STAGES = 5 };

struct shop {
    struct day_stage stages[STAGES];
    struct day_job jobs[JOBS];
    struct day_problem p;
};

/* Lehmer's generator with 16807 modulo 2^31 - 1, drawn to 1 ... 99. */
static int draw(int64_t *seed)
{
    *seed = *seed * 16807 % 2147483647;
    return 1 + (int)((double)*seed / 2147483647.0 * 99);
}

static void make(struct shop *s, int64_t seed)
{
    *s = (struct shop){0};
    for (int k = 0; k < STAGES; k++) {
        s->stages[k] = (struct day_stage){.code = "machine",
                                          .machine_count = 1,
                                          .overlap_min = DAY_APART,
                                          .wait_max = DAY_NO_LIMIT};
        for (int j = 0; j < JOBS; j++) {
            s->jobs[j].minutes[k] = draw(&seed);
            s->jobs[j].begun[k].start = DAY_NOT_BEGUN;
        }
    }
    s->p = (struct day_problem){.stages = s->stages,
                                .jobs = s->jobs,
                                .stage_count = STAGES,
                                .job_count = JOBS,
                                .family_count = 1};
    assert_int_equal(day_check(&s->p).code, CODE_OK);
}

static void first_times(const struct shop *s, const int *wanted)
{
    for (int j = 0; j < JOBS; j++) {
        assert_int_equal(s->jobs[j].minutes[0], wanted[j]);
    }
}

static void first_instance(void **state)
{
    static const int times[JOBS] = {54, 83, 15, 71, 77, 36, 53, 38, 27, 87,
                                    76, 91, 14, 29, 12, 77, 32, 87, 68, 94};
    struct shop s;
    make(&s, 873654221);
    first_times(&s, times);
    assert_int_equal(day_end_bound(&s.p), 1232);
    assert_int_equal(day_search(*state, &s.p, 2000)->score.end_min, 1278);
}

static void second_instance(void **state)
{
    static const int times[JOBS] = {26, 38, 27, 88, 95, 55, 54, 63, 23, 45,
                                    86, 43, 43, 40, 37, 54, 35, 59, 43, 50};
    struct shop s;
    make(&s, 379008056);
    first_times(&s, times);
    assert_int_equal(day_end_bound(&s.p), 1290);
    assert_int_equal(day_search(*state, &s.p, 2000)->score.end_min, 1359);
}

int main(void)
{
    const struct CMUnitTest tests[] = {EACH(first_instance), EACH(second_instance)};
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
