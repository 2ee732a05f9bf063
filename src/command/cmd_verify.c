#include <string.h>

#include "base/check.h"
#include "command/say.h"
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
        CLI_SAY(cli, "verify.differs", f->table, f->key, f->is, f->wanted);
    }
    for (size_t i = 0; i < r->owed_count; i++) {
        const struct verify_owed *o = &r->owed[i];
        CLI_SAY(cli, "verify.owed", o->lot, cli_amount(cli, o->amount, o->unit, 0),
                cli_number(cli, o->entry));
    }
    CLI_SAY(cli, "verify.counts", cli_number(cli, r->entries), cli_number(cli, r->heads),
            cli_number(cli, kept), cli_number(cli, r->files), cli_number(cli, r->rows),
            hex_text(&cli->arena, r->root.b, sizeof r->root.b));
    if (wrong > 0) {
        CLI_SAY(cli, "verify.heads", cli_number(cli, wrong));
    }
    if (r->found + wrong == 0) {
        CLI_SAY(cli, "verify.whole", NULL);
    } else {
        CLI_SAY(cli, "verify.not-whole", cli_number(cli, r->found + wrong));
    }
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
