/* One entry with what it told, what it caused, and its place in the tree. */
#include <string.h>

#include "base/check.h"
#include "base/uuid.h"
#include "ledger/aside.h"
#include "ledger/strike.h"
#include "service/entry_row.h"
#include "service/proof.h"
#include "service/sentence.h"
#include "service/view_daybook.h"
#include "service/view_inner.h"

static json_t *head_json(struct view *v, const struct head *head)
{
    json_t *o = json_pack("{s:I,s:s,s:I,s:s,s:s}", "size", (json_int_t)head->size, "root",
                          hex_text(v->arena, head->root.b, sizeof head->root.b), "signed_ms",
                          (json_int_t)head->signed_ms, "public_key",
                          hex_text(v->arena, head->public_key, sizeof head->public_key),
                          "signature", hex_text(v->arena, head->signature, sizeof head->signature));
    CHECK(o != NULL);
    return o;
}

static json_t *path_json(struct view *v, const struct proof *p)
{
    json_t *path = json_array();
    for (size_t i = 0; i < p->path_count; i++) {
        json_array_append_new(path,
                              json_string(hex_text(v->arena, p->path[i].b, sizeof p->path[i].b)));
    }
    return path;
}

/* The signed head must be that of the entries, and the leaf that of the entry's own bytes. */
static struct result check(const struct proof *p, const struct head *head, bool is_signed,
                           const struct hash *leaf)
{
    if (is_signed && (!hash_equal(&p->root, &head->root) || !head_holds(head))) {
        return FAIL1(STORE_DAMAGED, "", "the daybook does not give the root that was signed");
    }
    bool holds = merkle_inclusion_holds(leaf, (uint64_t)p->index, (uint64_t)p->size, p->path,
                                        p->path_count, &p->root);
    return holds ? RESULT_OK
                 : FAIL1(STORE_DAMAGED, "", "an entry's bytes do not give the leaf that is kept");
}

static struct result proof_json(struct view *v, const struct entry *e, const struct hash *leaf,
                                json_t **out)
{
    struct head head;
    struct proof p;
    int64_t size;
    TRY(proof_head(v->store, &head));
    bool is_signed = head.size >= e->seq;
    if (is_signed) {
        size = head.size;
    } else {
        TRY(proof_size(v->store, &size));
    }
    TRY(proof_of(v->store, size, e->seq, &p));
    TRY(check(&p, &head, is_signed, leaf));
    *out =
        json_pack("{s:I,s:I,s:s,s:o,s:o}", "index", (json_int_t)p.index, "size", (json_int_t)p.size,
                  "root", hex_text(v->arena, p.root.b, sizeof p.root.b), "path", path_json(v, &p),
                  "head", is_signed ? head_json(v, &head) : json_null());
    CHECK(*out != NULL);
    return RESULT_OK;
}

static struct result caused_json(struct view *v, int64_t seq, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_CAUSED);
    store_bind_int(q, 1, seq);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        json_array_append_new(list, json_integer(store_int(q, 0)));
    }
}

static json_t *deviations_json(struct view *v, const json_t *answer)
{
    json_t *list = json_array(), *one;
    size_t i;
    json_array_foreach(json_object_get(answer, "deviations"), i, one)
    {
        json_array_append_new(list, json_string(sentence_deviation(v->arena, v->lang, one)));
    }
    return list;
}

/* Quality at any time; whoever told it within the shift. */
static struct result may_correct(struct view *v, const struct entry *e, bool *out)
{
    *out = false;
    bool quality = v->role != NULL && strcmp(v->role, "quality") == 0;
    if (!quality && !strike_is_own(v->profile, e, v->person, v->now_ms)) {
        return RESULT_OK;
    }
    struct result r = strike_takes(v->store, v->arena, e, "entry");
    *out = r.code == CODE_OK;
    bool refused =
        r.code == CODE_ENTRY_STRUCK || r.code == CODE_STRIKE_KIND || r.code == CODE_STRIKE_CAUSE;
    return refused ? RESULT_OK : r;
}

/* Of what was told and not booked: whether it is settled, and whether the reader may settle it. */
static struct result aside_json(struct view *v, const struct entry *e, json_t **out)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_ASIDE);
    store_bind_int(q, 1, e->seq);
    bool row;
    TRY(store_step(q, &row));
    *out = json_null();
    if (row) {
        bool is_open = store_is_null(q, 0);
        bool may = v->role != NULL && (e->person == v->person || list_has(aside_roles, v->role));
        *out = json_pack("{s:o,s:b}", "settled_by", view_int(!is_open, store_int(q, 0)),
                         "may_settle", (int)(is_open && may));
        CHECK(*out != NULL);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result fill(struct view *v, const struct entry *e, const json_t *body, json_t *row)
{
    json_t *caused = json_array(), *proof, *aside;
    bool correctable;
    const char *bytes = entry_bytes(v->arena, e);
    struct hash leaf = merkle_leaf(bytes, strlen(bytes));
    json_object_set_new(row, "caused", caused);
    TRY(caused_json(v, e->seq, caused));
    TRY(may_correct(v, e, &correctable));
    TRY(aside_json(v, e, &aside));
    json_object_set_new(row, "aside", aside);
    TRY(proof_json(v, e, &leaf, &proof));
    const json_t *answer = json_object_get(body, "answer");
    json_t *more = json_pack(
        "{s:i,s:s,s:I,s:i,s:s,s:o,s:O,s:O,s:o,s:I,s:s,s:o,s:b}", "offset_min", e->offset_min,
        "device", e->device, "clock_ms", (json_int_t)e->clock_ms, "version", e->version, "uuid",
        uuid_text(v->arena, e->uuid), "cause", e->cause != 0 ? json_integer(e->cause) : json_null(),
        "told", json_object_get(body, "did"), "answer", answer, "deviations",
        deviations_json(v, answer), "effects",
        (json_int_t)json_array_size(json_object_get(body, "effects")), "leaf",
        hex_text(v->arena, leaf.b, sizeof leaf.b), "proof", proof, "correctable", (int)correctable);
    CHECK(more != NULL);
    json_object_update(row, more);
    json_decref(more);
    return RESULT_OK;
}

struct result view_entry(struct view *v, int64_t seq, json_t **out)
{
    struct entry e;
    bool found;
    json_t *body, *row = NULL;
    TRY(entry_by_seq(v->store, v->arena, seq, &e, &found));
    if (!found) {
        return FAIL1(ENTRY_UNKNOWN, "entry", arena_printf(v->arena, "%lld", (long long)seq));
    }
    TRY(json_read_stored(e.body, &body));
    struct result r = entry_row(v, &e, body, &row);
    if (r.code == CODE_OK) {
        r = fill(v, &e, body, row);
    }
    json_decref(body);
    return view_hand_over(r, row, out);
}
