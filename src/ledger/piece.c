#include "ledger/piece.h"

#include <string.h>

#include "base/civil.h"
#include "base/json.h"

struct result piece_by_sha(struct store *s, struct arena *a, const struct hash *sha,
                           struct piece *out, bool *out_found)
{
    struct statement *q = store_prepare(s, Q_PIECE_BY_SHA);
    store_bind_bytes(q, 1, sha->b, sizeof sha->b);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct piece){.entry = store_int(q, 0),
                              .series = arena_copy(a, store_text(q, 1)),
                              .from_ms = store_int(q, 2),
                              .to_ms = store_int(q, 3),
                              .sha = *sha};
    }
    for (bool row = *out_found; row;) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* A treatment whose command names this series for a time that the piece is of. */
static bool reads_piece(const char *body, const struct piece *p)
{
    json_t *root = NULL;
    bool reads = false;
    if (json_read_stored(body, &root).code != CODE_OK) {
        return true; /* what can't be read can't be shown not to rest on it */
    }
    const json_t *series = json_object_get(json_object_get(root, "did"), "series");
    const char *name = json_string_value(json_object_get(series, "name"));
    const char *from = json_string_value(json_object_get(series, "from")),
               *to = json_string_value(json_object_get(series, "to"));
    if (name != NULL && from != NULL && to != NULL && strcmp(name, p->series) == 0) {
        int64_t from_ms = 0, to_ms = 0;
        reads = civil_read(from, "", &from_ms).code != CODE_OK ||
                civil_read(to, "", &to_ms).code != CODE_OK ||
                (from_ms <= p->to_ms && to_ms >= p->from_ms);
    }
    json_decref(root);
    return reads;
}

struct result piece_readers(struct store *s, const struct piece *p, struct id_set *entries)
{
    struct statement *q = store_prepare(s, Q_TREATMENT_BODIES_FROM);
    store_bind_int(q, 1, p->from_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (reads_piece(store_text(q, 1), p)) {
            id_set_add(entries, store_int(q, 0));
        }
    }
}
