/* What a plan of received fruit does, flow by flow. */
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "service/planning_received_inner.h"

const char *planning_received_day(const struct planning_received *c, struct arena *a, int day)
{
    return day_text(a, c->problem.first_day + day);
}

static json_int_t milligrams(double kg)
{
    return (json_int_t)llround(kg * 1e6);
}

static void flow_add(json_t *list, const char *day, const char *act, const char *good,
                     const char *use, const char *of, double kg)
{
    if (kg < PLANNING_RECEIVED_TELLS_KG) {
        return;
    }
    json_t *o = json_pack("{s:s,s:s,s:s,s:s?,s:s?,s:I}", "day", day, "act", act, "good", good,
                          "use", use, "of", of, "mg", milligrams(kg));
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

/* kg of a good that uses give on a day and that is too old already. */
static double gone_at_once(const struct planning_received *c, const struct intake_outcome *x,
                           int good, int day)
{
    const struct intake_problem *p = &c->problem;
    int births = x->frame->birth_count;
    double gone = 0;
    for (int i = 0; i < p->use_count * births; i++) {
        const struct intake_use *use = &p->uses[i / births];
        double kg = x->plan->use_kg[i * p->day_count + day];
        for (int k = 0; k < use->part_count && kg > 0; k++) {
            bool old = intake_given(x->frame, i / births, k, i % births, day) == PLAN_NONE;
            gone += use->parts[k].good == good && old ? kg * use->parts[k].share : 0;
        }
    }
    return gone;
}

static void end_flows(const struct planning_received *c, const struct intake_outcome *x,
                      const char *day_name, int day, json_t *list)
{
    const struct intake_problem *p = &c->problem;
    const struct intake_frame *f = x->frame;
    for (int g = 0; g < p->good_count; g++) {
        double out = gone_at_once(c, x, g, day), sold = 0;
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

static json_t *all_flows(const struct planning_received *c, const struct intake_outcome *x,
                         struct arena *a)
{
    json_t *list = json_array();
    for (int d = 0; d < c->problem.day_count; d++) {
        const char *day = planning_received_day(c, a, d);
        fruit_flows(c, x, day, d, list);
        use_flows(c, x, day, d, list);
        end_flows(c, x, day, d, list);
    }
    return list;
}

/* For people, in grams. */
json_t *planning_received_flows(const struct planning_received *c, const struct intake_outcome *x,
                                struct arena *a)
{
    json_t *list = all_flows(c, x, a), *o;
    size_t i;
    json_array_foreach(list, i, o)
    {
        json_int_t mg = json_integer_value(json_object_get(o, "mg"));
        json_object_set_new(o, "g", json_integer((mg + 500) / 1000));
        json_object_del(o, "mg");
    }
    return list;
}

/* Each use by the age of what it takes, as it is kept. */
static void aged_uses(const struct planning_received *c, const struct intake_outcome *x,
                      struct arena *a, int day, json_t *list)
{
    const struct intake_problem *p = &c->problem;
    int births = x->frame->birth_count;
    for (int i = 0; i < p->use_count * births; i++) {
        const struct intake_use *use = &p->uses[i / births];
        double kg = x->plan->use_kg[i * p->day_count + day];
        if (kg < PLANNING_RECEIVED_TELLS_KG) {
            continue;
        }
        json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:s,s:I}", "day", planning_received_day(c, a, day),
                              "act", "used", "good", p->goods[use->good].code, "use", use->code,
                              "born", planning_received_day(c, a, x->frame->births[i % births]),
                              "mg", milligrams(kg));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
}

json_t *planning_received_kept(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a)
{
    json_t *list = json_array(), *flows = all_flows(c, x, a), *o;
    size_t i;
    json_array_foreach(flows, i, o)
    {
        if (strcmp(json_string_value(json_object_get(o, "act")), "used") == 0) {
            continue;
        }
        if (json_is_null(json_object_get(o, "use"))) {
            json_object_del(o, "use");
        }
        if (json_is_null(json_object_get(o, "of"))) {
            json_object_del(o, "of");
        }
        json_array_append(list, o);
    }
    json_decref(flows);
    for (int d = 0; d < c->problem.day_count; d++) {
        aged_uses(c, x, a, d, list);
    }
    return list;
}
