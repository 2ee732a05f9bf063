#include <inttypes.h>
#include <math.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning_received.h"

/* Less is the solver's rounding. */
#define TELLS_KG 0.0005

static const char *day_of(const struct planning_received *c, struct arena *a, int day)
{
    return day_text(a, c->problem.first_day + day);
}

static json_int_t milli(double x)
{
    return (json_int_t)llround(x * 1000);
}

static void flow_add(json_t *list, const char *day, const char *act, const char *good,
                     const char *use, const char *of, double kg)
{
    if (kg < TELLS_KG) {
        return;
    }
    json_t *o = json_pack("{s:s,s:s,s:s,s:s?,s:s?,s:I}", "day", day, "act", act, "good", good,
                          "use", use, "of", of, "g", milli(kg));
    CHECK(o != NULL);
    json_array_append_new(list, o);
}

static void fruit_flows(const struct planning_received *c, const struct intake_outcome *x,
                        const char *day_name, int day, json_t *list)
{
    const struct intake_problem *p = &c->problem;
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        if (d->day == day) {
            double turned = x->plan->turn_kg[i];
            const char *good = p->goods[d->good].code;
            flow_add(list, day_name, "comes", good, NULL, d->key, d->kg - turned);
            flow_add(list, day_name, "turned", good, NULL, d->key, turned);
        }
    }
    for (int i = 0; i < p->offer_count; i++) {
        flow_add(list, day_name, "bought", p->goods[p->offers[i].good].code, NULL,
                 p->offers[i].code, x->plan->buy_kg[i * p->day_count + day]);
    }
}

static void use_flows(const struct planning_received *c, const struct intake_outcome *x,
                      const char *day_name, int day, json_t *list)
{
    const struct intake_problem *p = &c->problem;
    int births = x->frame->birth_count;
    for (int u = 0; u < p->use_count; u++) {
        const struct intake_use *use = &p->uses[u];
        double kg = 0;
        for (int b = 0; b < births; b++) {
            kg += x->plan->use_kg[(u * births + b) * p->day_count + day];
        }
        flow_add(list, day_name, "used", p->goods[use->good].code, use->code, NULL, kg);
        for (int k = 0; k < use->part_count; k++) {
            flow_add(list, day_name, "made", p->goods[use->parts[k].good].code, use->code, NULL,
                     kg * use->parts[k].share);
        }
    }
}

static void end_flows(const struct planning_received *c, const struct intake_outcome *x,
                      const char *day_name, int day, json_t *list)
{
    const struct intake_problem *p = &c->problem;
    const struct intake_frame *f = x->frame;
    for (int g = 0; g < p->good_count; g++) {
        double out = 0, sold = 0;
        for (int b = 0; b < f->birth_count; b++) {
            out += x->plan->out_kg[intake_node(f, g, b) * p->day_count + day];
        }
        for (int i = 0; i < f->cell_count * f->birth_count; i++) {
            const struct intake_cell *cell = &f->cells[i / f->birth_count];
            sold += cell->good == g && cell->day == day ? x->plan->sale_kg[i] : 0;
        }
        flow_add(list, day_name, "leaves", p->goods[g].code, NULL, NULL, out);
        flow_add(list, day_name, "sold", p->goods[g].code, NULL, NULL, sold);
    }
}

static json_t *flows_json(const struct planning_received *c, const struct intake_outcome *x,
                          struct arena *a)
{
    json_t *list = json_array();
    for (int d = 0; d < c->problem.day_count; d++) {
        const char *day = day_of(c, a, d);
        fruit_flows(c, x, day, d, list);
        use_flows(c, x, day, d, list);
        end_flows(c, x, day, d, list);
    }
    return list;
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
                json_pack("{s:s,s:I,s:o,s:o}", "day", day_of(c, a, d), "level_milli",
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
            json_t *o = json_pack("{s:s,s:I,s:I}", "day", day_of(c, a, d), "used_min",
                                  (json_int_t)llround(x->hours[m * p->day_count + d] * 60),
                                  "limit_min", (json_int_t)llround(p->machines[m].hours[d] * 60));
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
            json_t *o = json_pack("{s:s,s:s,s:I,s:I,s:I,s:I}", "day", day_of(c, a, d), "item",
                                  p->products[k].code, "pieces", (json_int_t)met, "booked",
                                  (json_int_t)booked, "forecast", (json_int_t)forecast, "short",
                                  (json_int_t)(booked + forecast - met));
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
               *why = bar_text(c, a, lang, s->bar), *day = day_of(c, a, line->day),
               *item = c->problem.products[line->product].code;
    json_t *also = json_array();
    for (int b = 0; b < INTAKE_LIMITS_MAX; b++) {
        if ((s->also >> b & 1) != 0) {
            struct intake_bar bar = intake_bar_of_bit(&c->problem, b);
            json_array_append_new(also, json_string(which(c, bar)));
            why = WORDS(a, lang, "received.also", why, bar_text(c, a, lang, bar));
        }
    }
    json_t *o = json_pack("{s:s?,s:s,s:s,s:s,s:I,s:s,s:s?,s:o,s:b,s:s}", "order", line->key, "item",
                          item, "group", group, "day", day, "pieces", (json_int_t)s->pieces,
                          "limit", intake_limit_id(s->bar.limit), "which", which(c, s->bar), "also",
                          also, "forecast", line->key == NULL, "sentence",
                          WORDS(a, lang, "plan-short.line", item, group, day,
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
    json_t *o = json_pack("{s:s,s:s,s:i,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:f,s:b,s:s}", "kind",
                          "received", "first_day", day_of(c, a, 0), "days", c->problem.day_count,
                          "flows", flows_json(c, x, a), "stores", stores_json(c, x, a), "machines",
                          machines_json(c, x, a), "supply", supply_json(c, x, a), "demand",
                          planning_demand_json(&c->demand, a, lang), "shorts", shorts, "gains",
                          gains, "cost", x->cost, "by_solver", x->is_improved, "solver",
                          x->solver.code == CODE_OK ? "ok" : code_id(x->solver.code));
    CHECK(o != NULL);
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
        if (line->key != NULL) {
            json_array_append_new(promises, json_pack("{s:s,s:s,s:I}", "order", line->key, "day",
                                                      day_of(c, a, line->day), "pieces",
                                                      (json_int_t)x->met_pieces[i]));
        }
    }
    json_t *out = json_pack("{s:s,s:[],s:o}", "kind", "plan-take", "starts", "promises", promises);
    CHECK(out != NULL);
    return out;
}
