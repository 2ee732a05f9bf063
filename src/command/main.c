#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/words.h"
#include "command/cli.h"

const struct command_row command_rows[] = {
    {"init", "make a new plant",
     "init --profile FILE [--house FILE] --zone ZONE --manager NUMBER --name NAME",
     "init --plant p --profile profiles/sprout-house.json --zone Europe/Vienna --manager 1 --name "
     "\"Hilum 1\"",
     cmd_init},
    {"import", "take a file in: orders, seed, results, logger, checkweigher",
     "import KIND FILE|- --source NAME [--name FILE] [--try] [--reason TEXT]",
     "import orders orders-2026-03-02.csv --source shop-1 --try", cmd_import},
    {"record", "tell or ask one step, or many as JSON lines",
     "record STEP [--ask|--tell] key=value ... | record -",
     "record harvest chamber=C-07 share=rest mass=\"942 kg\" instrument=SC-1 place=W-1",
     cmd_record},
    {"today", "what needs somebody now", "today [--day DAY]", "today --as 4", cmd_today},
    {"lots", "what is here, and what is held", "lots [--kind KIND]", "lots --kind packed",
     cmd_lots},
    {"review", "records that wait for your review; sign them", "review [--sign]", "review --sign",
     cmd_review},
    {"sample", "draw a sample, enter a result, list what is due",
     "sample draw|result|second|due [--ask|--tell] key=value ...",
     "sample draw lot=MUNG26085-01 location=drain what=spent-water volume=\"1000 mL\"", cmd_sample},
    {"hold", "stop something, lift it, list what is held", "hold place|lift|list key=value ...",
     "hold place hold_kind=quality lot=MUNG26085-01 stops=use,release,load needs=decision "
     "reason=\"smell\"",
     cmd_hold},
    {"release", "show a lot's clauses, or release it",
     "release LOT --market M [--market M] [--show] [--reason TEXT]",
     "release MU25026085-01 --market EU", cmd_release},
    {"plan", "what to soak, where, of which seed; what is short and why",
     "plan [--seconds N] [--take]", "plan --seconds 10", cmd_plan},
    {"trace", "follow a lot, case or shipment forward or back",
     "trace CODE --forward|--back [--without-unknown] [--why LOT]", "trace MUNGSEED-1 --forward",
     cmd_trace},
    {"recall", "everything a lot may be in: customers to tell, what is here", "recall CODE ...",
     "recall MUNGSEED-1", cmd_recall},
    {"label", "case labels as PDF", "label LOT --out FILE [--cases FIRST..LAST]",
     "label M250-20900-01 --out labels.pdf --cases 1..4", cmd_label},
    {"dossier", "the printed history of a lot, with its proof", "dossier LOT --out FILE",
     "dossier M250-20900-01 --out dossier.pdf", cmd_dossier},
    {"sheets", "the shift's sheets as PDF, to go on by paper", "sheets --out FOLDER [--day DAY]",
     "sheets --out papers", cmd_sheets},
    {"balance", "account for every kilogram", "balance [LOT] [--steps]", "balance M250-20900-01",
     cmd_balance},
    {"calc", "work out one calculation", "calc NAME field=value ... | calc --list",
     "calc mass-chain seed_kg=100", cmd_calc},
    {"user", "people: add, change the password, erase, list",
     "user add|password|erase|list [--number N] [--role R] [--name NAME] [--contact TEXT] "
     "[--new-password-file FILE] [--inactive]",
     "user add --number 12 --role quality --name \"Cotyledon 2\"", cmd_user},
    {"verify", "is the record whole? replays and compares everything", "verify", "verify --json",
     cmd_verify},
    {"head", "the signed head of the record, for the shift sheet", "head [--sign]", "head --sign",
     cmd_head},
    {"backup", "a checked copy in a second place", "backup --to FOLDER", "backup --to copies",
     cmd_backup},
    {"restore", "put a copy back; tell what is gone",
     "restore COPY [--replace] | restore --tell --reason TEXT",
     "restore copies/plant-20260302T031500Z --replace", cmd_restore},
    {"demo", "make the invented plant and play it through",
     "demo [--folder F] [--profile FILE] [--chambers N] [--weeks N] [--seed N] [--last-day DAY]",
     "demo --folder demo-plant --chambers 24 --weeks 8", cmd_demo},
    {"serve", "hold the record open: for other commands, for browsers, for other devices",
     "serve [--port N] [--bind ADDRESS] [--https-port N] [--name HOST ...] [--certificate FILE "
     "--key FILE] [--backup-to FOLDER --backup-at HH:MM] [--openapi]",
     "serve --bind 0.0.0.0 --name plant.example --backup-to copies --backup-at 03:15", cmd_serve},
};
const size_t command_count = sizeof command_rows / sizeof command_rows[0];

