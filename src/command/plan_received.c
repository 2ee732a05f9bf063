#include "command/plan_received.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "command/say.h"
#include "service/planning_received_care.h"
#include "service/planning_received_chance.h"
#include "service/planning_received_luck.h"
#include "service/reading.h"

enum { DAYS_SHOWN = 2 };
/* Less is nothing to see to (common practice). */
enum { NO_ROOM_TELLS_G = 1000 };

static const char *text_of(const json_t *o, const char *key)
{
    return json_string_value(json_object_get(o, key));
}

static const char *kg_of(struct cli *cli, const json_t *o, const char *key)
{
    return decimal_text(&cli->arena, (json_integer_value(json_object_get(o, key)) + 50) / 100, 1,
                        false);
}

/* What the first days ask for; what is made stands with what it is made of. */
static void print_flows(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *o;
    const char *day = "";
    int days = 0;
    CLI_SAY(cli, "received.do", NULL);
    json_array_foreach(json_object_get(plan, "flows"), i, o)
    {
        const char *use = text_of(o, "use"), *of = text_of(o, "of");
        if (strcmp(day, text_of(o, "day")) != 0) {
            day = text_of(o, "day");
            if (days++ == DAYS_SHOWN) {
                CLI_SAY(cli, "received.more-days", NULL);
                return;
            }
        }
        const char *act = words_of(&cli->arena, cli->lang, "received.act.", text_of(o, "act"), "");
        CLI_ROW(cli, {1, ""}, {SAID_DAY, said_day(cli, json_object_get(o, "day"))}, {12, act},
                {-10, kg_of(cli, o, "g")}, {0, "kg"}, {28, text_of(o, "good")},
                {0, use != NULL  ? use
                    : of != NULL ? of
                                 : ""});
    }
}

static void print_stores(struct cli *cli, const json_t *plan)
{
    size_t i, k;
    json_t *s, *d;
    CLI_SAY(cli, "received.stores", NULL);
    json_array_foreach(json_object_get(plan, "stores"), i, s)
    {
        const json_t *most = json_array_get(json_object_get(s, "days"), 0);
        json_array_foreach(json_object_get(s, "days"), k, d)
        {
            most = json_integer_value(json_object_get(d, "level_milli")) >
                           json_integer_value(json_object_get(most, "level_milli"))
                       ? d
                       : most;
        }
        const json_t *limit = json_object_get(most, "limit_milli");
        const char *store = text_of(s, "store"), *day = said_day(cli, json_object_get(most, "day"));
        const char *level = kg_of(cli, most, "level_milli"), *unit = text_of(s, "unit");
        CLI_ROW(cli, {1, ""},
                {0, json_is_integer(limit)
                        ? CLI_WORDS(cli, "received.fullest", store, day, level,
                                    kg_of(cli, most, "limit_milli"), unit)
                        : CLI_WORDS(cli, "received.no-limit", store, day, level, unit)});
    }
}

static void print_closed(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *o;
    json_array_foreach(json_object_get(plan, "closed"), i, o)
    {
        CLI_ROW(cli, {1, ""}, {0, text_of(o, "sentence")});
    }
}

static void print_gains(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *g;
    const json_t *list = json_object_get(plan, "gains");
    if (json_array_size(list) > 0) {
        CLI_SAY(cli, "received.gains", NULL);
    }
    json_array_foreach(list, i, g)
    {
        CLI_ROW(cli, {1, ""}, {0, text_of(g, "sentence")});
    }
}

/* With care the distance to the bound is not what could be saved. */
static void print_bound(struct cli *cli, const json_t *plan)
{
    const json_t *bound = json_object_get(plan, "bound");
    if (json_is_null(json_object_get(json_object_get(plan, "care"), "level_milli")) ||
        bound == NULL) {
        print_gap(cli, plan);
        return;
    }
    CLI_SAY(cli, "received.care.bound",
            decimal_text(&cli->arena, llround(json_real_value(json_object_get(plan, "cost"))), 0,
                         false),
            decimal_text(&cli->arena, llround(json_real_value(bound)), 0, false));
}

static void print_care(struct cli *cli, const json_t *plan)
{
    CLI_ROW(cli, {1, ""}, {0, text_of(json_object_get(plan, "care"), "sentence")});
}

/* Days on which something may well be short, and what the chances rest on. */
static void print_days(struct cli *cli, const json_t *chance)
{
    size_t i;
    json_t *o;
    json_array_foreach(json_object_get(chance, "days"), i, o)
    {
        if (strcmp(text_of(o, "word"), "certain") != 0) {
            CLI_ROW(cli, {1, ""}, {0, text_of(o, "day")}, {0, text_of(o, "sentence")});
        }
    }
    if (json_integer_value(json_object_get(chance, "no_room_g")) >= NO_ROOM_TELLS_G) {
        CLI_SAY(cli, "received.no-room", kg_of(cli, chance, "no_room_g"));
    }
    CLI_SAY(cli, "received.learnt", NULL);
    json_array_foreach(json_object_get(chance, "learnt"), i, o)
    {
        CLI_ROW(cli, {1, ""}, {0, text_of(o, "sentence")});
    }
}

struct result plan_received(struct cli *cli, const struct profile *profile, double seconds,
                            bool take)
{
    struct plant *plant;
    struct arena *a = &cli->arena;
    struct planning_received *c = ARENA_NEW(a, struct planning_received);
    struct intake_outcome outcome;
    struct intake_luck luck;
    struct intake_care care;
    TRY(cli_reader(cli, &plant));
    TRY(planning_received_read(plant->store, profile, cli->world.now_ms(cli->world.self), a, c));
    TRY(planning_received_luck(plant->store, a, c, &luck));
    TRY(planning_received_careful(a, c, &luck, seconds, NULL, &outcome, &care));
    json_t *plan = planning_received_json(c, &outcome, a, cli->lang);
    planning_received_chance_put(c, &luck, &care.chance, a, cli->lang, plan);
    planning_received_care_put(&care, a, cli->lang, plan);
    if (cli->json) {
        cli_print_json(plan);
    } else {
        print_demand(cli, plan);
        print_closed(cli, plan);
        print_flows(cli, plan);
        print_stores(cli, plan);
        print_shorts(cli, plan);
        print_gains(cli, plan);
        print_chances(cli, json_object_get(plan, "chance"));
        print_care(cli, plan);
        print_days(cli, json_object_get(plan, "chance"));
        print_bound(cli, plan);
    }
    json_decref(plan);
    if (take) {
        return cli_book(cli, planning_received_take(c, &outcome, a));
    }
    CLI_SAY(cli, "plan.not-taken", NULL);
    return RESULT_OK;
}
