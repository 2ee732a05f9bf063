#include <string.h>

#include "command/say.h"
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
            CLI_ROW(
                cli, {16, json_string_value(json_object_get(one, "lot"))},
                {0, CLI_WORDS(cli, "sample.in", NULL)},
                {8, json_string_value(json_object_get(one, "chamber"))},
                {0, CLI_WORDS(cli, "sample.wet",
                              cli_number(cli, json_integer_value(json_object_get(one, "age_h"))))});
        }
    }
    if (i == 0) {
        CLI_SAY(cli, "sample.none", NULL);
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
    return cli_usage(cli, "sample", NULL);
}
