#include <inttypes.h>
#include <math.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning.h"

static const char *day_of(const struct planning_case *c, struct arena *a, int day)
{
    return day_text(a, c->problem.first_day + day);
}

static int64_t grams(double kg)
{
    return llround(kg * 1000.0);
}

static json_t *harvests_json(const struct planning_case *c, const struct plan_placed *s,
                             struct arena *a)
{
    json_t *list = json_array();
    for (int i = 0; i < s->harvest_count; i++) {
        json_array_append_new(list,
                              json_pack("{s:s,s:I}", "day", day_of(c, a, s->harvests[i].day), "g",
                                        (json_int_t)grams(s->packed_kg * s->harvests[i].share)));
    }
    return list;
}

static json_t *start_json(const struct planning_case *c, const struct plan_placed *s,
                          struct arena *a)
{
    const struct plan_problem *p = &c->problem;
    json_t *seed = json_array();
    for (int i = 0; i < s->part_count; i++) {
        int lot = s->parts[i].lot;
        json_array_append_new(seed, json_pack("{s:s,s:I,s:b}", "lot", p->seed_lots[lot].code, "g",
                                              (json_int_t)grams(s->parts[i].kg), "agreed",
                                              planning_seed_lot(c, lot) == NULL));
    }
    json_t *o = json_pack(
        "{s:s,s:s,s:i,s:o,s:s,s:s,s:I,s:I,s:o,s:b}", "soak", day_of(c, a, s->day), "harvest",
        day_of(c, a, s->harvest_day), "off_days", p->crops[s->crop].ways[s->way].off_days,
        "harvests", harvests_json(c, s, a), "chamber", p->chambers[s->chamber].code, "item",
        p->crops[s->crop].code, "seed_g", (json_int_t)grams(s->seed_kg), "packed_g",
        (json_int_t)grams(s->packed_kg), "seed", seed, "taken_before", s->taken != PLAN_NONE);
    CHECK(o != NULL);
    return o;
}

const char *planning_group_text(const struct planning_case *c, struct arena *a, const char *lang,
                                int group)
{
    const struct plan_problem *p = &c->problem;
    return WORDS(a, lang, "say.for-market", c->names.groups[group],
                 p->markets[p->groups[group].market].code);
}

const char *planning_order(const struct planning_case *c, int line)
{
    const struct plan_line *x = &c->problem.lines[line];
    return x->standing == NULL ? x->key : NULL;
}

const char *planning_for_text(const struct planning_case *c, struct arena *a, const char *lang,
                              int line)
{
    const struct plan_line *x = &c->problem.lines[line];
    const char *group = planning_group_text(c, a, lang, x->group);
    return x->standing == NULL ? group : WORDS(a, lang, "say.standing", group, x->standing);
}

static json_t *shorts_json(const struct planning_case *c, const struct plan_outcome *outcome,
                           struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int i = 0; i < outcome->short_count; i++) {
        const struct plan_short *x = &outcome->shorts[i];
        const struct plan_line *line = &c->problem.lines[x->line];
        const char *group = planning_for_text(c, a, lang, x->line);
        json_array_append_new(
            list, json_pack("{s:s?,s:s?,s:s,s:s,s:s,s:s?,s:I,s:s,s:b,s:s}", "order",
                            planning_order(c, x->line), "standing", line->standing, "item",
                            c->names.items[line->product], "group", group, "day",
                            day_of(c, a, line->day), "wanted_day",
                            planning_wanted_day(c, a, x->line), "pieces", (json_int_t)x->pieces,
                            "limit", plan_limit_id(x->limit), "forecast", line->key == NULL,
                            "sentence", plan_short_sentence(a, lang, &c->problem, group, x)));
    }
    return list;
}

