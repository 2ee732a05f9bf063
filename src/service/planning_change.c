#include "service/planning_change.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/check.h"
#include "service/planning_change_house.h"
#include "service/planning_change_order.h"
#include "service/planning_inner.h"

static const char *const keeps[] = {"most", "balance", "best"};

const char *planning_keep_id(enum planning_keep keep)
{
    return keeps[keep];
}

double planning_service(const struct planning_wish *wish, const struct profile *p)
{
    return wish->has_service ? wish->service : (double)p->planning.service_ppm * 1e-6;
}

bool planning_service_of_profile(const struct planning_wish *wish, const struct profile *p)
{
    return !wish->has_service && p->planning.service_ppm > 0;
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
    out->has_service = json_object_get(body, "service_ppm") != NULL;
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
    struct planning_case *out;
};

/* The house is changed before the problem is read, the problem after. */
enum { HOUSE, PROBLEM };

static struct result chamber_out(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int from, to, at;
    TRY(change_named(x, "chamber", CHANGE_LIST(p->chambers, p->chamber_count, PLACE_UNKNOWN), &at));
    TRY(change_day_or(x, "from", 0, &from));
    TRY(change_day_or(x, "to", PLAN_NEVER, &to));
    if (to < from) {
        return FAIL2(FIELD_RANGE, change_field(x, "to"), "an earlier day",
                     "not before its beginning");
    }
    struct plan_chamber *list =
        change_copy(x->arena, p->chambers, p->chamber_count, 0, sizeof *list);
    struct plan_chamber *chamber = &list[at];
    struct plan_outage *outages =
        change_copy(x->arena, chamber->outages, chamber->outage_count, 1, sizeof *outages);
    outages[chamber->outage_count++] = (struct plan_outage){from, to};
    chamber->outages = outages;
    p->chambers = list;
    return RESULT_OK;
}

static struct result more_chambers(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t count;
    TRY(change_int(x, "count", 1, 100, &count));
    struct plan_chamber *list =
        change_copy(x->arena, p->chambers, p->chamber_count, (int)count, sizeof *list);
    for (int i = 1; i <= (int)count; i++) {
        list[p->chamber_count++] =
            (struct plan_chamber){.code = arena_printf(x->arena, "+%d", i), .class_index = 0};
    }
    p->chambers = list;
    return RESULT_OK;
}

static struct result other_temperature(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t temp_mc;
    int at;
    TRY(change_named(x, "item", CHANGE_LIST(p->crops, p->crop_count, ITEM_UNKNOWN), &at));
    const char *item = p->crops[at].code;
    const struct crop *crop = profile_crop(c->profile, item);
    CHECK(crop != NULL); /* the problem's crops are the profile's */
    /* beyond its best the heat sum says the same however warm it is: nothing to plan by */
    TRY(change_int(x, "temp_mc", 0, crop->heat_best_mc, &temp_mc));
    struct plan_way *way = ARENA_NEW(x->arena, struct plan_way);
    TRY(planning_way_at(c->store, c->profile, crop, temp_mc, way));
    struct plan_crop *list = change_copy(x->arena, p->crops, p->crop_count, 0, sizeof *list);
    way->parts = list[at].ways[0].parts;
    way->part_count = list[at].ways[0].part_count;
    list[at].way_count = planning_ways(x->arena, c->profile, item, way, &list[at].ways);
    p->crops = list;
    return RESULT_OK;
}

static struct result other_life(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t days;
    int at;
    TRY(change_named(x, "item", CHANGE_LIST(p->products, p->product_count, ITEM_UNKNOWN), &at));
    TRY(change_int(x, "days", 0, 365, &days));
    struct plan_product *list =
        change_copy(x->arena, p->products, p->product_count, 0, sizeof *list);
    list[at].life_days = (int)days;
    p->products = list;
    return RESULT_OK;
}

static struct result one_lot_more(const struct change *x, const struct plan_problem *p,
                                  struct plan_seed_lot *lot)
{
    int at;
    TRY(change_named(x, "item", CHANGE_LIST(p->seed_items, p->seed_item_count, ITEM_UNKNOWN), &at));
    *lot = (struct plan_seed_lot){.code = arena_printf(x->arena, "+%d", p->seed_lot_count + 1),
                                  .seed_item = at,
                                  .last_day = PLAN_NEVER,
                                  .markets = (1U << p->market_count) - 1,
                                  .yield_factor = 1,
                                  .received_day = p->first_day};
    return RESULT_OK;
}

static struct result other_seed(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t g;
    int at = p->seed_lot_count;
    struct plan_seed_lot *list =
        change_copy(x->arena, p->seed_lots, p->seed_lot_count, 1, sizeof *list);
    TRY(change_int(x, "g", 0, 1000000000, &g));
    if (json_object_get(x->o, "lot") != NULL) {
        TRY(change_named(x, "lot", CHANGE_LIST(p->seed_lots, p->seed_lot_count, LOT_UNKNOWN), &at));
    } else {
        TRY(one_lot_more(x, p, &list[p->seed_lot_count++]));
    }
    list[at].kg = (double)g / 1000.0;
    TRY(change_day_or(x, "day", list[at].from_day, &list[at].from_day));
    p->seed_lots = list;
    return RESULT_OK;
}

