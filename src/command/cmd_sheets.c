#include "base/check.h"
#include "base/civil.h"
#include "command/cli.h"
#include "service/sheets.h"

struct result cmd_sheets(struct cli *cli)
{
    const char *out = cli_option(cli, "out"), *day_given = cli_option(cli, "day");
    struct view v;
    int32_t day;
    TRY(cli_done(cli));
    if (out == NULL) {
        return cli_usage(cli, "Say where: --out FOLDER.");
    }
    TRY(cli_view(cli, &v));
    day = day_of_house(v.now_ms, civil_offset_min(v.now_ms), v.profile->day_starts_min);
    if (day_given != NULL) {
        TRY(day_read(day_given, "day", &day));
    }
    TRY(store_begin(v.store)); /* one state of the record on all of them */
    struct result r = sheets_write(&v, out, day);
    store_rollback(v.store);
    TRY(r);
    cli_print_fact(cli, json_pack("{s:s,s:s,s:i}", "folder", out, "day", day_text(&cli->arena, day),
                                  "sheets", (int)SHEETS_COUNT));
    cli_say(cli, "The sheets for %s are in %s.", day_text(&cli->arena, day), out);
    return RESULT_OK;
}
