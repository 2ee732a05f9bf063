#include "ledger/hold.h"

static struct result finish(struct statement *q, bool row)
{
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result hold_by_code(struct store *s, struct arena *a, const char *code, struct hold_row *out,
                           bool *out_found)
{
    struct statement *q = store_prepare(s, Q_HOLD_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct hold_row){.id = store_int(q, 0),
                                 .code = arena_copy(a, store_text(q, 1)),
                                 .kind = arena_copy(a, store_text(q, 2)),
                                 .needs = arena_copy(a, store_text(q, 4)),
                                 .placed_ms = store_int(q, 6),
                                 .run = store_int(q, 7),
                                 .from_ms = store_int(q, 8),
                                 .to_ms = store_int(q, 9),
                                 .lifted_ms = store_int(q, 10),
                                 .entry = store_int(q, 11)};
    }
    return finish(q, *out_found);
}

struct result hold_covers(struct store *s, int64_t hold, struct id_set *out_lots,
                          struct id_set *out_units)
{
    struct statement *q = store_prepare(s, Q_HOLD_COVERS);
    store_bind_int(q, 1, hold);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 1) == 0) {
            id_set_add(out_lots, store_int(q, 0));
        } else {
            id_set_add(out_units, store_int(q, 1));
        }
    }
}

struct result lot_is_here(struct store *s, int64_t lot, bool *out)
{
    struct statement *q = store_prepare(s, Q_HOLD_STOCK);
    store_bind_int(q, 1, lot);
    bool row;
    TRY(store_step(q, &row));
    *out = row && (store_int(q, 0) > 0 || store_int(q, 1) > 0);
    return finish(q, row);
}

struct result struck_by(struct store *s, int64_t entry, int64_t *out)
{
    struct statement *q = store_prepare(s, Q_STRUCK_BY);
    store_bind_int(q, 1, entry);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    return finish(q, row);
}
