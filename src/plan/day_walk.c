#include "plan/day_walk.h"

/* A machine while the day is played through. */
struct standing {
    int family, free_from, job;
};

struct walk {
    struct day_sequence *s;
    const struct day_problem *p;
    struct standing at[DAY_STAGES_MAX][DAY_MACHINES_MAX];
};

enum { HOLD_TRIES = 64 };

struct day_sequence *day_sequence_new(struct arena *a, const struct day_problem *p)
{
    struct day_sequence *s = ARENA_NEW(a, struct day_sequence);
    size_t jobs = (size_t)p->job_count;
    s->p = p;
    s->order = ARENA_ARRAY(a, int, jobs + 1);
    s->runs = ARENA_ARRAY(a, struct day_run, jobs * (size_t)p->stage_count + 1);
    s->ready = ARENA_ARRAY(a, int, (size_t)p->truck_count + 1);
    for (int j = 0; j < p->job_count; j++) {
        s->order[j] = j;
    }
    return s;
}

int day_compare(const struct day_score *x, const struct day_score *y)
{
    if (x->late != y->late) return x->late < y->late ? -1 : 1;
    if (x->over_min != y->over_min) return x->over_min < y->over_min ? -1 : 1;
    if (x->setup_min != y->setup_min) return x->setup_min < y->setup_min ? -1 : 1;
    if (x->end_min != y->end_min) return x->end_min < y->end_min ? -1 : 1;
    return (x->ready > y->ready) - (x->ready < y->ready);
}

static int larger(int x, int y)
{
    return x > y ? x : y;
}

static int work_from(const struct walk *w, int stage, int at)
{
    return w->p->stages[stage].is_staffed ? day_work_from(w->p, at) : at;
}

static int work_end(const struct walk *w, int stage, int start, int minutes)
{
    return w->p->stages[stage].is_staffed ? day_work_end(w->p, start, minutes) : start + minutes;
}

/* ---- what has begun */

static void put_begun(struct walk *w, int j, int k)
{
    const struct day_begun *b = &w->p->jobs[j].begun[k];
    struct day_run *run = &w->s->runs[j * w->p->stage_count + k];
    int end = b->end;
    if (end == DAY_GOES_ON) {
        int minutes = w->p->jobs[j].minutes[k];
        int start = minutes > 0 ? work_from(w, k, b->start) : b->start;
        end = larger(work_end(w, k, start, minutes), w->p->now_min);
    }
    bool room = w->p->stages[k].machine_count == 0;
    *run = (struct day_run){.start = b->start,
                            .end = end,
                            .machine = room ? -1 : b->machine,
                            .setup_start = b->start,
                            .clean_end = b->start,
                            .setup_end = b->start,
                            .before = -1,
                            .after_stage = -1,
                            .cause = DAY_BY_EARLIEST,
                            .is_begun = true};
    if (!room) {
        struct standing *m = &w->at[k][b->machine];
        if (end >= m->free_from) {
            m->free_from = end;
            m->job = j;
        }
    }
}

static void stand(struct walk *w)
{
    const struct day_problem *p = w->p;
    for (int k = 0; k < p->stage_count; k++) {
        for (int m = 0; m < p->stages[k].machine_count; m++) {
            w->at[k][m] = (struct standing){.family = p->stages[k].machines[m].family,
                                            .free_from = p->stages[k].machines[m].free_from,
                                            .job = -1};
        }
    }
    for (int j = 0; j < p->job_count; j++) {
        for (int k = 0; k < p->stage_count; k++) {
            if (p->jobs[j].begun[k].start != DAY_NOT_BEGUN) {
                put_begun(w, j, k);
            }
        }
    }
}

/* ---- one run */

