#include "service/planning_received.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/agreed.h"
#include "service/planning_inner.h"
#include "service/planning_received_inner.h"
#include "service/planning_received_luck.h"

enum { LOTS_MAX = 5000, DELIVERIES_MAX = 2000, PLACES_MAX = 1000 };

static double kg(int64_t mg)
{
    return (double)mg * 1e-6;
}

static double cost(int64_t milli)
{
    return (double)milli / 1000.0;
}

static double *each_day(struct arena *a, int day_count, double value)
{
    double *out = ARENA_ARRAY(a, double, (size_t)day_count);
    for (int d = 0; d < day_count; d++) {
        out[d] = value;
    }
    return out;
}

/* What places of a store hold together; *out_least: the smallest, 0 where one has no size. */
static struct result add_places(struct reading *r, const struct received_store *rule,
                                double *out_sum, double *out_least, int *out_count)
{
    struct statement *q = store_prepare(r->store, Q_PLACE_ALL);
    bool row;
    *out_sum = *out_least = 0;
    *out_count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        bool meant = list_has(rule->place_kinds, store_text(q, 2)) &&
                     (rule->class_ == NULL || strcmp(rule->class_, store_text(q, 3)) == 0);
        if (!meant || store_int(q, 6) == 0) {
            continue;
        }
        double size = kg(store_int(q, 5));
        *out_least = *out_count == 0 || size < *out_least ? size : *out_least;
        *out_sum += size;
        ++*out_count;
    }
}

/* A place without a capacity bounds nothing; a store without a place can hold nothing. */
static struct result read_stores(struct reading *r, struct planning_received *out)
{
    const struct received *rules = out->rules;
    struct intake_problem *p = &out->problem;
    struct intake_store *stores =
        ARENA_ARRAY(r->arena, struct intake_store, rules->store_count + 1);
    for (size_t i = 0; i < rules->store_count; i++) {
        const struct received_store *rule = &rules->stores[i];
        double sum, least;
        int count;
        TRY(add_places(r, rule, &sum, &least, &count));
        if (count == 0 || (rule->tanks && least <= 0)) {
            return FAIL1(PLAN_FIELD, rule->name,
                         "the record has no place in service for it, or a tank without capacity");
        }
        bool open = least <= 0;
        stores[i] =
            (struct intake_store){.code = rule->name,
                                  .limit = each_day(r->arena, p->day_count, open ? INFINITY : sum),
                                  .tank_size = rule->tanks ? least : 0,
                                  .tank_count = rule->tanks ? count : 0,
                                  .cleaned_next_day = rule->cleaned_next_day};
    }
    p->stores = stores;
    p->store_count = (int)rules->store_count;
    return RESULT_OK;
}

static void read_goods(struct reading *r, struct planning_received *out)
{
    const struct received *rules = out->rules;
    struct intake_good *goods = ARENA_ARRAY(r->arena, struct intake_good, rules->good_count + 1);
    for (size_t i = 0; i < rules->good_count; i++) {
        const struct received_good *g = &rules->goods[i];
        goods[i] = (struct intake_good){.code = g->name,
                                        .store = g->store >= 0 ? (int)g->store : PLAN_NONE,
                                        .room_per_kg = g->density_milli > 0
                                                           ? 1000.0 / (double)g->density_milli
                                                           : (double)g->room_milli / 1000.0,
                                        .keep_days = (int)g->keep_days,
                                        .hold_cost_per_kg_day = cost(g->hold_per_kg_day),
                                        .out_cost_per_kg = cost(g->out_per_kg),
                                        .end_kg_wanted = kg(g->end_mg),
                                        .end_value_per_kg = cost(g->end_per_kg)};
    }
    out->problem.goods = goods;
    out->problem.good_count = (int)rules->good_count;
}

/* Hours of a machine that today's work has taken already. */
static double hours_done(const struct planning_received *c, int machine)
{
    double hours = 0;
    for (int i = 0; i < c->today_count; i++) {
        const struct received_did *did = &c->today[i];
        if (did->use != PLAN_NONE && c->rules->uses[did->use].machine == machine) {
            hours += did->kg / kg(c->rules->uses[did->use].hour_mg);
        }
    }
    return hours;
}

