#include <inttypes.h>
#include <math.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning_received_inner.h"

static json_int_t milli(double x)
{
    return (json_int_t)llround(x * 1000);
}

static const char *unit_of(const struct planning_received *c, int store)
{
    return c->rules->stores[store].in_litres ? "L" : "kg";
}

static json_t *stores_json(const struct planning_received *c, const struct intake_outcome *x,
                           struct arena *a)
{
    const struct intake_problem *p = &c->problem;
    json_t *list = json_array();
    for (int s = 0; s < p->store_count; s++) {
        const struct intake_store *store = &p->stores[s];
        bool tanks = store->tank_size > 0;
        json_t *days = json_array();
        for (int d = 0; d < p->day_count; d++) {
            double limit = store->limit[d];
            json_t *o =
                json_pack("{s:s,s:I,s:o,s:o}", "day", planning_received_day(c, a, d), "level_milli",
                          milli(x->level[s * p->day_count + d]), "limit_milli",
                          isfinite(limit) ? json_integer(milli(limit)) : json_null(), "tanks",
                          tanks ? json_integer(x->tanks[s * p->day_count + d]) : json_null());
            CHECK(o != NULL);
            json_array_append_new(days, o);
        }
        json_t *o =
            json_pack("{s:s,s:s,s:o,s:o}", "store", store->code, "unit", unit_of(c, s), "tanks",
                      tanks ? json_integer(store->tank_count) : json_null(), "days", days);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *machines_json(const struct planning_received *c, const struct intake_outcome *x,
                             struct arena *a)
{
    const struct intake_problem *p = &c->problem;
    json_t *list = json_array();
    for (int m = 0; m < p->machine_count; m++) {
        json_t *days = json_array();
        for (int d = 0; d < p->day_count; d++) {
            json_t *o =
                json_pack("{s:s,s:I,s:I}", "day", planning_received_day(c, a, d), "used_min",
                          (json_int_t)llround(x->hours[m * p->day_count + d] * 60), "limit_min",
                          (json_int_t)llround(p->machines[m].hours[d] * 60));
            CHECK(o != NULL);
            json_array_append_new(days, o);
        }
        json_t *o = json_pack("{s:s,s:o}", "machine", p->machines[m].code, "days", days);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *supply_json(const struct planning_received *c, const struct intake_outcome *x,
                           struct arena *a)
{
    const struct intake_problem *p = &c->problem;
    json_t *list = json_array();
    for (int d = 0; d < p->day_count; d++) {
        for (int k = 0; k < p->product_count; k++) {
            int64_t booked = 0, forecast = 0, met = 0;
            for (int i = 0; i < p->line_count; i++) {
                const struct plan_line *l = &p->lines[i];
                if (l->day == d && l->product == k) {
                    *(l->key != NULL ? &booked : &forecast) += l->pieces;
                    met += x->met_pieces[i];
                }
            }
            if (booked + forecast == 0) {
                continue;
            }
            json_t *o = json_pack(
                "{s:s,s:s,s:I,s:I,s:I,s:I}", "day", planning_received_day(c, a, d), "item",
                p->products[k].code, "pieces", (json_int_t)met, "booked", (json_int_t)booked,
                "forecast", (json_int_t)forecast, "short", (json_int_t)(booked + forecast - met));
            CHECK(o != NULL);
            json_array_append_new(list, o);
        }
    }
    return list;
}

/* The name of what a limit limits; NULL for those that limit nothing by name. */
static const char *which(const struct planning_received *c, struct intake_bar bar)
{
    const struct intake_problem *p = &c->problem;
    return bar.limit == INTAKE_FRUIT     ? p->goods[bar.index].code
           : bar.limit == INTAKE_STORE   ? p->stores[bar.index].code
           : bar.limit == INTAKE_MACHINE ? p->machines[bar.index].code
                                         : NULL;
}

static const char *bar_text(const struct planning_received *c, struct arena *a, const char *lang,
                            struct intake_bar bar)
{
    switch (bar.limit) {
    case INTAKE_FRUIT:
        return WORDS(a, lang, "received.fruit", which(c, bar));
    case INTAKE_STORE:
        return WORDS(a, lang, "received.store", which(c, bar));
    case INTAKE_MACHINE:
        return WORDS(a, lang, "received.machine", which(c, bar));
    case INTAKE_LIFE:
        return WORDS(a, lang, "received.life", NULL);
    case INTAKE_WORTH:
        return WORDS(a, lang, "received.worth", NULL);
    default:
        return WORDS(a, lang, "received.whole", NULL);
    }
}

static json_t *short_json(const struct planning_received *c, const struct intake_short *s,
                          struct arena *a, const char *lang)
{
    const struct plan_line *line = &c->problem.lines[s->line];
    const char *group = planning_group_text(&c->demand, a, lang, line->group),
               *why = bar_text(c, a, lang, s->bar), *day = planning_received_day(c, a, line->day),
               *item = c->problem.products[line->product].code;
    json_t *also = json_array();
    for (int b = 0; b < INTAKE_LIMITS_MAX; b++) {
        if ((s->also >> b & 1) != 0) {
            struct intake_bar bar = intake_bar_of_bit(&c->problem, b);
            json_array_append_new(also, json_string(which(c, bar)));
            why = WORDS(a, lang, "received.also", why, bar_text(c, a, lang, bar));
        }
    }
    json_t *o =
        json_pack("{s:s?,s:s,s:s,s:s,s:I,s:s,s:s?,s:o,s:b,s:s}", "order",
                  planning_order(&c->demand, s->line), "item", item, "group", group, "day", day,
                  "pieces", (json_int_t)s->pieces, "limit", intake_limit_id(s->bar.limit), "which",
                  which(c, s->bar), "also", also, "forecast", line->key == NULL, "sentence",
                  WORDS(a, lang, "plan-short.line", item, group,
                        words_day(a, lang, c->problem.first_day + line->day),
                        arena_printf(a, "%" PRId64, s->pieces), why));
    CHECK(o != NULL);
    return o;
}

static const char *gain_text(const struct planning_received *c, const struct intake_gain *g,
                             struct arena *a, const char *lang)
{
    const char *step = decimal_text(a, milli(g->step), 3, false),
               *met = decimal_text(a, llround(g->met_kg), 0, false),
               *saved = decimal_text(a, llround(g->saved_cost), 0, false), *name = which(c, g->bar);
    if (g->bar.limit == INTAKE_FRUIT) {
        return WORDS(a, lang, "received.gain.fruit", step, name, met, saved);
    }
    return g->bar.limit == INTAKE_STORE
               ? WORDS(a, lang, "received.gain.store", step, unit_of(c, g->bar.index), name, met,
                       saved)
               : WORDS(a, lang, "received.gain.machine", step, name, met, saved);
}

static json_t *gain_json(const struct planning_received *c, const struct intake_gain *g,
                         struct arena *a, const char *lang)
{
    json_t *o = json_pack("{s:s,s:s,s:I,s:s,s:f,s:I,s:s}", "limit", intake_limit_id(g->bar.limit),
                          "which", which(c, g->bar), "step_milli", milli(g->step), "unit",
                          g->bar.limit == INTAKE_FRUIT   ? "kg"
                          : g->bar.limit == INTAKE_STORE ? unit_of(c, g->bar.index)
                                                         : "h",
                          "saved", g->saved_cost, "met_g", milli(g->met_kg), "sentence",
                          gain_text(c, g, a, lang));
    CHECK(o != NULL);
    return o;
}

/* What comes by agreement, and what of it is turned away. */
static json_t *coming_json(const struct planning_received *c, const struct intake_outcome *x,
                           struct arena *a)
{
    const struct intake_problem *p = &c->problem;
    json_t *list = json_array();
    for (int d = 0; d < p->day_count; d++) {
        for (int i = 0; i < p->delivery_count; i++) {
            const struct intake_delivery *v = &p->deliveries[i];
            if (v->day != d || v->kg <= 0) {
                continue;
            }
            json_t *o =
                json_pack("{s:s,s:s,s:s,s:b,s:I,s:I}", "day", planning_received_day(c, a, d),
                          "good", p->goods[v->good].code, "of", v->key, "booked", v->is_booked, "g",
                          milli(v->kg), "turned_g", milli(x->plan->turn_kg[i]));
            CHECK(o != NULL);
            json_array_append_new(list, o);
        }
    }
    return list;
}

static json_t *buy_json(const struct planning_received *c, const struct intake_outcome *x,
                        struct arena *a, const char *lang)
{
    const struct intake_problem *p = &c->problem;
    json_t *list = json_array();
    for (int i = 0; i < p->offer_count * p->day_count; i++) {
        int day = i / p->offer_count, at = i % p->offer_count;
        const struct intake_offer *offer = &p->offers[at];
        double kg = x->plan->buy_kg[at * p->day_count + day];
        if (kg < PLANNING_RECEIVED_TELLS_KG) {
            continue;
        }
        const char *good = p->goods[offer->good].code, *arrives = planning_received_day(c, a, day),
                   *by = planning_received_day(c, a, day - offer->lead_days);
        json_t *o = json_pack(
            "{s:s,s:s,s:s,s:s,s:I,s:f,s:s}", "offer", offer->code, "good", good, "day", arrives,
            "order_by", by, "g", milli(kg), "cost", kg * offer->price_per_kg, "sentence",
            WORDS(a, lang, "received.buy", decimal_text(a, llround(kg), 0, false), good,
                  offer->code, words_day(a, lang, c->problem.first_day + day - offer->lead_days),
                  words_day(a, lang, c->problem.first_day + day)));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *orders_json(const struct planning_received *c, const struct intake_outcome *x,
                           struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int i = 0; i < c->problem.line_count; i++) {
        const struct plan_line *line = &c->problem.lines[i];
        if (planning_order(&c->demand, i) == NULL) {
            continue;
        }
        json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:I,s:I}", "order", line->key, "item",
                              c->problem.products[line->product].code, "group",
                              planning_group_text(&c->demand, a, lang, line->group), "day",
                              planning_received_day(c, a, line->day), "pieces",
                              (json_int_t)line->pieces, "met", (json_int_t)x->met_pieces[i]);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}

json_t *planning_received_json(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a, const char *lang)
{
    json_t *shorts = json_array(), *gains = json_array();
    for (int i = 0; i < x->short_count; i++) {
        json_array_append_new(shorts, short_json(c, &x->shorts[i], a, lang));
    }
    for (int i = 0; i < x->gain_count; i++) {
        json_array_append_new(gains, gain_json(c, &x->gains[i], a, lang));
    }
    json_t *o = json_pack(
        "{s:s,s:s,s:i,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:f,s:b,s:s}", "kind",
        "received", "first_day", planning_received_day(c, a, 0), "days", c->problem.day_count,
        "flows", planning_received_flows(c, x, a), "coming", coming_json(c, x, a), "buy",
        buy_json(c, x, a, lang), "stores", stores_json(c, x, a), "machines", machines_json(c, x, a),
        "supply", supply_json(c, x, a), "demand", planning_demand_json(&c->demand, a, lang),
        "orders", orders_json(c, x, a, lang), "shorts", shorts, "gains", gains, "counted",
        planning_received_counted(c, a, lang), "closed", planning_received_closed(c, a, lang),
        "sums", planning_received_sums(c, x, a), "cost", x->cost, "by_solver", x->is_improved,
        "solver", x->solver.code == CODE_OK ? "ok" : code_id(x->solver.code));
    CHECK(o != NULL);
    json_object_set_new(o, "solver_says", planning_solver_says(&x->solver, a, lang));
    if (x->has_bound) {
        json_object_set_new(o, "bound", json_real(x->bound));
        json_object_set_new(o, "gap", json_real(x->gap));
    }
    return o;
}

json_t *planning_received_take(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a)
{
    json_t *promises = json_array();
    for (int i = 0; i < c->problem.line_count; i++) {
        const struct plan_line *line = &c->problem.lines[i];
        if (planning_order(&c->demand, i) != NULL) {
            json_array_append_new(promises, json_pack("{s:s,s:s,s:I}", "order", line->key, "day",
                                                      planning_received_day(c, a, line->day),
                                                      "pieces", (json_int_t)x->met_pieces[i]));
        }
    }
    json_t *out = json_pack("{s:s,s:[],s:o,s:o}", "kind", "plan-take", "starts", "promises",
                            promises, "flows", planning_received_kept(c, x, a));
    CHECK(out != NULL);
    return out;
}
