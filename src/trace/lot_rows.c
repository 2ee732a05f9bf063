#include "trace/lot_rows.h"

#include <stdlib.h>
#include <string.h>

#include "ledger/ledger.h"

enum { LOT_GAP = 8 * LEDGER_IDS_PER_ENTRY, ENTRY_GAP = 8 };

struct lot_rows lot_rows_begin(struct store *s, enum query query, const int64_t *ids, size_t count)
{
    return (struct lot_rows){
        .store = s, .query = query, .ids = ids, .count = count, .gap_max = LOT_GAP};
}

struct lot_rows entry_rows_begin(struct store *s, enum query query, const int64_t *entries,
                                 size_t count)
{
    struct lot_rows rows = lot_rows_begin(s, query, entries, count);
    rows.gap_max = ENTRY_GAP;
    return rows;
}

static void open_range(struct lot_rows *r)
{
    r->at = r->end;
    r->end = r->at + 1;
    while (r->end < r->count && r->ids[r->end] - r->ids[r->end - 1] <= r->gap_max) {
        r->end++;
    }
    r->statement = store_prepare(r->store, r->query);
    store_bind_int(r->statement, 1, r->ids[r->at]);
    store_bind_int(r->statement, 2, r->ids[r->end - 1]);
}

struct result lot_rows_next(struct lot_rows *r, bool *out_row)
{
    *out_row = false;
    for (;;) {
        if (r->statement == NULL) {
            if (r->end == r->count) {
                return RESULT_OK;
            }
            open_range(r);
        }
        bool row;
        TRY(store_step(r->statement, &row));
        if (!row) {
            r->statement = NULL;
            continue;
        }
        int64_t id = store_int(r->statement, 0);
        while (r->at < r->end - 1 && r->ids[r->at] < id) {
            r->at++;
        }
        if (r->ids[r->at] == id) {
            *out_row = true;
            return RESULT_OK;
        }
    }
}

static int compare_ids(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

size_t ids_sort(int64_t *ids, size_t count)
{
    if (count == 0) {
        return 0;
    }
    qsort(ids, count, sizeof *ids, compare_ids);
    size_t kept = 1;
    for (size_t i = 1; i < count; i++) {
        if (ids[i] != ids[i - 1]) {
            ids[kept++] = ids[i];
        }
    }
    return kept;
}

size_t ids_index(const int64_t *ids, size_t count, int64_t id)
{
    size_t from = 0, to = count;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (ids[middle] < id) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    return from < count && ids[from] == id ? from : count;
}

void *list_grow(struct arena *a, void *list, size_t count, size_t *room, size_t size)
{
    if (count < *room) {
        return list;
    }
    *room = *room > 0 ? 2 * *room : 16;
    void *longer = arena_array(a, *room, size);
    if (count > 0) {
        memcpy(longer, list, count * size);
    }
    return longer;
}