static void read_machines(struct reading *r, struct planning_received *out)
{
    const struct received *rules = out->rules;
    struct intake_problem *p = &out->problem;
    struct intake_machine *machines =
        ARENA_ARRAY(r->arena, struct intake_machine, rules->machine_count + 1);
    for (size_t i = 0; i < rules->machine_count; i++) {
        const struct received_machine *m = &rules->machines[i];
        double *hours = each_day(r->arena, p->day_count, 0);
        for (int d = 0; d < p->day_count; d++) {
            bool works = (m->weekdays >> day_weekday(p->first_day + d) & 1U) != 0;
            hours[d] = works ? (double)m->day_ms / 3600000.0 : 0;
        }
        hours[0] = fmax(0, hours[0] - hours_done(out, (int)i));
        machines[i] = (struct intake_machine){m->name, hours};
    }
    p->machines = machines;
    p->machine_count = (int)rules->machine_count;
}

/* Shares as the record has them, where it knows. */
static void learn_uses(struct arena *a, struct planning_received *out)
{
    struct intake_problem *p = &out->problem;
    size_t count = (size_t)p->use_count + 1;
    struct intake_use *uses = ARENA_ARRAY(a, struct intake_use, count);
    struct intake_luck_use *learnt = ARENA_ARRAY(a, struct intake_luck_use, count);
    for (int i = 0; i < p->use_count; i++) {
        uses[i] = out->told[i];
        struct intake_part *parts =
            ARENA_ARRAY(a, struct intake_part, (size_t)uses[i].part_count + 1);
        learnt[i] = planning_received_learn(a, out, i, &out->told[i]);
        for (int k = 0; k < uses[i].part_count; k++) {
            parts[k] = (struct intake_part){uses[i].parts[k].good, learnt[i].expected[k]};
        }
        uses[i].parts = parts;
    }
    p->uses = uses;
    out->learnt = learnt;
}

static void read_uses(struct reading *r, struct planning_received *out)
{
    const struct received *rules = out->rules;
    struct intake_use *uses = ARENA_ARRAY(r->arena, struct intake_use, rules->use_count + 1);
    for (size_t i = 0; i < rules->use_count; i++) {
        const struct received_use *u = &rules->uses[i];
        struct intake_part *parts = ARENA_ARRAY(r->arena, struct intake_part, u->part_count + 1);
        struct intake_need *need = ARENA_NEW(r->arena, struct intake_need);
        for (size_t k = 0; k < u->part_count; k++) {
            parts[k] =
                (struct intake_part){(int)u->parts[k].good, (double)u->parts[k].share_ppm * 1e-6};
        }
        if (u->machine >= 0) {
            *need = (struct intake_need){(int)u->machine, 1 / kg(u->hour_mg)};
        }
        uses[i] = (struct intake_use){.code = u->name,
                                      .good = (int)u->good,
                                      .parts = parts,
                                      .part_count = (int)u->part_count,
                                      .needs = need,
                                      .need_count = u->machine >= 0 ? 1 : 0,
                                      .added_per_kg = (double)u->added_ppm * 1e-6,
                                      .cost_per_kg = cost(u->cost_per_kg),
                                      .keeps_age = u->keeps_age};
    }
    out->told = uses;
    out->problem.use_count = (int)rules->use_count;
    learn_uses(r->arena, out);
}

static void read_offers(struct reading *r, struct planning_received *out)
{
    const struct received *rules = out->rules;
    struct intake_offer *offers =
        ARENA_ARRAY(r->arena, struct intake_offer, rules->offer_count + 1);
    for (size_t i = 0; i < rules->offer_count; i++) {
        const struct received_offer *o = &rules->offers[i];
        offers[i] = (struct intake_offer){.code = o->name,
                                          .good = (int)o->good,
                                          .lead_days = (int)o->lead_days,
                                          .kg_a_day = kg(o->day_mg),
                                          .kg_in_all = o->all_mg > 0 ? kg(o->all_mg) : INFINITY,
                                          .price_per_kg = cost(o->price_per_kg)};
    }
    out->problem.offers = offers;
    out->problem.offer_count = (int)rules->offer_count;
}

