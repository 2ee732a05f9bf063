/* What is here: open lots with what is left of them, the newest first. */
#include "base/check.h"
#include "base/decimal.h"
#include "command/cli.h"
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
    cli_say(cli, "%-24s %-11s %-9s %-6s since %s  %12s%s%s", text_of(lot, "lot"),
            text_of(lot, "kind"), text_of(lot, "item"), text_of(lot, "place"), text_of(lot, "day"),
            mass_text(&cli->arena, number_of(lot, "mg"), 1000),
            pieces > 0 ? arena_printf(&cli->arena, ", %lld pieces", (long long)pieces) : "",
            number_of(lot, "holds") > 0 ? ", held" : "");
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
