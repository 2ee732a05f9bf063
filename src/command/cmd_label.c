#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/file.h"
#include "command/say.h"
#include "service/labels.h"

static struct result range_of(struct cli *cli, const char *text, int64_t *first, int64_t *last)
{
    char *end;
    *first = *last = 0;
    if (text == NULL) {
        return RESULT_OK;
    }
    *first = *last = strtoll(text, &end, 10);
    if (strncmp(end, "..", 2) == 0) {
        *last = strtoll(end + 2, &end, 10);
    }
    if (*text == '\0' || *end != '\0' || *first < 1 || *last < *first) {
        return FAIL1(RANGE_BAD, "cases", text);
    }
    (void)cli;
    return RESULT_OK;
}

struct result cmd_label(struct cli *cli)
{
    const char *out = cli_option(cli, "out"), *cases = cli_option(cli, "cases"),
               *lot = cli_word(cli);
    int64_t first, last;
    struct plant *plant;
    const uint8_t *pdf;
    size_t len, pages;
    TRY(cli_done(cli));
    if (lot == NULL || out == NULL) {
        return cli_usage(cli, "label", NULL);
    }
    TRY(range_of(cli, cases, &first, &last));
    TRY(cli_reader(cli, &plant));
    TRY(labels_of_lot(plant, lot, first, last, cli->world.now_ms(cli->world.self), &cli->arena,
                      &pdf, &len, &pages));
    TRY(file_write(out, pdf, len, 0644));
    if (cli->json) {
        json_t *o = json_pack("{s:s,s:I}", "file", out, "labels", (json_int_t)pages);
        cli_print_json(o);
        json_decref(o);
    }
    CLI_SAY(cli, "label.done", cli_number(cli, (int64_t)pages), out);
    return RESULT_OK;
}
