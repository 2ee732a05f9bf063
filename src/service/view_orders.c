#include "service/view_orders.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/closing.h"
#include "ledger/evidence.h"
#include "ledger/standing.h"
#include "service/order_instead.h"
#include "service/order_stock.h"
#include "service/view_inner.h"

struct line {
    const char *key, *customer, *item, *source;
    int32_t day, leaves; /* leaves earlier where nothing is dispatched on its day */
    int64_t pieces, shipped, version, stock, unfit;
    bool cancelled;
    const struct order_customer *who; /* NULL: no longer a customer of the house */
};

struct book {
    struct line *lines;
    struct order_stock stock;
    struct order_instead instead;
    size_t line_count;
};

static struct result read_lines(struct view *v, int32_t from, int32_t to, struct book *b)
{
    struct statement *q = store_prepare(v->store, Q_ORDER_LINES_OF_DAYS);
    store_bind_int(q, 1, from);
    store_bind_int(q, 2, to);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct line *line = evidence_grow(v->arena, &b->lines, &b->line_count, sizeof *b->lines);
        *line = (struct line){
            .key = arena_copy(v->arena, store_text(q, 0)),
            .version = store_int(q, 1),
            .customer = arena_copy(v->arena, store_text(q, 2)),
            .item = arena_copy(v->arena, store_text(q, 3)),
            .day = (int32_t)store_int(q, 4),
            .leaves = closing_leaves(v->profile, (int32_t)store_int(q, 4), view_day(v, v->now_ms)),
            .pieces = store_int(q, 5),
            .cancelled = strcmp(store_text(q, 6), "cancelled") == 0,
            .source = arena_copy(v->arena, store_text(q, 7)),
            .shipped = store_int(q, 8)};
    }
}

static void find_customers(struct book *b)
{
    for (size_t i = 0; i < b->line_count; i++) {
        b->lines[i].who = order_stock_customer(&b->stock, b->lines[i].customer);
    }
}

static const char *group_of(const struct line *line)
{
    return line->who != NULL ? line->who->group : "";
}

static int by_day_and_key(const void *x, const void *y)
{
    const struct line *a = x, *b = y;
    return a->day != b->day ? (a->day < b->day ? -1 : 1) : strcmp(a->key, b->key);
}

static int64_t open_of(const struct line *line)
{
    return line->cancelled || line->shipped >= line->pieces ? 0 : line->pieces - line->shipped;
}

static int64_t least(int64_t x, int64_t y)
{
    return x < y ? x : y;
}

/* Packs of other items that it was promised. -> pieces that it gets as ordered */
static int64_t take_instead(struct book *b, struct line *line)
{
    int64_t rest = open_of(line);
    const char *item;
    size_t at = 0;
    for (int64_t n; (n = order_instead_next(&b->instead, line->key, &at, rest, &item)) > 0;) {
        line->stock += order_stock_take(&b->stock, line->who, item, line->day, n);
        rest -= n;
    }
    return rest;
}

/* What an earlier day takes is not there for a later one. */
static void give_out(struct book *b, int32_t today)
{
    for (size_t i = 0; i < b->line_count; i++) {
        struct line *line = &b->lines[i];
        if (line->day >= today) {
            int64_t rest = take_instead(b, line);
            line->stock += order_stock_take(&b->stock, line->who, line->item, line->day, rest);
        }
    }
    for (size_t i = 0; i < b->line_count; i++) {
        struct line *line = &b->lines[i];
        int64_t left = line->day >= today ? order_stock_left(&b->stock, line->item) : 0;
        line->unfit = least(open_of(line) - line->stock, left);
    }
}

static const char *state_of(const struct line *line, int32_t today)
{
    if (line->cancelled) {
        return "cancelled";
    }
    if (open_of(line) == 0) {
        return "shipped";
    }
    if (line->stock == open_of(line)) {
        return "stock";
    }
    return line->leaves <= today + 1 ? "short" : "open";
}

/* Where nothing is dispatched on its day: when it leaves, and why. */
static void put_leaves(const struct view *v, json_t *o, const struct line *line)
{
    const struct closing *why = closing_on(v->profile, line->day, CLOSES_DISPATCH);
    bool moved = why != NULL && !line->cancelled;
    view_put(
        o, "leaves",
        view_text(moved && line->leaves < line->day ? day_text(v->arena, line->leaves) : NULL));
    view_put(o, "closed", view_text(moved ? why->reason : NULL));
}

