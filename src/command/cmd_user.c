#include <string.h>

#include "base/check.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/view_house.h"

static struct result number_of(struct cli *cli, const char *text, int64_t *out)
{
    *out = 0;
    if (text == NULL) {
        return cli_usage(cli, "number", NULL);
    }
    for (const char *p = text; *p != '\0'; p++) {
        if (*p < '0' || *p > '9' || p - text > 5) {
            return FAIL2(FIELD_RANGE, "number", text, "a number from 1 to 999999");
        }
        *out = *out * 10 + (*p - '0');
    }
    return RESULT_OK;
}

/* The new person's password: the file named, or typed. */
static struct result new_password(struct cli *cli, const char *file, const char **out)
{
    const char *own = cli->password_file;
    cli->password_file = file;
    struct result r = cli_password(cli, "new-password", out);
    cli->password_file = own;
    return r;
}

static struct result put_secret(struct cli *cli, int64_t number, const char *name,
                                const char *contact, const char *password)
{
    json_t *answer = NULL;
    json_t *request =
        json_pack("{s:s,s:I,s:s,s:s,s:I}", "do", "person", "number", (json_int_t)number, "name",
                  name, "contact", contact != NULL ? contact : "", "by", (json_int_t)cli->person);
    CHECK(request != NULL);
    if (password != NULL) {
        json_object_set_new(request, "password", json_string(password));
    }
    struct result r = cli_ask(cli, request, &answer);
    json_decref(answer);
    json_decref(request);
    return r;
}

static struct result add(struct cli *cli)
{
    const char *role = cli_option(cli, "role"), *name = cli_option(cli, "name"),
               *contact = cli_option(cli, "contact");
    const char *file = cli_option(cli, "new-password-file"), *password = NULL;
    bool leave = cli_flag(cli, "inactive");
    int64_t number;
    TRY(number_of(cli, cli_option(cli, "number"), &number));
    TRY(cli_done(cli));
    if (role == NULL || name == NULL) {
        return cli_usage(cli, "person", NULL);
    }
    json_t *command = json_pack("{s:s,s:I,s:s,s:b}", "kind", "person", "number", (json_int_t)number,
                                "role", role, "active", !leave);
    json_t *answer = NULL;
    CHECK(command != NULL);
    struct result r = cli_take(cli, command, &answer);
    json_decref(command);
    if (r.code == CODE_OK) {
        r = new_password(cli, file, &password);
    }
    if (r.code == CODE_OK) {
        r = put_secret(cli, number, name, contact, password);
    }
    if (r.code == CODE_OK) {
        cli_print_answer(cli, answer);
    }
    json_decref(answer);
    return r;
}

static struct result password(struct cli *cli)
{
    const char *file = cli_option(cli, "new-password-file"), *name = cli_option(cli, "name"),
               *word = NULL;
    int64_t number;
    TRY(number_of(cli, cli_option(cli, "number"), &number));
    TRY(cli_done(cli));
    if (name == NULL) {
        return cli_usage(cli, "number-name", NULL);
    }
    TRY(new_password(cli, file, &word));
    if (word == NULL) {
        return cli_usage(cli, "new-password", NULL);
    }
    TRY(put_secret(cli, number, name, NULL, word));
    cli_print_fact(cli,
                   json_pack("{s:I,s:b}", "number", (json_int_t)number, "password_changed", 1));
    CLI_SAY(cli, "user.password", cli_number(cli, number));
    return RESULT_OK;
}

static struct result erase(struct cli *cli)
{
    int64_t number;
    json_t *answer = NULL;
    TRY(number_of(cli, cli_option(cli, "number"), &number));
    TRY(cli_done(cli));
    json_t *request = json_pack("{s:s,s:I,s:I}", "do", "erase-person", "number", (json_int_t)number,
                                "by", (json_int_t)cli->person);
    CHECK(request != NULL);
    struct result r = cli_ask(cli, request, &answer);
    json_decref(answer);
    json_decref(request);
    TRY(r);
    cli_print_fact(cli, json_pack("{s:I,s:b}", "number", (json_int_t)number, "erased", 1));
    CLI_SAY(cli, "user.erased", cli_number(cli, number));
    return RESULT_OK;
}

/* In which language the commands and pages speak to a person. */
static struct result language(struct cli *cli)
{
    const char *wanted = cli_option(cli, "language");
    int64_t number;
    json_t *answer = NULL;
    TRY(number_of(cli, cli_option(cli, "number"), &number));
    TRY(cli_done(cli));
    if (wanted == NULL) {
        return cli_usage(cli, "number-language", NULL);
    }
    json_t *request = json_pack("{s:s,s:I,s:s,s:I}", "do", "language", "number", (json_int_t)number,
                                "language", wanted, "by", (json_int_t)cli->person);
    CHECK(request != NULL);
    struct result r = cli_ask(cli, request, &answer);
    json_decref(answer);
    json_decref(request);
    TRY(r);
    cli_print_fact(cli, json_pack("{s:I,s:s}", "number", (json_int_t)number, "language", wanted));
    CLI_SAY(cli, "user.language", cli_number(cli, number), wanted);
    return RESULT_OK;
}

static struct result print_people(struct cli *cli, struct view *v)
{
    json_t *o, *one;
    size_t i;
    TRY(view_people(v, &o));
    json_array_foreach(json_object_get(o, "people"), i, one)
    {
        const char *name = json_string_value(json_object_get(one, "name"));
        const char *role = json_string_value(json_object_get(one, "role"));
        CLI_ROW(
            cli, {-6, cli_number(cli, json_integer_value(json_object_get(one, "number")))}, {0, ""},
            {cli_name_width(cli, 12), words_name(&cli->arena, cli->lang, "ui.role.", role)},
            {9, json_is_true(json_object_get(one, "active")) ? CLI_WORDS(cli, "user.active", NULL)
                                                             : CLI_WORDS(cli, "user.left", NULL)},
            {0, name != NULL ? name : CLI_WORDS(cli, "user.nameless", NULL)});
    }
    cli_print_fact(cli, o);
    return RESULT_OK;
}

/* People are there before any profile. */
static struct result list(struct cli *cli)
{
    struct sight s;
    TRY(cli_done(cli));
    TRY(sight_open(cli, false, &s));
    return sight_close(&s, print_people(cli, &s.view));
}

struct result cmd_user(struct cli *cli)
{
    static const struct {
        const char *name;
        struct result (*run)(struct cli *cli);
    } acts[] = {{"add", add},
                {"password", password},
                {"language", language},
                {"erase", erase},
                {"list", list}};
    const char *what = cli_word(cli);
    for (size_t i = 0; what != NULL && i < sizeof acts / sizeof acts[0]; i++) {
        if (strcmp(what, acts[i].name) == 0) {
            return acts[i].run(cli);
        }
    }
    return cli_usage(cli, "user", NULL);
}
