#include <string.h>

#include "command/cli.h"

/* Growing batches without a sample yet, with the moment from which one counts. */
static struct result due(struct cli *cli)
{
    struct plant *plant;
    TRY(cli_done(cli));
    TRY(cli_reader(cli, &plant));
    struct statement *q = store_prepare(plant->store, Q_SAMPLE_DUE);
    int64_t now_ms = cli->world.now_ms(cli->world.self);
    bool row, any = false;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        any = true;
        int64_t age_h = (now_ms - store_int(q, 2)) / 3600000;
        if (cli->json) {
            json_t *o =
                json_pack("{s:s,s:s,s:I,s:I}", "lot", store_text(q, 0), "chamber", store_text(q, 1),
                          "wet_ms", (json_int_t)store_int(q, 2), "age_h", (json_int_t)age_h);
            cli_print_json(o);
            json_decref(o);
        } else {
            cli_say(cli, "%-16s in %-8s wet for %lld h, no sample drawn yet", store_text(q, 0),
                    store_text(q, 1), (long long)age_h);
        }
    }
    if (!any) {
        cli_say(cli, "Every growing batch has its sample.");
    }
    return RESULT_OK;
}

struct result cmd_sample(struct cli *cli)
{
    static const char *const words[][2] = {
        {"draw", "sample"}, {"result", "result"}, {"second", "second-reading"}};
    const char *what = cli_word(cli);
    for (size_t i = 0; what != NULL && i < 3; i++) {
        if (strcmp(what, words[i][0]) == 0) {
            return cli_send(cli, words[i][1]);
        }
    }
    if (what != NULL && strcmp(what, "due") == 0) {
        return due(cli);
    }
    return cli_usage(cli, "Say draw, result, second or due.");
}
