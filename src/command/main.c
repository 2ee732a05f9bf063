#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command/say.h"
#include "service/people.h"

const struct command_row command_rows[] = {
    {"init", "init --profile FILE [--house FILE] --zone ZONE --manager NUMBER --name NAME",
     "init --plant p --profile profiles/sprout-house.json --zone Europe/Vienna --manager 1 --name "
     "\"Hilum 1\"",
     cmd_init},
    {"import", "import KIND FILE|- --source NAME [--name FILE] [--try] [--reason TEXT]",
     "import orders orders-2026-03-02.csv --source shop-1 --try", cmd_import},
    {"record", "record STEP [--ask|--tell] key=value ... | record -",
     "record harvest chamber=C-07 share=rest mass=\"942 kg\" instrument=SC-1 place=W-1",
     cmd_record},
    {"today", "today [--day DAY]", "today --as 4", cmd_today},
    {"lots", "lots [--kind KIND]", "lots --kind packed", cmd_lots},
    {"review", "review [--sign]", "review --sign", cmd_review},
    {"sample", "sample draw|result|second|due [--ask|--tell] key=value ...",
     "sample draw lot=MUNG26085-01 location=drain what=spent-water volume=\"1000 mL\"", cmd_sample},
    {"hold", "hold place|lift|list key=value ...",
     "hold place hold_kind=quality lot=MUNG26085-01 stops=use,release,load needs=decision "
     "reason=\"smell\"",
     cmd_hold},
    {"release", "release LOT --market M [--market M] [--show] [--reason TEXT]",
     "release MU25026085-01 --market EU", cmd_release},
    {"plan",
     "plan [--seconds N] [--service PERCENT] [--keep most|balance|best] [--take] [--what-if "
     "CHANGES] | plan --floor | "
     "plan --day DAY",
     "plan --seconds 10", cmd_plan},
    {"trace", "trace CODE --forward|--back [--without-unknown] [--why LOT]",
     "trace MUNGSEED-1 --forward", cmd_trace},
    {"recall", "recall CODE ...", "recall MUNGSEED-1", cmd_recall},
    {"label", "label LOT --out FILE [--cases FIRST..LAST]",
     "label M250-20900-01 --out labels.pdf --cases 1..4", cmd_label},
    {"dossier", "dossier LOT --out FILE", "dossier M250-20900-01 --out dossier.pdf", cmd_dossier},
    {"sheets", "sheets --out FOLDER [--day DAY] [--shift NAME]", "sheets --out papers", cmd_sheets},
    {"balance", "balance [LOT] [--steps]", "balance M250-20900-01", cmd_balance},
    {"calc", "calc NAME field=value ... | calc --list", "calc mass-chain seed_kg=100", cmd_calc},
    {"user",
     "user add|password|language|erase|list [--number N] [--role R] [--name NAME] [--contact TEXT] "
     "[--new-password-file FILE] [--language LANGUAGE] [--inactive]",
     "user add --number 12 --role quality --name \"Cotyledon 2\"", cmd_user},
    {"verify", "verify", "verify --json", cmd_verify},
    {"head", "head [--sign]", "head --sign", cmd_head},
    {"backup", "backup --to FOLDER", "backup --to copies", cmd_backup},
    {"restore", "restore COPY [--replace] | restore --tell --reason TEXT",
     "restore copies/plant-20260302T031500Z --replace", cmd_restore},
    {"demo",
     "demo [--folder F] [--profile FILE] [--chambers N] [--weeks N] [--seed N] [--last-day DAY]",
     "demo --folder demo-plant --chambers 24 --weeks 8", cmd_demo},
    {"serve",
     "serve [--port N] [--bind ADDRESS] [--https-port N] [--name HOST ...] [--certificate FILE "
     "--key FILE] [--backup-to FOLDER --backup-at HH:MM] [--openapi]",
     "serve --bind 0.0.0.0 --name plant.example --backup-to copies --backup-at 03:15", cmd_serve},
};
const size_t command_count = sizeof command_rows / sizeof command_rows[0];

static const char *purpose_of(struct cli *cli, const struct command_row *row)
{
    return words_of(&cli->arena, cli->lang, "purpose.", row->name, row->name);
}

