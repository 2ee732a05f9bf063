/* What makes another day makes another digest: each number, one after the other. */
#include "support.h"

#include "day_support.h"
#include "plan/day_digest.h"

enum { NUMBERS_MAX = 1000 };

struct numbers {
    int *at[NUMBERS_MAX];
    size_t count;
};

/* The day is the test's own, and may be changed. */
static void add(struct numbers *n, const int *number)
{
    assert_true(n->count < NUMBERS_MAX);
    n->at[n->count++] = (int *)(uintptr_t)number;
}

static void add_stages(struct numbers *n, const struct day_problem *p)
{
    for (int k = 0; k < p->stage_count; k++) {
        const struct day_stage *s = &p->stages[k];
        add(n, &s->overlap_min);
        add(n, &s->wait_min);
        add(n, &s->wait_max);
        for (int m = 0; m < s->machine_count; m++) {
            add(n, &s->machines[m].family);
            add(n, &s->machines[m].free_from);
        }
        for (int i = 0; i < p->family_count * p->family_count; i++) {
            add(n, &s->changes[i].clean_min);
            add(n, &s->changes[i].change_min);
        }
    }
}

static void add_jobs(struct numbers *n, const struct day_problem *p)
{
    for (int j = 0; j < p->job_count; j++) {
        add(n, &p->jobs[j].family);
        add(n, &p->jobs[j].earliest);
        for (int k = 0; k < p->stage_count; k++) {
            add(n, &p->jobs[j].minutes[k]);
            add(n, &p->jobs[j].begun[k].start);
            add(n, &p->jobs[j].begun[k].end);
            add(n, &p->jobs[j].begun[k].machine);
        }
    }
}

static void add_all(struct numbers *n, const struct day_problem *p)
{
    add(n, &p->now_min);
    add_stages(n, p);
    add_jobs(n, p);
    for (int t = 0; t < p->truck_count; t++) {
        add(n, &p->trucks[t].cut_off);
        add(n, &p->trucks[t].load_min);
        add(n, &p->trucks[t].weight);
    }
    for (int i = 0; i < p->need_count; i++) {
        add(n, &p->needs[i].job);
        add(n, &p->needs[i].truck);
    }
    for (int i = 0; i < p->pause_count; i++) {
        add(n, &p->pauses[i].from);
        add(n, &p->pauses[i].to);
    }
    for (int f = 0; f < p->family_count; f++) {
        add(n, &p->blocks[f]);
    }
}

static struct day_problem *a_day(struct arena *a)
{
    struct day_kind kind = {.jobs = 5,
                            .stages = 5,
                            .trucks = 3,
                            .machines = true,
                            .families = true,
                            .pauses = true,
                            .overlaps = true,
                            .limits = true,
                            .begun = true};
    struct random r;
    random_seed(&r, 9);
    struct day_problem *p = day_random(a, &r, &kind);
    static const int blocks[] = {0, 1, 1};
    p->blocks = memcpy(ARENA_ARRAY(a, int, 3), blocks, sizeof blocks);
    return p;
}

static bool same(const struct day_problem *p, const struct hash *day)
{
    struct hash h = day_digest(p);
    return hash_equal(&h, day);
}

static void each_number_counts(void **state)
{
    struct day_problem *p = a_day(*state);
    struct numbers n = {0};
    struct hash day = day_digest(p);
    add_all(&n, p);
    assert_true(n.count > 200);
    for (size_t i = 0; i < n.count; i++) {
        ++*n.at[i];
        if (same(p, &day)) {
            fail_msg("number %zu does not count", i);
        }
        --*n.at[i];
        assert_true(same(p, &day));
    }
}

static void what_is_there_counts(void **state)
{
    struct day_problem *p = a_day(*state), other = *p;
    struct hash day = day_digest(p);
    assert_true(same(&other, &day));
    other.blocks = NULL;
    assert_false(same(&other, &day));
    other = *p;
    other.job_count--;
    assert_false(same(&other, &day));
    other = *p;
    other.need_count--;
    assert_false(same(&other, &day));
    other = *p;
    struct day_stage *stages = ARENA_ARRAY((struct arena *)*state, struct day_stage, 5);
    memcpy(stages, p->stages, 5 * sizeof *stages);
    other.stages = stages;
    assert_true(same(&other, &day));
    stages[1].is_staffed = !stages[1].is_staffed;
    assert_false(same(&other, &day));
    stages[1] = p->stages[1];
    stages[4].changes = NULL;
    assert_false(same(&other, &day));
}

static void a_name_does_not_count(void **state)
{
    struct day_problem *p = a_day(*state);
    struct hash day = day_digest(p);
    struct day_truck trucks[3];
    memcpy(trucks, p->trucks, sizeof trucks);
    trucks[0].code = "another";
    p->trucks = trucks;
    assert_true(same(p, &day));
}

int main(void)
{
    const struct CMUnitTest tests[] = {EACH(each_number_counts), EACH(what_is_there_counts),
                                       EACH(a_name_does_not_count)};
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
