#include "command/cli.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

#include "base/check.h"
#include "base/file.h"
#include "base/uuid.h"
#include "base/words.h"
#include "command/say.h"
#include "ledger/known.h"
#include "service/reading.h"

static void take_out(struct cli *cli, int at, int count)
{
    for (int i = at; i + count < cli->argc; i++) {
        cli->argv[i] = cli->argv[i + count];
    }
    cli->argc -= count;
}

const char *cli_option(struct cli *cli, const char *name)
{
    size_t len = strlen(name);
    for (int i = 0; i < cli->argc; i++) {
        char *word = cli->argv[i];
        if (strncmp(word, "--", 2) != 0 || strncmp(word + 2, name, len) != 0) {
            continue;
        }
        if (word[2 + len] == '=') {
            take_out(cli, i, 1);
            return word + 3 + len;
        }
        if (word[2 + len] == '\0' && i + 1 < cli->argc) {
            char *value = cli->argv[i + 1];
            take_out(cli, i, 2);
            return value;
        }
    }
    return NULL;
}

bool cli_flag(struct cli *cli, const char *name)
{
    for (int i = 0; i < cli->argc; i++) {
        if (strncmp(cli->argv[i], "--", 2) == 0 && strcmp(cli->argv[i] + 2, name) == 0) {
            take_out(cli, i, 1);
            return true;
        }
    }
    return false;
}

const char *cli_word(struct cli *cli)
{
    for (int i = 0; i < cli->argc; i++) {
        if (strncmp(cli->argv[i], "--", 2) != 0) {
            const char *word = cli->argv[i];
            take_out(cli, i, 1);
            return word;
        }
    }
    return NULL;
}

struct result cli_usage(struct cli *cli, const char *key, const char *what)
{
    const char *sentence =
        words(&cli->arena, cli->lang, arena_printf(&cli->arena, "usage.%s", key), &what, 1);
    return FAIL2(USAGE, "", sentence, cli->command != NULL ? cli->command : "");
}

struct result cli_done(struct cli *cli)
{
    if (cli->argc == 0) {
        return RESULT_OK;
    }
    return cli_usage(cli, "unexpected", cli->argv[0]);
}

struct result cli_door(struct cli *cli, struct door **out)
{
    if (cli->door == NULL) {
        TRY(door_open(cli->plant, cli->world, &cli->door));
    }
    *out = cli->door;
    return RESULT_OK;
}

struct result cli_reader(struct cli *cli, struct plant **out)
{
    if (cli->reader == NULL) {
        TRY(plant_open_read(cli->plant, &cli->reader));
        if (cli->known_on > 0) {
            struct store *then;
            TRY(known_on(cli->reader->store, cli->known_on, &then));
            store_close(cli->reader->store);
            cli->reader->store = then;
        }
    }
    *out = cli->reader;
    return RESULT_OK;
}

const char *cli_uuid(struct cli *cli)
{
    return uuid_new(&cli->arena, cli->world);
}

static struct result ask_terminal(struct cli *cli, const char *prompt, const char **out)
{
    struct termios before, quiet;
    char line[512];
    if (!isatty(STDIN_FILENO) || tcgetattr(STDIN_FILENO, &before) != 0) {
        return RESULT_OK;
    }
    quiet = before;
    quiet.c_lflag &= (tcflag_t)~ECHO;
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &quiet);
    fprintf(stderr, "%s: ", prompt);
    bool read = fgets(line, sizeof line, stdin) != NULL;
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &before);
    fputc('\n', stderr);
    if (read) {
        line[strcspn(line, "\n")] = '\0';
        *out = arena_copy(&cli->arena, line);
    }
    return RESULT_OK;
}

struct result cli_password(struct cli *cli, const char *key, const char **out)
{
    *out = NULL;
    if (cli->password_file != NULL) {
        char *text;
        size_t len;
        TRY(file_read(&cli->arena, cli->password_file, 4096, &text, &len));
        text[strcspn(text, "\r\n")] = '\0';
        *out = text;
        return RESULT_OK;
    }
    return ask_terminal(cli, words_of(&cli->arena, cli->lang, "prompt.", key, key), out);
}

struct result cli_ask(struct cli *cli, json_t *request, json_t **out_answer)
{
    struct door *door;
    TRY(cli_door(cli, &door));
    struct result r = door_ask(door, request, out_answer);
    if (r.code == CODE_PASSWORD_NEEDED) {
        const char *password;
        bool take = json_object_get(request, "command") != NULL;
        TRY(cli_password(cli, "password", &password));
        if (password != NULL) {
            json_object_set_new(request, take ? "password" : "by_password", json_string(password));
            r = door_ask(door, request, out_answer);
        }
    }
    return r;
}

struct result cli_take(struct cli *cli, json_t *command, json_t **out_answer)
{
    if (json_object_get(command, "uuid") == NULL) {
        json_object_set_new(command, "uuid", json_string(cli_uuid(cli)));
    }
    if (json_object_get(command, "person") == NULL) {
        if (cli->person == 0) {
            return cli_usage(cli, "who", NULL);
        }
        json_object_set_new(command, "person", json_integer(cli->person));
    }
    json_t *request = json_pack("{s:s,s:O}", "do", "take", "command", command);
    CHECK(request != NULL);
    struct result r = cli_ask(cli, request, out_answer);
    json_decref(request);
    return r;
}

struct result cli_book(struct cli *cli, json_t *command)
{
    json_t *answer = NULL;
    struct result r = cli_take(cli, command, &answer);
    json_decref(command);
    if (r.code == CODE_OK) {
        cli_print_answer(cli, answer);
    }
    json_decref(answer);
    return r;
}
