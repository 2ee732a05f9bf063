#include "plan/intake.h"

#include <math.h>

#include "plan/ranges.h"

double intake_line_kg(const struct intake_problem *p, const struct plan_line *line)
{
    return (double)line->pieces * p->products[line->product].net_kg;
}

static bool days_hold(const double *limit, int day_count)
{
    for (int d = 0; d < day_count; d++)
        if (!(limit[d] >= 0)) return false;
    return true;
}

static struct result check_house(const struct intake_problem *p)
{
    for (int i = 0; i < p->store_count; i++) {
        const struct intake_store *s = &p->stores[i];
        if (!days_hold(s->limit, p->day_count))
            return wrong("stores", i, "limit", "it must be 0 or more on every day");
        if (!not_negative(s->tank_size) || s->tank_count < 0)
            return wrong("stores", i, "tank_size", "tanks must have a size and a number");
    }
    for (int i = 0; i < p->machine_count; i++)
        if (!days_hold(p->machines[i].hours, p->day_count))
            return wrong("machines", i, "hours", "they must be 0 or more on every day");
    for (int i = 0; i < p->good_count; i++) {
        const struct intake_good *g = &p->goods[i];
        if (g->store != PLAN_NONE && !below(g->store, p->store_count))
            return wrong("goods", i, "store", "there is no such store");
        if (g->store != PLAN_NONE && !positive(g->room_per_kg))
            return wrong("goods", i, "room_per_kg", "it must be above 0");
        if (g->keep_days < 0 || g->keep_days > INTAKE_KEEP_MAX)
            return wrong("goods", i, "keep_days", "it must be from 0 to 1000");
        if (!not_negative(g->hold_cost_per_kg_day) || !isfinite(g->out_cost_per_kg))
            return wrong("goods", i, "hold_cost_per_kg_day", "costs must be numbers");
        if (!not_negative(g->end_kg_wanted) || !not_negative(g->end_value_per_kg))
            return wrong("goods", i, "end_kg_wanted", "it must be 0 or more");
    }
    return RESULT_OK;
}

/* Whether a good can be made of itself. */
static bool comes_round(const struct intake_problem *p, int good)
{
    bool from[INTAKE_LIMITS_MAX] = {false}; /* what can be made of it */
    for (bool more = true; more;) {
        more = false;
        for (int u = 0; u < p->use_count; u++) {
            if (p->uses[u].good != good && !from[p->uses[u].good]) continue;
            for (int k = 0; k < p->uses[u].part_count; k++) {
                int given = p->uses[u].parts[k].good;
                more |= !from[given];
                from[given] = true;
            }
        }
    }
    return from[good];
}

static struct result check_use(const struct intake_problem *p, int i)
{
    const struct intake_use *u = &p->uses[i];
    double given = 0;
    if (!below(u->good, p->good_count)) return wrong("uses", i, "good", "there is no such good");
    if (!not_negative(u->added_per_kg) || !isfinite(u->cost_per_kg))
        return wrong("uses", i, "added_per_kg", "it must be 0 or more");
    for (int k = 0; k < u->part_count; k++) {
        if (!below(u->parts[k].good, p->good_count))
            return wrong("uses", i, "parts", "there is no such good");
        if (!positive(u->parts[k].share)) return wrong("uses", i, "parts", "shares are above 0");
        given += u->parts[k].share;
    }
    if (u->part_count < 1) return wrong("uses", i, "parts", "it must give something");
    if (given > 1 + u->added_per_kg + 1e-9)
        return wrong("uses", i, "parts", "they give more than is taken in and added");
    for (int k = 0; k < u->need_count; k++)
        if (!below(u->needs[k].machine, p->machine_count) ||
            !not_negative(u->needs[k].hours_per_kg))
            return wrong("uses", i, "needs", "there is no such machine");
    return RESULT_OK;
}

static struct result check_uses(const struct intake_problem *p)
{
    for (int i = 0; i < p->use_count; i++)
        TRY(check_use(p, i));
    for (int i = 0; i < p->use_count; i++)
        if (comes_round(p, p->uses[i].good))
            return wrong("uses", i, "good", "what it gives comes round to it");
    return RESULT_OK;
}

static struct result check_fruit(const struct intake_problem *p)
{
    for (int i = 0; i < p->lot_count; i++) {
        const struct intake_lot *l = &p->lots[i];
        if (!below(l->good, p->good_count))
            return wrong("lots", i, "good", "there is no such good");
        if (l->born_day > 0 || l->born_day < -PLAN_NEVER)
            return wrong("lots", i, "born_day", "it must not lie ahead");
        if (!not_negative(l->kg)) return wrong("lots", i, "kg", "it must be 0 or more");
    }
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        if (!below(d->good, p->good_count))
            return wrong("deliveries", i, "good", "there is no such good");
        if (!below(d->day, p->day_count))
            return wrong("deliveries", i, "day", "it must be one of the days");
        if (!not_negative(d->kg)) return wrong("deliveries", i, "kg", "it must be 0 or more");
        if (!isfinite(d->turn_cost_per_kg))
            return wrong("deliveries", i, "turn_cost_per_kg", "it must be a number");
    }
    for (int i = 0; i < p->offer_count; i++) {
        const struct intake_offer *o = &p->offers[i];
        if (!below(o->good, p->good_count))
            return wrong("offers", i, "good", "there is no such good");
        if (o->lead_days < 0) return wrong("offers", i, "lead_days", "it must be 0 or more");
        if (!not_negative(o->kg_a_day))
            return wrong("offers", i, "kg_a_day", "there must be a limit, 0 or more");
        if (!(o->kg_in_all >= 0)) return wrong("offers", i, "kg_in_all", "it must be 0 or more");
        if (!isfinite(o->price_per_kg))
            return wrong("offers", i, "price_per_kg", "it must be a number");
    }
    return RESULT_OK;
}

static struct result check_demand(const struct intake_problem *p)
{
    for (int i = 0; i < p->product_count; i++) {
        if (!below(p->products[i].good, p->good_count))
            return wrong("products", i, "good", "there is no such good");
        if (!positive(p->products[i].net_kg))
            return wrong("products", i, "net_kg", "it must be above 0");
    }
    for (int i = 0; i < p->group_count; i++) {
        if (p->groups[i].remaining_days < 0)
            return wrong("groups", i, "remaining_days", "it must be 0 or more");
        if (p->groups[i].late_days != 0)
            return wrong("groups", i, "late_days", "received fruit is not planned late");
    }
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        if (!below(l->product, p->product_count))
            return wrong("lines", i, "product", "there is no such product");
        if (!below(l->group, p->group_count))
            return wrong("lines", i, "group", "there is no such group");
        if (!below(l->day, p->day_count))
            return wrong("lines", i, "day", "it must be one of the days");
        if (l->pieces < 0) return wrong("lines", i, "pieces", "it must be 0 or more");
        if (!not_negative(l->shortage_cost_per_kg))
            return wrong("lines", i, "shortage_cost_per_kg", "it must be 0 or more");
    }
    return RESULT_OK;
}

struct result intake_check(const struct intake_problem *p)
{
    if (p->day_count < 1 || p->day_count > INTAKE_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "day_count", "it must be from 1 to 60");
    if (p->store_count + p->machine_count + p->good_count > INTAKE_LIMITS_MAX)
        return FAIL1(PLAN_FIELD, "goods", "goods, stores and machines together may be 64 at most");
    TRY(check_house(p));
    TRY(check_uses(p));
    TRY(check_fruit(p));
    return check_demand(p);
}
