/* A plan day by day, for its picture: what of each item is there, wanted and short, and what each
 * day's limits are used for. */
#include <limits.h>
#include <math.h>

#include "base/check.h"
#include "base/civil.h"
#include "plan/slack.h"
#include "service/planning.h"

struct supply {
    double stock;                            /* pieces, whatever is given for one */
    int64_t met, booked, standing, forecast; /* pieces */
};

static struct supply *supply_of(const struct planning_case *c, const struct plan_outcome *outcome,
                                struct arena *a)
{
    const struct plan_problem *p = &c->problem;
    size_t count = (size_t)p->day_count * (size_t)p->product_count;
    struct supply *list = ARENA_ARRAY(a, struct supply, count + 1);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *line = &p->lines[i];
        struct supply *s = &list[line->day * p->product_count + line->product];
        s->met += outcome->met_pieces[i];
        s->booked += planning_order(c, i) != NULL ? line->pieces : 0;
        s->standing += line->standing != NULL ? line->pieces : 0;
        s->forecast += line->key == NULL ? line->pieces : 0;
    }
    for (int i = 0; i < outcome->sale_count; i++) {
        const struct plan_sale *sale = &outcome->sales[i];
        const struct plan_line *line = &p->lines[sale->line];
        if (outcome->frame->nodes[sale->node].is_stock && !sale->is_with) {
            list[line->day * p->product_count + line->product].stock +=
                sale->kg / plan_piece_kg(p, sale->product);
        }
    }
    return list;
}

json_t *planning_supply_json(const struct planning_case *c, const struct plan_outcome *outcome,
                             struct arena *a)
{
    const struct plan_problem *p = &c->problem;
    const struct supply *list = supply_of(c, outcome, a);
    json_t *out = json_array();
    for (int i = 0; i < p->day_count * p->product_count; i++) {
        const struct supply *s = &list[i];
        int product = i % p->product_count;
        int64_t wanted = s->booked + s->standing + s->forecast;
        if (wanted == 0) {
            continue;
        }
        int64_t stock = llround(s->stock);
        stock = stock < s->met ? stock : s->met; /* pieces are whole, kg are not */
        json_t *o = json_pack("{s:s,s:s,s:I,s:I,s:I,s:I,s:I,s:I}", "day",
                              day_text(a, p->first_day + i / p->product_count), "item",
                              c->names.items[product], "pieces", (json_int_t)(s->met - stock),
                              "stock", (json_int_t)stock, "booked", (json_int_t)s->booked,
                              "standing", (json_int_t)s->standing, "forecast",
                              (json_int_t)s->forecast, "short", (json_int_t)(wanted - s->met));
        CHECK(o != NULL);
        json_array_append_new(out, o);
    }
    return out;
}

/* null where the day has no such limit. */
static json_t *of_kg(double limit, double used)
{
    return isfinite(limit) ? json_pack("{s:I,s:I}", "used_g", (json_int_t)llround(used * 1000),
                                       "limit_g", (json_int_t)llround(limit * 1000))
                           : json_null();
}

static json_t *of_count(int limit, int used)
{
    return limit != INT_MAX ? json_pack("{s:i,s:i}", "used", used, "limit", limit) : json_null();
}

struct day_use {
    int starts, harvests;
    double seed_kg;
};

/* By day. What is taken or grows already may ask for more than a day's limit. */
static struct day_use *day_uses(const struct plan_problem *p, const struct plan_outcome *outcome,
                                struct arena *a)
{
    struct day_use *list = ARENA_ARRAY(a, struct day_use, (size_t)p->day_count + 1);
    for (int i = 0; i < outcome->start_count; i++) {
        const struct plan_placed *s = &outcome->starts[i];
        list[s->day].starts++;
        list[s->day].seed_kg += s->seed_kg;
        for (int h = 0; h < s->harvest_count; h++) {
            if (s->harvests[h].day < p->day_count) {
                list[s->harvests[h].day].harvests++;
            }
        }
    }
    for (int i = 0; i < p->running_count; i++) {
        int day = plan_running_day(&p->running[i], outcome->improvement.plan->choices[i]);
        if (day < p->day_count) {
            list[day].harvests++;
        }
    }
    return list;
}

/* What is neither running nor started nor out of service. */
static int chambers_free(const struct plan_slack *s, int day)
{
    int free_count = 0;
    for (int i = 0; i < s->f->pool_count; i++) {
        free_count += s->chambers[i * s->f->span_days + day];
    }
    return free_count;
}

/* What the works of a harvest day are used for, in thousandths of their units. */
static json_t *works_json(const struct planning_case *c, const struct plan_slack *slack, int day)
{
    const struct plan_problem *p = &c->problem;
    json_t *list = json_array();
    for (int w = 0; w < p->work_count; w++) {
        double limit = p->works[w].limit[day], left = slack->works[w * p->day_count + day];
        if (isfinite(limit)) {
            json_t *o = json_pack("{s:s,s:I,s:I}", "name", p->works[w].code, "used_milli",
                                  (json_int_t)llround((limit - left) * 1000), "limit_milli",
                                  (json_int_t)llround(limit * 1000));
            CHECK(o != NULL);
            json_array_append_new(list, o);
        }
    }
    return list;
}

json_t *planning_capacity_json(const struct planning_case *c, const struct plan_outcome *outcome,
                               struct arena *a, const char *lang)
{
    const struct plan_problem *p = &c->problem;
    const struct day_use *uses = day_uses(p, outcome, a);
    json_t *out = json_array();
    for (int day = 0; day < p->day_count; day++) {
        const struct day_use *use = &uses[day];
        const struct plan_day *limit = &p->days[day], *left = &outcome->slack->days[day];
        json_t *o = json_pack(
            "{s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "day", day_text(a, p->first_day + day),
            "chambers",
            of_count(p->chamber_count, p->chamber_count - chambers_free(outcome->slack, day)),
            "starts", of_count(limit->starts_max, use->starts), "harvests",
            of_count(limit->harvests_max, use->harvests), "treat",
            of_kg(limit->treat_seed_kg, use->seed_kg), "soak",
            of_kg(limit->soak_seed_kg, use->seed_kg), "harvest",
            of_kg(limit->harvest_bed_kg, limit->harvest_bed_kg - left->harvest_bed_kg), "wash",
            of_kg(limit->wash_bed_kg, limit->wash_bed_kg - left->wash_bed_kg), "pack",
            of_kg(limit->pack_kg, limit->pack_kg - left->pack_kg), "works",
            works_json(c, outcome->slack, day));
        CHECK(o != NULL);
        json_object_set_new(o, "closed",
                            planning_closed_json(a, lang, p->first_day + day, c->closed[day].what,
                                                 c->closed[day].reason));
        json_array_append_new(out, o);
    }
    return out;
}