/* A day's sum of a work of harvest days, as the profile has it, on days that are not closed. */
static struct result other_work(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t milli;
    int at;
    TRY(change_named(x, "name", CHANGE_LIST(p->works, p->work_count, FIELD_CHOICE), &at));
    TRY(change_int(x, "a_day_milli", 0, 1000000000, &milli));
    struct plan_work *list = change_copy(x->arena, p->works, p->work_count, 0, sizeof *list);
    double *limit = ARENA_ARRAY(x->arena, double, (size_t)p->day_count);
    for (int i = 0; i < p->day_count; i++) {
        bool is_open = (c->out->closed[i].what & (CLOSES_HARVEST | CLOSES_PACK)) == 0;
        limit[i] = is_open ? (double)milli / 1000.0 : 0;
    }
    list[at].limit = limit;
    p->works = list;
    return RESULT_OK;
}

/* One lot of an ingredient more, here or to come. */
static struct result more_ingredient(const struct change *x, void *self)
{
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t g;
    int at, from_day;
    TRY(change_named(x, "item", CHANGE_LIST(p->ingredients, p->ingredient_count, ITEM_UNKNOWN),
                     &at));
    TRY(change_int(x, "g", 1, 1000000000, &g));
    TRY(change_day_or(x, "day", 0, &from_day));
    struct plan_ingredient *list =
        change_copy(x->arena, p->ingredients, p->ingredient_count, 0, sizeof *list);
    struct plan_ingredient *of = &list[at];
    if (of->lot_count == PLAN_INGREDIENT_LOTS_MAX) {
        return FAIL2(FIELD_RANGE, change_field(x, "item"), of->code,
                     "at most 128 lots of an ingredient");
    }
    struct plan_ingredient_lot *lots =
        change_copy(x->arena, of->lots, of->lot_count, 1, sizeof *lots);
    lots[of->lot_count++] = (struct plan_ingredient_lot){(double)g / 1000.0, from_day, PLAN_NEVER};
    of->lots = lots;
    p->ingredients = list;
    return RESULT_OK;
}

static struct result other_limit(const struct change *x, void *self)
{
    static const struct {
        const char *code;
        size_t at;
    } limits[] = {{"treat", offsetof(struct plan_day, treat_seed_kg)},
                  {"soak", offsetof(struct plan_day, soak_seed_kg)},
                  {"harvest", offsetof(struct plan_day, harvest_bed_kg)},
                  {"wash", offsetof(struct plan_day, wash_bed_kg)},
                  {"pack", offsetof(struct plan_day, pack_kg)}};
    struct changing *c = self;
    struct plan_problem *p = &c->out->problem;
    int64_t g;
    int at;
    TRY(change_named(x, "name", CHANGE_LIST(limits, sizeof limits / sizeof limits[0], FIELD_CHOICE),
                     &at));
    TRY(change_int(x, "g", 0, 1000000000, &g));
    struct plan_day *days = change_copy(x->arena, p->days, p->day_count, 0, sizeof *days);
    for (int i = 0; i < p->day_count; i++) {
        double *kg = (double *)(void *)((char *)&days[i] + limits[at].at);
        *kg = *kg > 0 ? (double)g / 1000.0 : 0; /* 0: closed on that day */
    }
    p->days = days;
    return RESULT_OK;
}

static struct result other_order(const struct change *x, void *self)
{
    struct changing *c = self;
    return planning_change_order(x, c->profile, c->out);
}

/* Each kind of change, with the names it may have. */
static const struct change_kind list_of_kinds[] = {
    {"chamber-out", chamber_out, {"what", "chamber", "from", "to", NULL}, PROBLEM},
    {"chambers", more_chambers, {"what", "count", NULL}, PROBLEM},
    {"temperature", other_temperature, {"what", "item", "temp_mc", NULL}, PROBLEM},
    {"life", other_life, {"what", "item", "days", NULL}, PROBLEM},
    {"order", other_order, PLANNING_CHANGE_ORDER_NAMES, PROBLEM},
    {"seed", other_seed, {"what", "lot", "item", "g", "day", NULL}, PROBLEM},
    {"ingredient", more_ingredient, {"what", "item", "g", "day", NULL}, PROBLEM},
    {"work", other_work, {"what", "name", "a_day_milli", NULL}, PROBLEM},
    {"limit", other_limit, {"what", "name", "g", NULL}, PROBLEM},
    {"closed-day", planning_change_closed, {"what", "day", "to", "of", "reason", NULL}, HOUSE},
    {"open-day", planning_change_open, {"what", "day", "to", NULL}, HOUSE},
    {"parts",
     planning_change_parts,
     {"what", "item", "share_ppm", "days", "yield_milli", NULL},
     HOUSE},
};
static const struct change_kinds kinds = {list_of_kinds,
                                          sizeof list_of_kinds / sizeof list_of_kinds[0]};

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
    struct plan_taken *taken = change_copy(a, NULL, 0, p->taken_count, sizeof *taken);
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

struct result planning_change(struct store *s, struct warmth_kept *kept, const struct profile *p,
                              int64_t now_ms, struct arena *a, const struct planning_wish *wish,
                              struct planning_case *out)
{
    struct profile *house = ARENA_NEW(a, struct profile);
    struct changing c = {.store = s, .profile = house, .out = out};
    struct change at = {
        .arena = a, .first_day = out->problem.first_day, .day_count = out->problem.day_count};
    *house = *p;
    TRY(change_each(&at, wish->changes, &kinds, HOUSE, house));
    if (house->planning.closings != p->planning.closings ||
        house->planning.parts != p->planning.parts) {
        TRY(planning_read(s, kept, house, now_ms, a, out));
    }
    TRY(change_each(&at, wish->changes, &kinds, PROBLEM, &c));
    if (wish->keep == PLANNING_KEEP_BEST) {
        keep_frozen(a, &out->problem);
    } else if (wish->keep == PLANNING_KEEP_MOST) {
        out->problem.change_cost = more_than_a_chamber(&out->problem);
    }
    return plan_problem_check(&out->problem);
}
