#include "ledger/replay.h"

#include "ledger/fold.h"
#include "ledger/touch.h"

struct result replay_begin(struct store **out)
{
    TRY(store_open(NULL, STORE_MEMORY, out));
    struct result r = store_begin(*out);
    if (r.code != CODE_OK) {
        store_close(*out);
        *out = NULL;
    }
    return r;
}

struct result replay_fold(struct store *to, const struct entry *e)
{
    json_t *effects = NULL;
    struct result r = entry_effects(e, &effects);
    if (r.code == CODE_OK) {
        r = fold_effects(to, e->seq, effects);
    }
    json_decref(effects);
    return r;
}

struct result replay_copy(struct store *to, const struct entry *e)
{
    struct statement *q = store_prepare(to, Q_DAYBOOK_APPEND);
    store_bind_int(q, 1, e->seq);
    store_bind_bytes(q, 2, e->uuid, sizeof e->uuid);
    if (e->cause != 0) {
        store_bind_int(q, 3, e->cause);
    } else {
        store_bind_null(q, 3);
    }
    store_bind_int(q, 4, e->happened_ms);
    store_bind_int(q, 5, e->recorded_ms);
    store_bind_int(q, 6, e->offset_min);
    store_bind_int(q, 7, e->day);
    store_bind_text(q, 8, e->device);
    store_bind_int(q, 9, e->clock_ms);
    store_bind_int(q, 10, e->person);
    store_bind_text(q, 11, e->kind);
    store_bind_int(q, 12, e->version);
    store_bind_bytes(q, 13, e->digest.b, sizeof e->digest.b);
    store_bind_text(q, 14, e->body);
    store_bind_bytes(q, 15, e->leaf.b, sizeof e->leaf.b);
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}
