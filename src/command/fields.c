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
    "target_milli,second,as_found_error,by_hand_person,id,close,decide,evidence";
static const char truths[] = "active,in_service,emptied,by_hand,rinsed,ok,product_hold,open";
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

static json_t *list_of(struct cli *cli, const char *text)
{
    json_t *list = json_array();
    while (*text != '\0') {
        size_t len = strcspn(text, ",");
        json_array_append_new(list, json_string(arena_copy_n(&cli->arena, text, len)));
        text += len + (text[len] == ',' ? 1 : 0);
    }
    return list;
}

static struct result replicates(struct cli *cli, const char *key, const char *text, json_t **out)
{
    json_t *words = list_of(cli, text);
    json_t *list = json_array();
    struct result r = RESULT_OK;
    for (size_t i = 0; i < json_array_size(words) && r.code == CODE_OK; i++) {
        json_t *n = NULL;
        r = number(cli, key, json_string_value(json_array_get(words, i)), &n);
        json_array_append_new(list, n != NULL ? n : json_null());
    }
    json_decref(words);
    *out = list;
    return r;
}

/* in=LOT[,MASS] and out=ROLE[,MASS[,LOT]] collect in inputs and outputs. */
static void add_leg(struct cli *cli, json_t *command, const char *array, const char *first,
                    const char *text)
{
    json_t *list = json_object_get(command, array);
    if (list == NULL) {
        list = json_array();
        json_object_set_new(command, array, list);
    }
    json_t *words = list_of(cli, text);
    json_t *leg = json_object();
    static const char *const after[] = {"mass", "lot"};
    json_object_set(leg, first, json_array_get(words, 0));
    for (size_t i = 1; i < json_array_size(words) && i <= 2; i++) {
        const char *word = json_string_value(json_array_get(words, i));
        if (word[0] != '\0') {
            json_object_set_new(leg, after[i - 1], json_string(word));
        }
    }
    json_array_append_new(list, leg);
    json_decref(words);
}

struct result cli_fields(struct cli *cli, json_t *command)
{
    const char *word;
    while ((word = cli_word(cli)) != NULL) {
        const char *equals = strchr(word, '=');
        if (equals == NULL || equals == word) {
            return cli_usage(
                cli, arena_printf(&cli->arena, "\"%s\" is not of the form key=value.", word));
        }
        const char *key = arena_copy_n(&cli->arena, word, (size_t)(equals - word));
        const char *text = equals + 1;
        json_t *value = NULL;
        if (strcmp(key, "in") == 0) {
            add_leg(cli, command, "inputs", "lot", text);
            continue;
        }
        if (strcmp(key, "out") == 0) {
            add_leg(cli, command, "outputs", "role", text);
            continue;
        }
        if (list_has(numbers, key)) {
            TRY(number(cli, key, text, &value));
        } else if (list_has(truths, key)) {
            if (!list_has("yes,no", text)) {
                return FAIL2(FIELD_CHOICE, key, text, "yes, no");
            }
            value = json_boolean(strcmp(text, "yes") == 0);
        } else if (strcmp(key, "replicates") == 0) {
            TRY(replicates(cli, key, text, &value));
        } else if (list_has(lists, key)) {
            value = list_of(cli, text);
        } else {
            value = json_string(text);
            if (value == NULL) {
                return FAIL2(FIELD_TYPE, key, "UTF-8 text", "other bytes");
            }
        }
        json_object_set_new(command, key, value);
    }
    return cli_done(cli);
}

struct result cli_send(struct cli *cli, const char *kind)
{
    json_t *command = json_pack("{s:s}", "kind", kind);
    json_t *answer = NULL;
    CHECK(command != NULL);
    bool asks = cli_flag(cli, "ask"), tells = cli_flag(cli, "tell");
    if (asks || tells) {
        json_object_set_new(command, "mode", json_string(asks ? "ask" : "tell"));
    }
    struct result r = cli_fields(cli, command);
    if (r.code == CODE_OK) {
        r = cli_take(cli, command, &answer);
    }
    if (r.code == CODE_OK) {
        cli_print_answer(cli, answer);
    }
    json_decref(answer);
    json_decref(command);
    return r;
}
