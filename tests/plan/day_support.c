#include "day_support.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* ---- by chance */

static int between(struct random *r, int low, int high)
{
    return low + (int)random_below(r, (uint64_t)(high - low + 1));
}

static void random_stage(struct arena *a, struct random *r, const struct day_kind *kind, int k,
                         int families, struct day_stage *out)
{
    *out = (struct day_stage){.code = "stage",
                              .machine_count = kind->machines ? between(r, 1, 2) : 1,
                              .is_staffed = true,
                              .overlap_min = DAY_APART,
                              .wait_max = DAY_NO_LIMIT};
    if (kind->limits && k == 2) { /* cooling */
        out->machine_count = 0;
        out->is_staffed = false;
    }
    if (kind->limits && k == 3) {
        out->wait_min = 5;
        out->wait_max = 30;
    }
    if (kind->overlaps && k == 1) {
        out->overlap_min = 4;
    }
    struct day_change *changes = ARENA_ARRAY(a, struct day_change, (size_t)(families * families));
    for (int i = 0; i < families * families && kind->families; i++) {
        changes[i] = i / families == i % families
                         ? (struct day_change){0, 0}
                         : (struct day_change){between(r, 0, 30), between(r, 5, 10)};
    }
    out->changes = changes;
    for (int m = 0; m < out->machine_count; m++) {
        out->machines[m].family = kind->families ? between(r, DAY_CLEANED, families - 1) : 0;
    }
}

static void begin_some(struct random *r, struct day_problem *p, struct day_job *jobs,
                       struct day_stage *stages)
{
    p->now_min = 100;
    for (int j = 0; j < p->job_count && j < 2; j++) {
        struct day_begun *b = &jobs[j].begun[0];
        b->start = between(r, 20, 60) + 40 * j;
        b->end = j == 0 ? b->start + between(r, 1, 30) : DAY_GOES_ON;
        if (b->end > p->now_min) {
            b->end = p->now_min;
        }
        stages[0].machines[0].family = jobs[j].family;
    }
}

struct day_problem *day_random(struct arena *a, struct random *r, const struct day_kind *kind)
{
    struct day_problem *p = ARENA_NEW(a, struct day_problem);
    struct day_stage *stages = ARENA_ARRAY(a, struct day_stage, (size_t)kind->stages);
    struct day_job *jobs = ARENA_ARRAY(a, struct day_job, (size_t)kind->jobs);
    struct day_truck *trucks = ARENA_ARRAY(a, struct day_truck, (size_t)kind->trucks + 1);
    struct day_need *needs = ARENA_ARRAY(a, struct day_need, (size_t)kind->jobs * 2 + 1);
    struct day_span *pauses = ARENA_ARRAY(a, struct day_span, 3);
    int *blocks = ARENA_ARRAY(a, int, 3), families = kind->families ? 3 : 1;
    for (int k = 0; k < kind->stages; k++) {
        random_stage(a, r, kind, k, families, &stages[k]);
    }
    *p = (struct day_problem){.stages = stages,
                              .jobs = jobs,
                              .trucks = trucks,
                              .needs = needs,
                              .pauses = pauses,
                              .stage_count = kind->stages,
                              .job_count = kind->jobs,
                              .truck_count = kind->trucks,
                              .family_count = families};
    for (int j = 0; j < kind->jobs; j++) {
        jobs[j] = (struct day_job){.code = "job", .family = between(r, 0, families - 1)};
        jobs[j].earliest = between(r, 0, 3) == 0 ? between(r, 0, 60) : 0;
        for (int k = 0; k < kind->stages; k++) {
            jobs[j].minutes[k] = between(r, 0, 9) == 0 ? 0 : between(r, 1, 40);
            jobs[j].begun[k].start = DAY_NOT_BEGUN;
        }
        if (kind->trucks > 0) {
            needs[p->need_count++] = (struct day_need){j, between(r, 0, kind->trucks - 1)};
        }
    }
    for (int t = 0; t < kind->trucks; t++) {
        trucks[t] =
            (struct day_truck){"truck", between(r, 60, 300), between(r, 0, 20), between(r, 1, 5)};
    }
    if (kind->pauses) {
        pauses[0] = (struct day_span){0, 30};
        pauses[1] = (struct day_span){90, 110};
        pauses[2] = (struct day_span){200, 245};
        p->pause_count = 3;
    }
    if (kind->families && between(r, 0, 1) == 1) {
        blocks[1] = between(r, 0, 1);
        blocks[2] = 1;
        p->blocks = blocks;
    }
    if (kind->begun) {
        begin_some(r, p, jobs, stages);
    }
    assert_int_equal(day_check(p).code, CODE_OK);
    return p;
}

