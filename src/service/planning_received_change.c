#include "service/planning_received_change.h"

#include <math.h>

#include "service/planning_change_house.h"
#include "service/planning_change_order.h"

struct changing {
    const struct profile *profile;
    struct planning_received *out;
};

static struct result other_store(const struct change *x, void *self)
{
    struct changing *c = self;
    struct intake_problem *p = &c->out->problem;
    int64_t milli;
    int at;
    TRY(change_named(x, "name", CHANGE_LIST(p->stores, p->store_count, FIELD_CHOICE), &at));
    TRY(change_int(x, "milli", 0, INT64_C(1000000000000), &milli));
    struct intake_store *list = change_copy(x->arena, p->stores, p->store_count, 0, sizeof *list);
    double *limit = ARENA_ARRAY(x->arena, double, (size_t)p->day_count);
    for (int d = 0; d < p->day_count; d++) {
        limit[d] = (double)milli / 1000.0;
    }
    list[at].limit = limit;
    if (list[at].tank_size > 0) {
        list[at].tank_count = (int)ceil((double)milli / 1000.0 / list[at].tank_size);
    }
    p->stores = list;
    return RESULT_OK;
}

static struct result other_machine(const struct change *x, void *self)
{
    struct changing *c = self;
    struct intake_problem *p = &c->out->problem;
    int64_t minutes;
    int at;
    TRY(change_named(x, "name", CHANGE_LIST(p->machines, p->machine_count, FIELD_CHOICE), &at));
    TRY(change_int(x, "minutes", 0, 24 * 60, &minutes));
    struct intake_machine *list =
        change_copy(x->arena, p->machines, p->machine_count, 0, sizeof *list);
    double *hours = ARENA_ARRAY(x->arena, double, (size_t)p->day_count);
    for (int d = 0; d < p->day_count; d++) {
        hours[d] = list[at].hours[d] > 0 ? (double)minutes / 60.0 : 0;
    }
    list[at].hours = hours;
    p->machines = list;
    return RESULT_OK;
}

static struct result other_order(const struct change *x, void *self)
{
    struct changing *c = self;
    struct planning_case *demand = &c->out->demand;
    TRY(planning_change_order(x, c->profile, demand));
    c->out->problem.lines = demand->problem.lines;
    c->out->problem.line_count = demand->problem.line_count;
    return RESULT_OK;
}

static struct result one_offer_more(const struct change *x, void *self)
{
    struct changing *c = self;
    struct intake_problem *p = &c->out->problem;
    int64_t g, price_milli;
    int day, good;
    TRY(change_named(x, "good", CHANGE_LIST(p->goods, p->good_count, FIELD_CHOICE), &good));
    TRY(change_day(x, "day", &day));
    TRY(change_int(x, "g", 1, INT64_C(1000000000), &g));
    TRY(change_int(x, "price_milli", 0, INT64_C(1000000000), &price_milli));
    struct intake_offer *list = change_copy(x->arena, p->offers, p->offer_count, 1, sizeof *list);
    list[p->offer_count] =
        (struct intake_offer){.code = arena_printf(x->arena, "+%d", p->offer_count + 1),
                              .good = good,
                              .lead_days = day,
                              .kg_a_day = (double)g / 1000.0,
                              .kg_in_all = (double)g / 1000.0,
                              .price_per_kg = (double)price_milli / 1000.0};
    p->offer_count++;
    p->offers = list;
    return RESULT_OK;
}

/* What the house would be, before its problem is read; and the problem. */
enum { HOUSE, PROBLEM };

/* Each kind of change, with the names it may have. */
static const struct change_kind list_of_kinds[] = {
    {"store", other_store, {"what", "name", "milli", NULL}, PROBLEM},
    {"machine", other_machine, {"what", "name", "minutes", NULL}, PROBLEM},
    {"order", other_order, PLANNING_CHANGE_ORDER_NAMES, PROBLEM},
    {"offer", one_offer_more, {"what", "good", "day", "g", "price_milli", NULL}, PROBLEM},
    {"closed-day", planning_change_closed, {"what", "day", "of", "reason", NULL}, HOUSE},
    {"open-day", planning_change_open, {"what", "day", NULL}, HOUSE},
};
static const struct change_kinds kinds = {list_of_kinds,
                                          sizeof list_of_kinds / sizeof list_of_kinds[0]};

struct result planning_received_change(struct store *s, const struct profile *p, int64_t now_ms,
                                       struct arena *a, const json_t *changes,
                                       struct planning_received *out)
{
    struct profile *house = ARENA_NEW(a, struct profile);
    struct changing c = {.profile = house, .out = out};
    struct change at = {
        .arena = a, .first_day = out->problem.first_day, .day_count = out->problem.day_count};
    *house = *p;
    TRY(change_each(&at, changes, &kinds, HOUSE, house));
    if (house->planning.closings != p->planning.closings) {
        TRY(planning_received_read(s, house, now_ms, a, out));
    }
    TRY(change_each(&at, changes, &kinds, PROBLEM, &c));
    return intake_check(&out->problem);
}
