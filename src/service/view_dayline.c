#include "service/view_dayline.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/closing.h"
#include "service/planning.h"
#include "service/view_inner.h"

enum { BARS_MAX = DAY_JOBS_MAX * 3, LANES_MAX = 64 };

const char *view_dayline_stage(const struct view *v, const char *stage)
{
    return words_of(v->arena, v->lang, "day.stage.", stage, stage);
}

static json_t *at_ms(const struct dayline *d, int minute)
{
    return json_integer(dayline_ms(d, minute));
}

/* The day is named on the page itself. */
static const char *clock_text(const struct view *v, int64_t ms)
{
    struct civil c = civil_from_ms(ms, civil_offset_min(ms));
    return arena_printf(v->arena, "%02d:%02d", c.hour, c.minute);
}

/* ---- trucks */

enum truck_state { TRUCK_NOTHING, TRUCK_THERE, TRUCK_LATE, TRUCK_TIGHT, TRUCK_IN_TIME };

static const char *const state_names[] = {"nothing", "there", "late", "tight", "in-time"};
static const char *const state_tones[] = {"waiting", "done", "stopped", "due", "done"};

static enum truck_state state_of(const struct view *v, const struct dayline *d, int truck,
                                 const struct day_truck_told *told)
{
    if (told->job < 0) {
        return d->trucks[truck].wanted == 0 || d->trucks[truck].stock == 0 ? TRUCK_NOTHING
                                                                           : TRUCK_THERE;
    }
    int64_t margin_min = v->profile->lines.margin_ms / 60000;
    return told->slack < 0 ? TRUCK_LATE : told->slack < margin_min ? TRUCK_TIGHT : TRUCK_IN_TIME;
}

const char *view_dayline_truck(const struct view *v, const struct dayline *d, int truck)
{
    const struct day_truck_told told = day_tell_truck(d->sequence, truck);
    const struct day_truck *t = &d->problem.trucks[truck];
    enum truck_state state = state_of(v, d, truck, &told);
    const char *says = "", *cut_off = clock_text(v, dayline_ms(d, t->cut_off));
    if (state == TRUCK_NOTHING || state == TRUCK_THERE) {
        says = SAY(v, state == TRUCK_THERE ? "day.truck.there" : "day.truck.nothing", t->code,
                   cut_off);
    } else {
        static const char *const keys[] = {"", "", "day.truck.late", "day.truck.tight",
                                           "day.truck.in-time"};
        says = SAY(v, keys[state], t->code, cut_off, view_minutes(v, abs(told.slack)),
                   view_dayline_stage(v, d->problem.stages[told.stage].code),
                   view_minutes(v, told.stage_min));
    }
    if (told.setup_min > 0 && (state == TRUCK_LATE || state == TRUCK_TIGHT)) {
        says = arena_printf(v->arena, "%s %s", says,
                            SAY(v, "day.truck.setup", view_minutes(v, told.setup_min)));
    }
    if (d->trucks[truck].lacking > 0) {
        says = arena_printf(v->arena, "%s %s", says,
                            SAY(v, "day.truck.lacking", view_number(v, d->trucks[truck].lacking)));
    }
    if (d->trucks[truck].early > 0) {
        says = arena_printf(v->arena, "%s %s", says,
                            SAY(v, "day.truck.early", view_number(v, d->trucks[truck].early)));
    }
    return arena_printf(v->arena, "%s%s", says, d->trucks[truck].notes);
}

