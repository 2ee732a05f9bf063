#include "service/planning_board.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "plan/construct.h"
#include "plan/mix.h"

enum { DAY_MS = 86400000, COVER_DAYS = 28 };

static const char *day_of(const struct planning_case *c, struct arena *a, int day)
{
    return day_text(a, c->problem.first_day + day);
}

static int64_t grams(double kg)
{
    return llround(kg * 1000.0);
}

static const char *kg_text(struct arena *a, double kg)
{
    return mass_text(a, grams(kg) * 1000, kg >= 100 ? 1000000 : 100000);
}

/* ---- what to buy */

/* Items to buy: seed, then what goes into packs. */
static int bought_count(const struct plan_problem *p)
{
    return p->seed_item_count + p->ingredient_count;
}

static const char *bought_item(const struct plan_problem *p, int item)
{
    return item < p->seed_item_count ? p->seed_items[item]
                                     : p->ingredients[item - p->seed_item_count].code;
}

/* Seed of the crop that a mean day of the plan asks for. */
static double mean_seed_kg(const struct plan_problem *p, int crop)
{
    double kg = 0;
    for (int i = 0; i < p->line_count; i++) {
        kg += (double)p->lines[i].pieces * plan_crop_kg(p, p->lines[i].product, crop);
    }
    return kg / p->day_count / plan_way_yield(&p->crops[crop].ways[0]);
}

/* Of such days, the share that the chambers can grow, 0 ... 1. */
static double grown_share(const struct plan_problem *p)
{
    double asked = 0;
    int chambers = p->chamber_count;
    for (int i = 0; i < p->chamber_count; i++) {
        const struct plan_chamber *x = &p->chambers[i];
        chambers -=
            x->outage_count > 0 && x->outages[x->outage_count - 1].to_day >= PLAN_NEVER ? 1 : 0;
    }
    for (int k = 0; k < p->crop_count; k++) {
        const struct plan_crop *crop = &p->crops[k];
        double most_kg = 0;
        for (int i = 0; i < p->class_count; i++) {
            most_kg = fmax(most_kg, crop->fills[i].seed_max_kg);
        }
        int days = plan_way_days(&crop->ways[0]) + p->cleaning_days;
        asked += most_kg > 0 ? mean_seed_kg(p, k) / most_kg * days : 0;
    }
    return asked > chambers ? chambers / asked : 1;
}

/* Starts that are ready after the plan's last day serve nothing in it: there as much seed is wanted
 * as a mean day of the plan asks for, as far as chambers can grow it. */
static void add_seed_for_later(const struct plan_problem *p, struct arena *a, double *use)
{
    double *later = ARENA_ARRAY(a, double, (size_t)(p->seed_item_count * p->day_count) + 1);
    double share = grown_share(p);
    for (int k = 0; k < p->crop_count; k++) {
        const struct plan_crop *crop = &p->crops[k];
        int grow_days = crop->ways[0].grow_days;
        for (int w = 1; w < crop->way_count; w++) {
            grow_days = crop->ways[w].grow_days < grow_days ? crop->ways[w].grow_days : grow_days;
        }
        for (int day = grow_days < p->day_count ? p->day_count - grow_days : 0; day < p->day_count;
             day++) {
            later[crop->seed_item * p->day_count + day] += share * mean_seed_kg(p, k);
        }
    }
    for (int i = 0; i < p->seed_item_count * p->day_count; i++) {
        use[i] = fmax(use[i], later[i]);
    }
}

