#include "base/check.h"
#include "base/civil.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/sheets.h"

static struct result write_all(struct cli *cli, struct view *v, const char *out,
                               const char *day_given, const char *shift_given)
{
    struct shift shift;
    struct sheets_span span = {.shift = shift_given != NULL ? &shift : NULL};
    span.day = day_of_house(v->now_ms, civil_offset_min(v->now_ms), v->profile->day_starts_min);
    if (day_given != NULL) {
        TRY(day_read(day_given, "day", &span.day));
    }
    if (shift_given != NULL) {
        TRY(shift_named(v->profile, v->arena, span.day, shift_given, &shift));
    }
    TRY(sheets_write(v, out, span));
    const char *day = day_text(&cli->arena, span.day);
    cli_print_fact(cli, json_pack("{s:s,s:s,s:s?,s:i}", "folder", out, "day", day, "shift",
                                  shift_given, "sheets", (int)SHEETS_COUNT));
    if (shift_given != NULL) {
        CLI_SAY(cli, "sheets.done-shift", day, out,
                shift_title(&cli->arena, cli->lang, shift.name));
    } else {
        CLI_SAY(cli, "sheets.done", day, out);
    }
    return RESULT_OK;
}

struct result cmd_sheets(struct cli *cli)
{
    const char *out = cli_option(cli, "out"), *day_given = cli_option(cli, "day"),
               *shift_given = cli_option(cli, "shift");
    struct sight s;
    TRY(cli_done(cli));
    if (out == NULL) {
        return cli_usage(cli, "sheets", NULL);
    }
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, write_all(cli, &s.view, out, day_given, shift_given));
}
