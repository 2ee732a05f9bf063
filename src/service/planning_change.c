#include "service/planning_change.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "base/civil.h"
#include "ledger/closing.h"
#include "service/planning_inner.h"

static const char *const keeps[] = {"most", "balance", "best"};

const char *planning_keep_id(enum planning_keep keep)
{
    return keeps[keep];
}

struct result planning_wish_read(const json_t *body, struct planning_wish *out)
{
    const char *keep = NULL;
    json_t *changes = NULL;
    int64_t service_ppm = 0;
    *out = (struct planning_wish){.keep = PLANNING_KEEP_BALANCE};
    if (body == NULL) {
        return RESULT_OK;
    }
    TRY(json_get_text(body, "keep", "keep", JSON_OPTIONAL, &keep));
    TRY(json_get_array(body, "changes", "changes", JSON_OPTIONAL, &changes));
    TRY(json_get_int(body, "service_ppm", "service_ppm", JSON_OPTIONAL, 0, 1000000, &service_ppm));
    out->service = (double)service_ppm * 1e-6;
    for (int i = 0; keep != NULL && i <= PLANNING_KEEP_BEST; i++) {
        if (strcmp(keep, keeps[i]) == 0) {
            out->keep = (enum planning_keep)i;
            keep = NULL;
        }
    }
    if (keep != NULL) {
        return FAIL2(FIELD_CHOICE, "keep", keep, "most, balance, best");
    }
    if (json_array_size(changes) > PLANNING_CHANGES_MAX) {
        return FAIL2(FIELD_RANGE, "changes", "too long", "at most 50 changes");
    }
    out->changes = json_array_size(changes) > 0 ? changes : NULL;
    return RESULT_OK;
}

