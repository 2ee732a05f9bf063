#include "trace/facts.h"

#include <string.h>

#include "trace/lot_rows.h"

static const char *keep(struct arena *a, const char *text)
{
    return text != NULL ? arena_copy(a, text) : NULL;
}

static struct result read_balances(struct store *s, const int64_t *lots, size_t count,
                                   struct lot_fact *facts)
{
    struct lot_rows rows = lot_rows_begin(s, Q_TRACE_BALANCES, lots, count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *unit = store_text(rows.statement, 1);
        int64_t amount = store_int(rows.statement, 2);
        if (strcmp(unit, "mg") == 0) {
            facts[rows.at].here_mg = amount;
        } else if (strcmp(unit, "pc") == 0) {
            facts[rows.at].here_pieces = amount;
        }
    }
}

struct result facts_read(struct store *s, const int64_t *lots, size_t count, struct arena *a,
                         struct lot_fact **out)
{
    struct lot_fact *facts = ARENA_ARRAY(a, struct lot_fact, count);
    for (size_t i = 0; i < count; i++) {
        facts[i].id = lots[i];
    }
    *out = facts;
    struct lot_rows rows = lot_rows_begin(s, Q_TRACE_LOTS, lots, count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            return read_balances(s, lots, count, facts);
        }
        struct statement *q = rows.statement;
        facts[rows.at] = (struct lot_fact){.id = store_int(q, 0),
                                           .code = keep(a, store_text(q, 1)),
                                           .item = keep(a, store_text(q, 2)),
                                           .kind = keep(a, store_text(q, 3)),
                                           .place = keep(a, store_text(q, 4)),
                                           .born_ms = store_int(q, 5),
                                           .supplier = keep(a, store_text(q, 6)),
                                           .supplier_code = keep(a, store_text(q, 7)),
                                           .supplier_lot = store_int(q, 8),
                                           .best_before = (int32_t)store_int(q, 9),
                                           .closed_ms = store_int(q, 10),
                                           .day = (int32_t)store_int(q, 11)};
    }
}

struct result holds_read(struct store *s, const int64_t *lots, size_t count, struct arena *a,
                         struct lot_hold **out, size_t *out_count)
{
    size_t room = 0;
    *out = NULL;
    *out_count = 0;
    struct lot_rows rows = lot_rows_begin(s, Q_TRACE_HOLDS, lots, count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct statement *q = rows.statement;
        *out = list_grow(a, *out, *out_count, &room, sizeof **out);
        (*out)[(*out_count)++] = (struct lot_hold){.lot = store_int(q, 0),
                                                   .unit = keep(a, store_text(q, 1)),
                                                   .code = keep(a, store_text(q, 2)),
                                                   .kind = keep(a, store_text(q, 3)),
                                                   .reason = keep(a, store_text(q, 4)),
                                                   .placed_ms = store_int(q, 5),
                                                   .via = keep(a, store_text(q, 6))};
    }
}

struct result steps_read(struct store *s, const int64_t *entries, size_t count, struct arena *a,
                         struct entry_step **out, size_t *out_count)
{
    size_t room = 0;
    *out = NULL;
    *out_count = 0;
    struct lot_rows rows = entry_rows_begin(s, Q_TRACE_STEPS, entries, count);
    for (;;) {
        bool row;
        TRY(lot_rows_next(&rows, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct statement *q = rows.statement;
        *out = list_grow(a, *out, *out_count, &room, sizeof **out);
        (*out)[(*out_count)++] = (struct entry_step){.entry = store_int(q, 0),
                                                     .kind = keep(a, store_text(q, 1)),
                                                     .act = keep(a, store_text(q, 2)),
                                                     .place = keep(a, store_text(q, 3)),
                                                     .run = keep(a, store_text(q, 4)),
                                                     .start_ms = store_int(q, 5),
                                                     .end_ms = store_int(q, 6)};
    }
}
