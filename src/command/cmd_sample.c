#include <string.h>

#include "command/cli.h"
#include "command/sight.h"
#include "service/view_samples.h"

/* Growing batches without a sample yet, with the moment from which one counts. */
static struct result due(struct cli *cli)
{
    struct sight s;
    json_t *answer = NULL, *one;
    size_t i;
    TRY(cli_done(cli));
    TRY(sight_open(cli, true, &s));
    TRY(sight_close(&s, view_samples_due(&s.view, &answer)));
    json_array_foreach(json_object_get(answer, "samples"), i, one)
    {
        if (cli->json) {
            cli_print_json(one);
        } else {
            cli_say(cli, "%-16s in %-8s wet for %lld h, no sample drawn yet",
                    json_string_value(json_object_get(one, "lot")),
                    json_string_value(json_object_get(one, "chamber")),
                    (long long)json_integer_value(json_object_get(one, "age_h")));
        }
    }
    if (i == 0) {
        cli_say(cli, "Every growing batch has its sample.");
    }
    json_decref(answer);
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