static json_t *truck_json(const struct view *v, const struct dayline *d, int i)
{
    const struct day_truck_told told = day_tell_truck(d->sequence, i);
    const struct day_truck *t = &d->problem.trucks[i];
    const struct dayline_truck *of = &d->trucks[i];
    enum truck_state state = state_of(v, d, i, &told);
    bool known = told.job >= 0;
    json_t *o = json_pack(
        "{s:s,s:o,s:o,s:o,s:s,s:s,s:o,s:I,s:I,s:I,s:i,s:s,s:s}", "truck", t->code, "cut_off_ms",
        at_ms(d, t->cut_off), "ready_ms", known ? at_ms(d, told.ready) : json_null(), "slack_min",
        view_int(known, told.slack), "state", state_names[state], "tone", state_tones[state],
        "binds", view_text(told.stage >= 0 ? d->problem.stages[told.stage].code : NULL), "wanted",
        (json_int_t)of->wanted, "stock", (json_int_t)of->stock, "lacking", (json_int_t)of->lacking,
        "load_min", t->load_min, "source", of->truck->source->title, "sentence",
        view_dayline_truck(v, d, i));
    CHECK(o != NULL);
    return o;
}

/* ---- bars */

struct bar {
    int from, to, row, job; /* job -1: a clean or change-over */
    const char *kind;
    bool is_begun;
};

static int by_start(const void *x, const void *y)
{
    const struct bar *a = x, *b = y;
    return a->row != b->row ? (a->row > b->row) - (a->row < b->row)
                            : (a->from > b->from) - (a->from < b->from);
}

static size_t bars_of(const struct dayline *d, int stage, struct bar *list)
{
    size_t count = 0;
    for (int i = 0; i < d->problem.job_count; i++) {
        int j = d->sequence->order[i];
        const struct day_run *run = &d->sequence->runs[j * d->problem.stage_count + stage];
        if (run->start == DAY_NOT_BEGUN) {
            continue;
        }
        int row = run->machine < 0 ? 0 : run->machine;
        if (run->clean_end > run->setup_start) {
            list[count++] = (struct bar){run->setup_start, run->clean_end, row, -1, "clean", false};
        }
        if (run->setup_end > run->clean_end) {
            list[count++] = (struct bar){run->clean_end, run->setup_end, row, -1, "change", false};
        }
        list[count++] = (struct bar){run->start, run->end, row, j, "run", run->is_begun};
    }
    return count;
}

/* In a room bars may meet: each takes the first row that is free. */
static int keep_apart(struct bar *list, size_t count)
{
    int until[LANES_MAX] = {0}, rows = 1;
    for (size_t i = 0; i < count; i++) {
        int row = 0;
        while (row + 1 < LANES_MAX && until[row] > list[i].from) {
            row++;
        }
        list[i].row = row;
        until[row] = list[i].to;
        rows = row + 1 > rows ? row + 1 : rows;
    }
    return rows;
}

static json_t *bar_json(const struct dayline *d, const struct bar *b)
{
    const struct dayline_job *job = b->job >= 0 ? &d->jobs[b->job] : NULL;
    const char *state = !b->is_begun                     ? "planned"
                        : b->to > d->problem.now_min - 1 ? "going"
                                                         : "done";
    json_t *o = json_pack("{s:s,s:s,s:o,s:o,s:o,s:o}", "kind", b->kind, "state", state, "from_ms",
                          at_ms(d, b->from), "to_ms", at_ms(d, b->to), "chamber",
                          view_text(job != NULL ? job->chamber : NULL), "item",
                          view_text(job != NULL ? job->item : NULL));
    CHECK(o != NULL);
    return o;
}

static json_t *stage_json(const struct view *v, const struct dayline *d, int stage)
{
    const struct day_stage *s = &d->problem.stages[stage];
    const struct day_stage_told told = day_tell_stage(d->sequence, stage);
    struct bar *list = ARENA_ARRAY(v->arena, struct bar, BARS_MAX);
    size_t count = bars_of(d, stage, list);
    int rows = s->machine_count;
    if (count > 0) {
        qsort(list, count, sizeof *list, by_start);
    }
    rows = rows == 0 ? keep_apart(list, count) : rows;
    json_t *lines = json_array();
    for (int row = 0; row < rows; row++) {
        const char *place = s->machine_count > 0 ? d->places[stage][row] : NULL;
        json_t *bars = json_array();
        for (size_t i = 0; i < count; i++) {
            if (list[i].row == row) {
                view_append(bars, bar_json(d, &list[i]));
            }
        }
        view_append(lines, json_pack("{s:o,s:o}", "place", view_text(place), "bars", bars));
    }
    json_t *o =
        json_pack("{s:s,s:s,s:b,s:o,s:i,s:i,s:i,s:i,s:s}", "stage", s->code, "title",
                  view_dayline_stage(v, s->code), "room", s->machine_count == 0, "lines", lines,
                  "work_min", told.work, "clean_min", told.clean, "change_min", told.change,
                  "idle_min", told.idle, "source", v->profile->lines.stages[stage].source->title);
    CHECK(o != NULL);
    return o;
}

