/* Which stage binds, how trucks stand, where lines stand still. */
#include "support.h"

#include "day_support.h"

struct line {
    struct day_stage stages[3];
    struct day_job jobs[2];
    struct day_change changes[4];
    struct day_truck trucks[2];
    struct day_need needs[2];
    struct day_problem p;
};

/* Harvest 10, trim 60, pack 20, one line each: the trimmer binds. */
static struct day_sequence *line(struct arena *a, struct line *l)
{
    static const int minutes[3] = {10, 60, 20};
    *l = (struct line){.trucks = {{"first", 160, 10, 1}, {"none", 100, 0, 1}},
                       .needs = {{0, 0}, {1, 0}}};
    l->changes[1] = (struct day_change){25, 5};
    for (int k = 0; k < 3; k++) {
        l->stages[k] = (struct day_stage){.code = "stage",
                                          .machine_count = 1,
                                          .is_staffed = true,
                                          .overlap_min = DAY_APART,
                                          .wait_max = DAY_NO_LIMIT,
                                          .changes = k == 1 ? l->changes : NULL};
        l->stages[k].machines[0].family = DAY_CLEANED;
    }
    for (int j = 0; j < 2; j++) {
        l->jobs[j] = (struct day_job){.code = "chamber", .family = j};
        memcpy(l->jobs[j].minutes, minutes, sizeof minutes);
        for (int k = 0; k < 3; k++) {
            l->jobs[j].begun[k].start = DAY_NOT_BEGUN;
        }
    }
    l->p = (struct day_problem){.stages = l->stages,
                                .jobs = l->jobs,
                                .trucks = l->trucks,
                                .needs = l->needs,
                                .stage_count = 3,
                                .job_count = 2,
                                .truck_count = 2,
                                .need_count = 2,
                                .family_count = 2};
    struct day_sequence *s = day_sequence_new(a, &l->p);
    day_walk(s, 2);
    day_feasible(s);
    return s;
}

/* 0 10 | 10 70 | clean and change 70..100 | 100 160 | 160 180, and 10 to load (computed here). */
static void the_trimmer_binds(void **state)
{
    struct line l;
    struct day_sequence *s = line(*state, &l);
    struct day_truck_told t = day_tell_truck(s, 0);
    assert_int_equal(t.ready, 190);
    assert_int_equal(t.slack, -30);
    assert_int_equal(t.job, 1);
    assert_int_equal(t.stage, 1);
    assert_int_equal(t.stage_min, 150);
    assert_int_equal(t.setup_min, 30);
    assert_int_equal(t.first_min, 0);
    struct day_truck_told none = day_tell_truck(s, 1);
    assert_int_equal(none.ready, -1);
    assert_int_equal(none.stage, -1);
    assert_int_equal(none.job, -1);
}

static void lines_stand_still(void **state)
{
    struct line l;
    struct day_sequence *s = line(*state, &l);
    struct day_stage_told trim = day_tell_stage(s, 1), pack = day_tell_stage(s, 2);
    assert_int_equal(trim.work, 120);
    assert_int_equal(trim.clean, 25);
    assert_int_equal(trim.change, 5);
    assert_int_equal(trim.idle, 0);
    assert_int_equal(pack.work, 40);
    assert_int_equal(pack.idle, 70); /* 90 to 160 */
    struct day_span pauses[1] = {{100, 120}};
    l.p.pauses = pauses;
    l.p.pause_count = 1;
    day_walk(s, 2);
    assert_int_equal(day_tell_stage(s, 1).work, 120);
    assert_int_equal(day_tell_stage(s, 2).idle, 70); /* 90 to 180 without the pause */
}

int main(void)
{
    const struct CMUnitTest tests[] = {EACH(the_trimmer_binds), EACH(lines_stand_still)};
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
