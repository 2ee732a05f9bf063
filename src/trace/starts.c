#include "trace/starts.h"

#include <string.h>

#include "trace/lot_rows.h"

struct start {
    int64_t lot;
    double weight;
};

struct start_list {
    struct arena *arena;
    struct start *start;
    size_t count, room;
};

static void add_start(struct start_list *list, int64_t lot, double weight)
{
    list->start =
        list_grow(list->arena, list->start, list->count, &list->room, sizeof(struct start));
    list->start[list->count++] = (struct start){lot, weight};
}

static struct result add_deliveries(struct store *s, int64_t supplier_lot, struct start_list *list)
{
    struct statement *q = store_prepare(s, Q_TRACE_START_SUPPLIER_LOT);
    store_bind_int(q, 1, supplier_lot);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add_start(list, store_int(q, 0), 1);
    }
}

static struct result add_lot(struct store *s, const char *code, enum direction direction,
                             struct start_list *list)
{
    struct statement *q = store_prepare(s, Q_TRACE_START_LOT);
    store_bind_text(q, 1, code);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return RESULT_OK;
    }
    int64_t lot = store_int(q, 0);
    bool supplier = strcmp(store_text(q, 1), "supplier") == 0;
    TRY(store_step(q, &row)); /* codes are unique: this ends the reading */
    add_start(list, lot, 1);
    return supplier && direction == TRACE_FORWARD ? add_deliveries(s, lot, list) : RESULT_OK;
}

/* Lots of a unit or shipment, with their masses as weights. */
static struct result add_masses(struct store *s, enum query query, const char *code,
                                struct start_list *list)
{
    struct statement *q = store_prepare(s, query);
    store_bind_text(q, 1, code);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t mg = store_int(q, 1);
        add_start(list, store_int(q, 0), mg > 0 ? (double)mg : 0);
    }
}

/* Makes the weights from first on sum to 1; equal ones where no mass is known. */
static void level_weights(struct start_list *list, size_t first)
{
    double sum = 0;
    for (size_t i = first; i < list->count; i++) {
        sum += list->start[i].weight;
    }
    for (size_t i = first; i < list->count; i++) {
        struct start *st = &list->start[i];
        st->weight = sum > 0 ? st->weight / sum : 1 / (double)(list->count - first);
    }
}

static struct result add_code(struct store *s, const char *field, const char *code,
                              enum direction direction, struct start_list *list)
{
    size_t first = list->count;
    TRY(add_lot(s, code, direction, list));
    if (list->count == first) {
        TRY(add_masses(s, Q_TRACE_START_UNIT, code, list));
    }
    if (list->count == first) {
        TRY(add_masses(s, Q_TRACE_START_SHIPMENT, code, list));
    }
    if (list->count == first) {
        return FAIL1(TRACE_START, field, code);
    }
    level_weights(list, first);
    return RESULT_OK;
}

struct result starts_find(struct store *s, const char *field, const char *const *codes,
                          size_t code_count, enum direction direction, struct arena *a,
                          struct trace_starts *out)
{
    struct start_list list = {.arena = a};
    for (size_t i = 0; i < code_count; i++) {
        TRY(add_code(s, field, codes[i], direction, &list));
    }
    out->lot = ARENA_ARRAY(a, int64_t, list.count);
    for (size_t i = 0; i < list.count; i++) {
        out->lot[i] = list.start[i].lot;
    }
    out->count = ids_sort(out->lot, list.count);
    out->weight = ARENA_ARRAY(a, double, out->count);
    for (size_t i = 0; i < list.count; i++) {
        out->weight[ids_index(out->lot, out->count, list.start[i].lot)] += list.start[i].weight;
    }
    return RESULT_OK;
}