/* Seed by item and day if there were no end of it: what runs short is asked for too. */
static double *seed_wanted(const struct plan_problem *p, struct arena *a)
{
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    struct plan_problem q = *p;
    struct plan_seed_lot *lots = ARENA_ARRAY(&scratch, struct plan_seed_lot,
                                             (size_t)(p->seed_lot_count + p->seed_item_count) + 1);
    if (p->seed_lot_count > 0) {
        memcpy(lots, p->seed_lots, (size_t)p->seed_lot_count * sizeof *lots);
    }
    for (int i = 0; i < p->seed_item_count; i++) {
        lots[q.seed_lot_count++] = (struct plan_seed_lot){.code = "",
                                                          .seed_item = i,
                                                          .kg = 1e6,
                                                          .last_day = PLAN_NEVER,
                                                          .markets = (1U << p->market_count) - 1,
                                                          .yield_factor = 1,
                                                          .received_day = p->first_day};
    }
    q.seed_lots = lots;
    const struct plan_frame *f = plan_frame_make(&scratch, &q);
    struct plan_placed *starts;
    int count = plan_place(&scratch, plan_construct(&scratch, f), &starts);
    double *use = ARENA_ARRAY(a, double, (size_t)(bought_count(p) * p->day_count) + 1);
    for (int i = 0; i < count; i++) {
        use[p->crops[starts[i].crop].seed_item * p->day_count + starts[i].day] += starts[i].seed_kg;
    }
    arena_release(&scratch);
    add_seed_for_later(p, a, use);
    return use;
}

static int days_up(int64_t ms)
{
    return (int)((ms + DAY_MS - 1) / DAY_MS);
}

static struct purchase_rule rule_of(const struct seed_order *orders, size_t count, const char *item,
                                    struct arena *a, const char **out_supplier)
{
    for (size_t k = 0; k < count; k++) {
        const struct seed_order *s = &orders[k];
        if (strcmp(s->item, item) == 0) {
            *out_supplier = s->supplier != NULL ? arena_copy(a, s->supplier) : NULL;
            return (struct purchase_rule){.lead_days = days_up(s->lead_ms),
                                          .least_kg = (double)s->least_mg * 1e-6,
                                          .step_kg = (double)s->step_mg * 1e-6,
                                          .cover_days = days_up(s->cover_ms)};
        }
    }
    return (struct purchase_rule){.lead_days = PURCHASE_UNKNOWN, .cover_days = COVER_DAYS};
}

static void rules_of(const struct plan_problem *p, const struct profile *profile, struct arena *a,
                     struct planning_why *out)
{
    const struct planning *pl = &profile->planning;
    size_t count = (size_t)bought_count(p) + 1;
    out->rules = ARENA_ARRAY(a, struct purchase_rule, count);
    out->suppliers = ARENA_ARRAY(a, const char *, count);
    for (int i = 0; i < bought_count(p); i++) {
        bool seed = i < p->seed_item_count;
        out->rules[i] = rule_of(seed ? pl->seed_orders : pl->ingredient_orders,
                                seed ? pl->seed_order_count : pl->ingredient_order_count,
                                bought_item(p, i), a, &out->suppliers[i]);
    }
}

/* By day of packing, what the plan packs and what it could not pack for want of an ingredient. */
static void add_ingredients_wanted(const struct plan_problem *p, const struct plan_outcome *outcome,
                                   double *use)
{
    for (int i = 0; i < p->ingredient_count; i++) {
        double *of_day = &use[(p->seed_item_count + i) * p->day_count];
        const double *each = p->ingredients[i].kg_per_piece;
        for (int k = 0; k < outcome->sale_count; k++) {
            const struct plan_sale *sale = &outcome->sales[k];
            int product = p->lines[sale->line].product;
            int day = plan_pack_day(outcome->frame, sale->node);
            if (day != PLAN_NONE && !sale->is_with) {
                of_day[day] += sale->kg / plan_piece_kg(p, product) * each[product];
            }
        }
        for (int k = 0; k < outcome->short_count; k++) {
            const struct plan_short *x = &outcome->shorts[k];
            if (x->limit == PLAN_LIMIT_INGREDIENT) {
                of_day[x->from_day] += (double)x->pieces * each[p->lines[x->line].product];
            }
        }
    }
}

static int add_ingredient_lots(const struct plan_problem *p, struct purchase_lot *lots, int count)
{
    for (int i = 0; i < p->ingredient_count; i++) {
        const struct plan_ingredient *x = &p->ingredients[i];
        for (int k = 0; k < x->lot_count; k++) {
            lots[count++] = (struct purchase_lot){p->seed_item_count + i, x->lots[k].kg,
                                                  x->lots[k].from_day, x->lots[k].last_day};
        }
    }
    return count;
}

