/* After a restore to an older head: which entries are gone, proved by a signed head that was kept
 * outside. Their numbers are used again from here on; the head names which are meant. */
#include <string.h>

#include "base/civil.h"
#include "ledger/draft.h"

static struct result read_hex(const json_t *o, const char *key, const char *path, void *out,
                              size_t len)
{
    const char *text = NULL;
    TRY(json_get_text(o, key, path, JSON_NEEDED, &text));
    return hex_read(text, path, out, len);
}

static struct result read_head(struct draft *d, struct head *out)
{
    static const char *const names[] = {"size",       "root",      "signed_ms",
                                        "public_key", "signature", NULL};
    json_t *o = NULL;
    TRY(json_get_object(d->cmd->body, "head", "head", JSON_NEEDED, &o));
    TRY(json_only(o, "head", "a tree head", names));
    *out = (struct head){.why = ""};
    TRY(json_get_int(o, "size", "head.size", JSON_NEEDED, 1, INT64_C(1) << 50, &out->size));
    TRY(json_get_int(o, "signed_ms", "head.signed_ms", JSON_NEEDED, 0, INT64_C(1) << 50,
                     &out->signed_ms));
    TRY(read_hex(o, "root", "head.root", out->root.b, sizeof out->root.b));
    TRY(read_hex(o, "public_key", "head.public_key", out->public_key, sizeof out->public_key));
    TRY(read_hex(o, "signature", "head.signature", out->signature, sizeof out->signature));
    return head_holds(out) ? RESULT_OK : FAIL0(HEAD_FALSE, "head.signature");
}

/* Where this house signed heads before, the key must be one of those. */
static struct result key_known(struct draft *d, const struct head *head)
{
    struct statement *q = store_prepare(d->store, Q_HEAD_ALL);
    bool row, any = false, known = false;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        size_t len;
        const void *key = store_bytes(q, 4, &len);
        any = true;
        known =
            known || (len == sizeof head->public_key && memcmp(key, head->public_key, len) == 0);
    }
    return !any || known ? RESULT_OK : FAIL0(HEAD_FALSE, "head.public_key");
}

struct result decide_restored(struct draft *d)
{
    static const char *const names[] = {"head", NULL};
    struct head head;
    int64_t here = d->seq - 1;
    TRY(draft_only(d, "a restore", names));
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say why an older record was restored.");
    }
    TRY(read_head(d, &head));
    TRY(key_known(d, &head));
    if (head.size <= here) {
        return FAIL2(HEAD_HERE, "head.size", arena_printf(d->arena, "%lld", (long long)head.size),
                     arena_printf(d->arena, "%lld", (long long)here));
    }
    const char *from = arena_printf(d->arena, "%lld", (long long)here + 1);
    const char *to = arena_printf(d->arena, "%lld", (long long)head.size);
    struct command told = *d->cmd;
    const struct command *cmd = d->cmd;
    told.mode = MODE_TELL; /* nobody can be asked: it has happened */
    d->cmd = &told;
    struct result r =
        draft_break(d, "entries-gone", 0, NULL, head.signed_ms, d->cmd->recorded_ms,
                    FAIL3(ENTRIES_GONE, "", from, to, civil_short(d->arena, head.signed_ms)));
    d->cmd = cmd;
    TRY(r);
    json_object_set_new(d->answer, "gone_from", json_integer(here + 1));
    json_object_set_new(d->answer, "gone_to", json_integer(head.size));
    return RESULT_OK;
}
