#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/check.h"
#include "command/cli.h"
#include "web/openapi.h"
#include "web/web.h"

static atomic_bool stop_wanted;

static void on_signal(int number)
{
    (void)number;
    stop_wanted = true;
}

static struct result port_of(const char *text, int *out)
{
    char *end = NULL;
    long port = text != NULL ? strtol(text, &end, 10) : WEB_PORT_DEFAULT;
    if (port < 0 || port > 65535 || (text != NULL && (*text == '\0' || *end != '\0'))) {
        return FAIL2(FIELD_RANGE, "port", text, "a number from 0 to 65535");
    }
    *out = (int)port;
    return RESULT_OK;
}

static struct result serve(struct cli *cli, struct serving *serving,
                           const struct web_options *options)
{
    struct web *web;
    TRY(web_start(serving, options, &web));
    cli_print_fact(cli, json_pack("{s:s,s:i}", "serving", cli->plant, "port", web_port(web)));
    cli_say(cli, "Serving %s on its local socket and at http://127.0.0.1:%d/. Stop with Ctrl-C.",
            cli->plant, web_port(web));
    fflush(stdout);
    struct result r = socket_serve(serving, &stop_wanted);
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
    struct web_options options;
    struct sigaction act = {.sa_handler = on_signal};
    bool only_describe = cli_flag(cli, "openapi");
    TRY(port_of(cli_option(cli, "port"), &options.port));
    TRY(cli_done(cli));
    if (only_describe) {
        return describe();
    }
    TRY(plant_open_write(cli->plant, cli->world, &plant));
    sigaction(SIGINT, &act, NULL);
    sigaction(SIGTERM, &act, NULL);
    struct result r = serving_start(plant, &serving);
    if (r.code == CODE_OK) {
        r = serve(cli, serving, &options);
        serving_stop(serving);
    }
    plant_close(plant);
    return r;
}
