#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/file.h"
#include "base/words.h"
#include "command/cli.h"
#include "feed/import.h"
#include "service/reading.h"

static void print_report(struct cli *cli, const struct import_done *done, bool only_try)
{
    const struct feed_report *r = &done->report;
    if (cli->json) {
        json_t *o = feed_report_json(&cli->arena, r);
        json_object_set_new(o, "booked", json_boolean(done->first_entry != 0));
        json_object_set_new(o, "commands", json_integer((json_int_t)done->commands));
        cli_print_json(o);
        json_decref(o);
        return;
    }
    cli_say(cli, "%s: %zu rows read.", r->file, r->rows);
    for (int mark = 0; mark < FEED_MARKS; mark++) {
        if (r->count[mark] > 0) {
            cli_say(cli, "  %6zu %s", r->count[mark], feed_mark_text((enum feed_mark)mark));
        }
    }
    for (size_t i = 0; i < r->note_count && i < 40; i++) {
        cli_say(cli, "  %s, line %lld: %s", feed_mark_text(r->notes[i].mark),
                (long long)r->notes[i].line, r->notes[i].what);
    }
    for (size_t i = 0; i < r->caution_count; i++) {
        cli_say(cli, "  note: %s", result_sentence_in(&cli->arena, cli->lang, &r->cautions[i]));
    }
    if (only_try) {
        cli_say(cli, "Only tried: nothing is booked. %zu commands would be.", done->commands);
    } else if (done->first_entry != 0) {
        cli_say(cli, "Booked as entries %lld to %lld.", (long long)done->first_entry,
                (long long)done->last_entry);
    } else {
        cli_say(cli, "Nothing new: nothing was booked.");
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
        return cli_usage(cli, "Name the kind of file, the file and its --source.");
    }
    if (ask.person == 0) {
        return cli_usage(cli, "Say who you are with --as NUMBER or PLUMULE_PERSON.");
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
    if (!ask.only_try) {
        TRY(cli_door(cli, &door)); /* first: what is read below must be what the writer will see */
    }
    TRY(cli_reader(cli, &plant));
    TRY(profile_now(plant, &profile));
    struct result r = import_file(door, plant->store, profile, &cli->arena, &ask, &done);
    profile_free(profile);
    if (r.code == CODE_OK) {
        print_report(cli, &done, ask.only_try);
    }
    return r;
}
