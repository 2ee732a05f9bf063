/* The jobs of a day: what has begun, what is ready, what the plan taken brings. */
#include <math.h>
#include <string.h>

#include "base/civil.h"
#include "service/dayline_inner.h"
#include "service/shift.h"
#include "service/view_inner.h"

static struct mass_chain chain_of(const struct crop *crop)
{
    return mass_chain_from_ppm(crop->expansion_std * 1000, crop->hull_ppm, crop->trim_ppm,
                               crop->cull_ppm, crop->carry_ppm);
}

/* ---- one job */

static int minutes_at(const struct line_stage *s, const char *item, int64_t mg)
{
    int64_t by_rate = s->rate_mg > 0 ? (mg + s->rate_mg - 1) / s->rate_mg : 0;
    int64_t minutes = by_rate + dayline_span(s->fixed_ms);
    return list_has(s->passes, item)   ? 0
           : minutes < DAY_MINUTES_MAX ? (int)minutes
                                       : DAY_MINUTES_MAX;
}

static void put_minutes(struct dayline_reading *r, size_t at)
{
    const struct lines *l = &r->v->profile->lines;
    for (size_t k = 0; k < l->stage_count; k++) {
        r->jobs[at].minutes[k] =
            minutes_at(&l->stages[k], r->out->jobs[at].item, r->out->jobs[at].mg);
    }
}

/* -> its place in the list; DAY_JOBS_MAX where that is full or the item is not known */
static struct result add_job(struct dayline_reading *r, const struct dayline_job *job, int earliest,
                             size_t *out_at)
{
    struct dayline *d = r->out;
    const struct crop *crop = profile_crop(r->v->profile, job->item);
    int family;
    *out_at = DAY_JOBS_MAX;
    TRY(dayline_family_of(r, job->item, &family));
    if (d->job_count == DAY_JOBS_MAX || family < 0 || crop == NULL) {
        return RESULT_OK;
    }
    *out_at = d->job_count++;
    d->jobs[*out_at] = *job;
    r->jobs[*out_at] =
        (struct day_job){.code = job->chamber, .family = family, .earliest = earliest};
    for (int k = 0; k < DAY_STAGES_MAX; k++) {
        r->jobs[*out_at].begun[k].start = DAY_NOT_BEGUN;
    }
    put_minutes(r, *out_at);
    return RESULT_OK;
}

/* What is packed already is stock. */
static void put_packed(struct dayline_reading *r, size_t at)
{
    struct dayline_job *job = &r->out->jobs[at];
    const struct mass_chain chain = chain_of(profile_crop(r->v->profile, job->item));
    bool is_packed = r->jobs[at].begun[r->out->problem.stage_count - 1].start != DAY_NOT_BEGUN;
    job->packed_kg =
        job->is_held || is_packed ? 0 : (double)job->mg * 1e-6 / yield_bed_kg_per_packed_kg(&chain);
}

/* ---- what has begun */

static size_t job_of_lot(const struct dayline *d, int64_t lot)
{
    for (size_t i = 0; i < d->job_count; i++) {
        if (d->jobs[i].lot_id == lot) {
            return i;
        }
    }
    return DAY_JOBS_MAX;
}

/* The line a run was told at. One that the profile does not count among those that work gets a row
 * of its own, on which nothing more is put. */
static struct result machine_at(struct dayline_reading *r, size_t stage, const char *place,
                                int *out)
{
    struct day_stage *s = &r->stages[stage];
    struct place p;
    bool found;
    for (int m = 0; m < s->machine_count; m++) {
        const char *here = r->out->places[stage][m];
        if (here != NULL && strcmp(here, place) == 0) {
            *out = m;
            return RESULT_OK;
        }
    }
    *out = 0;
    TRY(place_by_code(r->v->store, r->v->arena, place, &p, &found));
    bool fits = found && list_has(r->v->profile->lines.stages[stage].place_kinds, p.kind);
    if (fits && s->machine_count > 0 && s->machine_count < DAY_MACHINES_MAX) {
        *out = s->machine_count++;
        s->machines[*out] =
            (struct day_machine){.family = DAY_CLEANED, .free_from = DAY_MINUTES_MAX};
        r->out->places[stage][*out] = p.code;
    }
    return RESULT_OK;
}