static json_t *instead_json(const struct book *b, const struct line *line)
{
    json_t *list = json_array();
    const char *item;
    size_t at = 0;
    int64_t rest = open_of(line);
    for (int64_t n; (n = order_instead_next(&b->instead, line->key, &at, rest, &item)) > 0;) {
        json_t *o = json_pack("{s:s,s:I}", "item", item, "pieces", (json_int_t)n);
        CHECK(o != NULL);
        view_append(list, o);
        rest -= n;
    }
    return list;
}

static json_t *line_json(const struct view *v, const struct book *b, const struct line *line,
                         int32_t today)
{
    const struct order_customer *c = line->who;
    json_t *o =
        json_pack("{s:s,s:s,s:s,s:s,s:I,s:I,s:I,s:I,s:I,s:s,s:I,s:s}", "key", line->key, "customer",
                  line->customer, "group", group_of(line), "item", line->item, "pieces",
                  (json_int_t)line->pieces, "shipped", (json_int_t)line->shipped, "stock",
                  (json_int_t)line->stock, "missing", (json_int_t)(open_of(line) - line->stock),
                  "unfit", (json_int_t)line->unfit, "state", state_of(line, today), "version",
                  (json_int_t)line->version, "source", line->source);
    CHECK(o != NULL);
    view_put(o, "life_days", view_int(c != NULL, c != NULL ? c->life_days : 0));
    view_put(o, "instead", instead_json(b, line));
    put_leaves(v, o, line);
    return o;
}

struct sums {
    int64_t pieces, shipped, stock, missing;
};

static void add_to(struct sums *s, const struct line *line)
{
    if (!line->cancelled) {
        s->pieces += line->pieces;
        s->shipped += line->shipped;
        s->stock += line->stock;
        s->missing += open_of(line) - line->stock;
    }
}

static void put_sums(json_t *o, const struct sums *s)
{
    view_put(o, "pieces", json_integer(s->pieces));
    view_put(o, "shipped", json_integer(s->shipped));
    view_put(o, "stock", json_integer(s->stock));
    view_put(o, "missing", json_integer(s->missing));
}

/* Each group of customers once, in the order of its first line. */
static json_t *groups_json(const struct book *b, size_t from, size_t to)
{
    json_t *groups = json_array();
    for (size_t i = from; i < to; i++) {
        const char *group = group_of(&b->lines[i]);
        bool was_before = false;
        for (size_t k = from; k < i; k++) {
            was_before = was_before || strcmp(group_of(&b->lines[k]), group) == 0;
        }
        if (was_before) {
            continue;
        }
        struct sums sums = {0};
        for (size_t k = i; k < to; k++) {
            if (strcmp(group_of(&b->lines[k]), group) == 0) {
                add_to(&sums, &b->lines[k]);
            }
        }
        json_t *o = json_object();
        view_put(o, "group", json_string(group));
        put_sums(o, &sums);
        view_append(groups, o);
    }
    return groups;
}

/* The lines of a day, from *inout_at on. */
static json_t *day_json(const struct view *v, const struct book *b, int32_t today, size_t *inout_at)
{
    size_t from = *inout_at;
    struct sums sums = {0};
    json_t *o = json_object(), *lines = json_array();
    for (; *inout_at < b->line_count && b->lines[*inout_at].day == b->lines[from].day;
         ++*inout_at) {
        view_append(lines, line_json(v, b, &b->lines[*inout_at], today));
        add_to(&sums, &b->lines[*inout_at]);
    }
    view_put(o, "day", json_string(day_text(v->arena, b->lines[from].day)));
    put_sums(o, &sums);
    view_put(o, "groups", groups_json(b, from, *inout_at));
    view_put(o, "lines", lines);
    return o;
}

/* Of the goods: how long they keep, and what the lines up to the last day shown take of them. */
static json_t *there_json(const struct view *v, const struct book *b, int32_t today)
{
    json_t *list = json_array();
    for (size_t i = 0; i < b->stock.goods_count; i++) {
        const struct order_goods *t = &b->stock.goods[i];
        bool dated = t->best_before != 0;
        json_t *o = json_pack("{s:s,s:s,s:I,s:I}", "item", t->item, "markets", t->markets, "pieces",
                              (json_int_t)t->pieces, "free", (json_int_t)t->left);
        CHECK(o != NULL);
        view_put(o, "best_before", view_text(dated ? day_text(v->arena, t->best_before) : NULL));
        view_put(o, "left_d", view_int(dated, t->best_before - today));
        view_append(list, o);
    }
    return list;
}

static const char *standing_state(const struct standing *x, int32_t today)
{
    return today < x->from_day ? "coming" : today > x->to_day ? "ended" : "in-force";
}

