#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/file.h"
#include "command/say.h"
#include "service/house.h"

struct result cmd_init(struct cli *cli)
{
    struct house_start start = {.profile = cli_option(cli, "profile"),
                                .house = cli_option(cli, "house"),
                                .zone = cli_option(cli, "zone"),
                                .name = cli_option(cli, "name")};
    const char *manager = cli_option(cli, "manager");
    TRY(cli_done(cli));
    if (start.profile == NULL || start.zone == NULL || manager == NULL || start.name == NULL) {
        return cli_usage(cli, "init", NULL);
    }
    for (const char *p = manager; *p != '\0'; p++) {
        if (*p < '0' || *p > '9' || p - manager > 5) {
            return FAIL2(FIELD_RANGE, "manager", manager, "a number from 1 to 999999");
        }
        start.manager = start.manager * 10 + (*p - '0');
    }
    TRY(cli_password(cli, "manager", &start.password));
    if (start.password == NULL) {
        return cli_usage(cli, "manager-password", NULL);
    }
    struct house_made made;
    TRY(house_start(cli->plant, cli->world, &start, &cli->arena, &made));
    CLI_SAY(cli, "init.done", cli->plant, cli_number(cli, made.entries), made.profile);
    if (cli->json) {
        json_t *out = json_pack("{s:s,s:I,s:s}", "plant", cli->plant, "entries",
                                (json_int_t)made.entries, "profile", made.profile);
        cli_print_json(out);
        json_decref(out);
    }
    return RESULT_OK;
}
