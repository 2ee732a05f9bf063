/* What the commands print: sentences of the catalogue in the reader's language, rows whose columns
 * stand below each other, answers, progress. */
#ifndef COMMAND_SAY_H
#define COMMAND_SAY_H

#include "base/words.h"
#include "command/cli.h"

/* A sentence of the catalogue. */
#define CLI_WORDS(cli, key, ...) WORDS(&(cli)->arena, (cli)->lang, key, __VA_ARGS__)
/* A whole number as text. */
const char *cli_number(struct cli *cli, int64_t n);

/* A comma list of names of the record, each as words_name has it. */
const char *cli_names(struct cli *cli, const char *prefix, const char *list);
/* A mass with as many digits as its division (0: all), or a count with its unit's name. */
const char *cli_amount(struct cli *cli, int64_t amount, const char *unit, int64_t division_mg);

/* A line of words; nothing with --json. */
void cli_say(struct cli *cli, const char *line);
/* The same, of the catalogue. */
#define CLI_SAY(cli, key, ...) cli_say((cli), CLI_WORDS((cli), key, __VA_ARGS__))

/* width: in characters; negative: to the right; 0: as long as the text. NULL is an empty text. */
struct cli_cell {
    int width;
    const char *text;
};
/* The width of a column of names of the record: in English they are as short as they are typed. */
int cli_name_width(const struct cli *cli, int width);
/* One line of cells with a space between them; nothing with --json. */
void cli_row(struct cli *cli, const struct cli_cell *cells, size_t count);
#define CLI_ROW(cli, ...)                                  \
    cli_row((cli), (const struct cli_cell[]){__VA_ARGS__}, \
            sizeof((const struct cli_cell[]){__VA_ARGS__}) / sizeof(struct cli_cell))

/* Prints an answer: as one line of JSON, or its plain facts and deviations in words. */
void cli_print_answer(struct cli *cli, const json_t *answer);
void cli_print_json(const json_t *value);
/* The same, and lets go of it; nothing without --json. */
void cli_print_fact(struct cli *cli, json_t *value);
/* Progress on work over a second, on a terminal only. what: "progress.WHAT" of the catalogue, else
 * as it stands. done of total; total 0 ends the line. */
void cli_progress(struct cli *cli, const char *what, int64_t done, int64_t total);

/* The form of a command with its words in capitals as the reader says them ("--out FILE"). */
const char *cli_form(struct cli *cli, const char *usage);

#endif
