#include "service/planning_received_change.h"

#include <math.h>
#include <string.h>

#include "base/civil.h"

struct changing {
    struct arena *arena;
    const struct profile *profile;
    struct planning_received *out;
    const json_t *o; /* the change */
    const char *path;
};

static const char *field(const struct changing *c, const char *key)
{
    return arena_printf(c->arena, "%s.%s", c->path, key);
}

static struct result get_int(const struct changing *c, const char *key, int64_t low, int64_t high,
                             int64_t *out)
{
    return json_get_int(c->o, key, field(c, key), JSON_NEEDED, low, high, out);
}

static struct result get_text(const struct changing *c, const char *key, enum json_need need,
                              const char **out)
{
    return json_get_text(c->o, key, field(c, key), need, out);
}

/* A day of the plan. */
static struct result get_day(const struct changing *c, int *out)
{
    const char *text = NULL;
    int32_t day;
    TRY(get_text(c, "day", JSON_NEEDED, &text));
    TRY(day_read(text, field(c, "day"), &day));
    *out = day - c->out->problem.first_day;
    return *out >= 0 && *out < c->out->problem.day_count
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, field(c, "day"), "another day", "a day of the plan");
}

/* A list of the problem with room for one more, to be changed. */
static void *copied(struct arena *a, const void *list, int count, size_t size)
{
    char *copy = arena_array(a, (size_t)count + 2, size);
    if (count > 0) {
        memcpy(copy, list, (size_t)count * size);
    }
    return copy;
}

static struct result other_store(struct changing *c)
{
    struct intake_problem *p = &c->out->problem;
    const char *name = NULL;
    int64_t milli;
    int at = 0;
    TRY(get_text(c, "name", JSON_NEEDED, &name));
    TRY(get_int(c, "milli", 0, INT64_C(1000000000000), &milli));
    while (at < p->store_count && strcmp(p->stores[at].code, name) != 0) {
        at++;
    }
    if (at == p->store_count) {
        return FAIL2(FIELD_CHOICE, field(c, "name"), name, "a store of the profile");
    }
    struct intake_store *list = copied(c->arena, p->stores, p->store_count, sizeof *list);
    double *limit = ARENA_ARRAY(c->arena, double, (size_t)p->day_count);
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

static struct result other_machine(struct changing *c)
{
    struct intake_problem *p = &c->out->problem;
    const char *name = NULL;
    int64_t minutes;
    int at = 0;
    TRY(get_text(c, "name", JSON_NEEDED, &name));
    TRY(get_int(c, "minutes", 0, 24 * 60, &minutes));
    while (at < p->machine_count && strcmp(p->machines[at].code, name) != 0) {
        at++;
    }
    if (at == p->machine_count) {
        return FAIL2(FIELD_CHOICE, field(c, "name"), name, "a machine of the profile");
    }
    struct intake_machine *list = copied(c->arena, p->machines, p->machine_count, sizeof *list);
    double *hours = ARENA_ARRAY(c->arena, double, (size_t)p->day_count);
    for (int d = 0; d < p->day_count; d++) {
        hours[d] = list[at].hours[d] > 0 ? (double)minutes / 60.0 : 0;
    }
    list[at].hours = hours;
    p->machines = list;
    return RESULT_OK;
}

/* As dear to be short of as the dearest of the same item, else as planning.c makes orders. */
static double dearest(const struct intake_problem *p, int product, double otherwise)
{
    double cost = 0;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *x = &p->lines[i];
        cost = x->product == product ? fmax(cost, x->shortage_cost_per_kg) : cost;
    }
    return cost > 0 ? cost : otherwise;
}

static struct result one_order_more(struct changing *c, struct plan_line *line)
{
    const struct intake_problem *p = &c->out->problem;
    const char *item = NULL, *group = NULL;
    TRY(get_text(c, "item", JSON_NEEDED, &item));
    while (line->product < p->product_count && strcmp(p->products[line->product].code, item) != 0) {
        line->product++;
    }
    if (line->product == p->product_count) {
        return FAIL1(ITEM_UNKNOWN, field(c, "item"), item);
    }
    TRY(get_day(c, &line->day));
    TRY(get_text(c, "group", JSON_OPTIONAL, &group));
    while (group != NULL && line->group < p->group_count &&
           strcmp(c->out->demand.names.groups[line->group], group) != 0) {
        line->group++;
    }
    if (line->group >= p->group_count) {
        return FAIL2(PARTNER_UNKNOWN, field(c, "group"), group != NULL ? group : "", "customer");
    }
    line->key = arena_printf(c->arena, "+%d", p->line_count + 1);
    line->shortage_cost_per_kg =
        dearest(p, line->product, (double)c->profile->planning.value_per_kg / 500.0);
    return RESULT_OK;
}

