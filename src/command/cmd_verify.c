#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "command/cli.h"
#include "ledger/verify.h"
#include "service/witness.h"

static bool step(void *self, const char *what, int64_t done, int64_t of)
{
    cli_progress(self, what, done, of);
    return true;
}

/* Heads that left the record are held against it too: the tree must begin with the leaves they were
 * signed over. */
static struct result check_kept_heads(struct cli *cli, struct plant *plant, int64_t entries,
                                      int64_t *out_count, int64_t *out_wrong)
{
    json_t *heads, *head;
    size_t i;
    struct hash *leaves = ARENA_ARRAY(&cli->arena, struct hash, (size_t)entries + 1);
    struct statement *q = store_prepare(plant->store, Q_DAYBOOK_LEAVES);
    bool row;
    int64_t n = 0;
    *out_count = *out_wrong = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        size_t len;
        const void *leaf = store_bytes(q, 0, &len);
        if (n < entries && len == sizeof leaves[0].b) {
            memcpy(leaves[n++].b, leaf, len);
        }
    }
    TRY(witness_all(plant->folder, &cli->arena, &heads));
    json_array_foreach(heads, i, head)
    {
        int64_t size = json_integer_value(json_object_get(head, "size"));
        const char *root = json_string_value(json_object_get(head, "root"));
        if (size < 1 || size > n || root == NULL) {
            continue; /* a longer one is answered by "restored" */
        }
        struct hash is = merkle_root(leaves, (uint64_t)size);
        (*out_count)++;
        *out_wrong += strcmp(root, hex_text(&cli->arena, is.b, sizeof is.b)) != 0 ? 1 : 0;
    }
    json_decref(heads);
    return RESULT_OK;
}

static void print_report(struct cli *cli, const struct verify_report *r, int64_t kept,
                         int64_t wrong)
{
    for (size_t i = 0; i < r->finding_count; i++) {
        const struct verify_finding *f = &r->findings[i];
        cli_say(cli, "  %s %s: stands %s, should be %s", f->table, f->key, f->is, f->wanted);
    }
    for (size_t i = 0; i < r->owed_count; i++) {
        const struct verify_owed *o = &r->owed[i];
        cli_say(cli, "  owed, to be explained: lot %s, %s (entry %lld)", o->lot,
                strcmp(o->unit, "mg") == 0
                    ? mass_text(&cli->arena, o->amount, 0)
                    : arena_printf(&cli->arena, "%lld %s", (long long)o->amount, o->unit),
                (long long)o->entry);
    }
    cli_say(cli,
            "%lld entries, %lld heads, %lld kept heads, %lld files, %lld rows looked at. Root %s.",
            (long long)r->entries, (long long)r->heads, (long long)kept, (long long)r->files,
            (long long)r->rows, hex_text(&cli->arena, r->root.b, sizeof r->root.b));
    if (wrong > 0) {
        cli_say(cli,
                "%lld heads kept beside the record do not fit it: entries were changed after they "
                "were signed.",
                (long long)wrong);
    }
    cli_say(cli,
            r->found + wrong == 0 ? "The record is whole."
                                  : "The record is NOT whole: %lld differences.",
            (long long)(r->found + wrong));
}

struct result cmd_verify(struct cli *cli)
{
    struct plant *plant;
    struct verify_report report;
    struct verify_progress progress = {.step = step, .self = cli};
    int64_t kept, wrong;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    TRY(store_begin(plant->store)); /* one state of the record, whoever writes meanwhile */
    struct result r = ledger_verify(plant->store, &progress, &cli->arena, &report);
    if (r.code == CODE_OK) {
        r = check_kept_heads(cli, plant, report.entries, &kept, &wrong);
    }
    store_rollback(plant->store);
    TRY(r);
    cli_progress(cli, "", 0, 0);
    if (cli->json) {
        json_t *o = verify_json(&cli->arena, &report);
        json_object_set_new(o, "kept_heads", json_integer(kept));
        json_object_set_new(o, "kept_heads_wrong", json_integer(wrong));
        cli_print_json(o);
        json_decref(o);
    } else {
        print_report(cli, &report, kept, wrong);
    }
    return report.found + wrong == 0
               ? RESULT_OK
               : FAIL1(RECORD_DIFFERS, "",
                       arena_printf(&cli->arena, "%lld", (long long)(report.found + wrong)));
}
