#include "ledger/daybook.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/draft.h"

enum { LEDGER_MAGIC = 0x4c454447 };

static char *put_number(char *at, const char *name, int64_t value)
{
    char digits[INTEGER_TEXT_MAX], *end = digits + sizeof digits;
    const char *from = integer_before(end, value);
    return (char *)mempcpy(stpcpy(at, name), from, (size_t)(end - from));
}

static char *put_text(char *at, const char *name, const char *text, const char *after)
{
    return stpcpy(stpcpy(stpcpy(at, name), text), after);
}

/* RFC 8785 by hand: the names stand in order, and the body is canonical already and goes in as it
 * is stored, so that reading and writing it again can change nothing. */
const char *entry_bytes(struct arena *a, const struct entry *e)
{
    enum { NAMES_AND_NUMBERS = 512 }; /* twelve names, nine numbers, a digest and a uuid */
    const char *device = json_quoted(a, e->device), *kind = json_quoted(a, e->kind);
    char *out = arena_alloc(a, NAMES_AND_NUMBERS + strlen(e->body) + strlen(device) + strlen(kind));
    char *at = put_number(out, "{\"at\":", e->happened_ms);
    at = put_text(at, ",\"body\":", e->body, "");
    at = put_number(at, ",\"by\":", e->person);
    at = put_number(at, ",\"cause\":", e->cause);
    at = put_number(at, ",\"clock\":", e->clock_ms);
    at = put_number(at, ",\"day\":", e->day);
    at = put_text(at, ",\"device\":", device, "");
    at = put_text(at, ",\"digest\":\"", hex_text(a, e->digest.b, sizeof e->digest.b), "\"");
    at = put_text(at, ",\"kind\":", kind, "");
    at = put_number(at, ",\"offset\":", e->offset_min);
    at = put_number(at, ",\"recorded\":", e->recorded_ms);
    at = put_number(at, ",\"seq\":", e->seq);
    at = put_text(at, ",\"uuid\":\"", hex_text(a, e->uuid, 16), "\"");
    at = put_number(at, ",\"version\":", e->version);
    stpcpy(at, "}");
    return out;
}

/* A damaged row may have anything in place of its digest or text; whoever holds it against the rest
 * finds that. */
static void copy_digest(struct statement *q, int column, uint8_t *out, size_t wanted)
{
    size_t len;
    const void *bytes = store_bytes(q, column, &len);
    if (bytes != NULL && len == wanted) {
        memcpy(out, bytes, wanted);
    }
}

static const char *copy_text(struct statement *q, int column, struct arena *a)
{
    const char *text = store_text(q, column);
    return arena_copy(a, text != NULL ? text : "");
}

void entry_read_row(struct statement *q, struct arena *a, struct entry *out)
{
    *out = (struct entry){.seq = store_int(q, 0),
                          .cause = store_int(q, 2),
                          .happened_ms = store_int(q, 3),
                          .recorded_ms = store_int(q, 4),
                          .offset_min = (int)store_int(q, 5),
                          .day = (int32_t)store_int(q, 6),
                          .clock_ms = store_int(q, 8),
                          .person = store_int(q, 9),
                          .version = (int)store_int(q, 11)};
    copy_digest(q, 1, out->uuid, 16);
    out->device = copy_text(q, 7, a);
    out->kind = copy_text(q, 10, a);
    copy_digest(q, 12, out->digest.b, 32);
    out->body = copy_text(q, 13, a);
    copy_digest(q, 14, out->leaf.b, 32);
}

static struct result one_entry(struct statement *q, struct arena *a, struct entry *out,
                               bool *out_found)
{
    TRY(store_step(q, out_found));
    if (*out_found) {
        entry_read_row(q, a, out);
        bool more;
        TRY(store_step(q, &more));
    }
    return RESULT_OK;
}

struct result entry_by_seq(struct store *s, struct arena *a, int64_t seq, struct entry *out,
                           bool *out_found)
{
    struct statement *q = store_prepare(s, Q_DAYBOOK_BY_SEQ);
    store_bind_int(q, 1, seq);
    return one_entry(q, a, out, out_found);
}

