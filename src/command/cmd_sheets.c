#include "base/check.h"
#include "base/civil.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/sheets.h"

static struct result write_all(struct cli *cli, struct view *v, const char *out,
                               const char *day_given)
{
    int32_t day = day_of_house(v->now_ms, civil_offset_min(v->now_ms), v->profile->day_starts_min);
    if (day_given != NULL) {
        TRY(day_read(day_given, "day", &day));
    }
    TRY(sheets_write(v, out, day));
    cli_print_fact(cli, json_pack("{s:s,s:s,s:i}", "folder", out, "day", day_text(&cli->arena, day),
                                  "sheets", (int)SHEETS_COUNT));
    CLI_SAY(cli, "sheets.done", day_text(&cli->arena, day), out);
    return RESULT_OK;
}

struct result cmd_sheets(struct cli *cli)
{
    const char *out = cli_option(cli, "out"), *day_given = cli_option(cli, "day");
    struct sight s;
    TRY(cli_done(cli));
    if (out == NULL) {
        return cli_usage(cli, "sheets", NULL);
    }
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, write_all(cli, &s.view, out, day_given));
}
