/* What the commands share: options, who is asking, the way to the record. What they print is in
 * say.h. */
#ifndef COMMAND_CLI_H
#define COMMAND_CLI_H

#include "service/socket.h"
#include "service/view.h"

struct cli {
    struct arena arena;
    struct world world;
    const char *program; /* argv[0] */
    const char *plant;   /* --plant, PLUMULE_PLANT, else "plant" */
    bool json;           /* --json: one JSON object a line instead of words */
    int64_t person;      /* --as, PLUMULE_PERSON; 0: nobody */
    int64_t
        known_on; /* --as-known-on SIZE: reads the record as it stood at that tree size; 0: now */
    const char *lang;          /* a language of base/words.h; cli_language says which */
    const char *password_file; /* --password-file, PLUMULE_PASSWORD_FILE */
    const char *command;
    int argc; /* what follows the command's name */
    char **argv;
    struct door *door;
    struct plant *reader;
};

struct command_row {
    const char *name, *usage, *example; /* its purpose: "purpose.NAME" of the catalogue */
    struct result (*run)(struct cli *cli);
};
extern const struct command_row command_rows[];
extern const size_t command_count;

/* Options "--name value", "--name=value" or bare "--name". cli_option takes it out of argv; NULL:
 * not given. A repeated option is taken by repeated calls. */
const char *cli_option(struct cli *cli, const char *name);
bool cli_flag(struct cli *cli, const char *name);
/* The next word that is no option; NULL: no more. */
const char *cli_word(struct cli *cli);
/* USAGE when anything is left over. */
MUST_USE struct result cli_done(struct cli *cli);
/* USAGE with the sentence "usage.KEY" of the catalogue; its {0} is what, which may be NULL. */
MUST_USE struct result cli_usage(struct cli *cli, const char *key, const char *what);

/* Opened once, closed by main. */
MUST_USE struct result cli_door(struct cli *cli, struct door **out);
MUST_USE struct result cli_reader(struct cli *cli, struct plant **out);

/* Completes a command (uuid, person) and sends it with the password when the kind is signed. The
 * caller owns command and *out. */
MUST_USE struct result cli_take(struct cli *cli, json_t *command, json_t **out_answer);
/* The same, and prints the answer. Takes over command. */
MUST_USE struct result cli_book(struct cli *cli, json_t *command);
/* Sends any request of request.h. */
MUST_USE struct result cli_ask(struct cli *cli, json_t *request, json_t **out_answer);
/* The first line of the password file, or asked for on the terminal without echo, with the words
 * "prompt.KEY" of the catalogue; NULL when neither is there. */
MUST_USE struct result cli_password(struct cli *cli, const char *key, const char **out);
const char *cli_uuid(struct cli *cli);

/* "key=value" words to a command object: numbers, yes/no, comma lists and in=LOT,MASS
 * out=ROLE,MASS[,LOT] by field name. */
MUST_USE struct result cli_fields(struct cli *cli, json_t *command);

/* Fields from the words left, sent under kind, answer printed. */
MUST_USE struct result cli_send(struct cli *cli, const char *kind);

#define COMMAND(name) struct result cmd_##name(struct cli *cli);
#include "command/commands.def"
#undef COMMAND

#endif