/* Change-over and start on one machine, for a job that may begin at ready_min. */
static struct day_run try_machine(const struct walk *w, int j, int k, int m, int ready_min)
{
    const struct day_stage *stage = &w->p->stages[k];
    const struct standing *at = &w->at[k][m];
    struct day_change change = {0, 0};
    int family = w->p->jobs[j].family;
    if (stage->changes != NULL && at->family != DAY_CLEANED && at->family != family) {
        change = stage->changes[at->family * w->p->family_count + family];
    }
    struct day_run run = {.machine = m, .before = at->job};
    run.setup_start = run.clean_end = run.setup_end = at->free_from;
    if (change.clean_min + change.change_min > 0) {
        run.setup_start = work_from(w, k, larger(at->free_from, w->p->now_min));
        run.clean_end = work_end(w, k, run.setup_start, change.clean_min);
        int next = work_from(w, k, run.clean_end);
        run.setup_end = work_end(w, k, next, change.change_min);
    }
    run.start = work_from(w, k, larger(ready_min, run.setup_end));
    run.cause = run.setup_end > ready_min ? DAY_BY_MACHINE : DAY_BY_STAGE;
    return run;
}

static struct day_run first_machine(const struct walk *w, int j, int k, int ready_min)
{
    if (w->p->stages[k].machine_count == 0) {
        int start = work_from(w, k, ready_min);
        return (struct day_run){.start = start,
                                .machine = -1,
                                .setup_start = start,
                                .clean_end = start,
                                .setup_end = start,
                                .before = -1,
                                .cause = DAY_BY_STAGE};
    }
    struct day_run best = try_machine(w, j, k, 0, ready_min);
    for (int m = 1; m < w->p->stages[k].machine_count; m++) {
        struct day_run run = try_machine(w, j, k, m, ready_min);
        int setup = run.setup_end - run.setup_start, least = best.setup_end - best.setup_start;
        if (run.start < best.start || (run.start == best.start && setup < least)) {
            best = run;
        }
    }
    return best;
}

/* The run of a job at a stage after the one it came from; first_min holds it back at its first. */
static struct day_run run_at(const struct walk *w, int j, int k, int from, int first_min)
{
    const struct day_stage *stage = &w->p->stages[k];
    const struct day_job *job = &w->p->jobs[j];
    const struct day_run *came = from >= 0 ? &w->s->runs[j * w->p->stage_count + from] : NULL;
    int own = larger(job->earliest, w->p->now_min), ready = own, least_end = 0;
    enum day_cause cause = DAY_BY_EARLIEST;
    if (first_min > ready) {
        ready = first_min;
        cause = DAY_BY_HOLDING;
    }
    if (came != NULL) {
        bool flows = stage->overlap_min != DAY_APART;
        int next = flows ? came->start + stage->overlap_min : came->end + stage->wait_min;
        least_end = flows ? came->end + stage->overlap_min : 0;
        cause = next >= ready ? DAY_BY_STAGE : cause;
        ready = larger(ready, next);
    }
    struct day_run run = first_machine(w, j, k, ready);
    run.cause = run.cause == DAY_BY_MACHINE ? DAY_BY_MACHINE : cause;
    run.end = larger(work_end(w, k, run.start, job->minutes[k]), least_end);
    run.after_stage = from;
    return run;
}

/* ---- one job */

/* How much longer than wait_max it waits, and the most that holding it back could mend at once. */
struct waited {
    int over, holdable;
};

static struct waited waited_at(const struct walk *w, int j, int k)
{
    const struct day_run *run = &w->s->runs[j * w->p->stage_count + k];
    int limit = w->p->stages[k].wait_max;
    if (run->after_stage < 0 || limit == DAY_NO_LIMIT) {
        return (struct waited){0, 0};
    }
    const struct day_run *came = &w->s->runs[j * w->p->stage_count + run->after_stage];
    int over = larger(run->start - came->end - limit, 0);
    return (struct waited){over, came->is_begun ? 0 : over};
}

