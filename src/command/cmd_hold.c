#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/view_holds.h"

static const char *text_of(const json_t *o, const char *key)
{
    return json_string_value(json_object_get(o, key));
}

static const char *joined(struct cli *cli, const json_t *list)
{
    const char *text = "";
    size_t i;
    json_t *one;
    json_array_foreach(list, i, one)
    {
        text = arena_printf(&cli->arena, "%s%s%s", text, i > 0 ? "," : "", json_string_value(one));
    }
    return text;
}

/* As the page has it, with what it stops as one text and the first of its lots besides. */
static void print_hold(struct cli *cli, json_t *hold)
{
    const char *stops = joined(cli, json_object_get(hold, "stops"));
    const char *lot = json_string_value(json_array_get(json_object_get(hold, "lots"), 0));
    lot = lot != NULL ? lot : "";
    if (cli->json) {
        json_t *o = json_copy(hold);
        CHECK(o != NULL);
        json_object_set_new(o, "hold_kind", json_string(text_of(hold, "kind")));
        json_object_set_new(o, "stops", json_string(stops));
        json_object_set_new(o, "lot", json_string(lot));
        cli_print_json(o);
        json_decref(o);
        return;
    }
    struct arena *a = &cli->arena;
    const char *covered = cli_number(cli, json_integer_value(json_object_get(hold, "covered")));
    const char *since = civil_short(a, json_integer_value(json_object_get(hold, "placed_ms")));
    CLI_ROW(
        cli, {9, text_of(hold, "hold")},
        {cli_name_width(cli, 12), words_name(a, cli->lang, "hold-kind.", text_of(hold, "kind"))},
        {0,
         CLI_WORDS(cli, "hold.row", since, lot[0] != '\0' ? arena_printf(a, "%s, ", lot) : "",
                   covered, cli_names(cli, "ui.stop.", stops),
                   cli_names(cli, "ui.need.", text_of(hold, "needs")), text_of(hold, "reason"))});
}

static struct result list(struct cli *cli)
{
    struct sight s;
    json_t *answer = NULL, *hold;
    size_t i;
    TRY(cli_done(cli));
    TRY(sight_open(cli, false, &s));
    TRY(sight_close(&s, view_holds(&s.view, true, &answer)));
    json_array_foreach(json_object_get(answer, "holds"), i, hold)
    {
        print_hold(cli, hold);
    }
    if (i == 0) {
        CLI_SAY(cli, "hold.none", NULL);
    }
    json_decref(answer);
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
    return cli_usage(cli, "hold", NULL);
}
