/* What is here: open lots with what is left of them, by kind. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "command/cli.h"

static void print_lot(struct cli *cli, struct statement *q)
{
    int64_t mg = store_int(q, 5), pieces = store_int(q, 6);
    const char *place = store_is_null(q, 3) ? "" : store_text(q, 3);
    if (cli->json) {
        json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:s,s:I,s:I,s:I}", "lot", store_text(q, 0), "kind",
                              store_text(q, 1), "item", store_text(q, 2), "place", place, "day",
                              day_text(&cli->arena, (int32_t)store_int(q, 4)), "mg", (json_int_t)mg,
                              "pieces", (json_int_t)pieces, "holds", (json_int_t)store_int(q, 7));
        cli_print_json(o);
        json_decref(o);
        return;
    }
    cli_say(cli, "%-24s %-11s %-9s %-6s since %s  %12s%s%s", store_text(q, 0), store_text(q, 1),
            store_text(q, 2), place, day_text(&cli->arena, (int32_t)store_int(q, 4)),
            mass_text(&cli->arena, mg, 1000),
            pieces > 0 ? arena_printf(&cli->arena, ", %lld pieces", (long long)pieces) : "",
            store_int(q, 7) > 0 ? ", held" : "");
}

struct result cmd_lots(struct cli *cli)
{
    const char *kind = cli_option(cli, "kind");
    struct plant *plant;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    struct statement *q = store_prepare(plant->store, Q_LOT_LIST_OPEN);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (kind == NULL || strcmp(kind, store_text(q, 1)) == 0) {
            print_lot(cli, q);
        }
    }
}
