#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "command/plan_received.h"
#include "command/say.h"
#include "command/sight.h"
#include "plan/explain.h"
#include "service/planning_board.h"
#include "service/planning_change.h"
#include "service/planning_floor.h"
#include "service/reading.h"
#include "service/view_dayline.h"

const char *said_day(struct cli *cli, const json_t *day)
{
    int32_t at = 0;
    struct result r = day_read(json_string_value(day), "day", &at);
    CHECK(r.code == CODE_OK); /* the plan wrote it */
    return words_day(&cli->arena, cli->lang, at);
}

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
        if (json_is_true(json_object_get(lot, "agreed"))) {
            seed = CLI_WORDS(cli, "plan.seed-agreed", seed);
        }
        const char *harvest = said_day(cli, json_object_get(s, "harvest"));
        int off_days = (int)json_integer_value(json_object_get(s, "off_days"));
        if (off_days != 0) {
            harvest = arena_printf(&cli->arena, "%s, %s", harvest,
                                   plan_off_text(&cli->arena, cli->lang, off_days));
        }
        const char *start = CLI_WORDS(
            cli, "plan.start",
            decimal_text(&cli->arena, json_integer_value(json_object_get(s, "seed_g")), 3, false),
            seed != NULL ? seed : CLI_WORDS(cli, "plan.seed-to-buy", NULL),
            json_string_value(json_object_get(s, "chamber")), harvest,
            decimal_text(&cli->arena, json_integer_value(json_object_get(s, "packed_g")) / 1000, 0,
                         false),
            json_is_true(json_object_get(s, "taken_before"))
                ? CLI_WORDS(cli, "plan.taken-before", NULL)
                : "");
        CLI_ROW(cli, {1, ""}, {SAID_DAY, said_day(cli, json_object_get(s, "soak"))},
                {0, strcmp(day, first) == 0 ? CLI_WORDS(cli, "plan.today", NULL) : ""}, {0, ""},
                {0, start});
    }
}

void print_shorts(struct cli *cli, const json_t *plan)
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
        const json_t *gain = json_object_get(s, "gain");
        if (json_is_object(gain)) {
            CLI_ROW(cli, {3, ""}, {0, json_string_value(json_object_get(gain, "sentence"))});
        }
        const char *yet = json_string_value(json_object_get(s, "chance_says"));
        if (yet != NULL) {
            CLI_ROW(cli, {3, ""}, {0, yet});
        }
    }
}

void print_demand(struct cli *cli, const json_t *plan)
{
    int64_t booked = 0, added = 0;
    size_t i;
    json_t *d;
    json_array_foreach(json_object_get(plan, "demand"), i, d)
    {
        booked += json_integer_value(json_object_get(d, "booked"));
        added += json_integer_value(json_object_get(d, "forecast_added"));
    }
    CLI_SAY(cli, "plan.demand", said_day(cli, json_object_get(plan, "first_day")),
            cli_number(cli, json_integer_value(json_object_get(plan, "days"))),
            cli_number(cli, booked), cli_number(cli, added));
}

/* What customers get in place of what they order. */
static void print_instead(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *o;
    const json_t *list = json_object_get(plan, "instead");
    if (json_array_size(list) > 0) {
        CLI_SAY(cli, "plan.instead.title", NULL);
    }
    json_array_foreach(list, i, o)
    {
        const char *order = json_string_value(json_object_get(o, "order"));
        const char *who = json_string_value(json_object_get(o, "group"));
        CLI_ROW(cli, {1, ""}, {SAID_DAY, said_day(cli, json_object_get(o, "day"))},
                {0, order != NULL ? order : who},
                {0, json_string_value(json_object_get(o, "item"))},
                {0, json_string_value(json_object_get(o, "sentence"))});
    }
}

/* Days on which the house does not do all it does: work and what leaves are moved from them. */
static void print_closed(struct cli *cli, const json_t *plan)
{
    size_t i;
    json_t *day;
    bool said = false;
    json_array_foreach(json_object_get(plan, "capacity"), i, day)
    {
        const json_t *closed = json_object_get(day, "closed");
        if (!json_is_object(closed)) {
            continue;
        }
        if (!said) {
            CLI_SAY(cli, "plan.closed.title", NULL);
        }
        said = true;
        CLI_ROW(cli, {1, ""}, {0, json_string_value(json_object_get(closed, "sentence"))});
    }
}

