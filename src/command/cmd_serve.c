#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/check.h"
#include "command/say.h"
#include "paper/qr.h"
#include "service/copies.h"
#include "service/shift_folder.h"
#include "web/openapi.h"
#include "web/web.h"

static atomic_bool stop_wanted;

static void on_signal(int number)
{
    (void)number;
    stop_wanted = true;
}

enum { NAMES_MAX = 16 };

struct wishes {
    struct web_options web;
    const char *names[NAMES_MAX];
    const char *copies_to, *copies_at;
};

static struct result port_of(struct cli *cli, const char *option, int usual, int *out)
{
    const char *text = cli_option(cli, option);
    char *end = NULL;
    long port = text != NULL ? strtol(text, &end, 10) : usual;
    if (port < 0 || port > 65535 || (text != NULL && (*text == '\0' || *end != '\0'))) {
        return FAIL2(FIELD_RANGE, option, text, "a number from 0 to 65535");
    }
    *out = (int)port;
    return RESULT_OK;
}

static struct result read_wishes(struct cli *cli, struct wishes *w)
{
    const char *name;
    *w = (struct wishes){.copies_to = cli_option(cli, "backup-to"),
                         .copies_at = cli_option(cli, "backup-at")};
    TRY(port_of(cli, "port", WEB_PORT_DEFAULT, &w->web.port));
    TRY(port_of(cli, "https-port", WEB_TLS_PORT_DEFAULT, &w->web.tls_port));
    w->web.bind = cli_option(cli, "bind");
    w->web.certificate = cli_option(cli, "certificate");
    w->web.key = cli_option(cli, "key");
    w->web.names = w->names;
    while (w->web.name_count < NAMES_MAX && (name = cli_option(cli, "name")) != NULL) {
        w->names[w->web.name_count++] = name;
    }
    TRY(cli_done(cli));
    if ((w->web.certificate == NULL) != (w->web.key == NULL)) {
        return cli_usage(cli, "certificate-key", NULL);
    }
    if ((w->copies_to == NULL) != (w->copies_at == NULL)) {
        return cli_usage(cli, "backup-at", NULL);
    }
    return RESULT_OK;
}

/* What was wished is kept beside the record and holds from now on. */
static struct result keep_copies_wish(struct cli *cli, const struct wishes *w)
{
    struct copies_rule rule;
    if (w->copies_to == NULL) {
        return RESULT_OK;
    }
    TRY(copies_read(cli->plant, &cli->arena, &rule));
    TRY(copies_time(w->copies_at, &rule.at_min));
    rule.to = w->copies_to;
    return copies_write(cli->plant, &rule);
}

static struct result say_outside(struct cli *cli, const struct web *web)
{
    struct web_outside out = web_outside(web);
    struct qr qr;
    if (out.fingerprint == NULL) {
        return RESULT_OK;
    }
    for (size_t i = 0; i < out.address_count; i++) {
        CLI_SAY(cli, "serve.address", out.addresses[i]);
    }
    if (out.is_new) {
        CLI_SAY(cli, "serve.fingerprint-new", out.fingerprint);
    } else {
        CLI_SAY(cli, "serve.fingerprint", out.fingerprint);
    }
    if (cli->json || out.address_count == 0) {
        return RESULT_OK;
    }
    const char *trust = arena_printf(&cli->arena, "%strust", out.addresses[0]);
    TRY(qr_make(&cli->arena, trust, "address", &qr));
    CLI_SAY(cli, "serve.trust", trust);
    cli_say(cli, qr_text(&cli->arena, &qr));
    return RESULT_OK;
}

static void print_fact(struct cli *cli, const struct web *web)
{
    struct web_outside out = web_outside(web);
    json_t *addresses = json_array();
    for (size_t i = 0; i < out.address_count; i++) {
        json_array_append_new(addresses, json_string(out.addresses[i]));
    }
    cli_print_fact(cli,
                   json_pack("{s:s,s:i,s:o,s:s?}", "serving", cli->plant, "port", web_port(web),
                             "addresses", addresses, "fingerprint", out.fingerprint));
}

/* What is looked after beside the requests: a copy a day, sheets a shift. */
struct beside {
    struct copies *copies;
    struct shift_folder *sheets;
};

static struct result beside_start(struct cli *cli, struct serving *serving, struct beside *out)
{
    TRY(copies_start(cli->plant, cli->world, &out->copies));
    struct result r = shift_folder_start(serving, cli->lang, &out->sheets);
    if (r.code != CODE_OK) {
        copies_stop(out->copies);
    }
    return r;
}

static void beside_stop(struct beside *b)
{
    shift_folder_stop(b->sheets);
    copies_stop(b->copies);
}

static struct result serve(struct cli *cli, struct serving *serving, const struct wishes *w)
{
    struct web *web;
    struct beside beside;
    TRY(web_start(serving, &w->web, &web));
    struct result r = beside_start(cli, serving, &beside);
    if (r.code != CODE_OK) {
        web_stop(web);
        return r;
    }
    print_fact(cli, web);
    CLI_SAY(cli, "serve.begun", cli->plant, cli_number(cli, web_port(web)));
    r = say_outside(cli, web);
    fflush(stdout);
    if (r.code == CODE_OK) {
        r = socket_serve(serving, &stop_wanted);
    }
    beside_stop(&beside);
    web_stop(web);
    return r;
}

static struct result describe(void)
{
    json_t *document = openapi_document();
    char *text = json_dumps(document, JSON_INDENT(2));
    json_decref(document);
    CHECK(text != NULL);
    puts(text);
    free(text);
    return RESULT_OK;
}

struct result cmd_serve(struct cli *cli)
{
    struct plant *plant;
    struct serving *serving;
    struct wishes wishes;
    struct sigaction act = {.sa_handler = on_signal};
    bool only_describe = cli_flag(cli, "openapi");
    TRY(read_wishes(cli, &wishes));
    if (only_describe) {
        return describe();
    }
    TRY(plant_open_write(cli->plant, cli->world, &plant));
    sigaction(SIGINT, &act, NULL);
    sigaction(SIGTERM, &act, NULL);
    struct result r = keep_copies_wish(cli, &wishes);
    if (r.code == CODE_OK) {
        r = serving_start(plant, &serving);
    }
    if (r.code == CODE_OK) {
        r = serve(cli, serving, &wishes);
        serving_stop(serving);
    }
    plant_close(plant);
    return r;
}
