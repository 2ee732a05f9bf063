#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "command/say.h"
#include "command/sight.h"
#include "service/planning.h"
#include "service/reading.h"
#include "service/view_dayline.h"

static void print_starts(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *s;
    const char *first = json_string_value(json_object_get(plan, "first_day"));
    CLI_SAY(cli, "plan.to-soak", NULL);
    json_array_foreach(json_object_get(plan, "starts"), i, s)
    {
        const char *day = json_string_value(json_object_get(s, "soak"));
        const json_t *lot = json_array_get(json_object_get(s, "seed"), 0);
        const char *seed = json_string_value(json_object_get(lot, "lot"));
        const char *start = CLI_WORDS(
            cli, "plan.start",
            decimal_text(&cli->arena, json_integer_value(json_object_get(s, "seed_g")), 3, false),
            seed != NULL ? seed : CLI_WORDS(cli, "plan.seed-to-buy", NULL),
            json_string_value(json_object_get(s, "chamber")),
            json_string_value(json_object_get(s, "harvest")),
            decimal_text(&cli->arena, json_integer_value(json_object_get(s, "packed_g")) / 1000, 0,
                         false),
            json_is_true(json_object_get(s, "taken_before"))
                ? CLI_WORDS(cli, "plan.taken-before", NULL)
                : "");
        CLI_ROW(cli, {1, ""}, {0, day},
                {0, strcmp(day, first) == 0 ? CLI_WORDS(cli, "plan.today", NULL) : ""}, {0, ""},
                {0, start});
    }
}

static void print_shorts(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *s;
    const json_t *list = json_object_get(plan, "shorts");
    if (json_array_size(list) > 0) {
        CLI_SAY(cli, "plan.short", NULL);
    } else {
        CLI_SAY(cli, "plan.none-short", NULL);
    }
    json_array_foreach(list, i, s)
    {
        if (i == 25) {
            CLI_SAY(cli, "plan.more", cli_number(cli, (int64_t)(json_array_size(list) - i)));
            break;
        }
        CLI_ROW(cli, {1, ""}, {0, json_string_value(json_object_get(s, "sentence"))});
    }
}

static void print_demand(struct cli *cli, const json_t *plan)
{
    int64_t booked = 0, added = 0;
    size_t i;
    json_t *d;
    json_array_foreach(json_object_get(plan, "demand"), i, d)
    {
        booked += json_integer_value(json_object_get(d, "booked"));
        added += json_integer_value(json_object_get(d, "forecast_added"));
    }
    CLI_SAY(cli, "plan.demand", json_string_value(json_object_get(plan, "first_day")),
            cli_number(cli, json_integer_value(json_object_get(plan, "days"))),
            cli_number(cli, booked), cli_number(cli, added));
}

/* Orders that may well not be met, the least likely first, and what is expected of all. */
static void print_chances(struct cli *cli, const json_t *chance)
{
    enum { SHOWN_MAX = 15 };
    size_t i, orders = 0, certain = 0, shown = 0;
    json_t *l;
    const json_t *lines = json_object_get(chance, "lines");
    json_array_foreach(lines, i, l)
    {
        if (json_is_string(json_object_get(l, "order"))) {
            orders++;
            certain += strcmp(json_string_value(json_object_get(l, "word")), "certain") == 0;
        }
    }
    CLI_SAY(cli, "plan.chances",
            cli_number(cli, json_integer_value(json_object_get(chance, "futures"))),
            decimal_text(&cli->arena,
                         json_integer_value(json_object_get(chance, "share_ppm")) / 1000, 1, false),
            cli_number(cli, (int64_t)certain), cli_number(cli, (int64_t)orders));
    json_array_foreach(lines, i, l)
    {
        const char *order = json_string_value(json_object_get(l, "order"));
        if (order == NULL ||
            strcmp(json_string_value(json_object_get(l, "word")), "certain") == 0) {
            continue;
        }
        if (shown++ == SHOWN_MAX) {
            CLI_SAY(cli, "plan.more", cli_number(cli, (int64_t)(orders - certain - SHOWN_MAX)));
            break;
        }
        CLI_ROW(cli, {1, ""}, {0, json_string_value(json_object_get(l, "day"))}, {0, order},
                {0, cli_number(cli, json_integer_value(json_object_get(l, "pieces")))},
                {0, json_string_value(json_object_get(l, "item"))},
                {0, json_string_value(json_object_get(l, "sentence"))});
    }
}

/* How good it is, as far as that is known. */
static void print_gap(struct cli *cli, const json_t *plan)
{
    const json_t *gap = json_object_get(plan, "gap");
    const char *solver = json_string_value(json_object_get(plan, "solver"));
    if (gap != NULL && json_real_value(gap) < 1) {
        CLI_SAY(cli, "plan.gap", arena_printf(&cli->arena, "%.1f", 100 * json_real_value(gap)));
    } else if (gap != NULL) {
        CLI_SAY(cli, "plan.gap-unknown", NULL);
    } else if (strcmp(solver, "ok") != 0) {
        CLI_SAY(cli, "plan.no-solver", solver);
    }
}

static struct result make(struct cli *cli, double seconds, double service,
                          const struct profile *profile, struct planning_case *out,
                          struct safety_choice *choice)
{
    struct plant *plant;
    TRY(cli_reader(cli, &plant));
    TRY(planning_read(plant->store, profile, cli->world.now_ms(cli->world.self), &cli->arena, out));
    struct improve_options options = {
        .solver = {.path = planning_solver(&cli->arena), .seconds = seconds, .gap = PLANNING_GAP}};
    TRY(planning_choose(&cli->arena, out, service, seconds > 0 ? &options : NULL, choice));
    json_t *plan = planning_json(out, &choice->outcome, &cli->arena, cli->lang);
    json_object_set_new(plan, "chance", planning_chance_json(out, choice, &cli->arena, cli->lang));
    if (cli->json) {
        cli_print_json(plan);
    } else {
        print_demand(cli, plan);
        print_starts(cli, plan);
        print_shorts(cli, plan);
        print_chances(cli, json_object_get(plan, "chance"));
        print_gap(cli, plan);
    }
    json_decref(plan);
    return RESULT_OK;
}

