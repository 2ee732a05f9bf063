/* What is here: open lots with what is left of them, the newest first. */
#include "base/check.h"
#include "base/decimal.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/view_lots.h"

static const char *text_of(const json_t *o, const char *key)
{
    const char *text = json_string_value(json_object_get(o, key));
    return text != NULL ? text : "";
}

static int64_t number_of(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static void print_lot(struct cli *cli, json_t *lot)
{
    int64_t pieces = number_of(lot, "pieces");
    if (cli->json) {
        cli_print_json(lot);
        return;
    }
    const char *amount =
        arena_printf(&cli->arena, "%12s%s%s", mass_text(&cli->arena, number_of(lot, "mg"), 1000),
                     pieces > 0 ? CLI_WORDS(cli, "lots.pieces", cli_number(cli, pieces)) : "",
                     number_of(lot, "holds") > 0 ? CLI_WORDS(cli, "lots.held", NULL) : "");
    CLI_ROW(cli, {24, text_of(lot, "lot")},
            {11, words_name(&cli->arena, cli->lang, "ui.lot-kind.", text_of(lot, "kind"))},
            {9, text_of(lot, "item")}, {6, text_of(lot, "place")},
            {0, CLI_WORDS(cli, "lots.since", text_of(lot, "day"))}, {0, ""}, {0, amount});
}

static struct result print_lots(struct cli *cli, struct view *v, const char *kind)
{
    struct view_lots_asked asked = {.kind = kind, .limit = VIEW_PAGE_MAX};
    do {
        json_t *page, *lot;
        size_t i;
        TRY(view_lots(v, &asked, &page));
        json_array_foreach(json_object_get(page, "lots"), i, lot)
        {
            print_lot(cli, lot);
        }
        const char *next = json_string_value(json_object_get(page, "next"));
        asked.cursor = next != NULL ? arena_copy(&cli->arena, next) : NULL;
        json_decref(page);
    } while (asked.cursor != NULL);
    return RESULT_OK;
}

struct result cmd_lots(struct cli *cli)
{
    const char *kind = cli_option(cli, "kind");
    struct sight s;
    TRY(cli_done(cli));
    TRY(sight_open(cli, false, &s));
    return sight_close(&s, print_lots(cli, &s.view, kind));
}
