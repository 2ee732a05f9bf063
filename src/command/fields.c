/* key=value words of the command line to the fields of a command. A field's type goes by its name,
 * which means the same in every command. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "command/cli.h"
#include "ledger/profile.h"

static const char numbers[] =
    "number,pieces,cases,sacks,entry,life_days,pieces_per_case,priority,division,uncertainty,"
    "volume_ml,"
    "target_milli,second,as_found_error,by_hand_person,id,close,decide,evidence,about,zone,"
    "expected,"
    "counted,deviation,task";
static const char truths[] =
    "active,in_service,emptied,by_hand,rinsed,ok,product_hold,open,passed,blocks,tools_counted,"
    "cleaned";
static const char lists[] =
    "stops,markets,lots,papers,units,entries,also,allergens,replicates_g,probes";

static struct result number(struct cli *cli, const char *key, const char *text, json_t **out)
{
    char *end;
    long long value = strtoll(text, &end, 10);
    if (text[0] == '\0' || *end != '\0') {
        return FAIL2(FIELD_TYPE, key, "a whole number", text);
    }
    (void)cli;
    *out = json_integer(value);
    return RESULT_OK;
}

static struct result text_value(const char *key, const char *text, json_t **out)
{
    *out = json_string(text);
    return *out != NULL ? RESULT_OK : FAIL2(FIELD_TYPE, key, "UTF-8 text", "other bytes");
}

/* On failure nothing is left to let go of. */
static struct result list_of(struct cli *cli, const char *key, const char *text, json_t **out)
{
    json_t *list = json_array();
    struct result r = RESULT_OK;
    CHECK(list != NULL);
    while (*text != '\0' && r.code == CODE_OK) {
        size_t len = strcspn(text, ",");
        json_t *word = NULL;
        r = text_value(key, arena_copy_n(&cli->arena, text, len), &word);
        if (r.code == CODE_OK) {
            json_array_append_new(list, word);
        }
        text += len + (text[len] == ',' ? 1 : 0);
    }
    if (r.code != CODE_OK) {
        json_decref(list);
        list = NULL;
    }
    *out = list;
    return r;
}

static struct result replicates(struct cli *cli, const char *key, const char *text, json_t **out)
{
    json_t *words, *list = json_array();
    CHECK(list != NULL);
    struct result r = list_of(cli, key, text, &words);
    for (size_t i = 0; r.code == CODE_OK && i < json_array_size(words); i++) {
        json_t *n = NULL;
        r = number(cli, key, json_string_value(json_array_get(words, i)), &n);
        if (r.code == CODE_OK) {
            json_array_append_new(list, n);
        }
    }
    json_decref(words);
    if (r.code != CODE_OK) {
        json_decref(list);
        list = NULL;
    }
    *out = list;
    return r;
}

/* in=LOT[,MASS] and out=ROLE[,MASS[,LOT]] collect in inputs and outputs. */
static struct result add_leg(struct cli *cli, json_t *command, const char *array, const char *first,
                             const char *text)
{
    static const char *const after[] = {"mass", "lot"};
    json_t *words, *leg = json_object(), *list = json_object_get(command, array);
    CHECK(leg != NULL);
    struct result r = list_of(cli, array, text, &words);
    if (r.code != CODE_OK) {
        json_decref(leg);
        return r;
    }
    if (list == NULL) {
        list = json_array();
        json_object_set_new(command, array, list);
    }
    json_object_set(leg, first, json_array_get(words, 0));
    for (size_t i = 1; i < json_array_size(words) && i <= 2; i++) {
        json_t *word = json_array_get(words, i);
        if (json_string_length(word) > 0) {
            json_object_set(leg, after[i - 1], word);
        }
    }
    json_array_append_new(list, leg);
    json_decref(words);
    return RESULT_OK;
}

/* A field's value by its name; the caller owns *out. */
static struct result value_of(struct cli *cli, const char *key, const char *text, json_t **out)
{
    if (list_has(numbers, key)) {
        return number(cli, key, text, out);
    }
    if (list_has(truths, key)) {
        if (!list_has("yes,no", text)) {
            return FAIL2(FIELD_CHOICE, key, text, "yes, no");
        }
        *out = json_boolean(strcmp(text, "yes") == 0);
        return RESULT_OK;
    }
    if (strcmp(key, "replicates") == 0) {
        return replicates(cli, key, text, out);
    }
    return list_has(lists, key) ? list_of(cli, key, text, out) : text_value(key, text, out);
}

struct result cli_fields(struct cli *cli, json_t *command)
{
    const char *word;
    while ((word = cli_word(cli)) != NULL) {
        const char *equals = strchr(word, '=');
        if (equals == NULL || equals == word) {
            return cli_usage(cli, "key-value", word);
        }
        const char *key = arena_copy_n(&cli->arena, word, (size_t)(equals - word));
        const char *text = equals + 1;
        json_t *value = NULL;
        if (strcmp(key, "in") == 0) {
            TRY(add_leg(cli, command, "inputs", "lot", text));
            continue;
        }
        if (strcmp(key, "out") == 0) {
            TRY(add_leg(cli, command, "outputs", "role", text));
            continue;
        }
        if (json_object_get(command, key) != NULL) { /* the kind is one of them */
            return FAIL1(JSON_DUPLICATE, key, key);
        }
        TRY(value_of(cli, key, text, &value));
        json_object_set_new(command, key, value);
    }
    return cli_done(cli);
}

struct result cli_send(struct cli *cli, const char *kind)
{
    json_t *command = json_pack("{s:s}", "kind", kind);
    CHECK(command != NULL);
    bool asks = cli_flag(cli, "ask"), tells = cli_flag(cli, "tell");
    if (asks || tells) {
        json_object_set_new(command, "mode", json_string(asks ? "ask" : "tell"));
    }
    struct result r = cli_fields(cli, command);
    if (r.code != CODE_OK) {
        json_decref(command);
        return r;
    }
    return cli_book(cli, command);
}