/* ---- is it one */

static bool is_work(const struct day_problem *p, int k, int minute)
{
    for (int i = 0; p->stages[k].is_staffed && i < p->pause_count; i++) {
        if (p->pauses[i].from <= minute && minute < p->pauses[i].to) {
            return false;
        }
    }
    return true;
}

/* The minute at which so many minutes of work are done, one after the other. */
static int work_done(const struct day_problem *p, int k, int start, int minutes)
{
    int at = start;
    for (int left = minutes; left > 0; at++) {
        left -= is_work(p, k, at) ? 1 : 0;
    }
    return at;
}

static int next_work(const struct day_problem *p, int k, int at)
{
    while (!is_work(p, k, at)) {
        at++;
    }
    return at;
}

static const struct day_run *at_stage(const struct day_sequence *s, int j, int k)
{
    return &s->runs[j * s->p->stage_count + k];
}

static int later(int x, int y)
{
    return x > y ? x : y;
}

static void check_begun(const struct day_sequence *s, int j, int k)
{
    const struct day_begun *b = &s->p->jobs[j].begun[k];
    const struct day_run *run = at_stage(s, j, k);
    assert_true(run->is_begun);
    assert_int_equal(run->start, b->start);
    if (s->p->stages[k].machine_count > 0) {
        assert_int_equal(run->machine, b->machine);
    }
    int open = work_done(s->p, k, b->start, s->p->jobs[j].minutes[k]);
    assert_int_equal(run->end, b->end != DAY_GOES_ON ? b->end : later(open, s->p->now_min));
}

/* -> how much longer than allowed it waits */
static int check_run(const struct day_sequence *s, int j, int k, int from)
{
    const struct day_problem *p = s->p;
    const struct day_stage *stage = &p->stages[k];
    const struct day_run *run = at_stage(s, j, k);
    assert_false(run->is_begun);
    assert_true(run->start >= p->now_min && run->start >= p->jobs[j].earliest);
    assert_true(is_work(p, k, run->start));
    int end = work_done(p, k, run->start, p->jobs[j].minutes[k]), over = 0;
    if (from >= 0) {
        const struct day_run *came = at_stage(s, j, from);
        if (stage->overlap_min == DAY_APART) {
            assert_true(run->start >= came->end + stage->wait_min);
        } else {
            assert_true(run->start >= came->start + stage->overlap_min);
            end = later(end, came->end + stage->overlap_min);
        }
        if (stage->wait_max != DAY_NO_LIMIT) {
            over = later(0, run->start - came->end - stage->wait_max);
        }
    }
    assert_int_equal(run->end, end);
    return over;
}

static int check_job(const struct day_sequence *s, int j)
{
    int from = -1, over = 0;
    for (int k = 0; k < s->p->stage_count; k++) {
        if (s->p->jobs[j].begun[k].start != DAY_NOT_BEGUN) {
            check_begun(s, j, k);
        } else if (s->p->jobs[j].minutes[k] == 0) {
            assert_int_equal(at_stage(s, j, k)->start, DAY_NOT_BEGUN);
            continue;
        } else {
            over += check_run(s, j, k, from);
        }
        from = k;
    }
    return over;
}

/* The jobs that one machine takes, in the order of the day, with what lies between. -> minutes of
 * cleans and change-overs */