static bool ends_stage(const struct line_stage *s, const char *kind)
{
    const char *comma = strrchr(s->steps, ',');
    return strcmp(comma != NULL ? comma + 1 : s->steps, kind) == 0;
}

static struct result put_step(struct dayline_reading *r, size_t at, const char *kind,
                              const char *place, int64_t start_ms, int64_t end_ms)
{
    const struct lines *l = &r->v->profile->lines;
    int start = dayline_minute(r->out, start_ms), end = dayline_minute(r->out, end_ms);
    int now = r->out->problem.now_min;
    for (size_t k = 0; k < l->stage_count; k++) {
        struct day_begun *b = &r->jobs[at].begun[k];
        int machine;
        if (!list_has(l->stages[k].steps, kind)) {
            continue;
        }
        TRY(machine_at(r, k, place, &machine));
        if (b->start == DAY_NOT_BEGUN) {
            *b = (struct day_begun){
                .start = start < now ? start : now, .end = DAY_GOES_ON, .machine = machine};
        }
        if (ends_stage(&l->stages[k], kind)) {
            end = end > b->start ? end : b->start;
            b->end = b->end > end ? b->end : end;
            b->machine = machine;
        }
    }
    return RESULT_OK;
}

static struct result read_step(struct dayline_reading *r, struct statement *q)
{
    struct dayline *d = r->out;
    struct arena *a = r->v->arena;
    const char *kind = arena_copy(a, store_text(q, 0)), *place = arena_copy(a, store_text(q, 1));
    int64_t start_ms = store_int(q, 2), end_ms = store_int(q, 3), lot = store_int(q, 4),
            mg = store_int(q, 8);
    size_t at = job_of_lot(d, lot);
    if (at == DAY_JOBS_MAX) {
        struct dayline_job job = {.chamber = arena_copy(a, store_text(q, 6)),
                                  .lot = arena_copy(a, store_text(q, 5)),
                                  .item = arena_copy(a, store_text(q, 7)),
                                  .lot_id = lot};
        TRY(add_job(r, &job, 0, &at));
    }
    const struct profile_step *step = profile_step(r->v->profile, kind);
    if (at < DAY_JOBS_MAX) {
        bool harvests = step != NULL && strcmp(step->act, "harvest") == 0;
        d->jobs[at].mg += harvests || d->jobs[at].mg == 0 ? mg : 0;
        d->jobs[at].is_harvested = d->jobs[at].is_harvested || harvests;
        TRY(put_step(r, at, kind, place, start_ms, end_ms));
    }
    return RESULT_OK;
}

/* What was harvested before this day and goes on in it weighs what its first step of the day gave.
 */
static struct result read_begun(struct dayline_reading *r)
{
    struct dayline *d = r->out;
    int64_t since;
    TRY(view_entry_since(r->v, d->start_ms, &since));
    struct statement *q = store_prepare(r->v->store, Q_DAYLINE_STEPS);
    store_bind_int(q, 1, d->start_ms);
    store_bind_int(q, 2, d->end_ms);
    store_bind_int(q, 3, since * LEDGER_IDS_PER_ENTRY);
    struct result r1 = RESULT_OK;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        r1 = r1.code == CODE_OK ? read_step(r, q) : r1;
    }
    TRY(r1);
    for (size_t i = 0; i < d->job_count; i++) {
        put_packed(r, i);
        put_minutes(r, i);
    }
    return RESULT_OK;
}

/* A stage that a later one has followed is over, told or not: it ended when that one began. */
static void close_passed(struct dayline_reading *r)
{
    int stages = r->out->problem.stage_count;
    for (size_t i = 0; i < r->out->job_count; i++) {
        int after = DAY_NOT_BEGUN;
        for (int k = stages - 1; k >= 0; k--) {
            struct day_begun *b = &r->jobs[i].begun[k];
            if (b->start != DAY_NOT_BEGUN && b->end == DAY_GOES_ON && after != DAY_NOT_BEGUN) {
                b->end = after > b->start ? after : b->start;
            }
            if (b->start == DAY_NOT_BEGUN && after != DAY_NOT_BEGUN) {
                r->jobs[i].minutes[k] = 0;
            }
            after = b->start != DAY_NOT_BEGUN ? b->start : after;
        }
    }
}

/* ---- what is ready */