/* Orders that may well not be met, the least likely first, and what is expected of all. */
void print_chances(struct cli *cli, const json_t *chance)
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
        CLI_ROW(cli, {1, ""}, {SAID_DAY, said_day(cli, json_object_get(l, "day"))}, {0, order},
                {0, cli_number(cli, json_integer_value(json_object_get(l, "pieces")))},
                {0, json_string_value(json_object_get(l, "item"))},
                {0, json_string_value(json_object_get(l, "sentence"))});
    }
}

static const char *cost_text(struct cli *cli, double cost)
{
    return decimal_text(&cli->arena, llround(cost), 0, false);
}

/* How good it is, as far as that is known. In money: a cost may be near nothing, since what stands
 * at the end counts against it. */
void print_gap(struct cli *cli, const json_t *plan)
{
    const json_t *bound = json_object_get(plan, "bound");
    const char *says = json_string_value(json_object_get(plan, "solver_says"));
    double cost = json_real_value(json_object_get(plan, "cost"));
    if (bound != NULL) {
        CLI_SAY(cli, "plan.bound", cost_text(cli, cost), cost_text(cli, json_real_value(bound)),
                cost_text(cli, fmax(0, cost - json_real_value(bound))));
    } else if (says != NULL) {
        CLI_SAY(cli, "plan.no-bound", cost_text(cli, cost));
        CLI_ROW(cli, {0, says});
    } else {
        CLI_SAY(cli, "plan.gap-unknown", NULL);
    }
}

void print_list(struct cli *cli, const char *title, const json_t *list, size_t most)
{
    size_t i;
    json_t *o;
    if (json_array_size(list) > 0) {
        CLI_ROW(cli, {0, title});
    }
    json_array_foreach(list, i, o)
    {
        if (i == most) {
            CLI_SAY(cli, "plan.more", cli_number(cli, (int64_t)(json_array_size(list) - i)));
            break;
        }
        CLI_ROW(cli, {1, ""}, {0, json_string_value(json_object_get(o, "sentence"))});
    }
}

/* Lots that grow and are harvested before or after the day they are ready. */
static void print_other_days(struct cli *cli, const json_t *plan)
{
    json_t *list = json_array(), *r;
    size_t i;
    json_array_foreach(json_object_get(plan, "running"), i, r)
    {
        if (json_string_length(json_object_get(r, "sentence")) > 0) {
            json_array_append(list, r);
        }
    }
    print_list(cli, CLI_WORDS(cli, "plan.other-days", NULL), list, 25);
    json_decref(list);
}

/* How it differs from what is taken, or a trial from the plan without its changes. */
static void print_difference(struct cli *cli, const json_t *plan)
{
    const json_t *d = json_object_get(plan, "difference");
    json_t *changed = json_array(), *s;
    size_t i;
    if (json_integer_value(json_object_get(d, "added")) ==
        (json_int_t)json_array_size(json_object_get(d, "starts"))) {
        json_decref(changed);
        return; /* nothing was taken: everything is new */
    }
    json_array_foreach(json_object_get(d, "starts"), i, s)
    {
        if (strcmp(json_string_value(json_object_get(s, "kind")), "kept") != 0) {
            json_array_append(changed, s);
        }
    }
    print_list(cli, CLI_WORDS(cli, "plan.differs", NULL), changed, 25);
    print_list(cli, CLI_WORDS(cli, "plan.differs.orders", NULL), json_object_get(d, "lines"), 25);
    print_list(cli, CLI_WORDS(cli, "plan.differs.harvests", NULL), json_object_get(d, "harvests"),
               25);
    json_decref(changed);
}