static struct result other_order(struct changing *c)
{
    struct intake_problem *p = &c->out->problem;
    const char *key = NULL;
    int64_t pieces;
    int at = 0;
    TRY(get_text(c, "order", JSON_OPTIONAL, &key));
    TRY(get_int(c, "pieces", 0, 100000000, &pieces));
    struct plan_line *list = copied(c->arena, p->lines, p->line_count, sizeof *list);
    if (key == NULL) {
        at = p->line_count;
        list[at] = (struct plan_line){.pieces = 0};
        TRY(one_order_more(c, &list[at]));
        p->line_count++;
    }
    while (key != NULL && at < p->line_count &&
           (planning_order(&c->out->demand, at) == NULL || strcmp(list[at].key, key) != 0)) {
        at++;
    }
    if (at == p->line_count) {
        return FAIL1(ORDER_UNKNOWN, field(c, "order"), key);
    }
    list[at].pieces = pieces;
    p->lines = list;
    c->out->demand.problem.lines = list;
    c->out->demand.problem.line_count = p->line_count;
    return RESULT_OK;
}

static struct result one_offer_more(struct changing *c)
{
    struct intake_problem *p = &c->out->problem;
    const char *name = NULL;
    int64_t g, price_milli;
    int day, good = 0;
    TRY(get_text(c, "good", JSON_NEEDED, &name));
    TRY(get_day(c, &day));
    TRY(get_int(c, "g", 1, INT64_C(1000000000), &g));
    TRY(get_int(c, "price_milli", 0, INT64_C(1000000000), &price_milli));
    while (good < p->good_count && strcmp(p->goods[good].code, name) != 0) {
        good++;
    }
    if (good == p->good_count) {
        return FAIL2(FIELD_CHOICE, field(c, "good"), name, "a good that the profile plans with");
    }
    struct intake_offer *list = copied(c->arena, p->offers, p->offer_count, sizeof *list);
    list[p->offer_count] =
        (struct intake_offer){.code = arena_printf(c->arena, "+%d", p->offer_count + 1),
                              .good = good,
                              .lead_days = day,
                              .kg_a_day = (double)g / 1000.0,
                              .kg_in_all = (double)g / 1000.0,
                              .price_per_kg = (double)price_milli / 1000.0};
    p->offer_count++;
    p->offers = list;
    return RESULT_OK;
}

/* Each kind of change, with the names it may have. */
static const struct {
    const char *what;
    struct result (*change)(struct changing *c);
    const char *names[7];
} kinds[] = {
    {"store", other_store, {"what", "name", "milli", NULL}},
    {"machine", other_machine, {"what", "name", "minutes", NULL}},
    {"order", other_order, {"what", "order", "item", "group", "day", "pieces", NULL}},
    {"offer", one_offer_more, {"what", "good", "day", "g", "price_milli", NULL}},
};

static struct result change(struct changing *c)
{
    const char *what = NULL;
    if (!json_is_object(c->o)) {
        return FAIL2(FIELD_TYPE, c->path, "an object", "something else");
    }
    TRY(get_text(c, "what", JSON_NEEDED, &what));
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(kinds[i].what, what) == 0) {
            TRY(json_only(c->o, c->path, "a change", kinds[i].names));
            return kinds[i].change(c);
        }
    }
    return FAIL2(FIELD_CHOICE, field(c, "what"), what, "store, machine, order, offer");
}

struct result planning_received_change(struct arena *a, const json_t *changes,
                                       const struct profile *p, struct planning_received *out)
{
    struct changing c = {.arena = a, .profile = p, .out = out};
    for (size_t i = 0; i < json_array_size(changes); i++) {
        c.o = json_array_get(changes, i);
        c.path = arena_printf(a, "changes[%zu]", i);
        TRY(change(&c));
    }
    return intake_check(&out->problem);
}
