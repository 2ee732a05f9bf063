#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "command/say.h"
#include "ledger/clause.h"
#include "ledger/view.h"
#include "service/reading.h"

static void print_line(struct cli *cli, const struct clause_line *line)
{
    struct result reason = line->reason;
    struct arena *a = &cli->arena;
    const char *about = line->market != NULL
                            ? CLI_WORDS(cli, "say.for-market", line->lot_code, line->market)
                            : line->lot_code;
    CLI_ROW(cli, {1, ""},
            {cli_name_width(cli, 14), words_name(a, cli->lang, "clause.", line->clause)},
            {13, words_name(a, cli->lang, "clause-state.", clause_state_text(line->state))},
            {0, about});
    if (line->state != CLAUSE_MET) {
        CLI_ROW(cli, {cli_name_width(cli, 14) + 2, ""},
                {0, result_sentence_in(a, cli->lang, &reason)});
    }
}

static struct result show(struct cli *cli, const char *code, const char *markets)
{
    struct plant *plant;
    struct profile *profile;
    struct lot lot;
    struct clause_list list;
    bool found;
    TRY(cli_reader(cli, &plant));
    TRY(lot_by_code(plant->store, &cli->arena, code, &lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    TRY(profile_now(plant, &profile));
    struct result r = clauses_of_lot(plant->store, profile, lot.id, markets, &cli->arena, &list);
    if (r.code == CODE_OK && cli->json) {
        json_t *lines = clauses_json(&list);
        cli_print_json(lines);
        json_decref(lines);
    } else if (r.code == CODE_OK) {
        CLI_SAY(cli, "release.unmet", code, cli_number(cli, (int64_t)list.unmet),
                cli_number(cli, (int64_t)list.line_count));
        for (size_t i = 0; i < list.line_count; i++) {
            print_line(cli, &list.lines[i]);
        }
    }
    profile_free(profile);
    return r;
}

struct result cmd_release(struct cli *cli)
{
    const char *lot = cli_word(cli), *market, *markets = "", *reason = cli_option(cli, "reason");
    bool only_show = cli_flag(cli, "show");
    json_t *list = json_array();
    CHECK(list != NULL);
    while ((market = cli_option(cli, "market")) != NULL) {
        json_array_append_new(list, json_string(market));
        markets = markets[0] == '\0' ? market : arena_printf(&cli->arena, "%s,%s", markets, market);
    }
    struct result r = lot == NULL ? cli_usage(cli, "release", NULL) : cli_done(cli);
    if (r.code == CODE_OK && only_show) {
        r = show(cli, lot, markets);
    } else if (r.code == CODE_OK) {
        json_t *command =
            json_pack("{s:s,s:s,s:O}", "kind", "release", "lot", lot, "markets", list);
        CHECK(command != NULL);
        if (reason != NULL) {
            json_object_set_new(command, "reason", json_string(reason));
        }
        r = cli_book(cli, command);
    }
    json_decref(list);
    return r;
}