/* ---- jobs */

static json_t *runs_json(const struct dayline *d, int j)
{
    json_t *list = json_array();
    for (int k = 0; k < d->problem.stage_count; k++) {
        const struct day_run *run = &d->sequence->runs[j * d->problem.stage_count + k];
        if (run->start != DAY_NOT_BEGUN) {
            view_append(list, json_pack("{s:s,s:o,s:o,s:b}", "stage", d->problem.stages[k].code,
                                        "from_ms", at_ms(d, run->start), "to_ms",
                                        at_ms(d, run->end), "begun", (int)run->is_begun));
        }
    }
    return list;
}

static json_t *job_json(const struct dayline *d, int j)
{
    const struct dayline_job *job = &d->jobs[j];
    const struct dayline_family *f = &d->families[d->problem.jobs[j].family];
    json_t *trucks = json_array();
    for (int i = 0; i < d->problem.need_count; i++) {
        if (d->problem.needs[i].job == j) {
            view_append(trucks, json_string(d->problem.trucks[d->problem.needs[i].truck].code));
        }
    }
    json_t *o =
        json_pack("{s:s,s:o,s:s,s:I,s:b,s:b,s:s,s:o,s:o,s:o}", "chamber", job->chamber, "lot",
                  view_text(job->lot), "item", job->item, "mg", (json_int_t)job->mg, "harvested",
                  (int)job->is_harvested, "held", (int)job->is_held, "family", f->family,
                  "allergens", view_list(f->allergens), "trucks", trucks, "runs", runs_json(d, j));
    CHECK(o != NULL);
    return o;
}

/* ---- the whole */

static const struct surface *surface_of(const struct view *v, int stage)
{
    const struct line_stage *s = &v->profile->lines.stages[stage];
    char kind[64];
    for (const char *at = s->place_kinds; list_next(&at, kind, sizeof kind);) {
        const struct surface *surface = profile_surface(v->profile, kind);
        if (surface != NULL && surface->scope == SCOPE_RUN) {
            return surface;
        }
    }
    return NULL;
}

/* When the work before a run ended on its machine; -1: none of the day. */
static int ended_before(const struct dayline *d, int stage, const struct day_run *run)
{
    int end = -1;
    for (int j = 0; j < d->problem.job_count; j++) {
        const struct day_run *other = &d->sequence->runs[j * d->problem.stage_count + stage];
        if (other->start != DAY_NOT_BEGUN && other->machine == run->machine &&
            other->start < run->start && other->end > end) {
            end = other->end;
        }
    }
    return end;
}

/* A clean is good for a stop of so long only: what is put on the line after a longer one would be
 * held by the clause "clean". */
static void put_stops(const struct view *v, const struct dayline *d, json_t *list)
{
    for (int i = 0; i < d->problem.job_count * d->problem.stage_count; i++) {
        int stage = i % d->problem.stage_count;
        const struct day_run *run = &d->sequence->runs[i];
        const struct surface *surface = surface_of(v, stage);
        if (surface == NULL || run->start == DAY_NOT_BEGUN || run->is_begun ||
            run->clean_end > run->setup_start) {
            continue;
        }
        int before = ended_before(d, stage, run);
        if (before >= 0 && run->start - before > surface->stop_ms / 60000) {
            const char *place = d->places[stage][run->machine];
            const char *stands =
                place != NULL ? place : view_dayline_stage(v, d->problem.stages[stage].code);
            view_append(list,
                        json_string(SAY(v, "day.stop", stands, clock_text(v, dayline_ms(d, before)),
                                        clock_text(v, dayline_ms(d, run->start)),
                                        d->jobs[i / d->problem.stage_count].chamber)));
        }
    }
}

