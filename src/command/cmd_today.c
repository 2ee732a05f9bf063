/* What needs somebody now, most urgent first for the role that asks. */
#include "base/civil.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/view_today.h"

static struct result print(struct cli *cli, struct sight *s, const char *day)
{
    json_t *answer, *line;
    size_t i;
    int64_t now_ms = s->view.now_ms;
    int32_t shown = day_of_house(now_ms, civil_offset_min(now_ms), s->profile->day_starts_min);
    if (day != NULL) {
        TRY(day_read(day, "day", &shown));
    }
    TRY(view_today(&s->view, shown, NULL, &answer));
    if (cli->json) {
        cli_print_json(answer);
    }
    json_array_foreach(json_object_get(answer, "lines"), i, line)
    {
        cli_say(cli, json_string_value(json_object_get(line, "sentence")));
    }
    if (i == 0) {
        CLI_SAY(cli, "today.nothing", NULL);
    }
    json_decref(answer);
    return RESULT_OK;
}

struct result cmd_today(struct cli *cli)
{
    const char *day = cli_option(cli, "day");
    struct sight s;
    TRY(cli_done(cli));
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, print(cli, &s, day));
}
