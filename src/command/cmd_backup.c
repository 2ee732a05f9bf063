#include <string.h>

#include "base/check.h"
#include "command/say.h"
#include "service/backup.h"
#include "service/witness.h"

struct result cmd_backup(struct cli *cli)
{
    const char *to = cli_option(cli, "to"), *path;
    struct plant *plant;
    TRY(cli_done(cli));
    if (to == NULL) {
        return cli_usage(cli, "backup", NULL);
    }
    TRY(cli_reader(cli, &plant));
    TRY(backup_make(plant, to, cli->world.now_ms(cli->world.self), &cli->arena, &path));
    if (cli->json) {
        json_t *o = json_pack("{s:s}", "backup", path);
        cli_print_json(o);
        json_decref(o);
    }
    CLI_SAY(cli, "backup.done", path);
    return RESULT_OK;
}

/* The entry that says which entries are gone, by the head that proves it. */
static struct result tell(struct cli *cli)
{
    const char *reason = cli_option(cli, "reason");
    struct door *door;
    json_t *head = NULL;
    TRY(cli_done(cli));
    if (reason == NULL) {
        return cli_usage(cli, "reason", NULL);
    }
    TRY(cli_door(cli, &door));
    if (!door_is_direct(door)) {
        return cli_usage(cli, "serving", NULL);
    }
    TRY(witness_missing(door_plant(door), &cli->arena, &head));
    if (head == NULL) {
        cli_print_fact(cli, json_pack("{s:b}", "missing", 0));
        CLI_SAY(cli, "restore.whole", NULL);
        return RESULT_OK;
    }
    json_t *command =
        json_pack("{s:s,s:s,s:o}", "kind", "restored", "reason", reason, "head", head);
    CHECK(command != NULL);
    return cli_book(cli, command);
}

struct result cmd_restore(struct cli *cli)
{
    bool replace = cli_flag(cli, "replace"), say = cli_flag(cli, "tell");
    if (say) {
        return tell(cli);
    }
    const char *copy = cli_word(cli);
    TRY(cli_done(cli));
    if (copy == NULL) {
        return cli_usage(cli, "restore", NULL);
    }
    TRY(backup_restore(copy, cli->plant, replace, cli->world, &cli->arena));
    cli_print_fact(cli, json_pack("{s:s,s:s}", "restored", copy, "plant", cli->plant));
    CLI_SAY(cli, "restore.done", cli->plant);
    return RESULT_OK;
}
