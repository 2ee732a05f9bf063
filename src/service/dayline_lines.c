/* Lines of a day: places, when nobody works, what lies between two families. */
#include <string.h>

#include "base/civil.h"
#include "service/dayline_inner.h"
#include "service/shift.h"
#include "service/view_inner.h"

/* ---- stages and their places */

static struct result read_places(struct dayline_reading *r)
{
    const struct lines *l = &r->v->profile->lines;
    struct statement *q = store_prepare(r->v->store, Q_PLACE_ALL);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        for (size_t k = 0; k < l->stage_count; k++) {
            struct day_stage *s = &r->stages[k];
            int most = l->stages[k].lines > 0 ? (int)l->stages[k].lines : DAY_MACHINES_MAX;
            if (store_int(q, 6) != 0 && list_has(l->stages[k].place_kinds, store_text(q, 2)) &&
                s->machine_count < most) {
                r->out->places[k][s->machine_count++] = arena_copy(r->v->arena, store_text(q, 0));
            }
        }
    }
}

static void put_stages(struct dayline_reading *r)
{
    const struct lines *l = &r->v->profile->lines;
    for (size_t k = 0; k < l->stage_count; k++) {
        const struct line_stage *from = &l->stages[k];
        r->stages[k] = (struct day_stage){
            .code = from->name,
            .is_staffed = !from->has_room,
            .overlap_min = from->overlap_ms < 0 ? DAY_APART : dayline_span(from->overlap_ms),
            .wait_min = dayline_span(from->wait_ms),
            .wait_max =
                from->longest_wait_ms < 0 ? DAY_NO_LIMIT : dayline_span(from->longest_wait_ms)};
    }
}

/* Where hands do the work, or the record has no such place yet, lines are only counted. */
static void count_hands(struct dayline_reading *r)
{
    const struct lines *l = &r->v->profile->lines;
    for (size_t k = 0; k < l->stage_count; k++) {
        struct day_stage *s = &r->stages[k];
        if (!l->stages[k].has_room && s->machine_count == 0) {
            s->machine_count = l->stages[k].lines > 0 ? (int)l->stages[k].lines : 1;
        }
        for (int m = 0; m < s->machine_count; m++) {
            s->machines[m].family = DAY_CLEANED;
        }
    }
}

/* ---- pauses */

/* One more span without work; those that meet become one. Added in any order, kept by time. */
static void add_pause(struct day_span *list, int *count, int from, int to)
{
    int at = 0;
    if (from >= to || *count == DAY_PAUSES_MAX) {
        return;
    }
    while (at < *count && list[at].to < from) {
        at++;
    }
    int last = at;
    while (last < *count && list[last].from <= to) {
        from = list[last].from < from ? list[last].from : from;
        to = list[last].to > to ? list[last].to : to;
        last++;
    }
    memmove(list + at + 1, list + last, (size_t)(*count - last) * sizeof *list);
    list[at] = (struct day_span){from, to};
    *count += 1 - (last - at);
}

/* Those of one house day. */
static void add_pauses(const struct dayline_reading *r, int32_t day, struct day_span *list,
                       int *count)
{
    const struct profile *p = r->v->profile;
    const struct dayline *d = r->out;
    int end = dayline_wall(d, day + 1, p->day_starts_min);
    for (size_t i = 0; p->lines.shifts[0] != '\0' && i < p->shift_count; i++) {
        if (!list_has(p->lines.shifts, p->shifts[i].name)) {
            int from = dayline_wall(d, day, p->shifts[i].start_min);
            int to =
                i + 1 < p->shift_count ? dayline_wall(d, day, p->shifts[i + 1].start_min) : end;
            add_pause(list, count, from, to);
        }
    }
    for (size_t i = 0; i < p->lines.pause_count; i++) {
        const struct line_pause *pause = &p->lines.pauses[i];
        add_pause(list, count, dayline_wall(d, day, pause->start_min),
                  dayline_wall(d, day, pause->start_min + pause->span_min));
    }
}

/* Work that the day does not hold goes on in the days after it, which have their pauses too. */
static void put_pauses(struct dayline_reading *r)
{
    enum { DAYS = 3 };
    struct dayline *d = r->out;
    struct day_span *list = ARENA_ARRAY(r->v->arena, struct day_span, DAY_PAUSES_MAX + 1);
    int count = 0;
    for (int i = 0; i < DAYS; i++) {
        add_pauses(r, d->day + i, list, &count);
    }
    d->problem.pauses = list;
    d->problem.pause_count = count;
}