struct result entry_by_uuid(struct store *s, struct arena *a, const uint8_t uuid[16],
                            struct entry *out, bool *out_found)
{
    struct statement *q = store_prepare(s, Q_DAYBOOK_BY_UUID);
    store_bind_bytes(q, 1, uuid, 16);
    return one_entry(q, a, out, out_found);
}

struct result daybook_append(struct ledger *lg, struct arena *a, const struct command *cmd,
                             int64_t cause, const char *body)
{
    struct entry e = {.seq = lg->next_seq,
                      .cause = cause,
                      .happened_ms = cmd->happened_ms,
                      .recorded_ms = cmd->recorded_ms,
                      .offset_min = cmd->offset_min,
                      .day = cmd->day,
                      .device = cmd->device,
                      .clock_ms = cmd->clock_ms,
                      .person = cmd->person,
                      .kind = cmd->kind,
                      .version = 1,
                      .digest = cmd->digest,
                      .body = body};
    memcpy(e.uuid, cmd->uuid, sizeof e.uuid);
    const char *bytes = entry_bytes(a, &e);
    e.leaf = merkle_leaf(bytes, strlen(bytes));
    struct statement *q = store_prepare(lg->store, Q_DAYBOOK_APPEND);
    store_bind_int(q, 1, e.seq);
    store_bind_bytes(q, 2, e.uuid, sizeof e.uuid);
    if (cause != 0) {
        store_bind_int(q, 3, cause);
    } else {
        store_bind_null(q, 3);
    }
    store_bind_int(q, 4, e.happened_ms);
    store_bind_int(q, 5, e.recorded_ms);
    store_bind_int(q, 6, e.offset_min);
    store_bind_int(q, 7, e.day);
    store_bind_text(q, 8, e.device);
    store_bind_int(q, 9, e.clock_ms);
    store_bind_int(q, 10, e.person);
    store_bind_text(q, 11, e.kind);
    store_bind_int(q, 12, e.version);
    store_bind_bytes(q, 13, e.digest.b, sizeof e.digest.b);
    store_bind_text(q, 14, e.body);
    store_bind_bytes(q, 15, e.leaf.b, sizeof e.leaf.b);
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    merkle_edge_push(&lg->tree, &e.leaf);
    lg->next_seq++;
    lg->tree_grew = true;
    return RESULT_OK;
}

enum { CAUSED_MAX = 1000 }; /* one entry for each positive sample, one for what is judged again */

static struct result caused_by(struct store *s, int64_t seq, int64_t *out, size_t *out_count)
{
    struct statement *q = store_prepare(s, Q_DAYBOOK_CAUSED_BY);
    store_bind_int(q, 1, seq);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (*out_count < CAUSED_MAX) {
            out[(*out_count)++] = store_int(q, 0);
        }
    }
}

struct result answer_compose(struct store *s, struct arena *a, int64_t seq, json_t **out)
{
    struct entry e;
    bool found;
    TRY(entry_by_seq(s, a, seq, &e, &found));
    CHECK(found);
    json_t *body;
    TRY(json_read(e.body, strlen(e.body), SIZE_MAX, &body));
    *out = json_incref(json_object_get(body, "answer"));
    json_decref(body);
    int64_t caused[CAUSED_MAX];
    size_t count = 0;
    TRY(caused_by(s, seq, caused, &count));
    for (size_t i = 0; i < count; i++) {
        json_t *answer = NULL;
        TRY(answer_compose(s, a, caused[i],
                           &answer)); /* what it caused in its turn stands inside it */
        json_t *list = json_object_get(*out, "consequences");
        if (list == NULL) {
            list = json_array();
            json_object_set_new(*out, "consequences", list);
        }
        json_array_append_new(list, answer);
    }
    return RESULT_OK;
}