static struct result read_lots(struct reading *r, struct planning_received *out)
{
    struct intake_lot *lots = ARENA_ARRAY(r->arena, struct intake_lot, LOTS_MAX);
    int count = 0;
    struct statement *q = store_prepare(r->store, Q_PLANNING_RECEIVED);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int good = received_good_of(out->rules, store_text(q, 1), store_text(q, 4));
        if (good == PLAN_NONE || store_int(q, 6) > 0 || count >= LOTS_MAX) {
            continue;
        }
        int born = received_born(out->rules, good, store_int(q, 2), !store_is_null(q, 3),
                                 store_int(q, 3)) -
                   out->problem.first_day;
        lots[count++] = (struct intake_lot){.code = arena_copy(r->arena, store_text(q, 0)),
                                            .good = good,
                                            .born_day = born < 0 ? born : 0,
                                            .kg = kg(store_int(q, 5))};
    }
    out->problem.lots = lots;
    out->problem.lot_count = count;
    return RESULT_OK;
}

static struct result read_past(struct reading *r, struct planning_received *out)
{
    struct received_did *list;
    int64_t before;
    TRY(received_before(r->store, r->profile, r->first_day - RECEIVED_LUCK_DAYS, &before));
    TRY(received_read(r->store, r->arena, out->rules, before, &list, &out->past_count));
    struct received_did *today =
        ARENA_ARRAY(r->arena, struct received_did, (size_t)out->past_count + 1);
    for (int i = 0; i < out->past_count; i++) {
        if (list[i].day == r->first_day) {
            today[out->today_count++] = list[i];
        }
    }
    out->past = list;
    out->today = today;
    return RESULT_OK;
}

/* Deliveries told of one by one. What turning one away costs is that of a standing agreement for
 * the good; one whose day went by comes nobody knows when. */
static struct result read_agreed(struct reading *r, struct planning_received *out,
                                 struct intake_delivery *list)
{
    const struct received *rules = out->rules;
    struct intake_problem *p = &out->problem;
    struct agreed *agreed;
    size_t count;
    TRY(agreed_awaited(r->store, r->arena, p->first_day, &agreed, &count));
    for (size_t i = 0; i < count && p->delivery_count < DELIVERIES_MAX; i++) {
        const struct agreed *x = &agreed[i];
        int good = received_good_of(rules, x->item, x->supplier), day = x->day - p->first_day;
        if (good == PLAN_NONE || day < 0 || day >= p->day_count) {
            continue;
        }
        int64_t turn = 0;
        for (size_t k = 0; k < rules->delivery_count; k++) {
            turn = rules->deliveries[k].good == good ? rules->deliveries[k].turn_per_kg : turn;
        }
        list[p->delivery_count++] = (struct intake_delivery){.key = x->code,
                                                             .good = good,
                                                             .day = day,
                                                             .kg = kg(agreed_left_mg(x)),
                                                             .is_booked = true,
                                                             .turn_cost_per_kg = cost(turn)};
    }
    return RESULT_OK;
}

static struct result read_deliveries(struct reading *r, struct planning_received *out)
{
    const struct received *rules = out->rules;
    struct intake_problem *p = &out->problem;
    struct intake_delivery *list = ARENA_ARRAY(r->arena, struct intake_delivery, DELIVERIES_MAX);
    double *come = ARENA_ARRAY(r->arena, double, rules->good_count + 1);
    for (int i = 0; i < out->today_count; i++) {
        come[out->today[i].good] += out->today[i].act == RECEIVED_CAME ? out->today[i].kg : 0;
    }
    for (size_t i = 0; i < rules->delivery_count; i++) {
        const struct received_delivery *rule = &rules->deliveries[i];
        for (int d = 0; d < p->day_count && p->delivery_count < DELIVERIES_MAX; d++) {
            if ((rule->weekdays >> day_weekday(p->first_day + d) & 1U) == 0) {
                continue;
            }
            double here = d == 0 ? fmin(come[rule->good], kg(rule->mg)) : 0;
            come[rule->good] -= here;
            list[p->delivery_count++] =
                (struct intake_delivery){.key = rule->name,
                                         .good = (int)rule->good,
                                         .day = d,
                                         .kg = kg(rule->mg) - here,
                                         .is_booked = rule->booked,
                                         .turn_cost_per_kg = cost(rule->turn_per_kg)};
        }
    }
    TRY(read_agreed(r, out, list));
    p->deliveries = list;
    return RESULT_OK;
}

