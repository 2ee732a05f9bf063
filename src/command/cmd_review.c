/* Records that wait for somebody else's review, as one list; signed together. */
#include "base/check.h"
#include "base/civil.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/view_review.h"

static void print_waiting(struct cli *cli, json_t *row)
{
    if (cli->json) {
        cli_print_json(row);
        return;
    }
    const char *kind = json_string_value(json_object_get(row, "kind"));
    CLI_ROW(
        cli, {0, CLI_WORDS(cli, "say.entry-of", NULL)},
        {-6, cli_number(cli, json_integer_value(json_object_get(row, "entry")))}, {0, ""},
        {cli_name_width(cli, 12), words_name(&cli->arena, cli->lang, "kind.", kind)},
        {16, json_string_value(json_object_get(row, "about"))},
        {0, CLI_WORDS(
                cli, "review.by", cli_number(cli, json_integer_value(json_object_get(row, "by"))),
                civil_short(&cli->arena, json_integer_value(json_object_get(row, "at_ms"))))});
}

static struct result waiting(struct cli *cli, json_t *entries)
{
    struct sight s;
    json_t *answer = NULL, *batch, *row;
    size_t i, k;
    TRY(sight_open(cli, true, &s));
    TRY(sight_close(&s, view_review(&s.view, &answer)));
    json_array_foreach(json_object_get(answer, "batches"), i, batch)
    {
        json_array_foreach(json_object_get(batch, "entries"), k, row)
        {
            print_waiting(cli, row);
            json_array_append(entries, json_object_get(row, "entry"));
        }
    }
    json_decref(answer);
    return RESULT_OK;
}

static struct result sign(struct cli *cli, json_t *entries)
{
    json_t *command = json_pack("{s:s,s:O}", "kind", "review", "entries", entries);
    CHECK(command != NULL);
    return cli_book(cli, command);
}

struct result cmd_review(struct cli *cli)
{
    bool wants_sign = cli_flag(cli, "sign");
    TRY(cli_done(cli));
    json_t *entries = json_array();
    CHECK(entries != NULL);
    struct result r = waiting(cli, entries);
    size_t count = json_array_size(entries);
    if (r.code == CODE_OK && count == 0) {
        CLI_SAY(cli, "review.none", NULL);
    } else if (r.code == CODE_OK && wants_sign) {
        r = sign(cli, entries);
    } else if (r.code == CODE_OK) {
        CLI_SAY(cli, "review.wait", cli_number(cli, (int64_t)count));
    }
    json_decref(entries);
    return r;
}
