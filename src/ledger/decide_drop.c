/* A piece past its retention may go: its digest, its summary and the entry that says who dropped it
 * stay. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/consequence.h"
#include "ledger/piece.h"
#include "ledger/view.h"

static struct result piece_named(struct draft *d, struct piece *out)
{
    const char *text = NULL;
    TRY(json_get_text(d->cmd->body, "piece", "piece", JSON_NEEDED, &text));
    struct hash sha;
    bool found;
    TRY(hex_read(text, "piece", sha.b, sizeof sha.b));
    TRY(piece_by_sha(d->store, d->arena, &sha, out, &found));
    return found ? RESULT_OK : FAIL1(PIECE_UNKNOWN, "piece", text);
}

/* How long pieces are kept stands in the profile as a limit in days; without one nothing is
 * dropped. */
static struct result past_retention(struct draft *d, const struct piece *p)
{
    struct limit keep;
    TRY(limit_in_force(d->store, d->profile, "series-retention", NULL, d->cmd->recorded_ms, &keep));
    if (!keep.has_low) {
        return FAIL1(LIMIT_UNKNOWN, "piece", "series-retention");
    }
    int64_t until_ms = p->to_ms + keep.low / 1000 * INT64_C(86400000);
    const char *sha = hex_text(d->arena, p->sha.b, sizeof p->sha.b);
    return d->cmd->recorded_ms > until_ms
               ? RESULT_OK
               : FAIL2(PIECE_YOUNG, "piece", sha, civil_short(d->arena, until_ms));
}

static struct result needed_by(struct draft *d, const struct piece *p, int64_t *out_entry)
{
    struct id_set readers = id_set_new(d->arena);
    TRY(piece_readers(d->store, p, &readers));
    *out_entry = readers.count > 0 ? readers.id[0] : 0;
    if (*out_entry != 0) {
        return RESULT_OK;
    }
    bool row;
    struct statement *q = store_prepare(d->store, Q_PIECE_RESTS);
    store_bind_int(q, 1, p->from_ms);
    store_bind_int(q, 2, p->to_ms);
    store_bind_int(q, 3, p->entry);
    store_bind_text(q, 4, p->series);
    TRY(store_step(q, &row));
    *out_entry = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result decide_drop_piece(struct draft *d)
{
    static const char *const names[] = {"piece", NULL};
    struct piece p;
    int64_t entry;
    TRY(draft_only(d, "dropping a piece", names));
    if (d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    TRY(piece_named(d, &p));
    TRY(past_retention(d, &p));
    TRY(needed_by(d, &p, &entry));
    const char *sha = hex_text(d->arena, p.sha.b, sizeof p.sha.b);
    if (entry != 0) {
        return FAIL2(PIECE_NEEDED, "piece", sha, arena_printf(d->arena, "%lld", (long long)entry));
    }
    draft_add(d, EFFECT_PIECE_DROPPED, "iin", p.entry, d->cmd->recorded_ms);
    json_object_set_new(d->answer, "piece", json_string(sha));
    json_object_set_new(d->answer, "series", json_string(p.series));
    return RESULT_OK;
}

/* The bytes go when nothing else names them. They are no derived row, so no effect can take them.
 */
struct result consequence_drop_piece(struct consequence *c)
{
    if (strcmp(c->cause->kind, "drop-piece") != 0) {
        return RESULT_OK;
    }
    const char *text = json_string_value(json_object_get(c->cause->body, "piece"));
    struct hash sha;
    TRY(hex_read(text, "piece", sha.b, sizeof sha.b));
    struct statement *q = store_prepare(c->lg->store, Q_BLOB_DROP);
    store_bind_bytes(q, 1, sha.b, sizeof sha.b);
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}
