#include <stdlib.h>
#include <string.h>

#include "base/civil.h"
#include "base/file.h"
#include "command/say.h"
#include "demo/demo.h"

static struct result whole(struct cli *cli, const char *name, int fallback, int *out)
{
    const char *text = cli_option(cli, name);
    char *end;
    *out = fallback;
    if (text == NULL) {
        return RESULT_OK;
    }
    long value = strtol(text, &end, 10);
    if (*text == '\0' || *end != '\0' || value < 0 || value > 1000000) {
        return FAIL2(FIELD_TYPE, name, "a whole number", text);
    }
    *out = (int)value;
    return RESULT_OK;
}

static void progress(void *self, int64_t day, int64_t days)
{
    cli_progress(self, "day", day, days);
}

struct result cmd_demo(struct cli *cli)
{
    struct demo_settings s = {.folder = cli_option(cli, "folder"),
                              .profile = cli_option(cli, "profile"),
                              .progress = progress,
                              .self = cli};
    const char *last = cli_option(cli, "last-day");
    struct demo_made made;
    int seed;
    cli_flag(cli, "once");
    TRY(whole(cli, "chambers", 24, &s.chambers));
    TRY(whole(cli, "weeks", 8, &s.weeks));
    TRY(whole(cli, "seed", 1, &seed));
    TRY(cli_done(cli));
    s.folder = s.folder != NULL ? s.folder : "demo-plant";
    s.profile = s.profile != NULL ? s.profile : "profiles/sprout-house.json";
    s.seed = (uint64_t)seed;
    s.last_day = (int32_t)(cli->world.now_ms(cli->world.self) / 86400000) - 1;
    if (last != NULL) {
        TRY(day_read(last, "last-day", &s.last_day));
    }
    TRY(demo_make(&s, &cli->arena, &made));
    cli_progress(cli, "day", 0, 0);
    if (cli->json) {
        json_t *o = json_pack("{s:s,s:I,s:I,s:I,s:I,s:I,s:I,s:s?,s:s?,s:s?,s:s?,s:s?,s:s?}",
                              "folder", s.folder, "entries", (json_int_t)made.entries, "batches",
                              (json_int_t)made.batches, "released", (json_int_t)made.lots_released,
                              "cases_shipped", (json_int_t)made.cases_shipped, "refusals",
                              (json_int_t)made.refusals, "deviations", (json_int_t)made.deviations,
                              "positive_lot", made.positive_lot, "late_lot", made.late_lot,
                              "corrected_lot", made.corrected_lot, "failed_load", made.failed_load,
                              "last_released", made.last_released, "last_case", made.last_case);
        cli_print_json(o);
        json_decref(o);
        return RESULT_OK;
    }
    CLI_SAY(cli, "demo.done", s.folder, cli_number(cli, made.entries),
            cli_number(cli, made.batches), cli_number(cli, made.lots_released),
            cli_number(cli, made.cases_shipped));
    return RESULT_OK;
}
