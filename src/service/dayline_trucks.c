/* The trucks of a day: what they are to take, what of it is there, which jobs it comes from. */
#include <math.h>
#include <string.h>

#include "base/civil.h"
#include "ledger/closing.h"
#include "ledger/evidence.h"
#include "service/dayline_inner.h"
#include "service/order_instead.h"
#include "service/order_stock.h"
#include "service/standing_asked.h"
#include "service/view_inner.h"

struct wanted {
    const char *customer, *group, *item;
    const char *ordered;  /* NULL: the item itself; else it goes in place of this */
    const char *standing; /* NULL: it stands in the order book */
    int32_t day;
    int64_t priority, pieces;
};

struct book {
    struct wanted *lines;
    struct order_stock stock;
    struct order_instead instead;
    size_t line_count;
};

static void add_line(struct view *v, struct book *b, const struct wanted *line)
{
    struct wanted *out = evidence_grow(v->arena, &b->lines, &b->line_count, sizeof *b->lines);
    *out = *line;
}

/* What is promised as packs of another item is a line of its own. */
static void add_order(struct view *v, struct book *b, const char *key, const struct wanted *line)
{
    struct wanted rest = *line;
    const char *item;
    size_t at = 0;
    for (int64_t n; (n = order_instead_next(&b->instead, key, &at, rest.pieces, &item)) > 0;) {
        struct wanted given = *line;
        given.item = item;
        given.ordered = line->item;
        given.pieces = n;
        rest.pieces -= n;
        add_line(v, b, &given);
    }
    if (rest.pieces > 0) {
        add_line(v, b, &rest);
    }
}

static struct result read_lines(struct view *v, int32_t to, struct book *b)
{
    struct statement *q = store_prepare(v->store, Q_DAYLINE_ORDERS);
    store_bind_int(q, 1, view_day(v, v->now_ms));
    store_bind_int(q, 2, to + CLOSING_BACK_DAYS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 6) <= 0) {
            continue;
        }
        struct wanted line = {.customer = arena_copy(v->arena, store_text(q, 1)),
                              .group = arena_copy(v->arena, store_text(q, 2)),
                              .priority = store_int(q, 3),
                              .item = arena_copy(v->arena, store_text(q, 4)),
                              .day = (int32_t)store_int(q, 5),
                              .pieces = store_int(q, 6)};
        add_order(v, b, store_text(q, 0), &line);
    }
}

/* Of customers that the house still has. */
static struct result read_standing(struct view *v, int32_t to, struct book *b)
{
    struct standing_ask *asks;
    size_t count;
    TRY(standing_asked(v->store, v->arena, view_day(v, v->now_ms), to + CLOSING_BACK_DAYS, &asks,
                       &count));
    for (size_t i = 0; i < count; i++) {
        const struct standing *s = asks[i].of;
        const struct order_customer *who = order_stock_customer(&b->stock, s->customer);
        struct partner partner;
        bool found = false;
        if (who != NULL) {
            TRY(partner_by_code(v->store, v->arena, s->customer, &partner, &found));
        }
        if (found) {
            add_line(v, b,
                     &(struct wanted){.customer = s->customer,
                                      .group = who->group,
                                      .priority = partner.priority,
                                      .item = s->item,
                                      .standing = s->code,
                                      .day = asks[i].day,
                                      .pieces = asks[i].pieces});
        }
    }
    return RESULT_OK;
}

/* -> pieces of a line that stand there and are fit for its customer, taken away */
static int64_t take_stock(struct book *b, const struct wanted *line)
{
    return order_stock_take(&b->stock, order_stock_customer(&b->stock, line->customer), line->item,
                            line->day, line->pieces);
}

/* On a day when nothing is dispatched no truck leaves: it takes its goods on the open day before.
 */
static bool takes(const struct dayline_reading *r, const struct truck *t, const struct wanted *line)
{
    int32_t leaves = closing_leaves(r->v->profile, line->day - (int32_t)t->ahead_days,
                                    view_day(r->v, r->v->now_ms));
    return leaves == r->out->day &&
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
    if (line->ordered != NULL) {
        order_notes_given(r->v, &r->notes[truck], line->pieces, line->item, line->ordered);
    }
    if (line->standing != NULL) {
        order_notes_standing(r->v, &r->notes[truck], line->standing, line->pieces);
    }
    t->early += line->day > r->out->day + (int32_t)t->truck->ahead_days ? line->pieces : 0;
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
    r->notes = ARENA_ARRAY(r->v->arena, struct order_notes, l->truck_count + 1);
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
        d->trucks[at] = (struct dayline_truck){.truck = t, .notes = ""};
    }
    for (int i = 0; i < d->problem.truck_count; i++) {
        const struct truck *t = d->trucks[i].truck;
        r->trucks[i] = (struct day_truck){.code = t->name,
                                          .cut_off = dayline_wall(d, d->day, t->cut_off_min),
                                          .load_min = dayline_span(t->load_ms),
                                          .weight = 1};
    }
    d->problem.trucks = r->trucks;
    d->problem.needs = r->needs;
}

/* What is to leave before is not for these trucks. */
static void take_earlier(const struct dayline_reading *r, struct book *b)
{
    const struct dayline *d = r->out;
    int32_t today = view_day(r->v, r->v->now_ms);
    for (size_t i = 0; i < b->line_count; i++) {
        const struct wanted *line = &b->lines[i];
        int truck = 0;
        while (truck < d->problem.truck_count && !takes(r, d->trucks[truck].truck, line)) {
            truck++;
        }
        if (truck == d->problem.truck_count &&
            closing_leaves(r->v->profile, line->day, today) <= d->day) {
            take_stock(b, line);
        }
    }
}

/* A day that is over has no trucks, nor one on which nothing is dispatched: what has left is told
 * by shipments. */
struct result dayline_read_trucks(struct dayline_reading *r)
{
    struct dayline *d = r->out;
    struct book b = {.line_count = 0};
    int64_t ahead = 0;
    if (r->v->now_ms >= d->end_ms || (closing_of(r->v->profile, d->day) & CLOSES_DISPATCH) != 0) {
        return RESULT_OK;
    }
    put_trucks(r);
    for (int t = 0; t < d->problem.truck_count; t++) {
        const struct truck *truck = d->trucks[t].truck;
        ahead = truck->ahead_days > ahead ? truck->ahead_days : ahead;
    }
    TRY(order_stock_read(r->v, &b.stock));
    TRY(order_instead_read(r->v, view_day(r->v, r->v->now_ms), &b.instead));
    TRY(read_lines(r->v, d->day + (int32_t)ahead, &b));
    TRY(read_standing(r->v, d->day + (int32_t)ahead, &b));
    take_earlier(r, &b);
    for (int t = 0; t < d->problem.truck_count; t++) {
        for (size_t i = 0; i < b.line_count; i++) {
            if (takes(r, d->trucks[t].truck, &b.lines[i])) {
                TRY(give(r, &b, &b.lines[i], t));
                b.lines[i].day = 0; /* it goes with one truck only */
            }
        }
        d->trucks[t].notes = order_notes_text(r->v, &r->notes[t]);
    }
    return RESULT_OK;
}