static void print_help(void)
{
    printf("plumule: production and quality of a plant that turns a living crop into packs\n\n"
           "plumule [--plant FOLDER] [--as PERSON] [--password-file FILE] [--json] [--lang "
           "LANGUAGE] [--as-known-on SIZE] COMMAND ...\n\n");
    for (size_t i = 0; i < command_count; i++) {
        printf("  %-9s %s\n", command_rows[i].name, command_rows[i].purpose);
    }
    printf("\nplumule COMMAND --help shows how, with an example. Exit: 0 done, 2 wrong use, 3 bad "
           "input, 4 refused by a rule,\n"
           "5 not found, 6 busy, 7 the record is damaged, 8 the machine failed.\n");
}

static const struct command_row *find(const char *name)
{
    for (size_t i = 0; i < command_count; i++) {
        if (strcmp(command_rows[i].name, name) == 0) {
            return &command_rows[i];
        }
    }
    return NULL;
}

static void print_failure(struct cli *cli, const struct result *r)
{
    if (cli->json) {
        json_t *envelope = request_envelope(&cli->arena, r, NULL);
        cli_print_json(envelope);
        json_decref(envelope);
    } else {
        fprintf(stderr, "plumule: %s\n", result_sentence_in(&cli->arena, cli->lang, r));
    }
}

/* As the C library looks for it. */
static const char *language_of_environment(void)
{
    static const char *const names[] = {"LC_ALL", "LC_MESSAGES", "LANG"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const char *value = getenv(names[i]);
        if (value != NULL && value[0] != '\0') {
            return value;
        }
    }
    return NULL;
}

static void read_globals(struct cli *cli)
{
    const char *lang = cli_option(cli, "lang");
    cli->lang = words_language(lang != NULL ? lang : language_of_environment());
    const char *as = cli_option(cli, "as");
    const char *plant = cli_option(cli, "plant");
    const char *known = cli_option(cli, "as-known-on");
    cli->known_on = known != NULL ? strtoll(known, NULL, 10) : 0;
    cli->json = cli_flag(cli, "json");
    cli->password_file = cli_option(cli, "password-file");
    cli->plant = plant != NULL                     ? plant
                 : getenv("PLUMULE_PLANT") != NULL ? getenv("PLUMULE_PLANT")
                                                   : "plant";
    as = as != NULL ? as : getenv("PLUMULE_PERSON");
    cli->person = as != NULL ? strtoll(as, NULL, 10) : 0;
    if (cli->password_file == NULL) {
        cli->password_file = getenv("PLUMULE_PASSWORD_FILE");
    }
}

static struct result dispatch(struct cli *cli)
{
    cli->command = cli_word(cli);
    const struct command_row *row = cli->command != NULL ? find(cli->command) : NULL;
    if (row == NULL) {
        return cli_usage(cli,
                         cli->command != NULL ? "There is no such command." : "Name a command.");
    }
    if (cli_flag(cli, "help")) {
        printf("plumule %s\n  %s\n\nFor example:\n  plumule %s\n", row->usage, row->purpose,
               row->example);
        return RESULT_OK;
    }
    return row->run(cli);
}

int main(int argc, char **argv)
{
    struct cli cli = {
        .program = argv[0], .argc = argc - 1, .argv = argv + 1, .world = world_real()};
    arena_init(&cli.arena, ARENA_LIMIT_DEFAULT);
    if (argc < 2 || strcmp(argv[1], "--help") == 0) {
        print_help();
        arena_release(&cli.arena);
        return argc < 2 ? 2 : 0;
    }
    read_globals(&cli);
    struct result r = dispatch(&cli);
    door_close(cli.door);
    plant_close(cli.reader);
    if (r.code != CODE_OK) {
        print_failure(&cli, &r);
    }
    arena_release(&cli.arena);
    if (fflush(stdout) != 0 && r.code == CODE_OK) {
        return 8; /* what was asked for could not be printed */
    }
    return code_exit(r.code);
}
