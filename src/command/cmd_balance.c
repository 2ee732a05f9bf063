/* What became of a lot's mass, and what the house's accounts hold. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "command/say.h"
#include "command/sight.h"
#include "ledger/view.h"
#include "service/view_balance.h"
#include "service/view_lots.h"

static const char *text_of(const json_t *o, const char *key)
{
    return json_string_value(json_object_get(o, key));
}

static int64_t number_of(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static const char *quantity(struct cli *cli, const json_t *o, int64_t division_mg)
{
    return cli_amount(cli, number_of(o, "amount"), text_of(o, "unit"), division_mg);
}

static void print_leg(struct cli *cli, json_t *leg)
{
    const char *instrument = text_of(leg, "instrument");
    if (cli->json) {
        cli_print_json(leg);
        return;
    }
    const char *how = words_name(&cli->arena, cli->lang, "ui.how.", text_of(leg, "how"));
    CLI_ROW(cli, {0, CLI_WORDS(cli, "say.entry-of", NULL)},
            {-6, cli_number(cli, number_of(leg, "entry"))}, {0, ""},
            {cli_name_width(cli, 14),
             words_name(&cli->arena, cli->lang, "kind.", text_of(leg, "kind"))},
            {-16, quantity(cli, leg, 0)}, {0, ""},
            {0, instrument != NULL ? CLI_WORDS(cli, "balance.how-on", how, instrument) : how});
}

static struct result of_lot(struct cli *cli, struct view *v, const char *code)
{
    struct lot lot;
    bool found;
    json_t *legs, *leg;
    size_t i;
    int64_t mg, pieces;
    TRY(lot_by_code(v->store, v->arena, code, &lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    TRY(balance_of(v->store, lot.id, UNIT_MG, &mg));
    TRY(balance_of(v->store, lot.id, UNIT_PIECES, &pieces));
    TRY(view_lot_balance(v, lot.id, &legs));
    CLI_SAY(cli, "balance.lot", lot.code,
            words_name(&cli->arena, cli->lang, "ui.lot-kind.", lot.kind), lot.item);
    json_array_foreach(legs, i, leg)
    {
        print_leg(cli, leg);
    }
    CLI_SAY(cli, "balance.left", mass_text(&cli->arena, mg, 0),
            pieces != 0 ? CLI_WORDS(cli, "lots.pieces", cli_number(cli, pieces)) : "");
    json_decref(legs);
    return RESULT_OK;
}

/* Wet: from the first scale after the chamber to packs, by-products and waste, step by step. */
static void wet(struct cli *cli, const json_t *steps)
{
    size_t i;
    json_t *step;
    CLI_ROW(cli, {cli_name_width(cli, 14), CLI_WORDS(cli, "column.step", NULL)},
            {-7, CLI_WORDS(cli, "column.entries", NULL)}, {-14, CLI_WORDS(cli, "column.in", NULL)},
            {-14, CLI_WORDS(cli, "column.out", NULL)},
            {-14, CLI_WORDS(cli, "column.difference", NULL)});
    json_array_foreach(steps, i, step)
    {
        int64_t in = number_of(step, "in_mg"), out = number_of(step, "out_mg");
        if (cli->json) {
            cli_print_json(step);
        } else {
            CLI_ROW(cli,
                    {cli_name_width(cli, 14),
                     words_name(&cli->arena, cli->lang, "kind.", text_of(step, "step"))},
                    {-7, cli_number(cli, number_of(step, "entries"))},
                    {-14, mass_text(&cli->arena, in, 1000)},
                    {-14, mass_text(&cli->arena, out, 1000)},
                    {-14, mass_text(&cli->arena, in - out, 1000)});
        }
    }
}

static void accounts(struct cli *cli, const json_t *answer)
{
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(answer, "accounts"), i, one)
    {
        if (cli->json) {
            cli_print_json(one);
        } else {
            CLI_ROW(
                cli,
                {12, words_name(&cli->arena, cli->lang, "ui.account.", text_of(one, "account"))},
                {-18, quantity(cli, one, 1000)});
        }
    }
    json_array_foreach(json_object_get(answer, "owed"), i, one)
    {
        if (cli->json) {
            cli_print_json(one);
        } else {
            CLI_SAY(cli, "balance.owed", text_of(one, "lot"), quantity(cli, one, 0),
                    cli_number(cli, number_of(one, "entry")));
        }
    }
}

static struct result print(struct cli *cli, struct view *v, const char *lot, bool steps)
{
    json_t *answer;
    if (lot != NULL) {
        return of_lot(cli, v, lot);
    }
    TRY(view_balance(v, &answer));
    if (steps) {
        wet(cli, json_object_get(answer, "steps"));
    } else {
        accounts(cli, answer);
    }
    json_decref(answer);
    return RESULT_OK;
}

struct result cmd_balance(struct cli *cli)
{
    bool steps = cli_flag(cli, "steps");
    const char *lot = cli_word(cli);
    struct sight s;
    TRY(cli_done(cli));
    TRY(sight_open(cli, false, &s));
    return sight_close(&s, print(cli, &s.view, lot, steps));
}