static json_t *standing_json(const struct view *v, const struct standing *x, int32_t today)
{
    json_t *weekdays = json_array();
    for (int i = 0; i < 7; i++) {
        if ((x->weekdays >> i & 1) != 0) {
            view_append(weekdays, json_string(weekday_name(i)));
        }
    }
    json_t *o =
        json_pack("{s:s,s:s,s:s,s:o,s:I,s:s,s:s,s:s,s:I}", "code", x->code, "customer", x->customer,
                  "item", x->item, "weekdays", weekdays, "pieces", (json_int_t)x->pieces, "from",
                  day_text(v->arena, x->from_day), "terms", x->terms, "state",
                  standing_state(x, today), "entry", (json_int_t)x->entry);
    CHECK(o != NULL);
    view_put(o, "to", view_text(x->to_day < INT32_MAX ? day_text(v->arena, x->to_day) : NULL));
    return o;
}

static struct result put_standing(struct view *v, int32_t today, json_t *out)
{
    struct standing *list;
    size_t count;
    TRY(standing_all(v->store, v->arena, &list, &count));
    for (size_t i = 0; i < count; i++) {
        view_append(out, standing_json(v, &list[i], today));
    }
    return RESULT_OK;
}

struct result view_orders(struct view *v, int32_t from, int32_t to, json_t **out)
{
    struct book b = {0};
    int32_t today = view_day(v, v->now_ms);
    if (to < from || to - from >= VIEW_ORDERS_DAYS_MAX) {
        return FAIL2(
            FIELD_RANGE, "to", day_text(v->arena, to),
            arena_printf(v->arena, "a day at most %d after \"from\"", VIEW_ORDERS_DAYS_MAX - 1));
    }
    TRY(read_lines(v, from < today ? from : today, to, &b));
    TRY(order_stock_read(v, &b.stock));
    TRY(order_instead_read(v, today, &b.instead));
    find_customers(&b);
    if (b.line_count > 0) {
        qsort(b.lines, b.line_count, sizeof *b.lines, by_day_and_key);
    }
    give_out(&b, today);
    json_t *days = json_array(), *standing = json_array();
    TRY(put_standing(v, today, standing));
    for (size_t i = 0; i < b.line_count;) {
        bool is_asked = b.lines[i].day >= from;
        json_t *day = day_json(v, &b, today, &i);
        if (is_asked) {
            view_append(days, day);
        } else {
            json_decref(day);
        }
    }
    *out = json_pack("{s:s,s:s,s:o,s:o,s:o}", "from", day_text(v->arena, from), "to",
                     day_text(v->arena, to), "there", there_json(v, &b, today), "days", days,
                     "standing", standing);
    CHECK(*out != NULL);
    return RESULT_OK;
}

static struct result add_versions(struct view *v, const char *key, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_ORDER_VERSIONS);
    store_bind_text(q, 1, key);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(list,
                    json_pack("{s:I,s:s,s:s,s:s,s:I,s:s,s:s,s:I,s:I,s:I}", "version",
                              (json_int_t)store_int(q, 0), "customer", store_text(q, 1), "item",
                              store_text(q, 2), "day", day_text(v->arena, (int32_t)store_int(q, 3)),
                              "pieces", (json_int_t)store_int(q, 4), "state", store_text(q, 5),
                              "source", store_text(q, 6), "entry", (json_int_t)store_int(q, 7),
                              "at_ms", (json_int_t)store_int(q, 8), "by",
                              (json_int_t)store_int(q, 9)));
    }
}

static struct result add_shipments(struct view *v, const char *key, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_ORDER_SHIPMENTS);
    store_bind_text(q, 1, key);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(list,
                    json_pack("{s:s,s:I,s:I}", "shipment", store_text(q, 0), "at_ms",
                              (json_int_t)store_int(q, 1), "pieces", (json_int_t)store_int(q, 2)));
    }
}

struct result view_order(struct view *v, const char *key, json_t **out)
{
    json_t *versions = json_array(), *shipments = json_array();
    json_t *o =
        json_pack("{s:s,s:o,s:o}", "key", key, "versions", versions, "shipments", shipments);
    CHECK(o != NULL);
    struct result r = add_versions(v, key, versions);
    if (r.code == CODE_OK && json_array_size(versions) == 0) {
        r = FAIL1(ORDER_UNKNOWN, "key", key);
    }
    if (r.code == CODE_OK) {
        r = add_shipments(v, key, shipments);
    }
    return view_hand_over(r, o, out);
}