struct changing {
    struct store *store;
    const struct profile *profile;
    struct arena *arena;
    struct planning_case *out;
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

static struct result get_text(const struct changing *c, const char *key, const char **out)
{
    return json_get_text(c->o, key, field(c, key), JSON_NEEDED, out);
}

/* As an index of the plan's days; otherwise where none is given. */
static struct result get_day(const struct changing *c, const char *key, int otherwise, int *out)
{
    const char *text = NULL;
    int32_t day;
    *out = otherwise;
    TRY(json_get_text(c->o, key, field(c, key), JSON_OPTIONAL, &text));
    if (text != NULL) {
        TRY(day_read(text, field(c, key), &day));
        *out = day - c->out->problem.first_day;
    }
    return RESULT_OK;
}

/* A list of the problem with room for more, to be changed. */
static void *copied(struct arena *a, const void *list, int count, int more, size_t size)
{
    char *copy = arena_array(a, (size_t)(count + more) + 1, size);
    if (count > 0) {
        memcpy(copy, list, (size_t)count * size);
    }
    return copy;
}

static struct result chamber_out(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    const char *code;
    int from, to, at = 0;
    TRY(get_text(c, "chamber", &code));
    TRY(get_day(c, "from", 0, &from));
    TRY(get_day(c, "to", PLAN_NEVER, &to));
    while (at < p->chamber_count && strcmp(p->chambers[at].code, code) != 0) {
        at++;
    }
    if (at == p->chamber_count) {
        return FAIL1(PLACE_UNKNOWN, field(c, "chamber"), code);
    }
    if (to < from) {
        return FAIL2(FIELD_RANGE, field(c, "to"), "an earlier day", "not before its beginning");
    }
    struct plan_chamber *list = copied(c->arena, p->chambers, p->chamber_count, 0, sizeof *list);
    struct plan_chamber *x = &list[at];
    struct plan_outage *outages = copied(c->arena, x->outages, x->outage_count, 1, sizeof *outages);
    outages[x->outage_count++] = (struct plan_outage){from, to};
    x->outages = outages;
    p->chambers = list;
    return RESULT_OK;
}

static struct result more_chambers(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    int64_t count;
    TRY(get_int(c, "count", 1, 100, &count));
    struct plan_chamber *list =
        copied(c->arena, p->chambers, p->chamber_count, (int)count, sizeof *list);
    for (int i = 1; i <= (int)count; i++) {
        list[p->chamber_count++] =
            (struct plan_chamber){.code = arena_printf(c->arena, "+%d", i), .class_index = 0};
    }
    p->chambers = list;
    return RESULT_OK;
}

static struct result other_temperature(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    const char *item;
    int64_t temp_mc;
    int at = 0;
    TRY(get_text(c, "item", &item));
    TRY(get_int(c, "temp_mc", 0, 60000, &temp_mc));
    while (at < p->crop_count && strcmp(p->crops[at].code, item) != 0) {
        at++;
    }
    const struct crop *crop = profile_crop(c->profile, item);
    if (at == p->crop_count || crop == NULL) {
        return FAIL1(ITEM_UNKNOWN, field(c, "item"), item);
    }
    struct plan_way *way = ARENA_NEW(c->arena, struct plan_way);
    TRY(planning_way_at(c->store, c->profile, crop, temp_mc, way));
    struct plan_crop *list = copied(c->arena, p->crops, p->crop_count, 0, sizeof *list);
    way->parts = list[at].ways[0].parts;
    way->part_count = list[at].ways[0].part_count;
    list[at].way_count = planning_ways(c->arena, c->profile, item, way, &list[at].ways);
    p->crops = list;
    return RESULT_OK;
}

static struct result product_named(const struct changing *c, int *out)
{
    const struct plan_problem *p = &c->out->problem;
    const char *item;
    TRY(get_text(c, "item", &item));
    for (*out = 0; *out < p->product_count; ++*out) {
        if (strcmp(p->products[*out].code, item) == 0) {
            return RESULT_OK;
        }
    }
    return FAIL1(ITEM_UNKNOWN, field(c, "item"), item);
}

static struct result other_life(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    int64_t days;
    int at;
    TRY(product_named(c, &at));
    TRY(get_int(c, "days", 0, 365, &days));
    struct plan_product *list = copied(c->arena, p->products, p->product_count, 0, sizeof *list);
    list[at].life_days = (int)days;
    p->products = list;
    return RESULT_OK;
}

/* The dearest cost that a line of the product is short at: a new order is one like the others. */
static double dearest(const struct plan_problem *p, int product, double otherwise)
{
    double cost = 0;
    for (int i = 0; i < p->line_count; i++) {
        cost = p->lines[i].product == product ? fmax(cost, p->lines[i].shortage_cost_per_kg) : cost;
    }
    return cost > 0 ? cost : otherwise;
}

static struct result one_order_more(struct changing *c, struct plan_line *line)
{
    const struct plan_problem *p = &c->out->problem;
    const char *group = NULL;
    TRY(product_named(c, &line->product));
    TRY(get_day(c, "day", PLAN_NONE, &line->day));
    if (line->day < 0 || line->day >= p->day_count) {
        return FAIL2(FIELD_RANGE, field(c, "day"), "another day", "a day of the plan");
    }
    int leaves = closing_leaves(c->profile, p->first_day + line->day, p->first_day) - p->first_day;
    line->moved_days = line->day - leaves;
    line->day = leaves;
    TRY(json_get_text(c->o, "group", field(c, "group"), JSON_OPTIONAL, &group));
    line->group = 0;
    while (group != NULL && line->group < p->group_count &&
           strcmp(p->groups[line->group].code, group) != 0) {
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
    struct plan_problem *p = &c->out->problem;
    const char *key = NULL;
    int64_t pieces;
    int at = 0;
    TRY(json_get_text(c->o, "order", field(c, "order"), JSON_OPTIONAL, &key));
    TRY(get_int(c, "pieces", 0, 100000000, &pieces));
    struct plan_line *list = copied(c->arena, p->lines, p->line_count, 1, sizeof *list);
    if (key == NULL) {
        at = p->line_count;
        TRY(one_order_more(c, &list[at]));
        p->line_count++;
    }
    while (key != NULL && at < p->line_count &&
           (planning_order(c->out, at) == NULL || strcmp(list[at].key, key) != 0)) {
        at++;
    }
    if (at == p->line_count) {
        return FAIL1(ORDER_UNKNOWN, field(c, "order"), key);
    }
    list[at].pieces = pieces;
    p->lines = list;
    return RESULT_OK;
}

static struct result one_lot_more(struct changing *c, const char *item, struct plan_seed_lot *lot)
{
    const struct plan_problem *p = &c->out->problem;
    int at = 0;
    while (at < p->seed_item_count && strcmp(p->seed_items[at], item) != 0) {
        at++;
    }
    if (at == p->seed_item_count) {
        return FAIL1(ITEM_UNKNOWN, field(c, "item"), item);
    }
    *lot = (struct plan_seed_lot){.code = arena_printf(c->arena, "+%d", p->seed_lot_count + 1),
                                  .seed_item = at,
                                  .last_day = PLAN_NEVER,
                                  .markets = (1U << p->market_count) - 1,
                                  .yield_factor = 1,
                                  .received_day = p->first_day};
    return RESULT_OK;
}

static struct result other_seed(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    const char *code = NULL, *item = NULL;
    int64_t g;
    int at = 0;
    TRY(json_get_text(c->o, "lot", field(c, "lot"), JSON_OPTIONAL, &code));
    TRY(json_get_text(c->o, "item", field(c, "item"), code == NULL ? JSON_NEEDED : JSON_OPTIONAL,
                      &item));
    TRY(get_int(c, "g", 0, 1000000000, &g));
    struct plan_seed_lot *list = copied(c->arena, p->seed_lots, p->seed_lot_count, 1, sizeof *list);
    if (code == NULL) {
        at = p->seed_lot_count;
        TRY(one_lot_more(c, item, &list[at]));
        p->seed_lot_count++;
    }
    while (code != NULL && at < p->seed_lot_count && strcmp(list[at].code, code) != 0) {
        at++;
    }
    if (at == p->seed_lot_count) {
        return FAIL1(LOT_UNKNOWN, field(c, "lot"), code);
    }
    list[at].kg = (double)g / 1000.0;
    TRY(get_day(c, "day", list[at].from_day, &list[at].from_day));
    p->seed_lots = list;
    return RESULT_OK;
}

/* A day's sum of a work of harvest days, as the profile has it, on days that are not closed. */
static struct result other_work(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    const char *name;
    int64_t milli;
    int at = 0;
    TRY(get_text(c, "name", &name));
    TRY(get_int(c, "a_day_milli", 0, 1000000000, &milli));
    while (at < p->work_count && strcmp(p->works[at].code, name) != 0) {
        at++;
    }
    if (at == p->work_count) {
        const char *known = "";
        for (int i = 0; i < p->work_count; i++) {
            known = arena_printf(c->arena, "%s%s%s", known, i > 0 ? ", " : "", p->works[i].code);
        }
        return FAIL2(FIELD_CHOICE, field(c, "name"), name, known);
    }
    struct plan_work *list = copied(c->arena, p->works, p->work_count, 0, sizeof *list);
    double *limit = ARENA_ARRAY(c->arena, double, (size_t)p->day_count);
    for (int i = 0; i < p->day_count; i++) {
        bool is_open = (c->out->closed[i].what & (CLOSES_HARVEST | CLOSES_PACK)) == 0;
        limit[i] = is_open ? (double)milli / 1000.0 : 0;
    }
    list[at].limit = limit;
    p->works = list;
    return RESULT_OK;
}

/* One lot of an ingredient more, here or to come. */
static struct result more_ingredient(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    const char *item;
    int64_t g;
    int at = 0, from_day;
    TRY(get_text(c, "item", &item));
    TRY(get_int(c, "g", 1, 1000000000, &g));
    TRY(get_day(c, "day", 0, &from_day));
    while (at < p->ingredient_count && strcmp(p->ingredients[at].code, item) != 0) {
        at++;
    }
    if (at == p->ingredient_count) {
        return FAIL1(ITEM_UNKNOWN, field(c, "item"), item);
    }
    struct plan_ingredient *list =
        copied(c->arena, p->ingredients, p->ingredient_count, 0, sizeof *list);
    struct plan_ingredient *x = &list[at];
    if (x->lot_count == PLAN_INGREDIENT_LOTS_MAX) {
        return FAIL2(FIELD_RANGE, field(c, "item"), item, "at most 128 lots of an ingredient");
    }
    struct plan_ingredient_lot *lots = copied(c->arena, x->lots, x->lot_count, 1, sizeof *lots);
    lots[x->lot_count++] = (struct plan_ingredient_lot){(double)g / 1000.0, from_day, PLAN_NEVER};
    x->lots = lots;
    p->ingredients = list;
    return RESULT_OK;
}

static struct result other_limit(struct changing *c)
{
    struct plan_problem *p = &c->out->problem;
    const char *name;
    int64_t g;
    TRY(get_text(c, "name", &name));
    TRY(get_int(c, "g", 0, 1000000000, &g));
    struct plan_day *days = copied(c->arena, p->days, p->day_count, 0, sizeof *days);
    for (int i = 0; i < p->day_count; i++) {
        const struct {
            const char *name;
            double *kg;
        } limits[] = {{"treat", &days[i].treat_seed_kg},
                      {"soak", &days[i].soak_seed_kg},
                      {"harvest", &days[i].harvest_bed_kg},
                      {"wash", &days[i].wash_bed_kg},
                      {"pack", &days[i].pack_kg}};
        size_t k = 0, count = sizeof limits / sizeof limits[0];
        while (k < count && strcmp(limits[k].name, name) != 0) {
            k++;
        }
        if (k == count) {
            return FAIL2(FIELD_CHOICE, field(c, "name"), name, "treat, soak, harvest, wash, pack");
        }
        *limits[k].kg = *limits[k].kg > 0 ? (double)g / 1000.0 : 0; /* 0: closed on that day */
    }
    p->days = days;
    return RESULT_OK;
}

/* Each kind of change, with the names it may have. */
static const struct {
    const char *what;
    struct result (*change)(struct changing *c);
    const char *names[7];
} kinds[] = {
    {"chamber-out", chamber_out, {"what", "chamber", "from", "to", NULL}},
    {"chambers", more_chambers, {"what", "count", NULL}},
    {"temperature", other_temperature, {"what", "item", "temp_mc", NULL}},
    {"life", other_life, {"what", "item", "days", NULL}},
    {"order", other_order, {"what", "order", "item", "group", "day", "pieces", NULL}},
    {"seed", other_seed, {"what", "lot", "item", "g", "day", NULL}},
    {"ingredient", more_ingredient, {"what", "item", "g", "day", NULL}},
    {"work", other_work, {"what", "name", "a_day_milli", NULL}},
    {"limit", other_limit, {"what", "name", "g", NULL}},
};

static struct result change(struct changing *c)
{
    const char *what;
    if (!json_is_object(c->o)) {
        return FAIL2(FIELD_TYPE, c->path, "an object", "something else");
    }
    TRY(get_text(c, "what", &what));
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(kinds[i].what, what) == 0) {
            TRY(json_only(c->o, c->path, "a change", kinds[i].names));
            return kinds[i].change(c);
        }
    }
    return FAIL2(FIELD_CHOICE, field(c, "what"), what,
                 "chamber-out, chambers, temperature, life, order, seed, ingredient, work, limit");
}

