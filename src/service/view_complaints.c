#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "calc/distribution.h"
#include "ledger/evidence.h"
#include "service/view_inner.h"
#include "service/view_registers.h"

#define DAY_MS INT64_C(86400000)
#define TAIL 0.025
/* As decide_complaint.c asks quality: a third alike within a month. */
enum { BACK_DAYS = 366, ALIKE_DAYS = 30, ALIKE_SHOWN = 2, ALIKE_ASKS = 3, PPM = 1000000 };

/* Complaints of an item in a calendar month. */
struct months {
    int32_t month; /* year * 12 + month - 1 */
    const char *item;
    int64_t complaints, packs;
};

/* Complaints of one kind about an item within 30 days. */
struct alike {
    const char *item, *kind;
    int64_t count;
    json_t *lots; /* borrowed from its row */
    json_t *row;
};

struct complaints {
    const struct view *v;
    struct months *months;
    size_t month_count;
    struct alike *alike;
    size_t alike_count;
    json_t *alike_rows;
};

static struct months *month_of(struct complaints *c, const char *item, int64_t at_ms)
{
    struct civil day = civil_from_ms(at_ms, civil_offset_min(at_ms));
    int32_t month = (int32_t)day.year * 12 + (int32_t)day.month - 1;
    for (size_t i = 0; i < c->month_count; i++) {
        if (c->months[i].month == month && strcmp(c->months[i].item, item) == 0) {
            return &c->months[i];
        }
    }
    struct months *m = evidence_grow(c->v->arena, &c->months, &c->month_count, sizeof *c->months);
    *m = (struct months){.month = month, .item = arena_copy(c->v->arena, item)};
    return m;
}

static void add_alike(struct complaints *c, const char *item, const char *kind, const char *lot)
{
    struct alike *a = NULL;
    for (size_t i = 0; i < c->alike_count && a == NULL; i++) {
        bool same = strcmp(c->alike[i].item, item) == 0 && strcmp(c->alike[i].kind, kind) == 0;
        a = same ? &c->alike[i] : NULL;
    }
    if (a == NULL) {
        a = evidence_grow(c->v->arena, &c->alike, &c->alike_count, sizeof *c->alike);
        *a = (struct alike){.item = arena_copy(c->v->arena, item),
                            .kind = arena_copy(c->v->arena, kind),
                            .lots = json_array()};
        a->row = json_pack("{s:s,s:s,s:o}", "item", item, "complaint", kind, "lots", a->lots);
        CHECK(a->row != NULL);
        json_array_append_new(c->alike_rows, a->row);
    }
    a->count++;
    size_t i;
    json_t *known;
    json_array_foreach(a->lots, i, known)
    {
        if (strcmp(json_string_value(known), lot) == 0) {
            return;
        }
    }
    view_append(a->lots, json_string(lot));
}

static json_t *of_data(const json_t *data, const char *key)
{
    json_t *value = json_object_get(data, key);
    return value != NULL ? json_incref(value) : json_null();
}

static struct result read_complaints(struct complaints *c, json_t *rows)
{
    const struct view *v = c->v;
    struct statement *q = store_prepare(v->store, Q_COMPLAINT_LIST);
    store_bind_int(q, 1, v->now_ms - BACK_DAYS * DAY_MS);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *kind = store_text(q, 1), *lot = store_text(q, 2), *item = store_text(q, 3);
        int64_t at_ms = store_int(q, 4);
        TRY(json_read_stored(store_text(q, 5), &data));
        view_append(rows,
                    json_pack("{s:I,s:s,s:s,s:s,s:I,s:o,s:o,s:o,s:I}", "entry",
                              (json_int_t)store_int(q, 0), "complaint", kind, "lot", lot, "item",
                              item, "at_ms", (json_int_t)at_ms, "what", of_data(data, "what"),
                              "customer", of_data(data, "customer"), "pieces",
                              of_data(data, "pieces"), "by", (json_int_t)store_int(q, 6)));
        json_decref(data);
        month_of(c, item, at_ms)->complaints++;
        if (at_ms > v->now_ms - ALIKE_DAYS * DAY_MS) {
            add_alike(c, item, kind, lot);
        }
    }
}

static struct result read_shipped(struct complaints *c)
{
    struct statement *q = store_prepare(c->v->store, Q_COMPLAINT_SHIPPED);
    store_bind_int(q, 1, c->v->now_ms - BACK_DAYS * DAY_MS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        month_of(c, store_text(q, 0), store_int(q, 1))->packs += store_int(q, 2);
    }
}

static int by_month(const void *x, const void *y)
{
    const struct months *a = x, *b = y;
    return a->month != b->month ? (a->month < b->month ? 1 : -1) : strcmp(a->item, b->item);
}

static void put_rate(const struct months *m, json_t *row)
{
    bool known = m->packs > 0 && m->complaints <= m->packs;
    double share = 0, low = 0, high = 0;
    if (known) {
        share = (double)m->complaints / (double)m->packs;
        low = share_low(m->complaints, m->packs, TAIL);
        high = share_high(m->complaints, m->packs, TAIL);
    }
    view_put(row, "rate_ppm", view_int(known, (int64_t)(share * PPM + 0.5)));
    view_put(row, "low_ppm", view_int(known, (int64_t)floor(low * PPM)));
    view_put(row, "high_ppm", view_int(known, (int64_t)ceil(high * PPM)));
}

static void put_months(struct complaints *c, json_t *o)
{
    json_t *rows = json_array();
    view_put(o, "months", rows);
    if (c->month_count > 0) {
        qsort(c->months, c->month_count, sizeof *c->months, by_month);
    }
    for (size_t i = 0; i < c->month_count; i++) {
        const struct months *m = &c->months[i];
        json_t *row = json_pack(
            "{s:s,s:s,s:I,s:I}", "month",
            arena_printf(c->v->arena, "%04d-%02d", (int)(m->month / 12), (int)(m->month % 12 + 1)),
            "item", m->item, "complaints", (json_int_t)m->complaints, "packs",
            (json_int_t)m->packs);
        CHECK(row != NULL);
        view_append(rows, row);
        put_rate(m, row);
    }
}

static void put_alike(struct complaints *c, json_t *o)
{
    json_t *rows = json_array();
    view_put(o, "alike", rows);
    for (size_t i = 0; i < c->alike_count; i++) {
        const struct alike *a = &c->alike[i];
        if (a->count >= ALIKE_SHOWN) {
            view_put(a->row, "count", json_integer(a->count));
            view_put(a->row, "asks", json_boolean(a->count >= ALIKE_ASKS));
            view_append(rows, json_incref(a->row));
        }
    }
}

static struct result fill(struct complaints *c, json_t *o)
{
    json_t *rows = json_array();
    view_put(o, "now_ms", json_integer(c->v->now_ms));
    view_put(o, "complaints", rows);
    TRY(read_complaints(c, rows));
    TRY(read_shipped(c));
    put_months(c, o);
    put_alike(c, o);
    return RESULT_OK;
}

struct result view_complaints(struct view *v, json_t **out)
{
    struct complaints c = {.v = v, .alike_rows = json_array()};
    json_t *o = json_object();
    struct result r = fill(&c, o);
    json_decref(c.alike_rows);
    return view_hand_over(r, o, out);
}
