/* The entries one by one: their order, form, leaves and sums; the tree over them; the heads that
 * were signed. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "ledger/daybook.h"
#include "ledger/replay.h"
#include "ledger/touch.h"
#include "ledger/verify_inner.h"

struct heads {
    struct head *list; /* rising sizes */
    size_t count, at;
};

struct walk {
    struct verifying *v;
    struct heads heads;
    struct merkle_edge tree;
    int64_t last, of;
    int64_t recorded_ms;
    uint8_t (*uuids)[16];
    size_t uuid_count, uuid_room;
};

static const char *entry_key(struct walk *w, int64_t seq)
{
    return arena_printf(&w->v->scratch, "seq=%lld", (long long)seq);
}

static void found(struct walk *w, int64_t seq, const char *is, const char *wanted)
{
    verify_found(w->v, "daybook", entry_key(w, seq), is, wanted);
}

static struct result read_heads(struct verifying *v, struct heads *out)
{
    struct statement *q = store_prepare(v->store, Q_HEAD_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (out->count % 64 == 0) {
            struct head *more = ARENA_ARRAY(v->arena, struct head, out->count + 64);
            if (out->count > 0) {
                memcpy(more, out->list, out->count * sizeof *more);
            }
            out->list = more;
        }
        struct head *h = &out->list[out->count++];
        size_t root, key, signature;
        const void *root_bytes = store_bytes(q, 1, &root), *key_bytes = store_bytes(q, 4, &key);
        const void *signature_bytes = store_bytes(q, 5, &signature);
        *h = (struct head){.size = store_int(q, 0),
                           .signed_ms = store_int(q, 2),
                           .why = arena_copy(v->arena, store_text(q, 3))};
        memcpy(h->root.b, root_bytes, root == sizeof h->root.b ? root : 0);
        memcpy(h->public_key, key_bytes, key == sizeof h->public_key ? key : 0);
        memcpy(h->signature, signature_bytes, signature == sizeof h->signature ? signature : 0);
    }
}

/* A head of this size, against the tree of the leaves so far. */
static void check_heads(struct walk *w)
{
    struct heads *heads = &w->heads;
    while (heads->at < heads->count && heads->list[heads->at].size <= (int64_t)w->tree.size) {
        const struct head *h = &heads->list[heads->at++];
        const char *key = arena_printf(&w->v->scratch, "size=%lld", (long long)h->size);
        struct hash root = merkle_edge_root(&w->tree);
        if (h->size == (int64_t)w->tree.size && !hash_equal(&root, &h->root)) {
            verify_found(w->v, "head", key, hex_text(&w->v->scratch, root.b, 32),
                         hex_text(&w->v->scratch, h->root.b, 32));
        }
        if (!head_holds(h)) {
            verify_found(w->v, "head", key, "a signature that does not fit",
                         "the signature of its own bytes");
        }
    }
}

static void remember_uuid(struct walk *w, const uint8_t uuid[16])
{
    if (w->uuid_count == w->uuid_room) {
        w->uuid_room = w->uuid_room != 0 ? w->uuid_room * 2 : 1024;
        w->uuids = realloc(w->uuids, w->uuid_room * sizeof *w->uuids);
        CHECK(w->uuids != NULL);
    }
    memcpy(w->uuids[w->uuid_count++], uuid, 16);
}

static int by_bytes(const void *left, const void *right)
{
    return memcmp(left, right, 16);
}

static void check_uuids(struct walk *w)
{
    if (w->uuid_count > 0) {
        qsort(w->uuids, w->uuid_count, sizeof *w->uuids, by_bytes);
    }
    for (size_t i = 1; i < w->uuid_count; i++) {
        if (memcmp(w->uuids[i - 1], w->uuids[i], 16) == 0) {
            const char *uuid =
                arena_printf(&w->v->scratch, "uuid=%s", hex_text(&w->v->scratch, w->uuids[i], 16));
            verify_found(w->v, "daybook", uuid, "two entries", "one");
        }
    }
}

/* Each unit of an entry sums to zero over lots and the world's accounts. */
static void check_sums(struct walk *w, const struct entry *e, const json_t *effects)
{
    static const char *const units[] = {"mg", "pc", "mL"};
    for (int u = 0; u < 3; u++) {
        int64_t sum = 0;
        bool over = false;
        size_t i;
        json_t *effect;
        json_array_foreach(effects, i, effect)
        {
            const char *unit = effect_is(effect, "movement") ? effect_text(effect, 4) : NULL;
            if (unit != NULL && strcmp(unit, units[u]) == 0) {
                over = __builtin_add_overflow(sum, effect_int(effect, 5), &sum) || over;
            }
        }
        if (sum != 0 || over) {
            found(w, e->seq,
                  arena_printf(&w->v->scratch, "its legs sum to %lld %s", (long long)sum, units[u]),
                  "a sum of zero");
        }
    }
}

