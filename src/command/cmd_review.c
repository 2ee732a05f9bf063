/* Records that wait for somebody else's review, as one list; signed together. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "command/cli.h"
#include "service/reading.h"

static const char *reviewed_kinds(struct cli *cli, const struct profile *p)
{
    const char *kinds = "";
    for (size_t i = 0; i < p->step_count; i++) {
        if (p->steps[i].reviewed) {
            kinds = arena_printf(&cli->arena, "%s%s%s", kinds, kinds[0] != '\0' ? "," : "",
                                 p->steps[i].name);
        }
    }
    return kinds;
}

static void print_waiting(struct cli *cli, struct statement *q)
{
    const char *what = store_is_null(q, 4) ? "" : store_text(q, 4);
    if (cli->json) {
        json_t *o = json_pack("{s:I,s:s,s:I,s:I,s:s}", "entry", (json_int_t)store_int(q, 0), "kind",
                              store_text(q, 1), "by", (json_int_t)store_int(q, 2), "at_ms",
                              (json_int_t)store_int(q, 3), "about", what);
        cli_print_json(o);
        json_decref(o);
        return;
    }
    cli_say(cli, "  entry %6lld  %-12s %-16s by person %lld at %s", (long long)store_int(q, 0),
            store_text(q, 1), what, (long long)store_int(q, 2),
            civil_short(&cli->arena, store_int(q, 3)));
}

static struct result waiting(struct cli *cli, struct plant *plant, const char *kinds,
                             json_t *entries)
{
    struct statement *q = store_prepare(plant->store, Q_REVIEW_WAITING);
    store_bind_int(q, 1, cli->person);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (list_has(kinds, store_text(q, 1))) {
            print_waiting(cli, q);
            json_array_append_new(entries, json_integer(store_int(q, 0)));
        }
    }
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
    struct plant *plant;
    struct profile *profile;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    TRY(profile_now(plant, &profile));
    json_t *entries = json_array();
    CHECK(entries != NULL);
    struct result r = waiting(cli, plant, reviewed_kinds(cli, profile), entries);
    profile_free(profile);
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
