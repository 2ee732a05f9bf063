#include <string.h>

#include "base/check.h"
#include "command/cli.h"
#include "service/backup.h"
#include "service/witness.h"

struct result cmd_backup(struct cli *cli)
{
    const char *to = cli_option(cli, "to"), *path;
    struct plant *plant;
    TRY(cli_done(cli));
    if (to == NULL) {
        return cli_usage(cli, "Say where to: --to FOLDER, best on another disk.");
    }
    TRY(cli_reader(cli, &plant));
    TRY(backup_make(plant, to, cli->world.now_ms(cli->world.self), &cli->arena, &path));
    if (cli->json) {
        json_t *o = json_pack("{s:s}", "backup", path);
        cli_print_json(o);
        json_decref(o);
    }
    cli_say(cli,
            "Copied and checked: %s. The signing key (plant.key) is not in it; keep a copy of the "
            "key apart.",
            path);
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
        return cli_usage(cli, "Say why with --reason.");
    }
    TRY(cli_door(cli, &door));
    if (!door_is_direct(door)) {
        return cli_usage(cli, "Stop the serving program first.");
    }
    TRY(witness_missing(door_plant(door), &cli->arena, &head));
    if (head == NULL) {
        cli_print_fact(cli, json_pack("{s:b}", "missing", 0));
        cli_say(cli, "Nothing is missing: this record is as long as every head it signed.");
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
        return cli_usage(cli, "Name the copy to put back.");
    }
    TRY(backup_restore(copy, cli->plant, replace, cli->world, &cli->arena));
    cli_print_fact(cli, json_pack("{s:s,s:s}", "restored", copy, "plant", cli->plant));
    cli_say(cli,
            "Put back into %s. Check it with: plumule verify. If entries are gone since then, say "
            "so: plumule restore --tell",
            cli->plant);
    return RESULT_OK;
}