/* Its runs from now on, the first of them no earlier than first_min. */
static struct waited run_job(struct walk *w, int j, int first_min)
{
    const struct day_problem *p = w->p;
    struct waited sum = {0, 0};
    int from = -1;
    for (int k = 0; k < p->stage_count; k++) {
        struct day_run *run = &w->s->runs[j * p->stage_count + k];
        if (run->is_begun) {
            run->after_stage = from;
        } else if (p->jobs[j].minutes[k] == 0) {
            run->start = DAY_NOT_BEGUN;
            continue;
        } else {
            *run = run_at(w, j, k, from, first_min);
            first_min = 0;
            struct waited here = waited_at(w, j, k);
            sum.over += here.over;
            sum.holdable = larger(sum.holdable, here.holdable);
        }
        from = k;
    }
    return sum;
}

static int first_start(const struct walk *w, int j)
{
    for (int k = 0; k < w->p->stage_count; k++) {
        const struct day_run *run = &w->s->runs[j * w->p->stage_count + k];
        if (!run->is_begun && run->start != DAY_NOT_BEGUN) {
            return run->start;
        }
    }
    return 0;
}

static void take_machines(struct walk *w, int j)
{
    for (int k = 0; k < w->p->stage_count; k++) {
        const struct day_run *run = &w->s->runs[j * w->p->stage_count + k];
        if (run->is_begun || run->start == DAY_NOT_BEGUN || run->machine < 0) {
            continue;
        }
        struct standing *m = &w->at[k][run->machine];
        struct day_score *score = &w->s->score;
        if (run->setup_end > run->setup_start) {
            const struct day_change *c =
                &w->p->stages[k].changes[m->family * w->p->family_count + w->p->jobs[j].family];
            score->setup_min += c->clean_min + c->change_min;
        }
        *m = (struct standing){.family = w->p->jobs[j].family, .free_from = run->end, .job = j};
    }
}

static void walk_job(struct walk *w, int j)
{
    struct waited waited = run_job(w, j, 0);
    for (int i = 0; i < HOLD_TRIES && waited.holdable > 0; i++) {
        waited = run_job(w, j, first_start(w, j) + waited.holdable);
    }
    w->s->score.over_min += waited.over;
    take_machines(w, j);
}

/* ---- the day */

static void count_trucks(struct day_sequence *s, const bool *is_in)
{
    const struct day_problem *p = s->p;
    for (int t = 0; t < p->truck_count; t++) {
        s->ready[t] = -1;
    }
    for (int i = 0; i < p->need_count; i++) {
        const struct day_need *n = &p->needs[i];
        for (int k = 0; is_in[n->job] && k < p->stage_count; k++) {
            const struct day_run *run = &s->runs[n->job * p->stage_count + k];
            if (run->start != DAY_NOT_BEGUN) {
                s->ready[n->truck] =
                    larger(s->ready[n->truck], run->end + p->trucks[n->truck].load_min);
            }
        }
    }
    for (int t = 0; t < p->truck_count; t++) {
        int late = s->ready[t] - p->trucks[t].cut_off;
        s->score.late += late > 0 ? (int64_t)late * p->trucks[t].weight : 0;
        s->score.ready += s->ready[t] > 0 ? (int64_t)s->ready[t] * p->trucks[t].weight : 0;
    }
}

void day_walk(struct day_sequence *s, int count)
{
    const struct day_problem *p = s->p;
    struct walk w = {.s = s, .p = p};
    bool is_in[DAY_JOBS_MAX] = {false};
    s->score = (struct day_score){.late = 0};
    for (int i = 0; i < p->job_count * p->stage_count; i++) {
        s->runs[i] = (struct day_run){.start = DAY_NOT_BEGUN};
    }
    stand(&w);
    for (int i = 0; i < count; i++) {
        is_in[s->order[i]] = true;
        walk_job(&w, s->order[i]);
    }
    for (int i = 0; i < p->job_count * p->stage_count; i++) {
        if (is_in[i / p->stage_count] && s->runs[i].start != DAY_NOT_BEGUN) {
            s->score.end_min = larger(s->score.end_min, s->runs[i].end);
        }
    }
    count_trucks(s, is_in);
}
