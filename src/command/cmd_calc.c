#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/file.h"
#include "calc/registry.h"
#include "command/say.h"
#include "service/calc_words.h"

enum { CALC_INPUT_MAX = 256 << 20 };

static struct result list(struct cli *cli)
{
    for (size_t i = 0; i < registry_count(); i++) {
        const struct calc_row *row = registry_at(i);
        if (cli->json) {
            json_t *o = registry_row_json(row, &cli->arena);
            calc_words(&cli->arena, cli->lang, o);
            cli_print_json(o);
            json_decref(o);
        } else {
            CLI_ROW(cli, {20, row->name}, {0, words_own(&cli->arena, cli->lang, row->purpose)});
        }
    }
    return RESULT_OK;
}

/* A value that reads as JSON is JSON, anything else is text: seed_kg=100, window=hold,
 * replicates=[96,93,95,92]. */
static struct result read_inputs(struct cli *cli, json_t *in)
{
    const char *word;
    while ((word = cli_word(cli)) != NULL) {
        const char *equals = strchr(word, '=');
        if (equals == NULL || equals == word) {
            return cli_usage(cli, "field-value", word);
        }
        const char *key = arena_copy_n(&cli->arena, word, (size_t)(equals - word));
        json_t *value = json_loads(equals + 1, JSON_DECODE_ANY, NULL);
        if (value == NULL) {
            value = json_string(equals + 1);
        }
        if (value == NULL) {
            return FAIL2(FIELD_TYPE, key, "UTF-8 text", "other bytes");
        }
        json_object_set_new(in, key, value);
    }
    return cli_done(cli);
}

static void print_answer(struct cli *cli, const json_t *answer)
{
    if (cli->json) {
        cli_print_json(answer);
        return;
    }
    char *text = json_dumps(answer, JSON_INDENT(2) | JSON_REAL_PRECISION(12));
    printf("%s\n", text != NULL ? text : "");
    free(text);
}

struct result cmd_calc(struct cli *cli)
{
    if (cli_flag(cli, "list")) {
        TRY(cli_done(cli));
        return list(cli);
    }
    const char *name = cli_word(cli);
    json_t *in = NULL, *answer = NULL;
    if (name == NULL) {
        return cli_usage(cli, "calc", NULL);
    }
    struct result r;
    if (cli->argc == 1 && strcmp(cli->argv[0], "-") == 0) {
        char *text;
        size_t len;
        TRY(file_read(&cli->arena, "-", CALC_INPUT_MAX, &text, &len));
        r = json_read(text, len, CALC_INPUT_MAX, &in);
    } else {
        in = json_object();
        CHECK(in != NULL);
        r = read_inputs(cli, in);
    }
    if (r.code == CODE_OK) {
        r = registry_call(name, in, &cli->arena, &answer);
    }
    if (r.code == CODE_OK) {
        calc_words(&cli->arena, cli->lang, answer);
        print_answer(cli, answer);
    }
    json_decref(answer);
    json_decref(in);
    return r;
}