/* What is to be said of the day as a whole. */
static json_t *says_json(const struct view *v, const struct dayline *d)
{
    json_t *list = json_array();
    const struct day_score *score = &d->sequence->score;
    if (d->has_free) {
        int more = d->free_score.setup_min - score->setup_min;
        view_append(list, json_string(SAY(v, "day.free", view_number(v, more > 0 ? more : 0))));
    }
    if (score->over_min > 0) {
        view_append(list, json_string(SAY(v, "day.over", view_number(v, score->over_min))));
    }
    put_stops(v, d, list);
    return list;
}

static void put_sequence(const struct view *v, const struct dayline *d, json_t *o)
{
    const struct day_problem *p = &d->problem;
    json_t *stages = json_object_get(o, "stages"), *trucks = json_object_get(o, "trucks"),
           *jobs = json_object_get(o, "jobs"), *pauses = json_object_get(o, "pauses");
    int64_t late = 0;
    for (int k = 0; k < p->stage_count; k++) {
        view_append(stages, stage_json(v, d, k));
    }
    int64_t work_ms = dayline_ms(d, d->sequence->score.end_min); /* it may end on a later day */
    int64_t shown_ms = work_ms > d->end_ms ? work_ms : d->end_ms;
    for (int i = 0; i < p->pause_count && dayline_ms(d, p->pauses[i].from) < shown_ms; i++) {
        view_append(pauses, json_pack("{s:o,s:o}", "from_ms", at_ms(d, p->pauses[i].from), "to_ms",
                                      at_ms(d, p->pauses[i].to)));
    }
    for (int i = 0; i < p->truck_count; i++) {
        int over = d->sequence->ready[i] - p->trucks[i].cut_off;
        late += over > 0 ? over : 0;
        view_append(trucks, truck_json(v, d, i));
    }
    for (int i = 0; i < p->job_count; i++) {
        view_append(jobs, job_json(d, d->sequence->order[i]));
    }
    bool any = p->job_count > 0;
    view_put(o, "says", says_json(v, d));
    view_put(o, "late_min", json_integer(late));
    view_put(o, "setup_min", json_integer(d->sequence->score.setup_min));
    view_put(o, "ends_ms", any ? at_ms(d, d->sequence->score.end_min) : json_null());
    view_put(o, "bound_ms", any ? at_ms(d, day_end_bound(p)) : json_null());
}

struct result view_dayline(struct view *v, int32_t day, json_t **out)
{
    struct dayline d;
    TRY(dayline_read(v, day, &d));
    json_t *o = json_pack("{s:s,s:b,s:I,s:I,s:o,s:[],s:[],s:[],s:[],s:[],s:i,s:i,s:n,s:n}", "day",
                          day_text(v->arena, day), "known", d.sequence != NULL, "start_ms",
                          (json_int_t)d.start_ms, "end_ms", (json_int_t)d.end_ms, "now_ms",
                          view_int(d.is_today, v->now_ms), "stages", "pauses", "trucks", "jobs",
                          "says", "late_min", 0, "setup_min", 0, "ends_ms", "bound_ms");
    CHECK(o != NULL);
    unsigned what = closing_of(v->profile, day);
    const struct closing *why = closing_on(v->profile, day, what);
    view_put(o, "closed",
             planning_closed_json(v->arena, v->lang, day, what, why != NULL ? why->reason : NULL));
    if (d.sequence != NULL) {
        put_sequence(v, &d, o);
    }
    *out = o;
    return RESULT_OK;
}