json_t *planning_demand_json(const struct planning_case *c, struct arena *a, const char *lang)
{
    json_t *list = json_array();
    int count = c->problem.product_count * c->problem.group_count * c->problem.day_count;
    for (int i = 0; i < count; i++) {
        const struct demand_day *d = &c->demand.days[i];
        if (d->booked_pieces == 0 && d->standing_pieces == 0 && d->added_pieces == 0) {
            continue;
        }
        json_array_append_new(
            list,
            json_pack("{s:s,s:s,s:s,s:I,s:I,s:I,s:I}", "item", c->names.items[d->product], "group",
                      planning_group_text(c, a, lang, d->group), "day", day_of(c, a, d->day),
                      "booked", (json_int_t)d->booked_pieces, "standing",
                      (json_int_t)d->standing_pieces, "forecast_added", (json_int_t)d->added_pieces,
                      "spread", (json_int_t)llround(d->spread_pieces)));
    }
    return list;
}

json_t *planning_instead_json(const struct planning_case *c, const struct plan_outcome *outcome,
                              int line, struct arena *a, const char *lang)
{
    const struct plan_problem *p = &c->problem;
    json_t *list = json_array();
    double *kg = ARENA_ARRAY(a, double, (size_t)p->product_count + 1);
    for (int i = 0; i < outcome->sale_count && p->swap_count > 0; i++) {
        const struct plan_sale *x = &outcome->sales[i];
        kg[x->product] += x->line == line ? x->kg : 0;
    }
    for (int product = 0; product < p->product_count; product++) {
        int64_t pieces = llround(kg[product] / p->products[product].net_kg);
        if (product == p->lines[line].product || pieces == 0) {
            continue;
        }
        const char *given = c->names.items[product],
                   *sentence =
                       WORDS(a, lang, "plan.instead", arena_printf(a, "%" PRId64, pieces), given);
        json_array_append_new(list, json_pack("{s:s,s:I,s:s}", "given", given, "pieces",
                                              (json_int_t)pieces, "sentence", sentence));
    }
    return list;
}

static json_t *instead_json(const struct planning_case *c, const struct plan_outcome *outcome,
                            struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int i = 0; i < c->problem.line_count; i++) {
        const struct plan_line *line = &c->problem.lines[i];
        json_t *given = planning_instead_json(c, outcome, i, a, lang), *x;
        size_t k;
        json_array_foreach(given, k, x)
        {
            json_t *o = json_pack("{s:s?,s:s,s:s,s:s}", "order", planning_order(c, i), "item",
                                  c->names.items[line->product], "group",
                                  planning_for_text(c, a, lang, i), "day", day_of(c, a, line->day));
            CHECK(o != NULL);
            json_object_update(o, x);
            json_array_append_new(list, o);
        }
        json_decref(given);
    }
    return list;
}

json_t *planning_solver_says(const struct result *solver, struct arena *a, const char *lang)
{
    return solver->code == CODE_OK ? json_null() : json_string(result_sentence_in(a, lang, solver));
}

json_t *planning_json(const struct planning_case *c, const struct plan_outcome *outcome,
                      struct arena *a, const char *lang)
{
    json_t *starts = json_array();
    for (int i = 0; i < outcome->start_count; i++) {
        json_array_append_new(starts, start_json(c, &outcome->starts[i], a));
    }
    const struct improvement *m = &outcome->improvement;
    json_t *o = json_pack(
        "{s:s,s:i,s:o,s:o,s:o,s:o,s:o,s:o,s:f,s:b,s:s}", "first_day", day_of(c, a, 0), "days",
        c->problem.day_count, "starts", starts, "shorts", shorts_json(c, outcome, a, lang),
        "demand", planning_demand_json(c, a, lang), "supply", planning_supply_json(c, outcome, a),
        "capacity", planning_capacity_json(c, outcome, a, lang), "instead",
        instead_json(c, outcome, a, lang), "cost", m->cost, "by_solver", m->is_improved, "solver",
        m->solver.code == CODE_OK ? "ok" : code_id(m->solver.code));
    CHECK(o != NULL);
    json_object_set_new(o, "solver_says", planning_solver_says(&m->solver, a, lang));
    if (m->has_bound) {
        json_object_set_new(o, "bound", json_real(m->bound));
        json_object_set_new(o, "gap", json_real(m->gap));
    }
    return o;
}

static json_t *promise_json(const struct planning_case *c, int line, int day, int64_t pieces,
                            struct arena *a)
{
    json_t *o = json_pack("{s:s,s:s,s:I}", "order", c->problem.lines[line].key, "day",
                          day_of(c, a, day), "pieces", (json_int_t)pieces);
    CHECK(o != NULL);
    return o;
}

