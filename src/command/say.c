#include "command/say.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/view.h"
#include "service/sentence.h"

enum { LINE_MAX_BYTES = 4000, VALUE_MAX_BYTES = 300 };

const char *cli_number(struct cli *cli, int64_t n)
{
    return arena_printf(&cli->arena, "%lld", (long long)n);
}

const char *cli_names(struct cli *cli, const char *prefix, const char *list)
{
    const char *text = "";
    char name[64];
    while (list_next(&list, name, sizeof name)) {
        text = arena_printf(&cli->arena, "%s%s%s", text, text[0] != '\0' ? "," : "",
                            words_name(&cli->arena, cli->lang, prefix, name));
    }
    return text;
}

const char *cli_amount(struct cli *cli, int64_t amount, const char *unit, int64_t division_mg)
{
    return strcmp(unit, "mg") == 0
               ? mass_text(&cli->arena, amount, division_mg)
               : arena_printf(&cli->arena, "%lld %s", (long long)amount,
                              words_name(&cli->arena, cli->lang, "unit.", unit));
}

void cli_say(struct cli *cli, const char *line)
{
    if (!cli->json) {
        puts(line);
    }
}

/* Bytes that go on a character of UTF-8 take no room of their own. */
static int characters(const char *text)
{
    int count = 0;
    for (; *text != '\0'; text++) {
        count += ((unsigned char)*text & 0xC0) != 0x80;
    }
    return count;
}

int cli_name_width(const struct cli *cli, int width)
{
    enum { SAID = 24 };
    return strcmp(cli->lang, "en") == 0 || width > SAID ? width : SAID;
}

void cli_row(struct cli *cli, const struct cli_cell *cells, size_t count)
{
    if (cli->json) {
        return;
    }
    for (size_t i = 0; i < count; i++) {
        const char *text = cells[i].text != NULL ? cells[i].text : "";
        int room = abs(cells[i].width) - characters(text);
        room = room > 0 ? room : 0;
        printf("%s%*s%s%*s", i > 0 ? " " : "", cells[i].width < 0 ? room : 0, "", text,
               cells[i].width > 0 ? room : 0, "");
    }
    putchar('\n');
}

void cli_print_json(const json_t *value)
{
    json_dumpf(value, stdout, JSON_COMPACT | JSON_SORT_KEYS);
    putchar('\n');
}

void cli_print_fact(struct cli *cli, json_t *value)
{
    CHECK(value != NULL);
    if (cli->json) {
        cli_print_json(value);
    }
    json_decref(value);
}

/* ---- answers */

/* The name of a field of an answer: as a form asks for it, unless answers have a word of their own
 * for it. */
static const char *field_name(struct cli *cli, const char *key)
{
    const char *name = words_name(&cli->arena, cli->lang, "field.", key);
    return strcmp(cli->lang, "en") == 0 ? key
                                        : words_of(&cli->arena, cli->lang, "answer.", key, name);
}

static const char *value_text(struct cli *cli, const json_t *value)
{
    if (json_is_string(value)) {
        return json_string_value(value);
    }
    if (json_is_integer(value)) {
        return cli_number(cli, json_integer_value(value));
    }
    if (json_is_boolean(value)) {
        return json_is_true(value) ? CLI_WORDS(cli, "word.yes-no.true", NULL)
                                   : CLI_WORDS(cli, "word.yes-no.false", NULL);
    }
    char *dumped = json_dumps(value, JSON_COMPACT | JSON_ENCODE_ANY);
    const char *text = arena_copy(&cli->arena, dumped != NULL ? dumped : "");
    free(dumped);
    return strlen(text) <= VALUE_MAX_BYTES
               ? text
               : CLI_WORDS(cli, "say.many", cli_number(cli, (int64_t)json_array_size(value)));
}

void cli_print_answer(struct cli *cli, const json_t *answer)
{
    const char *key, *kind = json_string_value(json_object_get(answer, "kind"));
    json_t *value;
    size_t i;
    if (cli->json) {
        cli_print_json(answer);
        return;
    }
    const char *entry = cli_number(cli, json_integer_value(json_object_get(answer, "entry")));
    kind = kind != NULL ? words_name(&cli->arena, cli->lang, "kind.", kind) : "";
    if (json_is_true(json_object_get(answer, "repeated"))) {
        CLI_SAY(cli, "say.entry-repeated", entry, kind);
    } else {
        CLI_SAY(cli, "say.entry", entry, kind);
    }
    json_object_foreach((json_t *)(uintptr_t)answer, key, value)
    {
        if (!list_has("entry,kind,repeated,deviations,consequences", key)) {
            printf("  %s: %s\n", field_name(cli, key), value_text(cli, value));
        }
    }
    json_array_foreach(json_object_get(answer, "deviations"), i, value)
    {
        CLI_SAY(cli, "say.deviation", sentence_deviation(&cli->arena, cli->lang, value));
    }
    json_array_foreach(json_object_get(answer, "consequences"), i, value)
    {
        CLI_SAY(cli, "say.follows", NULL);
        cli_print_answer(cli, value);
    }
}

/* ---- progress */

void cli_progress(struct cli *cli, const char *what, int64_t done, int64_t total)
{
    static struct timespec start;
    static bool shown;
    struct timespec now;
    if (cli->json || !isatty(STDERR_FILENO)) {
        return;
    }
    clock_gettime(CLOCK_MONOTONIC, &now);
    if (start.tv_sec == 0 || done == 0) {
        start = now;
        shown = false;
    }
    if (total == 0 || now.tv_sec - start.tv_sec < 1) {
        if (total == 0 && shown) {
            fputc('\n', stderr);
        }
        return;
    }
    shown = true;
    what = words_of(&cli->arena, cli->lang, "progress.", what, what);
    fprintf(stderr, "\r%s",
            CLI_WORDS(cli, "say.progress", what, cli_number(cli, done), cli_number(cli, total)));
}

/* ---- the form of a command */

const char *cli_form(struct cli *cli, const char *usage)
{
    char out[LINE_MAX_BYTES];
    size_t n = 0;
    for (const char *c = usage; *c != '\0' && n < sizeof out - 200;) {
        size_t len = 0;
        while (isupper((unsigned char)c[len])) {
            len++;
        }
        if (len == 0) {
            out[n++] = *c++;
            continue;
        }
        const char *as_it_stands = arena_copy_n(&cli->arena, c, len);
        const char *word = words_of(&cli->arena, cli->lang, "form.", as_it_stands, as_it_stands);
        n += (size_t)snprintf(out + n, sizeof out - n, "%s", word);
        c += len;
    }
    return arena_copy_n(&cli->arena, out, n);
}