static void to_buy(const struct plan_problem *p, const struct plan_outcome *outcome,
                   const struct profile *profile, struct arena *a, struct planning_why *out)
{
    struct purchase_lot *lots = ARENA_ARRAY(
        a, struct purchase_lot,
        (size_t)p->seed_lot_count + PLAN_INGREDIENT_LOTS_MAX * (size_t)p->ingredient_count + 1);
    int count = 0;
    out->waiting_kg = ARENA_ARRAY(a, double, (size_t)bought_count(p) + 1);
    for (int i = 0; i < p->seed_lot_count; i++) {
        const struct plan_seed_lot *s = &p->seed_lots[i];
        if (s->markets == 0) {
            out->waiting_kg[s->seed_item] += s->kg;
        } else {
            lots[count++] = (struct purchase_lot){s->seed_item, s->kg, s->from_day, s->last_day};
        }
    }
    count = add_ingredient_lots(p, lots, count);
    rules_of(p, profile, a, out);
    double *use = seed_wanted(p, a);
    add_ingredients_wanted(p, outcome, use);
    out->purchase_count = purchase_list(a, use, bought_count(p), p->day_count, lots, count,
                                        out->rules, &out->purchases);
}

void planning_seed(const struct planning_case *c, const struct plan_outcome *outcome,
                   const struct profile *profile, struct arena *a, struct planning_why *out)
{
    *out = (struct planning_why){
        .of = ARENA_ARRAY(a, struct plan_short_margin, (size_t)outcome->short_count + 1)};
    for (int i = 0; i < outcome->short_count; i++) {
        out->of[i].margin = PLAN_NONE;
    }
    to_buy(&c->problem, outcome, profile, a, out);
}

void planning_why(const struct planning_case *c, const struct plan_outcome *outcome,
                  const struct profile *profile, struct arena *a, struct planning_why *out)
{
    const struct plan_problem *p = &c->problem;
    double hours = (double)profile->shift_ms / 3600000.0;
    planning_seed(c, outcome, profile, a, out);
    plan_margins(a, p, outcome->shorts, outcome->short_count, hours > 0 ? hours : 8, &out->margins,
                 &out->of);
    out->promise_count = plan_promises(a, p, outcome->shorts, outcome->short_count, &out->promises);
}

/* ---- in JSON */

struct saying {
    const struct planning_case *c;
    const struct plan_outcome *outcome;
    const struct planning_why *why;
    struct arena *a;
    const char *lang;
};

/* A day in a sentence; elsewhere days are as day_of has them. */
static const char *said_day(const struct saying *s, int day)
{
    return words_day(s->a, s->lang, s->c->problem.first_day + day);
}

static json_t *checked(json_t *o)
{
    CHECK(o != NULL);
    return o;
}

/* What a start or a shortage is for. */
static json_t *line_json(const struct saying *s, int line)
{
    const struct plan_line *x = &s->c->problem.lines[line];
    return checked(json_pack("{s:s?,s:s?,s:s,s:s,s:s,s:s?}", "order", planning_order(s->c, line),
                             "standing", x->standing, "item", s->c->names.items[x->product],
                             "group", planning_for_text(s->c, s->a, s->lang, line), "day",
                             day_of(s->c, s->a, x->day), "wanted_day",
                             planning_wanted_day(s->c, s->a, line)));
}

static void put_purposes(const struct saying *s, json_t *starts)
{
    for (size_t i = 0; i < json_array_size(starts); i++) {
        json_object_set_new(json_array_get(starts, i), "for", json_array());
    }
    for (int i = 0; i < s->outcome->purpose_count; i++) {
        const struct plan_purpose *x = &s->outcome->purposes[i];
        json_t *o = line_json(s, x->line);
        json_object_set_new(o, "g", json_integer(grams(x->kg)));
        json_array_append_new(json_object_get(json_array_get(starts, (size_t)x->start), "for"), o);
    }
}

static void put_gains(const struct saying *s, json_t *shorts)
{
    for (int i = 0; i < s->outcome->short_count; i++) {
        const struct plan_short_margin *of = &s->why->of[i];
        json_t *gain = json_null();
        if (of->margin != PLAN_NONE) {
            const struct plan_margin *m = &s->why->margins[of->margin];
            gain = checked(
                json_pack("{s:I,s:I,s:s}", "pieces", (json_int_t)of->pieces, "g",
                          (json_int_t)grams(m->gained_kg), "sentence",
                          plan_margin_sentence(s->a, s->lang, &s->c->problem, m, of->pieces)));
        }
        json_object_set_new(json_array_get(shorts, (size_t)i), "gain", gain);
    }
}