static void print_help(struct cli *cli)
{
    static const char form[] = "plumule [--plant FOLDER] [--as PERSON] [--password-file FILE] "
                               "[--json] [--lang LANGUAGE] [--as-known-on SIZE] COMMAND ...";
    printf("plumule: %s\n\n%s\n\n", CLI_WORDS(cli, "help.plumule", NULL), cli_form(cli, form));
    for (size_t i = 0; i < command_count; i++) {
        printf("  %-9s %s\n", command_rows[i].name, purpose_of(cli, &command_rows[i]));
    }
    printf("\n%s %s\n%s\n", cli_form(cli, "plumule COMMAND --help"),
           CLI_WORDS(cli, "help.how", NULL), CLI_WORDS(cli, "help.exit", NULL));
}

static void print_command_help(struct cli *cli, const struct command_row *row)
{
    printf("plumule %s\n  %s\n\n%s\n  plumule %s\n", cli_form(cli, row->usage),
           purpose_of(cli, row), CLI_WORDS(cli, "help.example", NULL), row->example);
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

/* What the record says of the one who asks; NULL: nothing, or there is no record yet. */
static const char *language_of_person(struct cli *cli)
{
    struct plant *plant;
    struct access access;
    bool found = false;
    struct result r = cli->person != 0 ? plant_open_read(cli->plant, &plant) : FAIL0(USAGE, "");
    if (r.code != CODE_OK) {
        return NULL;
    }
    r = access_read(plant->store, &cli->arena, cli->person, &access, &found);
    plant_close(plant);
    return r.code == CODE_OK && found ? access.language : NULL;
}

/* The first that says one. Read after the options that it takes. */
static const char *language_of(struct cli *cli)
{
    const char *lang = cli_option(cli, "lang");
    lang = lang != NULL ? lang : getenv("PLUMULE_LANG");
    lang = lang != NULL ? lang : language_of_person(cli);
    return words_language(lang != NULL ? lang : language_of_environment());
}

/* A number that could not be read must not act as nobody, or look at the record as it is now. */
static struct result read_number(struct cli *cli, const char *name, const char *text, int64_t *out)
{
    char *end = NULL;
    if (text == NULL) {
        return RESULT_OK;
    }
    int64_t value = strtoll(text, &end, 10);
    if (end == text || *end != '\0' || value < 1 || value > INT32_MAX) {
        return cli_usage(cli, "from-one", arena_printf(&cli->arena, "%s %s", name, text));
    }
    *out = value;
    return RESULT_OK;
}

static struct result read_globals(struct cli *cli)
{
    const char *as = cli_option(cli, "as");
    const char *plant = cli_option(cli, "plant");
    const char *known = cli_option(cli, "as-known-on");
    cli->json = cli_flag(cli, "json");
    cli->password_file = cli_option(cli, "password-file");
    cli->plant = plant != NULL                     ? plant
                 : getenv("PLUMULE_PLANT") != NULL ? getenv("PLUMULE_PLANT")
                                                   : "plant";
    const char *env = getenv("PLUMULE_PERSON");
    env = as == NULL && env != NULL && env[0] != '\0' ? env : NULL;
    cli->person = as != NULL || env != NULL ? strtoll(as != NULL ? as : env, NULL, 10) : 0;
    if (cli->password_file == NULL) {
        cli->password_file = getenv("PLUMULE_PASSWORD_FILE");
    }
    cli->lang = language_of(cli);
    /* now that it is known in which language to complain */
    TRY(read_number(cli, "--as", as, &cli->person));
    TRY(read_number(cli, "PLUMULE_PERSON", env, &cli->person));
    return read_number(cli, "--as-known-on", known, &cli->known_on);
}

static struct result dispatch(struct cli *cli)
{
    bool help = cli_flag(cli, "help");
    cli->command = cli_word(cli);
    if (help && cli->command == NULL) {
        print_help(cli);
        return RESULT_OK;
    }
    const struct command_row *row = cli->command != NULL ? find(cli->command) : NULL;
    if (row == NULL) {
        return cli->command != NULL ? cli_usage(cli, "no-command", NULL)
                                    : cli_usage(cli, "command", NULL);
    }
    if (help) {
        print_command_help(cli, row);
        return RESULT_OK;
    }
    return row->run(cli);
}

int main(int argc, char **argv)
{
    struct cli cli = {
        .program = argv[0], .argc = argc - 1, .argv = argv + 1, .world = world_real()};
    arena_init(&cli.arena, ARENA_LIMIT_DEFAULT);
    struct result r = read_globals(&cli);
    if (argc < 2) {
        print_help(&cli);
        arena_release(&cli.arena);
        return 2;
    }
    r = r.code == CODE_OK ? dispatch(&cli) : r;
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