/* Runs inside every commit of the ledger's store: one row for all entries of a transaction. */
static struct result put_tree(void *self)
{
    struct ledger *lg = self;
    CHECK(lg->magic == LEDGER_MAGIC);
    if (!lg->tree_grew) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(lg->store, Q_TREE_PUT);
    size_t peaks = (size_t)__builtin_popcountll(lg->tree.size);
    store_bind_int(q, 1, (int64_t)lg->tree.size);
    store_bind_bytes(q, 2, lg->tree.peak, peaks * sizeof lg->tree.peak[0]);
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    lg->tree_grew = false;
    return RESULT_OK;
}

static struct result load_tree(struct ledger *lg)
{
    struct statement *q = store_prepare(lg->store, Q_TREE_GET);
    bool row;
    TRY(store_step(q, &row));
    lg->tree = (struct merkle_edge){0};
    lg->tree_grew = false;
    if (row) {
        size_t len;
        lg->tree.size = (uint64_t)store_int(q, 0);
        const void *peaks = store_bytes(q, 1, &len);
        if (len != (size_t)__builtin_popcountll(lg->tree.size) * sizeof(struct hash)) {
            return FAIL1(STORE_DAMAGED, "", "the tree's edge does not fit its size");
        }
        memcpy(lg->tree.peak, peaks, len);
        TRY(store_step(q, &row));
    }
    q = store_prepare(lg->store, Q_DAYBOOK_LAST);
    TRY(store_step(q, &row));
    int64_t last = row ? store_int(q, 0) : 0;
    if (row) {
        TRY(store_step(q, &row));
    }
    lg->next_seq = last + 1;
    if (last != (int64_t)lg->tree.size) {
        return FAIL1(STORE_DAMAGED, "", "the tree and the daybook have different lengths");
    }
    return RESULT_OK;
}

static struct result next_profile(struct ledger *lg, int64_t now_ms)
{
    struct statement *q = store_prepare(lg->store, Q_PROFILE_NEXT);
    store_bind_int(q, 1, now_ms);
    bool row;
    TRY(store_step(q, &row));
    lg->profile_until_ms = row && !store_is_null(q, 0) ? store_int(q, 0) : INT64_MAX;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result ledger_profile_load(struct ledger *lg)
{
    int64_t now_ms = lg->world.now_ms(lg->world.self);
    TRY(next_profile(lg, now_ms));
    struct statement *q = store_prepare(lg->store, Q_PROFILE_IN_FORCE);
    store_bind_int(q, 1, now_ms);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return RESULT_OK;
    }
    int64_t entry = store_int(q, 0);
    if (lg->profile == NULL || entry != lg->profile_entry) {
        size_t len;
        const void *text = store_bytes(q, 1, &len);
        struct profile *p = NULL;
        TRY(text != NULL ? profile_read(text, len, &p)
                         : FAIL1(STORE_DAMAGED, "", "the profile's text is missing"));
        profile_free(lg->profile);
        lg->profile = p;
        lg->profile_entry = entry;
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result ledger_reload(struct ledger *lg)
{
    CHECK(lg->magic == LEDGER_MAGIC);
    TRY(load_tree(lg));
    return ledger_profile_load(lg);
}

struct result ledger_open(struct store *store, struct world world, struct ledger **out)
{
    struct ledger *lg = calloc(1, sizeof *lg);
    CHECK(lg != NULL);
    *lg = (struct ledger){.magic = LEDGER_MAGIC, .store = store, .world = world};
    struct result r = ledger_reload(lg);
    if (r.code != CODE_OK) {
        ledger_close(lg);
        return r;
    }
    store_before_commit(store, put_tree, lg);
    *out = lg;
    return RESULT_OK;
}

void ledger_close(struct ledger *lg)
{
    if (lg == NULL) {
        return;
    }
    CHECK(lg->magic == LEDGER_MAGIC);
    store_before_commit(lg->store, NULL, NULL);
    profile_free(lg->profile);
    lg->magic = 0;
    free(lg);
}
