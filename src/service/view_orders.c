#include "service/view_orders.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/view_inner.h"

struct line {
    const char *key, *customer, *item, *source;
    int32_t day;
    int64_t pieces, shipped, version, stock;
    bool cancelled;
};

struct there {
    const char *item;
    int64_t pieces;
};

struct book {
    struct line *lines;
    struct there *there;
    size_t line_count, there_count;
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
        *line = (struct line){.key = arena_copy(v->arena, store_text(q, 0)),
                              .version = store_int(q, 1),
                              .customer = arena_copy(v->arena, store_text(q, 2)),
                              .item = arena_copy(v->arena, store_text(q, 3)),
                              .day = (int32_t)store_int(q, 4),
                              .pieces = store_int(q, 5),
                              .cancelled = strcmp(store_text(q, 6), "cancelled") == 0,
                              .source = arena_copy(v->arena, store_text(q, 7)),
                              .shipped = store_int(q, 8)};
    }
}

static struct result read_there(struct view *v, struct book *b)
{
    struct statement *q = store_prepare(v->store, Q_TODAY_STOCK);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct there *t = evidence_grow(v->arena, &b->there, &b->there_count, sizeof *b->there);
        *t = (struct there){.item = arena_copy(v->arena, store_text(q, 0)),
                            .pieces = store_int(q, 1)};
    }
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

static void give_out(struct book *b, int32_t today)
{
    for (size_t i = 0; i < b->line_count; i++) {
        struct line *line = &b->lines[i];
        for (size_t k = 0; line->day >= today && k < b->there_count; k++) {
            struct there *t = &b->there[k];
            if (strcmp(t->item, line->item) == 0) {
                line->stock = open_of(line) < t->pieces ? open_of(line) : t->pieces;
                t->pieces -= line->stock;
            }
        }
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
    return line->day <= today + 1 ? "short" : "open";
}

static json_t *line_json(const struct line *line, int32_t today)
{
    return json_pack("{s:s,s:s,s:s,s:I,s:I,s:I,s:I,s:s,s:I,s:s}", "key", line->key, "customer",
                     line->customer, "item", line->item, "pieces", (json_int_t)line->pieces,
                     "shipped", (json_int_t)line->shipped, "stock", (json_int_t)line->stock,
                     "missing", (json_int_t)(open_of(line) - line->stock), "state",
                     state_of(line, today), "version", (json_int_t)line->version, "source",
                     line->source);
}

/* The lines of a day, from *inout_at on. */
static json_t *day_json(const struct view *v, const struct book *b, int32_t today, size_t *inout_at)
{
    const struct line *first = &b->lines[*inout_at];
    int64_t pieces = 0, shipped = 0, stock = 0, missing = 0;
    json_t *lines = json_array();
    for (; *inout_at < b->line_count && b->lines[*inout_at].day == first->day; ++*inout_at) {
        const struct line *line = &b->lines[*inout_at];
        view_append(lines, line_json(line, today));
        if (!line->cancelled) {
            pieces += line->pieces;
            shipped += line->shipped;
            stock += line->stock;
            missing += open_of(line) - line->stock;
        }
    }
    return json_pack("{s:s,s:I,s:I,s:I,s:I,s:o}", "day", day_text(v->arena, first->day), "pieces",
                     (json_int_t)pieces, "shipped", (json_int_t)shipped, "stock", (json_int_t)stock,
                     "missing", (json_int_t)missing, "lines", lines);
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
    /* what an earlier day takes of the stock is not there for a later one */
    TRY(read_lines(v, from < today ? from : today, to, &b));
    TRY(read_there(v, &b));
    if (b.line_count > 0) {
        qsort(b.lines, b.line_count, sizeof *b.lines, by_day_and_key);
    }
    give_out(&b, today);
    json_t *days = json_array();
    for (size_t i = 0; i < b.line_count;) {
        bool is_asked = b.lines[i].day >= from;
        json_t *day = day_json(v, &b, today, &i);
        if (is_asked) {
            view_append(days, day);
        } else {
            json_decref(day);
        }
    }
    *out = json_pack("{s:s,s:s,s:o}", "from", day_text(v->arena, from), "to",
                     day_text(v->arena, to), "days", days);
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
    if (r.code != CODE_OK) {
        json_decref(o);
        return r;
    }
    *out = o;
    return RESULT_OK;
}
