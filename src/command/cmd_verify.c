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

static void print_report(struct cli *cli, const struct verify_report *r,
                         const struct witness_report *heads)
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
            cli_number(cli, heads->kept), cli_number(cli, r->files), cli_number(cli, r->rows),
            hex_text(&cli->arena, r->root.b, sizeof r->root.b));
    if (heads->gone > 0) {
        CLI_SAY(cli, "verify.gone", cli_number(cli, heads->gone));
    }
    if (heads->wrong > 0) {
        CLI_SAY(cli, "verify.heads", cli_number(cli, heads->wrong));
    }
    if (r->found + heads->wrong == 0) {
        CLI_SAY(cli, "verify.whole", NULL);
    } else {
        CLI_SAY(cli, "verify.not-whole", cli_number(cli, r->found + heads->wrong));
    }
}

struct result cmd_verify(struct cli *cli)
{
    struct plant *plant;
    struct verify_report report;
    struct verify_progress progress = {.step = step, .self = cli};
    struct witness_report heads;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    TRY(store_begin(plant->store)); /* one state of the record, whoever writes meanwhile */
    struct result r = ledger_verify(plant->store, &progress, &cli->arena, &report);
    if (r.code == CODE_OK) {
        r = witness_compare(plant, report.entries, &cli->arena, &heads);
    }
    store_rollback(plant->store);
    TRY(r);
    cli_progress(cli, "", 0, 0);
    if (cli->json) {
        json_t *o = verify_json(&cli->arena, &report);
        json_object_set_new(o, "kept_heads", json_integer(heads.kept));
        json_object_set_new(o, "kept_heads_gone", json_integer(heads.gone));
        json_object_set_new(o, "kept_heads_wrong", json_integer(heads.wrong));
        cli_print_json(o);
        json_decref(o);
    } else {
        print_report(cli, &report, &heads);
    }
    return report.found + heads.wrong == 0
               ? RESULT_OK
               : FAIL1(RECORD_DIFFERS, "",
                       arena_printf(&cli->arena, "%lld", (long long)(report.found + heads.wrong)));
}
