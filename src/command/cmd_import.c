#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/file.h"
#include "command/say.h"
#include "feed/import.h"
#include "service/reading.h"

enum { NOTES_SHOWN = 40 }; /* on a terminal; the rest is counted */

static const char *mark_text(struct cli *cli, enum feed_mark mark)
{
    return words_name(&cli->arena, cli->lang, "mark.", feed_mark_text(mark));
}

static void print_report(struct cli *cli, const struct import_done *done, bool only_try)
{
    const struct feed_report *r = &done->report;
    if (cli->json) {
        json_t *o = feed_report_json(&cli->arena, cli->lang, r);
        json_object_set_new(o, "booked", json_boolean(done->first_entry != 0));
        json_object_set_new(o, "commands", json_integer((json_int_t)done->commands));
        cli_print_json(o);
        json_decref(o);
        return;
    }
    CLI_SAY(cli, "import.rows", r->file, cli_number(cli, (int64_t)r->rows));
    for (int mark = 0; mark < FEED_MARKS; mark++) {
        if (r->count[mark] > 0) {
            CLI_ROW(cli, {1, ""}, {-6, cli_number(cli, (int64_t)r->count[mark])},
                    {0, mark_text(cli, (enum feed_mark)mark)});
        }
    }
    for (size_t i = 0; i < r->note_count && i < NOTES_SHOWN; i++) {
        CLI_SAY(cli, "import.note", mark_text(cli, r->notes[i].mark),
                cli_number(cli, r->notes[i].line),
                feed_note_words(&cli->arena, cli->lang, &r->notes[i]));
    }
    if (r->note_count > NOTES_SHOWN) {
        CLI_SAY(cli, "import.more", cli_number(cli, (int64_t)(r->note_count - NOTES_SHOWN)));
    }
    for (size_t i = 0; i < r->caution_count; i++) {
        CLI_SAY(cli, "import.caution", result_sentence_in(&cli->arena, cli->lang, &r->cautions[i]));
    }
    if (only_try) {
        CLI_SAY(cli, "import.tried", cli_number(cli, (int64_t)done->commands));
    } else if (done->first_entry != 0) {
        CLI_SAY(cli, "import.booked", cli_number(cli, done->first_entry),
                cli_number(cli, done->last_entry));
    } else {
        CLI_SAY(cli, "import.nothing", NULL);
    }
}

struct result cmd_import(struct cli *cli)
{
    const char *kind = cli_word(cli), *path = cli_word(cli);
    struct import_ask ask = {.kind = kind,
                             .source = cli_option(cli, "source"),
                             .reason = cli_option(cli, "reason"),
                             .name = cli_option(cli, "name"),
                             .person = cli->person,
                             .only_try = cli_flag(cli, "try"),
                             .world = cli->world};
    TRY(cli_done(cli));
    if (kind == NULL || path == NULL || ask.source == NULL) {
        return cli_usage(cli, "import", NULL);
    }
    if (ask.person == 0) {
        return cli_usage(cli, "who", NULL);
    }
    char *bytes;
    struct plant *plant;
    struct door *door = NULL;
    struct profile *profile;
    struct import_done done;
    TRY(file_read(&cli->arena, path, FEED_FILE_BYTES_MAX, &bytes, &ask.len));
    ask.bytes = bytes;
    if (ask.name == NULL) {
        ask.name = strrchr(path, '/') != NULL ? strrchr(path, '/') + 1 : path;
    }
    struct result r = cli_door(cli, &door); /* first: what is read below must be what it will see */
    if (r.code != CODE_OK && !ask.only_try) {
        return r;
    }
    TRY(cli_reader(cli, &plant));
    TRY(profile_now(plant, &profile));
    r = import_file(door, plant->store, profile, &cli->arena, &ask, &done);
    profile_free(profile);
    if (r.code == CODE_OK) {
        print_report(cli, &done, ask.only_try);
    }
    return r;
}
