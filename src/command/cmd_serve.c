#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>

#include "command/cli.h"

static atomic_bool stop_wanted;

static void on_signal(int number)
{
    (void)number;
    stop_wanted = true;
}

struct result cmd_serve(struct cli *cli)
{
    struct plant *plant;
    struct sigaction act = {.sa_handler = on_signal};
    TRY(cli_done(cli));
    TRY(plant_open_write(cli->plant, cli->world, &plant));
    sigaction(SIGINT, &act, NULL);
    sigaction(SIGTERM, &act, NULL);
    cli_print_fact(cli, json_pack("{s:s}", "serving", cli->plant));
    cli_say(cli, "Serving %s on its local socket. Stop with Ctrl-C.", cli->plant);
    fflush(stdout);
    struct result r = socket_serve(plant, &stop_wanted);
    plant_close(plant);
    return r;
}
