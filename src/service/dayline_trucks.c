/* The trucks of a day: what they are to take, what of it is there, which jobs it comes from. */
#include <math.h>
#include <string.h>

#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/dayline_inner.h"
#include "service/order_stock.h"
#include "service/view_inner.h"

struct wanted {
    const char *customer, *group, *item;
    int32_t day;
    int64_t priority, pieces;
};

struct book {
    struct wanted *lines;
    struct order_stock stock;
    size_t line_count;
};

static struct result read_lines(struct view *v, int32_t to, struct book *b)
{
    struct statement *q = store_prepare(v->store, Q_DAYLINE_ORDERS);
    store_bind_int(q, 1, view_day(v, v->now_ms));
    store_bind_int(q, 2, to);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 6) <= 0) {
            continue;
        }
        struct wanted *line = evidence_grow(v->arena, &b->lines, &b->line_count, sizeof *b->lines);
        *line = (struct wanted){.customer = arena_copy(v->arena, store_text(q, 1)),
                                .group = arena_copy(v->arena, store_text(q, 2)),
                                .priority = store_int(q, 3),
                                .item = arena_copy(v->arena, store_text(q, 4)),
                                .day = (int32_t)store_int(q, 5),
                                .pieces = store_int(q, 6)};
    }
}

/* -> pieces of a line that stand there and are fit for its customer, taken away */
static int64_t take_stock(struct book *b, const struct wanted *line)
{
    return order_stock_take(&b->stock, order_stock_customer(&b->stock, line->customer), line->item,
                            line->day, line->pieces);
}

static bool takes(const struct truck *t, const struct wanted *line, int32_t day)
{
    return line->day == day + (int32_t)t->ahead_days &&
           (list_has(t->customers, line->customer) || list_has(t->groups, line->group));
}

static void add_need(struct dayline_reading *r, int job, int truck)
{
    struct day_problem *p = &r->out->problem;
    for (int i = 0; i < p->need_count; i++) {
        if (r->needs[i].job == job && r->needs[i].truck == truck) {
            return;
        }
    }
    r->needs[p->need_count++] = (struct day_need){.job = job, .truck = truck};
}

/* Gives the line goods of the day's jobs, first those that have begun, in their order. -> pieces
 * that none of them brings */
static int64_t give_jobs(struct dayline_reading *r, const struct item *item, int64_t pieces,
                         int truck)
{
    struct dayline *d = r->out;
    double kg_each = (double)item->net_mg * 1e-6, left = (double)pieces;
    for (size_t i = 0; i < d->job_count && left > 0 && kg_each > 0; i++) {
        struct dayline_job *job = &d->jobs[i];
        double most = floor(job->packed_kg / kg_each), taken = left < most ? left : most;
        if (strcmp(job->item, item->source_item) == 0 && taken > 0) {
            job->packed_kg -= taken * kg_each;
            left -= taken;
            add_need(r, (int)i, truck);
        }
    }
    return (int64_t)left;
}

static struct result give(struct dayline_reading *r, struct book *b, const struct wanted *line,
                          int truck)
{
    struct dayline_truck *t = &r->out->trucks[truck];
    struct item item;
    bool found;
    TRY(item_by_code(r->v->store, r->v->arena, line->item, &item, &found));
    int64_t stock = take_stock(b, line), left = line->pieces - stock;
    t->wanted += line->pieces;
    t->stock += stock;
    if (found && item.source_item != NULL && left > 0) {
        left = give_jobs(r, &item, left, truck);
    }
    t->lacking += left;
    int64_t weight = 10 - line->priority;
    if (weight > r->trucks[truck].weight) {
        r->trucks[truck].weight = (int)weight;
    }
    return RESULT_OK;
}

static void put_trucks(struct dayline_reading *r)
{
    const struct lines *l = &r->v->profile->lines;
    struct dayline *d = r->out;
    unsigned weekday = 1U << day_weekday(d->day);
    r->trucks = ARENA_ARRAY(r->v->arena, struct day_truck, l->truck_count + 1);
    d->trucks = ARENA_ARRAY(r->v->arena, struct dayline_truck, l->truck_count + 1);
    r->needs = ARENA_ARRAY(r->v->arena, struct day_need, (d->job_count + 1) * (l->truck_count + 1));
    for (size_t i = 0; i < l->truck_count; i++) {
        const struct truck *t = &l->trucks[i];
        if ((t->weekdays & weekday) == 0) {
            continue;
        }
        int at = d->problem.truck_count++;
        while (at > 0 && d->trucks[at - 1].truck->cut_off_min > t->cut_off_min) {
            d->trucks[at] = d->trucks[at - 1];
            at--;
        }
        d->trucks[at] = (struct dayline_truck){.truck = t};
    }
    for (int i = 0; i < d->problem.truck_count; i++) {
        const struct truck *t = d->trucks[i].truck;
        r->trucks[i] = (struct day_truck){.code = t->name,
                                          .cut_off = dayline_wall(d, t->cut_off_min),
                                          .load_min = dayline_span(t->load_ms),
                                          .weight = 1};
    }
    d->problem.trucks = r->trucks;
    d->problem.needs = r->needs;
}

/* What is to leave before is not for these trucks. */
static void take_earlier(const struct dayline *d, struct book *b)
{
    for (size_t i = 0; i < b->line_count; i++) {
        const struct wanted *line = &b->lines[i];
        int truck = 0;
        while (truck < d->problem.truck_count && !takes(d->trucks[truck].truck, line, d->day)) {
            truck++;
        }
        if (truck == d->problem.truck_count && line->day <= d->day) {
            take_stock(b, line);
        }
    }
}

/* A day that is over has no trucks: what has left is told by shipments. */
struct result dayline_read_trucks(struct dayline_reading *r)
{
    struct dayline *d = r->out;
    struct book b = {.line_count = 0};
    int64_t ahead = 0;
    if (r->v->now_ms >= d->end_ms) {
        return RESULT_OK;
    }
    put_trucks(r);
    for (int t = 0; t < d->problem.truck_count; t++) {
        const struct truck *truck = d->trucks[t].truck;
        ahead = truck->ahead_days > ahead ? truck->ahead_days : ahead;
    }
    TRY(read_lines(r->v, d->day + (int32_t)ahead, &b));
    TRY(order_stock_read(r->v, &b.stock));
    take_earlier(d, &b);
    for (int t = 0; t < d->problem.truck_count; t++) {
        for (size_t i = 0; i < b.line_count; i++) {
            if (takes(d->trucks[t].truck, &b.lines[i], d->day)) {
                TRY(give(r, &b, &b.lines[i], t));
                b.lines[i].day = 0; /* it goes with one truck only */
            }
        }
    }
    return RESULT_OK;
}