struct result dayline_read_lines(struct dayline_reading *r)
{
    size_t count = r->v->profile->lines.stage_count;
    struct dayline *d = r->out;
    r->stages = ARENA_ARRAY(r->v->arena, struct day_stage, count);
    d->places =
        (const char *(*)[DAY_MACHINES_MAX])arena_array(r->v->arena, count, sizeof d->places[0]);
    d->families = ARENA_ARRAY(r->v->arena, struct dayline_family, DAY_FAMILIES_MAX);
    d->problem.stages = r->stages;
    d->problem.stage_count = (int)count;
    put_stages(r);
    TRY(read_places(r));
    count_hands(r);
    put_pauses(r);
    return RESULT_OK;
}

/* ---- families */

int dayline_family_add(struct dayline_reading *r, const char *family, const char *allergens)
{
    struct dayline *d = r->out;
    const struct lines *l = &r->v->profile->lines;
    int count = d->problem.family_count;
    for (int i = 0; i < count; i++) {
        if (strcmp(d->families[i].family, family) == 0 &&
            strcmp(d->families[i].allergens, allergens) == 0) {
            return i;
        }
    }
    if (count == DAY_FAMILIES_MAX) {
        return count - 1;
    }
    struct dayline_family *f = &d->families[count];
    *f = (struct dayline_family){.family = arena_copy(r->v->arena, family),
                                 .allergens = arena_copy(r->v->arena, allergens)};
    for (size_t i = 0; i < l->family_count; i++) {
        f->colour = strcmp(l->families[i].family, family) == 0 ? l->families[i].colour : f->colour;
    }
    return d->problem.family_count++;
}

struct result dayline_family_of(struct dayline_reading *r, const char *item, int *out)
{
    struct item i;
    bool found;
    TRY(item_by_code(r->v->store, r->v->arena, item, &i, &found));
    *out = found ? dayline_family_add(r, i.family, i.allergens) : -1;
    return RESULT_OK;
}

/* Does anything of the one not belong into the other? */
static bool leaves_allergens(const struct dayline_family *from, const struct dayline_family *to)
{
    char word[64];
    for (const char *at = from->allergens; list_next(&at, word, sizeof word);) {
        if (!list_has(to->allergens, word)) {
            return true;
        }
    }
    return false;
}

static struct day_change change_of(const struct lines *l, const struct line_stage *s,
                                   const struct dayline_family *from,
                                   const struct dayline_family *to)
{
    bool down = leaves_allergens(from, to);
    int64_t clean_ms = down ? s->step_down_ms : s->clean_ms, change_ms = s->change_ms;
    for (size_t i = 0; i < l->change_count; i++) {
        const struct line_change *c = &l->changes[i];
        bool here = c->stages[0] == '\0' || list_has(c->stages, s->name);
        if (here && strcmp(c->from, from->family) == 0 && strcmp(c->to, to->family) == 0) {
            clean_ms = c->clean_ms;
            change_ms = c->change_ms;
        }
    }
    return (struct day_change){dayline_span(clean_ms), dayline_span(change_ms)};
}

/* What stood on a place last, unless it was cleaned since. */
static struct result read_stood(struct dayline_reading *r, const char *place, int *out)
{
    struct statement *q = store_prepare(r->v->store, Q_DAYLINE_STOOD);
    int64_t end_ms = 0, cleaned_ms;
    *out = DAY_CLEANED;
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, r->v->now_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        *out = dayline_family_add(r, store_text(q, 0), store_text(q, 1));
        end_ms = store_int(q, 2);
    }
    q = store_prepare(r->v->store, Q_DAYLINE_CLEANED);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, r->v->now_ms);
    TRY(view_first(q, 0, &cleaned_ms));
    *out = cleaned_ms >= end_ms ? DAY_CLEANED : *out;
    return RESULT_OK;
}

struct result dayline_read_changes(struct dayline_reading *r)
{
    const struct lines *l = &r->v->profile->lines;
    struct dayline *d = r->out;
    for (size_t k = 0; k < l->stage_count; k++) {
        for (int m = 0; d->is_today && m < r->stages[k].machine_count; m++) {
            if (d->places[k][m] != NULL) {
                TRY(read_stood(r, d->places[k][m], &r->stages[k].machines[m].family));
            }
        }
    }
    size_t n = (size_t)d->problem.family_count;
    for (size_t k = 0; k < l->stage_count; k++) {
        struct day_change *changes = ARENA_ARRAY(r->v->arena, struct day_change, n * n + 1);
        for (size_t i = 0; i < n * n; i++) {
            changes[i] = i / n == i % n ? (struct day_change){0, 0}
                                        : change_of(l, &l->stages[k], &d->families[i / n],
                                                    &d->families[i % n]);
        }
        r->stages[k].changes = changes;
    }
    return RESULT_OK;
}