static struct result take_plan(struct cli *cli, const struct planning_case *c,
                               const struct plan_outcome *outcome)
{
    json_t *command = planning_take(c, outcome, &cli->arena);
    CHECK(command != NULL);
    return cli_book(cli, command);
}

static bool number_in(const char *text, double low, double high, double *out)
{
    char *end;
    *out = strtod(text, &end);
    return *text != '\0' && *end == '\0' && *out >= low && *out <= high;
}

/* ---- one day by the minute */

static const char *clock_text(struct cli *cli, const json_t *o, const char *key)
{
    int64_t ms = json_integer_value(json_object_get(o, key));
    struct civil c = civil_from_ms(ms, civil_offset_min(ms));
    return arena_printf(&cli->arena, "%02d:%02d", c.hour, c.minute);
}

static void print_bar(struct cli *cli, const json_t *stage, const char *place, const json_t *bar)
{
    const char *kind = json_string_value(json_object_get(bar, "kind")),
               *chamber = json_string_value(json_object_get(bar, "chamber"));
    bool begun = strcmp(json_string_value(json_object_get(bar, "state")), "planned") != 0;
    const char *what =
        chamber != NULL
            ? arena_printf(&cli->arena, "%s %s", chamber,
                           json_string_value(json_object_get(bar, "item")))
            : CLI_WORDS(cli, strcmp(kind, "clean") == 0 ? "day.clean" : "day.change", NULL);
    const char *span = arena_printf(&cli->arena, "%s-%s", clock_text(cli, bar, "from_ms"),
                                    clock_text(cli, bar, "to_ms"));
    CLI_ROW(cli, {1, ""}, {0, span}, {10, json_string_value(json_object_get(stage, "title"))},
            {8, place != NULL ? place : ""}, {0, what},
            {0, begun ? CLI_WORDS(cli, "day.begun", NULL) : ""});
}

static void print_day(struct cli *cli, const json_t *day)
{
    size_t i, k, n;
    json_t *stage, *line, *bar, *truck, *says;
    const json_t *jobs = json_object_get(day, "jobs");
    const char *name = json_string_value(json_object_get(day, "day"));
    if (!json_is_true(json_object_get(day, "known"))) {
        CLI_SAY(cli, "day.none", NULL);
        return;
    }
    if (json_array_size(jobs) == 0) {
        CLI_SAY(cli, "day.head-empty", name);
    } else {
        CLI_SAY(cli, "day.head", name, cli_number(cli, (int64_t)json_array_size(jobs)),
                cli_number(cli, json_integer_value(json_object_get(day, "setup_min"))),
                clock_text(cli, day, "ends_ms"));
    }
    json_array_foreach(json_object_get(day, "stages"), i, stage)
    {
        json_array_foreach(json_object_get(stage, "lines"), k, line)
        {
            json_array_foreach(json_object_get(line, "bars"), n, bar)
            {
                print_bar(cli, stage, json_string_value(json_object_get(line, "place")), bar);
            }
        }
    }
    CLI_SAY(cli, "day.trucks", NULL);
    json_array_foreach(json_object_get(day, "trucks"), i, truck)
    {
        CLI_ROW(cli, {1, ""}, {0, json_string_value(json_object_get(truck, "sentence"))});
    }
    json_array_foreach(json_object_get(day, "says"), i, says)
    {
        CLI_ROW(cli, {1, ""}, {0, json_string_value(says)});
    }
}

static struct result show_day(struct cli *cli, struct view *v, const char *text)
{
    int32_t day;
    json_t *out = NULL;
    TRY(day_read(text, "day", &day));
    TRY(view_dayline(v, day, &out));
    if (cli->json) {
        cli_print_json(out);
    } else {
        print_day(cli, out);
    }
    json_decref(out);
    return RESULT_OK;
}

static struct result plan_day(struct cli *cli, const char *text)
{
    struct sight s;
    TRY(cli_done(cli));
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, show_day(cli, &s.view, text));
}

struct result cmd_plan(struct cli *cli)
{
    const char *day = cli_option(cli, "day");
    if (day != NULL) {
        return plan_day(cli, day);
    }
    const char *text = cli_option(cli, "seconds"), *wish = cli_option(cli, "service");
    bool take = cli_flag(cli, "take");
    double seconds = 10, service = 0;
    struct planning_case c;
    struct safety_choice choice;
    TRY(cli_done(cli));
    if (text != NULL && !number_in(text, 0, 3600, &seconds)) {
        return FAIL2(FIELD_RANGE, "seconds", text, "0 to 3600; 0 plans without the solver");
    }
    if (wish != NULL && !number_in(wish, 0, 100, &service)) {
        return FAIL2(FIELD_RANGE, "service", wish, "0 to 100 per cent; 0 plans for the least cost");
    }
    struct plant *plant;
    struct profile *profile;
    TRY(cli_reader(cli, &plant));
    TRY(profile_now(plant, &profile));
    struct result r = make(cli, seconds, service / 100, profile, &c, &choice);
    if (r.code == CODE_OK && take) {
        r = take_plan(cli, &c, &choice.outcome);
    } else if (r.code == CODE_OK) {
        CLI_SAY(cli, "plan.not-taken", NULL);
    }
    profile_free(profile); /* names in the problem lived in it until here */
    return r;
}
