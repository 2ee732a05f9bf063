/* Records that wait for somebody else's review, as one list; signed together. */
#include "base/check.h"
#include "base/civil.h"
#include "command/cli.h"
#include "command/sight.h"
#include "service/view_review.h"

static void print_waiting(struct cli *cli, json_t *row)
{
    if (cli->json) {
        cli_print_json(row);
        return;
    }
    cli_say(cli, "  entry %6lld  %-12s %-16s by person %lld at %s",
            (long long)json_integer_value(json_object_get(row, "entry")),
            json_string_value(json_object_get(row, "kind")),
            json_string_value(json_object_get(row, "about")),
            (long long)json_integer_value(json_object_get(row, "by")),
            civil_short(&cli->arena, json_integer_value(json_object_get(row, "at_ms"))));
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
        cli_say(cli, "Nothing waits for your review.");
    } else if (r.code == CODE_OK && wants_sign) {
        r = sign(cli, entries);
    } else if (r.code == CODE_OK) {
        cli_say(cli, "%zu records wait. Look at them, then sign with --sign.", count);
    }
    json_decref(entries);
    return r;
}