static void check_body(struct walk *w, const struct entry *e)
{
    json_t *body = NULL;
    struct result r = json_read_stored(e->body, &body);
    if (r.code == CODE_OK && json_no_reals(body).code != CODE_OK) {
        r = FAIL0(FIELD_TYPE, "body");
    }
    if (r.code != CODE_OK) {
        found(w, e->seq, "a body that can't be read", "canonical JSON");
        json_decref(body);
        return;
    }
    if (strcmp(json_canonical(&w->v->scratch, body), e->body) != 0) {
        found(w, e->seq, "a body in another form", "canonical JSON");
    }
    check_sums(w, e, json_object_get(body, "effects"));
    json_decref(body);
}

static void check_order(struct walk *w, const struct entry *e)
{
    if (e->seq != w->last + 1) {
        found(w, e->seq, "a gap before it",
              arena_printf(&w->v->scratch, "seq=%lld", (long long)w->last + 1));
    }
    if (e->cause < 0 || e->cause >= e->seq) {
        found(w, e->seq, "a cause that is not before it", "an earlier entry or none");
    }
    w->last = e->seq;
    w->recorded_ms = e->recorded_ms;
    remember_uuid(w, e->uuid);
}

static struct result check_entry(struct walk *w, const struct entry *e)
{
    check_order(w, e);
    check_body(w, e);
    const char *bytes = entry_bytes(&w->v->scratch, e);
    struct hash leaf = merkle_leaf(bytes, strlen(bytes));
    if (!hash_equal(&leaf, &e->leaf)) {
        found(w, e->seq, hex_text(&w->v->scratch, leaf.b, 32),
              hex_text(&w->v->scratch, e->leaf.b, 32));
    }
    merkle_edge_push(&w->tree, &leaf);
    check_heads(w);
    struct result r = replay_fold(w->v->replica, e);
    if (r.code != CODE_OK) {
        found(w, e->seq, result_sentence(&w->v->scratch, &r), "effects that can be folded");
    }
    return w->last % 256 == 0 ? verify_step(w->v, "entries", w->last, w->of) : RESULT_OK;
}

static struct result check_tree(struct walk *w)
{
    struct statement *q = store_prepare(w->v->store, Q_TREE_GET);
    bool row;
    TRY(store_step(q, &row));
    int64_t size = row ? store_int(q, 0) : 0;
    size_t len = 0;
    const void *peaks = row ? store_bytes(q, 1, &len) : NULL;
    size_t want = (size_t)__builtin_popcountll(w->tree.size) * sizeof(struct hash);
    if (size != (int64_t)w->tree.size) {
        verify_found(w->v, "tree", "size", arena_printf(&w->v->scratch, "%lld", (long long)size),
                     arena_printf(&w->v->scratch, "%lld", (long long)w->tree.size));
    } else if (len != want || (want > 0 && memcmp(peaks, w->tree.peak, want) != 0)) {
        verify_found(w->v, "tree", "peaks", "another edge", "the edge of the entries' leaves");
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    for (; w->heads.at < w->heads.count; w->heads.at++) {
        const char *key =
            arena_printf(&w->v->scratch, "size=%lld", (long long)w->heads.list[w->heads.at].size);
        verify_found(w->v, "head", key,
                     arena_printf(&w->v->scratch, "%lld entries", (long long)w->tree.size),
                     "as many entries as were signed");
    }
    return RESULT_OK;
}

static struct result count_entries(struct verifying *v, int64_t *out)
{
    struct statement *q = store_prepare(v->store, Q_VERIFY_ENTRY_COUNT);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result walk_entries(struct walk *w)
{
    struct statement *q = store_prepare(w->v->store, Q_DAYBOOK_AFTER);
    store_bind_int(q, 1, INT64_MIN);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct entry e;
        arena_clear(&w->v->scratch);
        entry_read_row(q, &w->v->scratch, &e);
        TRY(check_entry(w, &e));
    }
    check_uuids(w);
    w->v->out->entries = (int64_t)w->tree.size;
    w->v->out->heads = (int64_t)w->heads.count;
    w->v->out->root = merkle_edge_root(&w->tree);
    return check_tree(w);
}

struct result verify_daybook(struct verifying *v)
{
    struct walk w = {.v = v};
    TRY(count_entries(v, &w.of));
    TRY(read_heads(v, &w.heads));
    struct result r = walk_entries(&w);
    free(w.uuids);
    return r;
}