/* [{item, pieces}]; NULL: it gets what it orders. */
static json_t *promised_instead(const struct planning_case *c, const struct plan_outcome *outcome,
                                int line, struct arena *a)
{
    json_t *list = NULL, *given = planning_instead_json(c, outcome, line, a, "en"), *x;
    size_t i;
    json_array_foreach(given, i, x)
    {
        list = list != NULL ? list : json_array();
        json_array_append_new(list, json_pack("{s:O,s:O}", "item", json_object_get(x, "given"),
                                              "pieces", json_object_get(x, "pieces")));
    }
    json_decref(given);
    return list;
}

/* Each order is told what it gets on its day, some of it perhaps as other packs, and when the rest
 * of it can be had. */
static json_t *promises_json(const struct planning_case *c, const struct plan_outcome *outcome,
                             const struct plan_promise *rest, int rest_count, struct arena *a)
{
    json_t *list = json_array();
    for (int i = 0; i < c->problem.line_count; i++) {
        if (planning_order(c, i) != NULL) {
            json_t *o = promise_json(c, i, outcome->met_days[i], outcome->met_pieces[i], a);
            json_t *instead = promised_instead(c, outcome, i, a);
            if (instead != NULL) {
                json_object_set_new(o, "instead", instead);
            }
            json_array_append_new(list, o);
        }
    }
    for (int i = 0; i < rest_count; i++) {
        if (rest[i].day != PLAN_NONE && planning_order(c, rest[i].line) != NULL) {
            json_array_append_new(list,
                                  promise_json(c, rest[i].line, rest[i].day, rest[i].pieces, a));
        }
    }
    return list;
}

/* Of lots that may be harvested on several days, the one planned: those on their own too, so that a
 * plan before this one no longer says otherwise. */
static json_t *harvests_taken(const struct planning_case *c, const struct plan_outcome *outcome,
                              struct arena *a)
{
    json_t *list = json_array();
    for (int i = 0; i < c->problem.running_count; i++) {
        const struct plan_running *x = &c->problem.running[i];
        int choice = outcome->improvement.plan->choices[i];
        if (x->other_count > 0) {
            json_array_append_new(list,
                                  json_pack("{s:s,s:s,s:i}", "lot", x->lot, "day",
                                            day_of(c, a, plan_running_day(x, choice)), "off_days",
                                            choice > 0 ? plan_running_off_days(x, choice) : 0));
        }
    }
    return list;
}

json_t *planning_take(const struct planning_case *c, const struct plan_outcome *outcome,
                      const struct plan_promise *promises, int promise_count, struct arena *a)
{
    json_t *starts = json_array();
    for (int i = 0; i < outcome->start_count; i++) {
        const struct plan_placed *s = &outcome->starts[i];
        json_t *o = json_pack(
            "{s:s,s:s,s:s,s:s,s:i}", "day", day_of(c, a, s->day), "place",
            c->problem.chambers[s->chamber].code, "item", c->problem.crops[s->crop].code, "seed",
            mass_text(a, grams(s->seed_kg) * 1000, 0), "grow_days", s->last_day - s->day);
        CHECK(o != NULL);
        int off_days = c->problem.crops[s->crop].ways[s->way].off_days;
        if (off_days != 0) {
            json_object_set_new(o, "off_days", json_integer(off_days));
        }
        const char *lot = s->part_count > 0 ? planning_seed_lot(c, s->parts[0].lot) : NULL;
        if (lot != NULL) {
            json_object_set_new(o, "seed_lot", json_string(lot));
        }
        json_array_append_new(starts, o);
    }
    json_t *out = json_pack("{s:s,s:o,s:o}", "kind", "plan-take", "starts", starts, "promises",
                            promises_json(c, outcome, promises, promise_count, a));
    CHECK(out != NULL);
    json_t *harvests = harvests_taken(c, outcome, a);
    if (json_array_size(harvests) > 0) {
        json_object_set_new(out, "harvests", harvests);
    } else {
        json_decref(harvests);
    }
    return out;
}
