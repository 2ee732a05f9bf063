#include "service/view_days.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/closing.h"
#include "service/planning.h"
#include "service/view_inner.h"

struct day {
    int64_t harvest, soak, ship_pieces, ship_mg, stopped;
};

struct ribbon {
    struct view *v;
    int32_t from, to, now;
    int64_t from_ms, to_ms; /* to_ms: the end of the last day */
    struct day *days;
};

static struct day *day_at(struct ribbon *r, int64_t day)
{
    return day >= r->from && day <= r->to ? &r->days[day - r->from] : NULL;
}

/* Every row of a query between two days or moments. */
static struct result read_rows(struct ribbon *r, enum query query, int64_t from, int64_t to,
                               void (*take)(struct ribbon *, struct statement *))
{
    struct statement *q = store_prepare(r->v->store, query);
    store_bind_int(q, 1, from);
    store_bind_int(q, 2, to);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        take(r, q);
    }
}

static void take_made(struct ribbon *r, struct statement *q)
{
    struct day *d = day_at(r, store_int(q, 0));
    d->harvest += store_int(q, 1);
    d->soak += store_int(q, 2);
}

/* Chambers that will be ready; one that is overdue is wanted today. */
static struct result read_ready(struct ribbon *r)
{
    struct chamber_run *runs;
    size_t count;
    TRY(view_runs(r->v, &runs, &count));
    for (size_t i = 0; i < count; i++) {
        const struct crop *crop = profile_crop(r->v->profile, runs[i].item);
        int64_t ready_ms = 0;
        if (crop != NULL) {
            TRY(chamber_due(r->v->profile, crop, &runs[i], r->v->now_ms, &ready_ms));
        }
        if (ready_ms != 0) {
            int32_t day = view_day(r->v, ready_ms);
            struct day *d = day_at(r, day > r->now ? day : r->now);
            if (d != NULL) {
                d->harvest++;
            }
        }
    }
    return RESULT_OK;
}

static struct result read_planned(struct ribbon *r)
{
    struct chamber_run *runs;
    size_t count;
    TRY(view_runs(r->v, &runs, &count));
    struct statement *q = store_prepare(r->v->store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, r->now);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct day *d = day_at(r, store_int(q, 0));
        bool started = false;
        for (size_t i = 0; i < count; i++) {
            started = started || (strcmp(runs[i].place, store_text(q, 1)) == 0 &&
                                  view_day(r->v, runs[i].start_ms) == store_int(q, 0));
        }
        if (d != NULL && !started) {
            d->soak++;
        }
    }
}

static void take_shipped(struct ribbon *r, struct statement *q)
{
    struct day *d = day_at(r, view_day(r->v, store_int(q, 0)));
    if (d != NULL) {
        d->ship_pieces += store_int(q, 1);
        d->ship_mg += store_int(q, 2);
    }
}

static void take_ordered(struct ribbon *r, struct statement *q)
{
    struct day *d = day_at(r, closing_leaves(r->v->profile, (int32_t)store_int(q, 0), r->now));
    if (d != NULL && store_int(q, 1) > 0) {
        d->ship_pieces += store_int(q, 1);
        d->ship_mg += store_int(q, 1) * store_int(q, 2);
    }
}

static void take_held(struct ribbon *r, struct statement *q)
{
    int32_t first = view_day(r->v, store_int(q, 0));
    int32_t last = store_int(q, 1) != 0 ? view_day(r->v, store_int(q, 1)) : r->now;
    for (int32_t day = first < r->from ? r->from : first; day <= last && day <= r->to; day++) {
        day_at(r, day)->stopped++;
    }
}

static struct result fill(struct ribbon *r)
{
    TRY(read_rows(r, Q_PAGE_DAYS_MADE, r->from, r->to, take_made));
    TRY(read_rows(r, Q_PAGE_DAYS_SHIPPED, r->from_ms, r->to_ms, take_shipped));
    TRY(read_rows(r, Q_PAGE_DAYS_HELD, r->from_ms, r->to_ms, take_held));
    if (r->to < r->now) {
        return RESULT_OK;
    }
    TRY(read_ready(r));
    TRY(read_planned(r));
    return read_rows(r, Q_PAGE_DAYS_ORDERED, r->from > r->now ? r->from : r->now,
                     r->to + CLOSING_BACK_DAYS, take_ordered);
}

struct result view_days(struct view *v, int32_t from, int32_t to, json_t **out)
{
    if (to < from || to - from >= VIEW_DAYS_MAX) {
        return FAIL2(FIELD_RANGE, "to", day_text(v->arena, to),
                     "from \"from\" on, 400 days at most");
    }
    struct ribbon r = {.v = v, .from = from, .to = to, .now = view_day(v, v->now_ms)};
    r.days = ARENA_ARRAY(v->arena, struct day, (size_t)(to - from + 1));
    TRY(view_day_start(v, from, &r.from_ms));
    TRY(view_day_start(v, to + 1, &r.to_ms));
    TRY(fill(&r));
    json_t *days = json_array();
    for (int32_t day = from; day <= to; day++) {
        const struct day *d = day_at(&r, day);
        unsigned what = closing_of(v->profile, day);
        const struct closing *why = closing_on(v->profile, day, what);
        view_append(days,
                    json_pack("{s:s,s:I,s:I,s:I,s:I,s:I,s:b,s:o}", "day", day_text(v->arena, day),
                              "harvest", (json_int_t)d->harvest, "soak", (json_int_t)d->soak,
                              "ship_pieces", (json_int_t)d->ship_pieces, "ship_mg",
                              (json_int_t)d->ship_mg, "stopped", (json_int_t)d->stopped, "now",
                              day == r.now, "closed",
                              planning_closed_json(v->arena, v->lang, day, what,
                                                   why != NULL ? why->reason : NULL)));
    }
    *out = json_pack("{s:o}", "days", days);
    CHECK(*out != NULL);
    return RESULT_OK;
}
