#include <string.h>

#include "base/civil.h"
#include "command/cli.h"

static void print_hold(struct cli *cli, struct statement *q)
{
    const char *lot = store_is_null(q, 6) ? "" : store_text(q, 6);
    if (cli->json) {
        json_t *o =
            json_pack("{s:s,s:s,s:s,s:s,s:s,s:I,s:s,s:I}", "hold", store_text(q, 0), "hold_kind",
                      store_text(q, 1), "stops", store_text(q, 2), "needs", store_text(q, 3),
                      "reason", store_text(q, 4), "placed_ms", (json_int_t)store_int(q, 5), "lot",
                      lot, "covered", (json_int_t)store_int(q, 7));
        cli_print_json(o);
        json_decref(o);
        return;
    }
    cli_say(cli, "%-9s %-12s since %s  %s%s%lld covered  stops %s  needs %s: %s", store_text(q, 0),
            store_text(q, 1), civil_short(&cli->arena, store_int(q, 5)), lot,
            lot[0] != '\0' ? ", " : "", (long long)store_int(q, 7), store_text(q, 2),
            store_text(q, 3), store_text(q, 4));
}

static struct result list(struct cli *cli)
{
    struct plant *plant;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    struct statement *q = store_prepare(plant->store, Q_HOLD_LIST_OPEN);
    bool row, any = false;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        any = true;
        print_hold(cli, q);
    }
    if (!any) {
        cli_say(cli, "Nothing is held.");
    }
    return RESULT_OK;
}

struct result cmd_hold(struct cli *cli)
{
    const char *what = cli_word(cli);
    if (what != NULL && strcmp(what, "place") == 0) {
        return cli_send(cli, "hold");
    }
    if (what != NULL && strcmp(what, "lift") == 0) {
        return cli_send(cli, "lift");
    }
    if (what != NULL && strcmp(what, "list") == 0) {
        return list(cli);
    }
    return cli_usage(cli, "Say place, lift or list.");
}
