/* What became of a lot's mass, and what the house's accounts hold. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "command/cli.h"
#include "ledger/view.h"

static void print_leg(struct cli *cli, struct statement *q, const char *unit, int64_t amount)
{
    const char *quantity = strcmp(unit, "mg") == 0
                               ? mass_text(&cli->arena, amount, 0)
                               : arena_printf(&cli->arena, "%lld %s", (long long)amount, unit);
    if (cli->json) {
        json_t *o = json_pack("{s:I,s:s,s:s,s:I,s:s,s:s?}", "entry", (json_int_t)store_int(q, 0),
                              "kind", store_text(q, 1), "unit", unit, "amount", (json_int_t)amount,
                              "how", store_text(q, 4), "instrument", store_text(q, 5));
        cli_print_json(o);
        json_decref(o);
        return;
    }
    cli_say(cli, "  entry %6lld  %-14s %16s  %s%s%s", (long long)store_int(q, 0), store_text(q, 1),
            quantity, store_text(q, 4), store_is_null(q, 5) ? "" : " on ",
            store_is_null(q, 5) ? "" : store_text(q, 5));
}

static struct result of_lot(struct cli *cli, struct plant *plant, const char *code)
{
    struct lot lot;
    bool found, row;
    TRY(lot_by_code(plant->store, &cli->arena, code, &lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    cli_say(cli, "Lot %s, %s %s:", lot.code, lot.kind, lot.item);
    struct statement *q = store_prepare(plant->store, Q_BALANCE_LEGS);
    store_bind_int(q, 1, lot.id);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        print_leg(cli, q, store_text(q, 2), store_int(q, 3));
    }
    int64_t mg, pieces;
    TRY(balance_of(plant->store, lot.id, UNIT_MG, &mg));
    TRY(balance_of(plant->store, lot.id, UNIT_PIECES, &pieces));
    cli_say(cli, "  left: %s%s", mass_text(&cli->arena, mg, 0),
            pieces != 0 ? arena_printf(&cli->arena, ", %lld pieces", (long long)pieces) : "");
    return RESULT_OK;
}

/* Wet: from the first scale after the chamber to packs, by-products and waste, step by step. */
static struct result wet(struct cli *cli, struct plant *plant)
{
    bool row;
    struct statement *q = store_prepare(plant->store, Q_BALANCE_STEPS);
    cli_say(cli, "%-14s %7s %14s %14s %14s", "step", "entries", "in", "out", "difference");
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t in = store_int(q, 2), out = store_int(q, 3);
        if (cli->json) {
            json_t *o = json_pack("{s:s,s:I,s:I,s:I}", "step", store_text(q, 0), "entries",
                                  (json_int_t)store_int(q, 1), "in_mg", (json_int_t)in, "out_mg",
                                  (json_int_t)out);
            cli_print_json(o);
            json_decref(o);
        } else {
            cli_say(cli, "%-14s %7lld %14s %14s %14s", store_text(q, 0), (long long)store_int(q, 1),
                    mass_text(&cli->arena, in, 1000), mass_text(&cli->arena, out, 1000),
                    mass_text(&cli->arena, in - out, 1000));
        }
    }
}

static struct result accounts(struct cli *cli, struct plant *plant)
{
    bool row;
    struct statement *q = store_prepare(plant->store, Q_BALANCE_ACCOUNTS);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const char *unit = store_text(q, 1);
        if (cli->json) {
            json_t *o = json_pack("{s:s,s:s,s:I}", "account", store_text(q, 0), "unit", unit,
                                  "amount", (json_int_t)store_int(q, 2));
            cli_print_json(o);
            json_decref(o);
        } else {
            cli_say(cli, "%-12s %18s", store_text(q, 0),
                    strcmp(unit, "mg") == 0
                        ? mass_text(&cli->arena, store_int(q, 2), 1000)
                        : arena_printf(&cli->arena, "%lld %s", (long long)store_int(q, 2), unit));
        }
    }
    q = store_prepare(plant->store, Q_OWED_LIST_OPEN);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        cli_say(cli, "owed: lot %s gave %lld %s more than it had (entry %lld); explain it",
                store_text(q, 0), (long long)store_int(q, 2), store_text(q, 1),
                (long long)store_int(q, 3));
    }
}

struct result cmd_balance(struct cli *cli)
{
    bool steps = cli_flag(cli, "steps");
    const char *lot = cli_word(cli);
    struct plant *plant;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    if (lot != NULL) {
        return of_lot(cli, plant, lot);
    }
    return steps ? wet(cli, plant) : accounts(cli, plant);
}