/* More than any chamber can earn: then only what is impossible is changed. */
static double more_than_a_chamber(const struct plan_problem *p)
{
    double most = 1;
    for (int c = 0; c < p->crop_count; c++) {
        const struct plan_crop *crop = &p->crops[c];
        double kg = 0;
        for (int k = 0; k < p->class_count; k++) {
            kg = fmax(kg, crop->fills[k].seed_max_kg * plan_way_yield(&crop->ways[0]));
        }
        double price = crop->waste_cost_per_kg + crop->end_value_per_kg;
        for (int i = 0; i < p->line_count; i++) {
            price = fmax(price, p->lines[i].shortage_cost_per_kg);
        }
        most = fmax(most, crop->start_cost + kg * price);
    }
    return most;
}

/* The best plan knows of what is taken only what is frozen. */
static void keep_frozen(struct arena *a, struct plan_problem *p)
{
    struct plan_taken *taken = copied(a, NULL, 0, p->taken_count, sizeof *taken);
    int count = 0;
    for (int i = 0; i < p->taken_count; i++) {
        if (p->taken[i].day < p->frozen_days) {
            taken[count++] = p->taken[i];
        }
    }
    p->taken = taken;
    p->taken_count = count;
}

struct plan_problem planning_standing(const struct plan_problem *p)
{
    struct plan_problem q = *p;
    q.frozen_days = q.day_count;
    return q;
}

struct result planning_change(struct store *s, const struct profile *p, struct arena *a,
                              const struct planning_wish *wish, struct planning_case *out)
{
    struct changing c = {.store = s, .profile = p, .arena = a, .out = out};
    for (size_t i = 0; i < json_array_size(wish->changes); i++) {
        c.o = json_array_get(wish->changes, i);
        c.path = arena_printf(a, "changes[%zu]", i);
        TRY(change(&c));
    }
    if (wish->keep == PLANNING_KEEP_BEST) {
        keep_frozen(a, &out->problem);
    } else if (wish->keep == PLANNING_KEEP_MOST) {
        out->problem.change_cost = more_than_a_chamber(&out->problem);
    }
    return plan_problem_check(&out->problem);
}
