#include "command/plan_received.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "command/say.h"
#include "service/planning_received_job.h"

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
            CLI_ROW(cli, {1, ""}, {SAID_DAY, said_day(cli, json_object_get(o, "day"))},
                    {0, text_of(o, "sentence")});
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

/* Two figures and what the second has more or less. */
static void print_figure(struct cli *cli, const char *title, const char *const text[2],
                         const char *differs)
{
    enum { TITLE = 24, FIGURE = -14 };
    CLI_ROW(cli, {1, ""}, {TITLE, title}, {FIGURE, text[0]}, {FIGURE, text[1]}, {FIGURE, differs});
}

static const char *figure(struct cli *cli, int64_t value, bool is_mass)
{
    return is_mass ? arena_printf(&cli->arena, "%lld kg", (long long)((value + 500) / 1000))
                   : cli_number(cli, value);
}

static void print_sum(struct cli *cli, const json_t *plan, const char *name, const char *title,
                      bool is_mass)
{
    static const char *const of[] = {"before", "sums"};
    int64_t value[2];
    const char *text[2];
    for (int i = 0; i < 2; i++) {
        value[i] = llround(json_number_value(json_object_get(json_object_get(plan, of[i]), name)));
        text[i] = figure(cli, value[i], is_mass);
    }
    int64_t more = value[1] - value[0];
    print_figure(cli, title, text,
                 arena_printf(&cli->arena, "%s%s",
                              more > 0   ? "+"
                              : more < 0 ? "-"
                                         : "",
                              figure(cli, llabs(more), is_mass)));
}

/* A plan beside another, in figures and then in what is done and met otherwise. */
static void print_beside(struct cli *cli, const json_t *plan, const char *const titles[2])
{
    const json_t *differs = json_object_get(plan, "difference"),
                 *flows = json_object_get(differs, "flows"),
                 *lines = json_object_get(differs, "lines");
    CLI_SAY(cli, "received.beside", NULL);
    print_figure(cli, "", titles, CLI_WORDS(cli, "ui.plan.differ", NULL));
    print_sum(cli, plan, "wanted", CLI_WORDS(cli, "ui.plan.sum.wanted", NULL), false);
    print_sum(cli, plan, "met", CLI_WORDS(cli, "ui.plan.sum.met", NULL), false);
    print_sum(cli, plan, "booked", CLI_WORDS(cli, "ui.plan.sum.booked", NULL), false);
    print_sum(cli, plan, "booked_met", CLI_WORDS(cli, "ui.plan.sum.booked_met", NULL), false);
    print_sum(cli, plan, "short_orders", CLI_WORDS(cli, "ui.plan.sum.short_orders", NULL), false);
    print_sum(cli, plan, "sold_g", CLI_WORDS(cli, "ui.received.sum.sold", NULL), true);
    print_sum(cli, plan, "bought_g", CLI_WORDS(cli, "ui.received.sum.bought", NULL), true);
    print_sum(cli, plan, "turned_g", CLI_WORDS(cli, "ui.received.sum.turned", NULL), true);
    print_sum(cli, plan, "left_g", CLI_WORDS(cli, "ui.received.sum.left", NULL), true);
    print_sum(cli, plan, "cost", CLI_WORDS(cli, "ui.received.sum.cost", NULL), false);
    if (json_array_size(flows) == 0 && json_array_size(lines) == 0) {
        CLI_SAY(cli, "ui.received.differ.none", NULL);
    }
    print_list(cli, CLI_WORDS(cli, "received.differs", NULL), flows, 25);
    print_list(cli, CLI_WORDS(cli, "plan.differs.orders", NULL), lines, 25);
}

/* The best plan so far, and the command that takes it. */
struct best {
    json_t *plan, *command;
};

static void keep(void *self, json_t *plan[WORDS_SPOKEN], json_t *command)
{
    struct best *x = self;
    json_decref(x->plan);
    json_decref(x->command);
    *x = (struct best){plan[0], command};
}

static void print_plan(struct cli *cli, const json_t *plan, const char *const titles[2])
{
    print_demand(cli, plan);
    print_closed(cli, plan);
    print_flows(cli, plan);
    print_stores(cli, plan);
    print_shorts(cli, plan);
    print_gains(cli, plan);
    if (titles != NULL) {
        print_beside(cli, plan, titles);
    }
    print_chances(cli, json_object_get(plan, "chance"));
    print_care(cli, plan);
    print_days(cli, json_object_get(plan, "chance"));
    print_bound(cli, plan);
}

/* A trial beside the plan as it is, and any other beside the one taken, if there is one. */
static struct result print_best(struct cli *cli, struct store *s, const json_t *plan, bool is_trial)
{
    if (cli->json) {
        cli_print_json(plan);
        return RESULT_OK;
    }
    struct planning_received_taken taken;
    TRY(planning_received_taken(s, &taken));
    json_decref(taken.flows);
    const char *trial[2] = {CLI_WORDS(cli, "ui.plan.as-is", NULL),
                            CLI_WORDS(cli, "ui.plan.if", NULL)},
               *again[2] = {CLI_WORDS(cli, "ui.plan.now", NULL),
                            CLI_WORDS(cli, "ui.plan.new", NULL)};
    print_plan(cli, plan, is_trial ? trial : taken.given ? again : NULL);
    return RESULT_OK;
}

struct result plan_received(struct cli *cli, const struct profile *profile,
                            const struct planning_wish *wish, double seconds, bool take)
{
    atomic_bool stop = false;
    struct plant *plant;
    struct best best = {0};
    TRY(cli_reader(cli, &plant));
    const struct planning_received_job job = {.store = plant->store,
                                              .profile = profile,
                                              .now_ms = cli->world.now_ms(cli->world.self),
                                              .seconds = seconds,
                                              .wish = *wish,
                                              .is_trial = wish->changes != NULL,
                                              .stop = &stop,
                                              .langs = &cli->lang,
                                              .lang_count = 1,
                                              .show = keep,
                                              .self = &best};
    struct result r = planning_received_work(&job, &cli->arena);
    if (r.code == CODE_OK) {
        r = print_best(cli, plant->store, best.plan, job.is_trial);
    }
    if (r.code == CODE_OK && take) {
        r = cli_book(cli, json_incref(best.command));
    } else if (r.code == CODE_OK) {
        CLI_SAY(cli, "plan.not-taken", NULL);
    }
    json_decref(best.plan);
    json_decref(best.command);
    return r;
}
