#include "plan/day.h"

#include <stdio.h>

static struct result wrong(const char *list, int index, const char *member, const char *what)
{
    char field[64];
    snprintf(field, sizeof field, "%s[%d].%s", list, index, member);
    return FAIL1(PLAN_FIELD, field, what);
}

static bool minutes_ok(int n)
{
    return n >= 0 && n <= DAY_MINUTES_MAX;
}

static struct result check_counts(const struct day_problem *p)
{
    const struct {
        const char *field;
        int count, least, most;
    } list[] = {
        {"stages", p->stage_count, 1, DAY_STAGES_MAX},
        {"jobs", p->job_count, 0, DAY_JOBS_MAX},
        {"trucks", p->truck_count, 0, DAY_TRUCKS_MAX},
        {"pauses", p->pause_count, 0, DAY_PAUSES_MAX},
        {"families", p->family_count, 0, DAY_FAMILIES_MAX},
        {"needs", p->need_count, 0, DAY_JOBS_MAX * DAY_TRUCKS_MAX},
        {"now", p->now_min, 0, DAY_MINUTES_MAX},
    };
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        if (list[i].count < list[i].least || list[i].count > list[i].most) {
            return FAIL1(PLAN_FIELD, list[i].field, "there are too few or too many.");
        }
    }
    return RESULT_OK;
}

static struct result check_stage(const struct day_problem *p, int k)
{
    const struct day_stage *s = &p->stages[k];
    if (s->machine_count < 0 || s->machine_count > DAY_MACHINES_MAX) {
        return wrong("stages", k, "machine_count", "a stage has 0 to 8 machines.");
    }
    for (int m = 0; m < s->machine_count; m++) {
        if (s->machines[m].family < DAY_CLEANED || s->machines[m].family >= p->family_count ||
            !minutes_ok(s->machines[m].free_from)) {
            return wrong("stages", k, "machines", "a family or a minute is out of range.");
        }
    }
    if ((s->overlap_min != DAY_APART && !minutes_ok(s->overlap_min)) || !minutes_ok(s->wait_min) ||
        (s->wait_max != DAY_NO_LIMIT && (s->wait_max < s->wait_min || !minutes_ok(s->wait_max)))) {
        return wrong("stages", k, "wait_max", "a time between stages is out of range.");
    }
    for (int i = 0; s->changes != NULL && i < p->family_count * p->family_count; i++) {
        if (!minutes_ok(s->changes[i].clean_min) || !minutes_ok(s->changes[i].change_min)) {
            return wrong("stages", k, "changes", "a change-over is out of range.");
        }
    }
    return RESULT_OK;
}

static struct result check_job(const struct day_problem *p, int j)
{
    const struct day_job *job = &p->jobs[j];
    if (job->family < 0 || job->family >= p->family_count) {
        return wrong("jobs", j, "family", "there is no such family.");
    }
    if (!minutes_ok(job->earliest)) {
        return wrong("jobs", j, "earliest", "it must be a minute of the day.");
    }
    for (int k = 0; k < p->stage_count; k++) {
        const struct day_begun *b = &job->begun[k];
        if (!minutes_ok(job->minutes[k])) {
            return wrong("jobs", j, "minutes", "they must be 0 or more.");
        }
        if (b->start == DAY_NOT_BEGUN) {
            continue;
        }
        bool ends = b->end == DAY_GOES_ON || (b->end >= b->start && minutes_ok(b->end));
        bool placed = p->stages[k].machine_count == 0 ||
                      (b->machine >= 0 && b->machine < p->stages[k].machine_count);
        if (!minutes_ok(b->start) || b->start > p->now_min || !ends || !placed) {
            return wrong("jobs", j, "begun", "it must begin by now, on a machine of the stage.");
        }
    }
    return RESULT_OK;
}

static struct result check_trucks(const struct day_problem *p)
{
    for (int i = 0; i < p->truck_count; i++) {
        const struct day_truck *t = &p->trucks[i];
        if (!minutes_ok(t->cut_off) || !minutes_ok(t->load_min) || t->weight < 1 ||
            t->weight > DAY_WEIGHT_MAX) {
            return wrong("trucks", i, "cut_off", "a time or the weight is out of range.");
        }
    }
    for (int i = 0; i < p->need_count; i++) {
        const struct day_need *n = &p->needs[i];
        if (n->job < 0 || n->job >= p->job_count || n->truck < 0 || n->truck >= p->truck_count) {
            return wrong("needs", i, "job", "there is no such job or truck.");
        }
    }
    for (int i = 0; i < p->pause_count; i++) {
        const struct day_span *s = &p->pauses[i];
        if (!minutes_ok(s->from) || !minutes_ok(s->to) || s->from >= s->to ||
            (i > 0 && s->from <= p->pauses[i - 1].to)) {
            return wrong("pauses", i, "from", "pauses follow each other, with work in between.");
        }
    }
    return RESULT_OK;
}

struct result day_check(const struct day_problem *p)
{
    TRY(check_counts(p));
    for (int k = 0; k < p->stage_count; k++) {
        TRY(check_stage(p, k));
    }
    for (int j = 0; j < p->job_count; j++) {
        TRY(check_job(p, j));
    }
    for (int f = 0; p->blocks != NULL && f < p->family_count; f++) {
        if (p->blocks[f] < 0) {
            return wrong("blocks", f, "", "a block is 0 or more.");
        }
    }
    return check_trucks(p);
}

int day_work_from(const struct day_problem *p, int at)
{
    for (int i = 0; i < p->pause_count && p->pauses[i].from <= at; i++) {
        if (at < p->pauses[i].to) {
            return p->pauses[i].to;
        }
    }
    return at;
}

int day_work_end(const struct day_problem *p, int start, int minutes)
{
    int end = start + minutes;
    for (int i = 0; i < p->pause_count && p->pauses[i].from < end; i++) {
        const struct day_span *s = &p->pauses[i];
        if (s->from >= start) {
            end += s->to - s->from;
        }
    }
    return end;
}

bool day_has_begun(const struct day_problem *p, int job)
{
    for (int k = 0; k < p->stage_count; k++) {
        if (p->jobs[job].begun[k].start != DAY_NOT_BEGUN) {
            return true;
        }
    }
    return false;
}

int day_block(const struct day_problem *p, int job)
{
    if (day_has_begun(p, job)) {
        return -1;
    }
    return p->blocks != NULL ? p->blocks[p->jobs[job].family] : 0;
}