/* Which share is to be met, and who says so. */
static void print_service(struct cli *cli, const struct planning_wish *wish,
                          const struct profile *profile)
{
    double share = planning_service(wish, profile);
    if (share > 0) {
        const char *percent = decimal_text(&cli->arena, llround(share * 1000), 1, false);
        CLI_SAY(cli, "ui.plan.sure.asked", arena_printf(&cli->arena, "%s %%", percent));
    }
    if (planning_service_of_profile(wish, profile)) {
        CLI_SAY(cli, "plan.service.profile", NULL);
    }
}

struct asked {
    struct planning_ask ask;
    struct planning_wish wish;
    struct planning_case as_is, wished;
    struct plan_outcome before;
    struct safety_choice choice;
    struct planning_why why;
};

static struct result make_before(struct cli *cli, struct asked *q)
{
    if (q->wish.changes != NULL) {
        struct safety_choice choice;
        TRY(planning_choose(&cli->arena, &q->as_is, &q->ask, &choice));
        q->before = choice.outcome;
        return RESULT_OK;
    }
    struct planning_case *standing = ARENA_NEW(&cli->arena, struct planning_case);
    *standing = q->as_is;
    standing->problem = planning_standing(&q->as_is.problem);
    return planning_at_once(standing, &cli->arena, &q->before);
}

static struct result make(struct cli *cli, const struct profile *profile, struct asked *q)
{
    struct plant *plant;
    struct arena *a = &cli->arena;
    TRY(cli_reader(cli, &plant));
    int64_t now_ms = cli->world.now_ms(cli->world.self);
    TRY(planning_read(plant->store, NULL, profile, now_ms, a, &q->as_is));
    q->wished = q->as_is;
    TRY(planning_change(plant->store, NULL, profile, now_ms, a, &q->wish, &q->wished));
    TRY(make_before(cli, q));
    TRY(planning_choose(a, &q->wished, &q->ask, &q->choice));
    const struct plan_outcome *outcome = &q->choice.outcome;
    planning_why(&q->wished, outcome, profile, a, &q->why);
    json_t *plan = planning_json(&q->wished, outcome, a, cli->lang);
    planning_board(&q->wished, outcome, &q->why, a, cli->lang, plan);
    planning_chance_put(&q->wished, &q->choice, a, cli->lang, plan);
    json_object_set_new(plan, "before", planning_sums(&q->as_is, &q->before));
    json_object_set_new(plan, "difference",
                        planning_difference(&q->as_is, &q->before, q->wish.changes == NULL,
                                            &q->wished, outcome, a, cli->lang));
    if (cli->json) {
        cli_print_json(plan);
    } else {
        print_demand(cli, plan);
        print_closed(cli, plan);
        print_starts(cli, plan);
        print_other_days(cli, plan);
        print_list(cli, CLI_WORDS(cli, "plan.retest.title", NULL), json_object_get(plan, "retests"),
                   25);
        print_shorts(cli, plan);
        print_instead(cli, plan);
        print_list(cli, CLI_WORDS(cli, "plan.rehearsed", NULL), json_object_get(plan, "rehearsed"),
                   25);
        print_list(cli, CLI_WORDS(cli, "plan.seed", NULL), json_object_get(plan, "purchase"), 25);
        print_list(cli, CLI_WORDS(cli, "plan.agreed.title", NULL), json_object_get(plan, "agreed"),
                   25);
        print_difference(cli, plan);
        print_service(cli, &q->wish, profile);
        print_chances(cli, json_object_get(plan, "chance"));
        print_gap(cli, plan);
    }
    json_decref(plan);
    return RESULT_OK;
}

static struct result take_plan(struct cli *cli, const struct asked *q)
{
    json_t *command = planning_take(&q->wished, &q->choice.outcome, q->why.promises,
                                    q->why.promise_count, &cli->arena);
    CHECK(command != NULL);
    return cli_book(cli, command);
}

/* What the floor made of the plans of the last four weeks. */
static struct result floor_of(struct cli *cli, struct view *v)
{
    json_t *floor;
    int32_t today =
        day_of_house(v->now_ms, civil_offset_min(v->now_ms), v->profile->day_starts_min);
    TRY(view_floor(v, today - 27, today, &floor));
    if (cli->json) {
        cli_print_json(floor);
    } else if (json_array_size(json_object_get(floor, "starts")) == 0) {
        CLI_SAY(cli, "plan.floor-none", NULL);
    } else {
        print_list(cli, CLI_WORDS(cli, "plan.floor", NULL), json_object_get(floor, "starts"), 50);
    }
    json_decref(floor);
    return RESULT_OK;
}