static json_t *orders_json(const struct saying *s)
{
    const struct plan_problem *p = &s->c->problem;
    json_t *list = json_array();
    for (int i = 0; i < p->line_count; i++) {
        if (planning_order(s->c, i) == NULL) {
            continue;
        }
        json_t *o = line_json(s, i), *rest = json_null();
        for (int k = 0; k < s->why->promise_count; k++) {
            const struct plan_promise *x = &s->why->promises[k];
            if (x->line == i) {
                rest = checked(json_pack("{s:I,s:s?}", "pieces", (json_int_t)x->pieces, "day",
                                         x->day != PLAN_NONE ? day_of(s->c, s->a, x->day) : NULL));
            }
        }
        json_object_set_new(o, "pieces", json_integer(p->lines[i].pieces));
        json_object_set_new(o, "met", json_integer(s->outcome->met_pieces[i]));
        json_object_set_new(o, "rest", rest);
        json_object_set_new(o, "instead",
                            planning_instead_json(s->c, s->outcome, i, s->a, s->lang));
        json_object_set_new(o, "leaves", json_string(day_of(s->c, s->a, s->outcome->met_days[i])));
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *running_json(const struct saying *s)
{
    const struct plan_problem *p = &s->c->problem;
    json_t *list = json_array();
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *x = &p->running[i];
        const struct plan *plan = s->outcome->improvement.plan;
        const struct planning_warmth *w = &s->c->warmth[i];
        int choice = plan->choices[i];
        json_array_append_new(
            list,
            checked(json_pack("{s:s,s:s,s:s,s:s,s:I,s:s,s:i,s:s,s:s,s:i}", "lot", x->lot, "chamber",
                              p->chambers[x->chamber].code, "item", p->crops[x->crop].code,
                              "harvest", day_of(s->c, s->a, plan_running_day(x, choice)), "g",
                              (json_int_t)grams(plan_running_kg(x, choice)), "ready",
                              day_of(s->c, s->a, x->harvest_day), "off_days",
                              plan_running_off_days(x, choice), "sentence",
                              plan_harvest_sentence(s->a, s->lang, plan, i, s->outcome->starts,
                                                    s->outcome->start_count),
                              "reckoned",
                              warmth_says(s->a, s->lang, &w->warmth, w->later_days, s->c->now_ms),
                              "later_days", w->later_days)));
    }
    return list;
}

static json_t *out_json(const struct saying *s)
{
    const struct plan_problem *p = &s->c->problem;
    json_t *list = json_array();
    for (int i = 0; i < p->chamber_count; i++) {
        for (int k = 0; k < p->chambers[i].outage_count; k++) {
            const struct plan_outage *x = &p->chambers[i].outages[k];
            json_array_append_new(
                list,
                checked(json_pack("{s:s,s:s,s:s?}", "chamber", p->chambers[i].code, "from",
                                  day_of(s->c, s->a, x->from_day), "to",
                                  x->to_day < PLAN_NEVER ? day_of(s->c, s->a, x->to_day) : NULL)));
        }
    }
    return list;
}

static json_t *dropped_json(const struct saying *s)
{
    const struct plan_problem *p = &s->c->problem;
    const struct plan_frame *f = s->outcome->frame;
    json_t *list = json_array();
    for (int i = 0; i < f->drop_count; i++) {
        const struct plan_taken *t = &p->taken[f->drops[i].taken];
        const char *day = day_of(s->c, s->a, t->day), *chamber = p->chambers[t->chamber].code;
        bool seed = f->drops[i].reason == PLAN_DROP_SEED;
        const char *says =
            seed ? WORDS(s->a, s->lang, "plan.drop.seed", chamber, said_day(s, t->day))
                 : WORDS(s->a, s->lang, "plan.drop.chamber", chamber, said_day(s, t->day));
        json_array_append_new(list,
                              checked(json_pack("{s:s,s:s,s:s,s:s,s:s}", "day", day, "chamber",
                                                chamber, "item", p->crops[t->crop].code, "reason",
                                                seed ? "seed" : "chamber", "sentence", says)));
    }
    for (int i = 0; i < s->c->left_count; i++) {
        const struct planning_left *x = &s->c->left[i];
        const char *day = day_of(s->c, s->a, x->day), *chamber = p->chambers[x->chamber].code;
        json_array_append_new(
            list, checked(json_pack("{s:s,s:s,s:s,s:s,s:s}", "day", day, "chamber", chamber, "item",
                                    p->crops[x->crop].code, "reason", "closed", "sentence",
                                    WORDS(s->a, s->lang, "plan.drop.closed", chamber,
                                          said_day(s, x->day), s->c->closed[x->day].reason))));
    }
    return list;
}

static const char *pieces_text(const struct saying *s, int64_t pieces)
{
    return WORDS(s->a, s->lang, "plan.pieces", arena_printf(s->a, "%lld", (long long)pieces));
}

/* To order of what is bought by the piece; 0: it is bought by mass. */
static int64_t purchase_pieces(const struct saying *s, const struct purchase *x)
{
    int at = x->item - s->c->problem.seed_item_count;
    double piece_kg = at >= 0 ? s->c->piece_kg[at] : 0;
    return piece_kg > 0 ? (int64_t)ceil(x->order_kg / piece_kg - 1e-6) : 0;
}

static const char *purchase_sentence(const struct saying *s, const struct purchase *x)
{
    const char *item = bought_item(&s->c->problem, x->item);
    int64_t pieces = purchase_pieces(s, x);
    const char *amount = pieces > 0 ? pieces_text(s, pieces) : kg_text(s->a, x->order_kg);
    const char *out = said_day(s, x->out_day);
    const char *by = said_day(s, x->order_by_day);
    const struct purchase_rule *rule = &s->why->rules[x->item];
    if (rule->lead_days == PURCHASE_UNKNOWN) {
        return WORDS(s->a, s->lang, "plan.buy.no-lead", amount, item, out);
    }
    return x->order_by_day < 0 ? WORDS(s->a, s->lang, "plan.buy.late", amount, item, out, by)
                               : WORDS(s->a, s->lang, "plan.buy", amount, item, out, by);
}

/* Of an item, what the plan counts on. */
static double agreed_kg(const struct saying *s, const char *item)
{
    double kg = 0;
    for (int i = 0; i < s->c->agreed_count; i++) {
        const struct planning_agreed *x = &s->c->agreed[i];
        kg += x->from_day != PLAN_NONE && strcmp(x->item, item) == 0 ? x->kg : 0;
    }
    return kg;
}

static json_t *purchase_json(const struct saying *s)
{
    json_t *list = json_array();
    for (int i = 0; i < s->why->purchase_count; i++) {
        const struct purchase *x = &s->why->purchases[i];
        double agreed = agreed_kg(s, bought_item(&s->c->problem, x->item));
        json_array_append_new(
            list,
            checked(json_pack(
                "{s:s,s:s?,s:I,s:I,s:I,s:I,s:I,s:s,s:s,s:i,s:I,s:I,s:b,s:s}", "item",
                bought_item(&s->c->problem, x->item), "supplier", s->why->suppliers[x->item],
                "here_g", (json_int_t)grams(x->here_kg - agreed), "agreed_g",
                (json_int_t)grams(agreed), "use_g", (json_int_t)grams(x->use_kg), "useless_g",
                (json_int_t)grams(x->useless_kg), "waiting_g",
                (json_int_t)grams(s->why->waiting_kg[x->item]), "out",
                day_of(s->c, s->a, x->out_day), "order_by", day_of(s->c, s->a, x->order_by_day),
                "late_days", x->order_by_day < 0 ? -x->order_by_day : 0, "order_g",
                (json_int_t)grams(x->order_kg), "order_pieces", (json_int_t)purchase_pieces(s, x),
                "lead_known", s->why->rules[x->item].lead_days != PURCHASE_UNKNOWN, "sentence",
                purchase_sentence(s, x))));
    }
    return list;
}

static const char *agreed_sentence(const struct saying *s, const struct planning_agreed *x)
{
    const char *kg = x->pieces > 0 ? pieces_text(s, x->pieces) : kg_text(s->a, x->kg);
    const char *day = words_day(s->a, s->lang, x->day);
    if (x->day < s->c->problem.first_day) {
        return WORDS(s->a, s->lang, "plan.agreed.late", x->code, kg, x->item, x->supplier, day);
    }
    return x->from_day == PLAN_NONE
               ? WORDS(s->a, s->lang, "plan.agreed", x->code, kg, x->item, x->supplier, day)
               : WORDS(s->a, s->lang, "plan.agreed.used", x->code, kg, x->item, x->supplier, day,
                       said_day(s, x->from_day));
}

static json_t *agreed_json(const struct saying *s)
{
    json_t *list = json_array();
    for (int i = 0; i < s->c->agreed_count; i++) {
        const struct planning_agreed *x = &s->c->agreed[i];
        json_array_append_new(
            list,
            checked(json_pack(
                "{s:s,s:s,s:s,s:s,s:I,s:I,s:I,s:I,s:s?,s:b,s:s}", "delivery", x->code, "item",
                x->item, "supplier", x->supplier, "day", day_text(s->a, x->day), "g",
                (json_int_t)grams(x->kg), "pieces", (json_int_t)x->pieces, "whole_g",
                (json_int_t)grams(x->whole_kg), "whole_pieces", (json_int_t)x->whole_pieces, "from",
                x->from_day != PLAN_NONE ? day_of(s->c, s->a, x->from_day) : NULL, "late",
                x->day < s->c->problem.first_day, "sentence", agreed_sentence(s, x))));
    }
    return list;
}

json_t *planning_sums(const struct planning_case *c, const struct plan_outcome *outcome)
{
    const struct plan_problem *p = &c->problem;
    int64_t wanted = 0, met = 0, booked = 0, booked_met = 0, short_orders = 0;
    double seed_kg = 0, packed_kg = 0;
    for (int i = 0; i < p->line_count; i++) {
        bool order = planning_order(c, i) != NULL;
        wanted += p->lines[i].pieces;
        met += outcome->met_pieces[i];
        booked += order ? p->lines[i].pieces : 0;
        booked_met += order ? outcome->met_pieces[i] : 0;
        short_orders += order && outcome->met_pieces[i] < p->lines[i].pieces;
    }
    for (int i = 0; i < outcome->start_count; i++) {
        seed_kg += outcome->starts[i].seed_kg;
        packed_kg += outcome->starts[i].packed_kg;
    }
    return checked(json_pack("{s:I,s:I,s:I,s:I,s:I,s:i,s:I,s:I,s:f}", "wanted", (json_int_t)wanted,
                             "met", (json_int_t)met, "booked", (json_int_t)booked, "booked_met",
                             (json_int_t)booked_met, "short_orders", (json_int_t)short_orders,
                             "starts", outcome->start_count, "seed_g", (json_int_t)grams(seed_kg),
                             "packed_g", (json_int_t)grams(packed_kg), "cost",
                             outcome->improvement.cost));
}

void planning_board(const struct planning_case *c, const struct plan_outcome *outcome,
                    const struct planning_why *why, struct arena *a, const char *lang, json_t *plan)
{
    struct saying s = {c, outcome, why, a, lang};
    put_purposes(&s, json_object_get(plan, "starts"));
    put_gains(&s, json_object_get(plan, "shorts"));
    json_object_set_new(plan, "orders", orders_json(&s));
    json_object_set_new(plan, "running", running_json(&s));
    json_object_set_new(plan, "out", out_json(&s));
    json_object_set_new(plan, "dropped", dropped_json(&s));
    json_object_set_new(plan, "purchase", purchase_json(&s));
    json_object_set_new(plan, "agreed", agreed_json(&s));
    json_object_set_new(plan, "retests", planning_retests_json(c, a, lang));
    json_object_set_new(plan, "chambers", json_integer(c->problem.chamber_count));
    json_object_set_new(plan, "sums", planning_sums(c, outcome));
}