/* Packed items of the record that are goods of the profile. */
static struct result read_products(struct reading *r, struct planning_received *out)
{
    struct plan_problem *o = &r->out->problem;
    struct intake_product *products =
        ARENA_ARRAY(r->arena, struct intake_product, out->rules->good_count + 1);
    double *value = ARENA_ARRAY(r->arena, double, out->rules->good_count + 1);
    r->products = ARENA_ARRAY(r->arena, struct plan_product, out->rules->good_count + 1);
    r->out->names.items = ARENA_ARRAY(r->arena, const char *, out->rules->good_count + 1);
    struct statement *q = store_prepare(r->store, Q_ITEM_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int good = received_good_of(out->rules, store_text(q, 0), "");
        if (good == PLAN_NONE || strcmp(store_text(q, 2), "packed") != 0) {
            continue;
        }
        const struct received_good *g = &out->rules->goods[good];
        int n = o->product_count++;
        const char *code = arena_copy(r->arena, store_text(q, 0));
        products[n] = (struct intake_product){code, good, kg(store_int(q, 5))};
        r->products[n] = (struct plan_product){.code = code, .net_kg = products[n].net_kg};
        r->out->names.items[n] = code;
        value[n] = cost(g->value_per_kg > 0 ? g->value_per_kg : r->profile->planning.value_per_kg);
    }
    o->products = r->products;
    r->value_per_kg = value;
    r->out->names.item_count = (size_t)o->product_count;
    out->problem.products = products;
    out->problem.product_count = o->product_count;
    return RESULT_OK;
}

static struct result read_demand(struct reading *r, struct planning_received *out)
{
    TRY(planning_read_partners(r));
    TRY(read_products(r, out));
    TRY(planning_read_demand(r));
    const struct plan_problem *o = &r->out->problem;
    out->problem.groups = o->groups;
    out->problem.group_count = o->group_count;
    out->problem.lines = o->lines;
    out->problem.line_count = o->line_count;
    return RESULT_OK;
}

struct result planning_received_read(struct store *s, const struct profile *p, int64_t now_ms,
                                     struct arena *a, struct planning_received *out)
{
    *out = (struct planning_received){.rules = &p->planning.received};
    CHECK(out->rules->given);
    struct reading r = {.store = s,
                        .profile = p,
                        .arena = a,
                        .now_ms = now_ms,
                        .offset_min = civil_offset_min(now_ms),
                        .out = &out->demand};
    r.first_day = day_of_house(now_ms, r.offset_min, p->day_starts_min);
    int day_count = (int)p->planning.horizon_days;
    out->demand.problem = (struct plan_problem){.first_day = r.first_day, .day_count = day_count};
    out->problem = (struct intake_problem){.first_day = r.first_day, .day_count = day_count};
    TRY(read_past(&r, out));
    TRY(read_stores(&r, out));
    read_goods(&r, out);
    read_machines(&r, out);
    read_uses(&r, out);
    read_offers(&r, out);
    TRY(read_lots(&r, out));
    TRY(read_deliveries(&r, out));
    TRY(read_demand(&r, out));
    planning_read_closed(&r);
    planning_received_close(a, out);
    return intake_check(&out->problem);
}

struct result planning_received_make(struct arena *a, const struct planning_received *c,
                                     double seconds, const atomic_bool *stop,
                                     struct intake_outcome *out)
{
    struct improve_options options = {
        .solver = {
            .path = planning_solver(a), .seconds = seconds, .gap = PLANNING_GAP, .stop = stop}};
    return intake_make(a, &c->problem, seconds > 0 ? &options : NULL, out);
}
