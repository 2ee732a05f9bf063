#include "plan/day_tell.h"

static const struct day_run *run_of(const struct day_sequence *s, int job, int stage)
{
    return &s->runs[job * s->p->stage_count + stage];
}

static int pause_between(const struct day_problem *p, int from, int to)
{
    int sum = 0;
    for (int i = 0; i < p->pause_count; i++) {
        int a = p->pauses[i].from > from ? p->pauses[i].from : from;
        int b = p->pauses[i].to < to ? p->pauses[i].to : to;
        sum += b > a ? b - a : 0;
    }
    return sum;
}

static int last_stage(const struct day_sequence *s, int job)
{
    for (int k = s->p->stage_count - 1; k >= 0; k--) {
        if (run_of(s, job, k)->start != DAY_NOT_BEGUN) {
            return k;
        }
    }
    return -1;
}

/* ---- trucks */

static int last_job(const struct day_sequence *s, int truck)
{
    int found = -1, end = -1;
    for (int i = 0; i < s->p->need_count; i++) {
        const struct day_need *n = &s->p->needs[i];
        int k = n->truck == truck ? last_stage(s, n->job) : -1;
        if (k >= 0 && run_of(s, n->job, k)->end > end) {
            end = run_of(s, n->job, k)->end;
            found = n->job;
        }
    }
    return found;
}

/* Where a run's start came from; false at the beginning of the way. */
static bool step_back(const struct day_sequence *s, int *job, int *stage)
{
    const struct day_run *run = run_of(s, *job, *stage);
    if (run->is_begun) {
        return false;
    }
    if (run->cause == DAY_BY_MACHINE && run->before >= 0) {
        *job = run->before;
        return true;
    }
    if (run->cause == DAY_BY_STAGE && run->after_stage >= 0) {
        *stage = run->after_stage;
        return true;
    }
    return false;
}

struct day_truck_told day_tell_truck(const struct day_sequence *s, int truck)
{
    struct day_truck_told told = {.ready = s->ready[truck], .stage = -1};
    int minutes[DAY_STAGES_MAX] = {0};
    told.slack = s->p->trucks[truck].cut_off - told.ready;
    told.job = last_job(s, truck);
    if (told.job < 0) {
        return told;
    }
    int job = told.job, stage = last_stage(s, job), until = run_of(s, job, stage)->end;
    for (bool more = true; more;) {
        const struct day_run *run = run_of(s, job, stage);
        bool by_machine = !run->is_begun && run->cause == DAY_BY_MACHINE;
        int from = by_machine ? run->setup_start : run->start;
        minutes[stage] += until > from ? until - from : 0;
        told.setup_min += by_machine ? run->setup_end - run->setup_start : 0;
        told.first_min = from;
        until = from;
        more = step_back(s, &job, &stage);
    }
    for (int k = 0; k < s->p->stage_count; k++) {
        if (minutes[k] > told.stage_min) {
            told.stage_min = minutes[k];
            told.stage = k;
        }
    }
    return told;
}

/* ---- stages */

struct day_stage_told day_tell_stage(const struct day_sequence *s, int stage)
{
    const struct day_problem *p = s->p;
    const struct day_stage *of = &p->stages[stage];
    struct day_stage_told told = {0, 0, 0, 0};
    for (int m = 0; m < of->machine_count; m++) {
        int first = DAY_MINUTES_MAX, last = 0, busy = 0;
        for (int j = 0; j < p->job_count; j++) {
            const struct day_run *run = run_of(s, j, stage);
            if (run->start == DAY_NOT_BEGUN || run->machine != m) {
                continue;
            }
            int work = run->end - run->start, clean = run->clean_end - run->setup_start,
                change = run->setup_end - run->clean_end;
            if (of->is_staffed) {
                work -= pause_between(p, run->start, run->end);
                clean -= pause_between(p, run->setup_start, run->clean_end);
                change -= pause_between(p, run->clean_end, run->setup_end);
            }
            bool is_set_up = run->setup_end > run->setup_start;
            told.work += work;
            told.clean += clean;
            told.change += change;
            busy += work + clean + change;
            int from = is_set_up ? run->setup_start : run->start;
            first = from < first ? from : first;
            last = run->end > last ? run->end : last;
        }
        int open = last > first ? last - first : 0;
        open -= open > 0 && of->is_staffed ? pause_between(p, first, last) : 0;
        told.idle += open > busy ? open - busy : 0;
    }
    return told;
}
