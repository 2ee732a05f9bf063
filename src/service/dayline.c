#include "service/dayline_inner.h"

#include <string.h>

#include "base/civil.h"
#include "service/day_orders.h"
#include "service/shift.h"
#include "service/view_inner.h"

#define MINUTE_MS INT64_C(60000)

int64_t dayline_ms(const struct dayline *d, int minute)
{
    return d->start_ms + minute * MINUTE_MS;
}

int dayline_minute(const struct dayline *d, int64_t ms)
{
    int64_t minute = ms > d->start_ms ? (ms - d->start_ms) / MINUTE_MS : 0;
    return minute < DAY_MINUTES_MAX ? (int)minute : DAY_MINUTES_MAX;
}

int dayline_wall(const struct dayline *d, int32_t day, int64_t minutes_from_midnight)
{
    return dayline_minute(d, shift_wall_ms(day, minutes_from_midnight));
}

int dayline_span(int64_t ms)
{
    return (int)((ms + MINUTE_MS - 1) / MINUTE_MS);
}

static bool later_block(const struct dayline_family *x, const struct dayline_family *y)
{
    int a = 0, b = 0;
    for (const char *c = x->allergens; *c != '\0'; c++) {
        a += c == x->allergens || *c == ',';
    }
    for (const char *c = y->allergens; *c != '\0'; c++) {
        b += c == y->allergens || *c == ',';
    }
    return a != b ? a > b : x->colour > y->colour;
}

/* Free of allergens before those with, fewer before more, light before dark. */
static void put_blocks(struct dayline_reading *r)
{
    struct day_problem *p = &r->out->problem;
    const struct dayline_family *f = r->out->families;
    int *blocks = ARENA_ARRAY(r->v->arena, int, (size_t)p->family_count + 1);
    for (int i = 0; i < p->family_count; i++) {
        for (int k = 0; k < p->family_count; k++) {
            blocks[i] += later_block(&f[i], &f[k]) ? 1 : 0;
        }
    }
    p->blocks = r->v->profile->lines.blocks ? blocks : NULL;
}

/* The same day without blocks, where they make a truck late. */
static void look_without_blocks(struct dayline_reading *r)
{
    struct dayline *d = r->out;
    if (d->problem.blocks == NULL || d->sequence->score.late == 0) {
        return;
    }
    struct day_problem *p = ARENA_NEW(r->v->arena, struct day_problem);
    *p = d->problem;
    p->blocks = NULL;
    d->free_score = day_orders_sequence(r->v->day_orders, r->v->arena, p)->score;
    d->has_free = d->free_score.late < d->sequence->score.late;
}

static struct result read_day(struct dayline_reading *r)
{
    TRY(dayline_read_lines(r));
    TRY(dayline_read_jobs(r));
    TRY(dayline_read_changes(r));
    TRY(dayline_read_trucks(r));
    put_blocks(r);
    TRY(day_check(&r->out->problem));
    r->out->sequence = day_orders_sequence(r->v->day_orders, r->v->arena, &r->out->problem);
    look_without_blocks(r);
    return RESULT_OK;
}

struct result dayline_read(struct view *v, int32_t day, struct dayline *out)
{
    *out = (struct dayline){.day = day};
    struct dayline_reading r = {.v = v, .out = out};
    TRY(view_day_start(v, day, &out->start_ms));
    TRY(view_day_start(v, day + 1, &out->end_ms));
    out->is_today = v->now_ms >= out->start_ms && v->now_ms < out->end_ms;
    int64_t now_ms = v->now_ms < out->end_ms ? v->now_ms : out->end_ms;
    out->problem.now_min = dayline_minute(out, now_ms);
    return v->profile->lines.given ? read_day(&r) : RESULT_OK;
}