static struct result print_floor(struct cli *cli)
{
    struct sight s;
    TRY(sight_open(cli, true, &s));
    return sight_close(&s, floor_of(cli, &s.view));
}

static bool number_in(const char *text, double low, double high, double *out)
{
    char *end;
    *out = strtod(text, &end);
    return *text != '\0' && *end == '\0' && *out >= low && *out <= high;
}

static struct result read_ask(struct cli *cli, struct planning_ask *out, struct planning_wish *wish)
{
    const char *seconds = cli_option(cli, "seconds"), *service = cli_option(cli, "service");
    double percent = 0;
    *out = (struct planning_ask){.seconds = 10};
    if (seconds != NULL && !number_in(seconds, 0, 3600, &out->seconds)) {
        return FAIL2(FIELD_RANGE, "seconds", seconds, "0 to 3600; 0 plans without the solver");
    }
    if (service != NULL && !number_in(service, 0, 100, &percent)) {
        return FAIL2(FIELD_RANGE, "service", service,
                     "0 to 100 per cent; 0 plans for the least cost");
    }
    wish->has_service = service != NULL;
    wish->service = percent / 100;
    return RESULT_OK;
}

/* {"keep", "changes"} from --keep and --what-if; the caller owns it. */
static struct result read_wish(struct cli *cli, json_t **out)
{
    const char *keep = cli_option(cli, "keep"), *changes = cli_option(cli, "what-if");
    *out = json_object();
    if (keep != NULL) {
        json_object_set_new(*out, "keep", json_string(keep));
    }
    if (changes == NULL) {
        return RESULT_OK;
    }
    json_t *list;
    struct result r = json_read(changes, strlen(changes), 1 << 20, &list);
    if (r.code != CODE_OK) {
        json_decref(*out);
        *out = NULL;
        return r;
    }
    json_object_set_new(*out, "changes", list);
    return RESULT_OK;
}

/* What is asked of a plan of chambers alone. */
static struct result only_of_growing(const json_t *wish)
{
    return json_object_get(wish, "keep") == NULL ? RESULT_OK : FAIL1(PLAN_RECEIVED, "", "--keep");
}

static struct result plan_asked(struct cli *cli, const json_t *wish, bool take)
{
    struct asked *q = ARENA_NEW(&cli->arena, struct asked);
    struct plant *plant;
    struct profile *profile;
    TRY(planning_wish_read(wish, &q->wish));
    TRY(read_ask(cli, &q->ask, &q->wish));
    TRY(cli_done(cli));
    if (take && q->wish.changes != NULL) {
        return FAIL1(JOB_TRIAL, "", "--what-if");
    }
    TRY(cli_reader(cli, &plant));
    TRY(profile_now(plant, &profile));
    struct result r;
    q->ask.service = planning_service(&q->wish, profile);
    if (profile->planning.received.given) {
        r = only_of_growing(wish);
        r = r.code == CODE_OK ? plan_received(cli, profile, &q->wish, q->ask.seconds, take) : r;
        profile_free(profile);
        return r;
    }
    r = make(cli, profile, q);
    if (r.code == CODE_OK && take) {
        r = take_plan(cli, q);
    } else if (r.code == CODE_OK) {
        CLI_SAY(cli, "plan.not-taken", NULL);
    }
    profile_free(profile); /* names in the problem lived in it until here */
    return r;
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
    const char *name = said_day(cli, json_object_get(day, "day"));
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
    json_t *wish;
    bool take = cli_flag(cli, "take");
    if (cli_flag(cli, "floor")) {
        TRY(cli_done(cli));
        return print_floor(cli);
    }
    TRY(read_wish(cli, &wish));
    struct result r = plan_asked(cli, wish, take);
    json_decref(wish);
    return r;
}