static int check_machine(const struct day_sequence *s, int k, int m)
{
    const struct day_problem *p = s->p;
    const struct day_stage *stage = &p->stages[k];
    int free_from = stage->machines[m].free_from, family = stage->machines[m].family, sum = 0;
    for (int j = 0; j < p->job_count; j++) {
        const struct day_run *run = at_stage(s, j, k);
        if (run->start != DAY_NOT_BEGUN && run->is_begun && run->machine == m) {
            free_from = later(free_from, run->end);
        }
    }
    for (int i = 0; i < p->job_count; i++) {
        const struct day_run *run = at_stage(s, s->order[i], k);
        int own = p->jobs[s->order[i]].family;
        if (run->start == DAY_NOT_BEGUN || run->is_begun || run->machine != m) {
            continue;
        }
        if (stage->changes != NULL && family != DAY_CLEANED && family != own) {
            const struct day_change *c = &stage->changes[family * p->family_count + own];
            int begin = next_work(p, k, later(free_from, p->now_min));
            int clean = work_done(p, k, begin, c->clean_min);
            int change = work_done(p, k, next_work(p, k, clean), c->change_min);
            sum += c->clean_min + c->change_min;
            if (c->clean_min + c->change_min > 0) {
                assert_int_equal(run->setup_start, begin);
                assert_int_equal(run->clean_end, clean);
                free_from = change;
            }
        } else {
            assert_int_equal(run->setup_start, run->setup_end);
        }
        assert_true(run->start >= free_from);
        free_from = run->end;
        family = own;
    }
    return sum;
}

static int64_t check_trucks(const struct day_sequence *s)
{
    const struct day_problem *p = s->p;
    int64_t late = 0;
    for (int t = 0; t < p->truck_count; t++) {
        int ready = -1;
        for (int i = 0; i < p->need_count; i++) {
            for (int k = 0; p->needs[i].truck == t && k < p->stage_count; k++) {
                const struct day_run *run = at_stage(s, p->needs[i].job, k);
                if (run->start != DAY_NOT_BEGUN) {
                    ready = later(ready, run->end + p->trucks[t].load_min);
                }
            }
        }
        assert_int_equal(s->ready[t], ready);
        late += (int64_t)p->trucks[t].weight * later(0, ready - p->trucks[t].cut_off);
    }
    return late;
}

void day_feasible(const struct day_sequence *s)
{
    const struct day_problem *p = s->p;
    bool seen[DAY_JOBS_MAX] = {false};
    int over = 0, setups = 0, end = 0, block = -1;
    for (int i = 0; i < p->job_count; i++) {
        int j = s->order[i];
        assert_true(j >= 0 && j < p->job_count && !seen[j]);
        seen[j] = true;
        bool begun = false;
        for (int k = 0; k < p->stage_count; k++) {
            begun = begun || p->jobs[j].begun[k].start != DAY_NOT_BEGUN;
        }
        int own = begun ? -1 : p->blocks != NULL ? p->blocks[p->jobs[j].family] : 0;
        assert_true(own >= block);
        block = own;
        over += check_job(s, j);
    }
    for (int k = 0; k < p->stage_count; k++) {
        for (int m = 0; m < p->stages[k].machine_count; m++) {
            setups += check_machine(s, k, m);
        }
        for (int j = 0; j < p->job_count; j++) {
            const struct day_run *run = at_stage(s, j, k);
            end = run->start != DAY_NOT_BEGUN ? later(end, run->end) : end;
        }
    }
    assert_int_equal(s->score.over_min, over);
    assert_int_equal(s->score.setup_min, setups);
    assert_int_equal(s->score.end_min, end);
    assert_true(s->score.late == check_trucks(s));
    assert_true(end == 0 || end >= day_end_bound(p));
}

/* ---- every order */

static void permute(struct day_sequence *s, int at, struct day_score *best)
{
    int n = s->p->job_count;
    if (at == n) {
        if (day_in_blocks(s->p, s->order, n)) {
            day_walk(s, n);
            *best = day_compare(&s->score, best) < 0 ? s->score : *best;
        }
        return;
    }
    for (int i = at; i < n; i++) {
        int job = s->order[i];
        s->order[i] = s->order[at];
        s->order[at] = job;
        permute(s, at + 1, best);
        s->order[at] = s->order[i];
        s->order[i] = job;
    }
}

struct day_score day_brute(struct arena *a, const struct day_problem *p)
{
    struct day_score best = {.late = INT64_MAX};
    permute(day_sequence_new(a, p), 0, &best);
    return best;
}