/* Minutes from midnight at which harvests begin. */
/* Is a chamber that is due then a job of the day? */
static bool is_of_day(const struct dayline_reading *r, int64_t ready_ms)
{
    const struct dayline *d = r->out;
    int64_t at_min = chamber_harvest_min(r->v->profile);
    int64_t this_ms = shift_wall_ms(d->day, at_min), before_ms = shift_wall_ms(d->day - 1, at_min);
    if (ready_ms == 0 || r->v->now_ms >= d->end_ms) {
        return false;
    }
    if (d->is_today) {
        return ready_ms <= this_ms || ready_ms <= r->v->now_ms;
    }
    return ready_ms <= this_ms && ready_ms > before_ms && ready_ms > r->v->now_ms;
}

static int earliest_of(const struct dayline_reading *r, int64_t ready_ms)
{
    int usual = dayline_wall(r->out, r->out->day, chamber_harvest_min(r->v->profile)),
        ready = dayline_minute(r->out, ready_ms);
    return ready > usual ? ready : usual;
}

static struct result read_ready(struct dayline_reading *r, const struct chamber_run *runs,
                                size_t count)
{
    struct view_histories histories = view_histories_new(r->v);
    for (size_t i = 0; i < count; i++) {
        const struct crop *crop = profile_crop(r->v->profile, runs[i].item);
        int64_t ready_ms = 0;
        if (crop != NULL) {
            TRY(chamber_due(r->v->profile, crop, &runs[i], r->v->now_ms, &ready_ms));
        }
        if (crop == NULL || runs[i].shares_ppm >= 1000000 || !is_of_day(r, ready_ms)) {
            continue;
        }
        struct view_chamber c = {.run = &runs[i], .crop = crop};
        size_t at;
        TRY(view_chamber_yield(r->v, &histories, &c));
        struct dayline_job job = {.chamber = runs[i].place,
                                  .lot = runs[i].code,
                                  .item = runs[i].item,
                                  .mg = c.yield.mg,
                                  .is_held = runs[i].held > 0};
        TRY(add_job(r, &job, earliest_of(r, ready_ms), &at));
        if (at < DAY_JOBS_MAX) {
            put_packed(r, at);
        }
    }
    return RESULT_OK;
}

/* ---- what the plan brings */

static bool is_growing(const struct chamber_run *runs, size_t count, const char *place)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(runs[i].place, place) == 0) {
            return true;
        }
    }
    return false;
}

static struct result read_planned(struct dayline_reading *r, const struct chamber_run *runs,
                                  size_t count)
{
    int32_t today = view_day(r->v, r->v->now_ms);
    struct statement *q = store_prepare(r->v->store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, today);
    struct dayline_job *list = NULL;
    size_t found = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const struct crop *crop = profile_crop(r->v->profile, store_text(q, 2));
        bool made = store_int(q, 0) == today && is_growing(runs, count, store_text(q, 1));
        if (crop == NULL || made || store_int(q, 0) + store_int(q, 4) != r->out->day) {
            continue;
        }
        struct dayline_job *job = evidence_grow(r->v->arena, &list, &found, sizeof *list);
        double mg = (double)store_int(q, 3) * (double)crop->expansion_std / 1000.0;
        *job = (struct dayline_job){.chamber = arena_copy(r->v->arena, store_text(q, 1)),
                                    .item = crop->item,
                                    .mg = llround(mg)};
    }
    for (size_t i = 0; i < found; i++) {
        size_t at;
        TRY(add_job(r, &list[i], earliest_of(r, r->out->start_ms), &at));
        if (at < DAY_JOBS_MAX) {
            put_packed(r, at);
        }
    }
    return RESULT_OK;
}

struct result dayline_read_jobs(struct dayline_reading *r)
{
    struct dayline *d = r->out;
    struct chamber_run *runs;
    size_t count;
    d->jobs = ARENA_ARRAY(r->v->arena, struct dayline_job, DAY_JOBS_MAX);
    r->jobs = ARENA_ARRAY(r->v->arena, struct day_job, DAY_JOBS_MAX);
    TRY(read_begun(r));
    close_passed(r);
    TRY(view_runs(r->v, &runs, &count));
    TRY(read_ready(r, runs, count));
    if (d->start_ms > r->v->now_ms) {
        TRY(read_planned(r, runs, count));
    }
    d->problem.jobs = r->jobs;
    d->problem.job_count = (int)d->job_count;
    return RESULT_OK;
}
