/* From JSON to struct profile: what the house plans by. */
#include <string.h>

#include "base/civil.h"
#include "ledger/closing.h"
#include "ledger/profile_inner.h"

enum {
    PLANNING_WORKS_MAX = 8,
    PLANNING_SWAPS_MAX = 32,
    PLANNING_PARTS_MAX = 6
}; /* as many as plan/problem.h takes */

static struct result fill_holiday(struct profile *p, const json_t *o, const char *path,
                                  void *element)
{
    static const char *const names[] = {"day", "factor", NULL};
    struct holiday *h = element;
    const char *day = NULL;
    bool given;
    TRY(json_only(o, path, "a holiday", names));
    TRY(profile_text(p, o, path, "day", JSON_NEEDED, &day));
    TRY(day_read(day, path_join(p, path, "day"), &h->day));
    TRY(profile_decimal(o, path, "factor", JSON_NEEDED, &h->factor, &given));
    return h->factor >= 0 && h->factor <= 10000
               ? RESULT_OK
               : FAIL1(PROFILE_BAD, path_join(p, path, "factor"), "it must lie between 0 and 10.");
}

static struct result fill_seed_order(struct profile *p, const json_t *o, const char *path,
                                     void *element)
{
    static const char *const names[] = {"item",  "supplier", "lead",   "least", "step",
                                        "cover", "accept",   "source", NULL};
    struct seed_order *s = element;
    s->accept_ms = -1;
    TRY(json_only(o, path, "how seed is bought", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &s->item));
    TRY(profile_text(p, o, path, "supplier", JSON_OPTIONAL, &s->supplier));
    TRY(profile_duration(o, path, "lead", JSON_NEEDED, &s->lead_ms));
    TRY(profile_mass(o, path, "least", JSON_OPTIONAL, &s->least_mg));
    TRY(profile_mass(o, path, "step", JSON_OPTIONAL, &s->step_mg));
    TRY(profile_duration(o, path, "cover", JSON_NEEDED, &s->cover_ms));
    TRY(profile_duration(o, path, "accept", JSON_OPTIONAL, &s->accept_ms));
    TRY(profile_source(p, o, path, "source", JSON_OPTIONAL, &s->source));
    const int64_t day_ms = 86400000;
    if (s->accept_ms > 365 * day_ms) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "accept"), "it must be a year at most.");
    }
    return s->cover_ms >= day_ms && s->cover_ms <= 365 * day_ms && s->lead_ms <= 365 * day_ms
               ? RESULT_OK
               : FAIL1(PROFILE_BAD, path_join(p, path, "cover"),
                       "it must be a day to a year, and the lead at most a year.");
}

/* Crops that are not named ask for none of it. */
static struct result fill_per_t(struct profile *p, const json_t *o, const char *path,
                                struct planning_work *w)
{
    json_t *per_t = NULL, *value;
    const char *item, *at = path_join(p, path, "per_t");
    TRY(json_get_object(o, "per_t", at, JSON_NEEDED, &per_t));
    w->per_t = ARENA_ARRAY(&p->arena, int64_t, p->crop_count + 1);
    json_object_foreach(per_t, item, value)
    {
        const struct crop *crop = profile_crop(p, item);
        bool given;
        if (crop == NULL) {
            return FAIL1(PROFILE_BAD, path_join(p, at, item),
                         "no crop of the profile is called so.");
        }
        TRY(profile_decimal(per_t, at, item, JSON_NEEDED, &w->per_t[crop - p->crops], &given));
        if (w->per_t[crop - p->crops] < 0) {
            return FAIL1(PROFILE_BAD, path_join(p, at, item), "it must be 0 or more.");
        }
    }
    return RESULT_OK;
}

static struct result fill_work(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"work", "a_day", "per_t", "source", NULL};
    struct planning_work *w = element;
    bool given;
    TRY(json_only(o, path, "work of a day", names));
    TRY(profile_text(p, o, path, "work", JSON_NEEDED, &w->name));
    TRY(profile_decimal(o, path, "a_day", JSON_NEEDED, &w->a_day, &given));
    if (w->a_day < 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "a_day"), "it must be 0 or more.");
    }
    TRY(fill_per_t(p, o, path, w));
    return profile_source(p, o, path, "source", JSON_OPTIONAL, &w->source);
}

static struct result fill_late(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"group", "days", "cost_per_kg_day", "source", NULL};
    struct late_group *l = element;
    bool given;
    TRY(json_only(o, path, "a group that takes goods late", names));
    TRY(profile_text(p, o, path, "group", JSON_NEEDED, &l->group));
    TRY(json_get_int(o, "days", path_join(p, path, "days"), JSON_NEEDED, 1, 14, &l->days));
    TRY(profile_decimal(o, path, "cost_per_kg_day", JSON_NEEDED, &l->cost_per_kg_day, &given));
    if (l->cost_per_kg_day < 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "cost_per_kg_day"), "it must be 0 or more.");
    }
    return profile_source(p, o, path, "source", JSON_OPTIONAL, &l->source);
}

static struct result closes_what(struct profile *p, const json_t *o, const char *path,
                                 struct closing *c)
{
    const char *list = "";
    char word[64];
    TRY(profile_list(p, o, path, "what", JSON_NEEDED, &list));
    for (const char *at = list; list_next(&at, word, sizeof word);) {
        unsigned bit = 0;
        for (unsigned at_bit = CLOSES_SOAK; at_bit <= CLOSES_DISPATCH; at_bit <<= 1) {
            bit = strcmp(closing_id((enum closes)at_bit), word) == 0 ? at_bit : bit;
        }
        if (bit == 0) {
            return FAIL2(FIELD_CHOICE, path_join(p, path, "what"), word,
                         "soak, harvest, pack, dispatch");
        }
        c->what |= bit;
    }
    return c->what != 0 ? RESULT_OK
                        : FAIL1(PROFILE_BAD, path_join(p, path, "what"),
                                "say at least one thing that is not done then.");
}

/* One day, days from one to another, or weekdays, always or between two days. */
static struct result fill_closing(struct profile *p, const json_t *o, const char *path,
                                  void *element)
{
    static const char *const names[] = {"from", "to", "weekdays", "what", "reason", NULL};
    struct closing *c = element;
    const char *from = NULL, *to = NULL;
    TRY(json_only(o, path, "days on which the house is closed", names));
    TRY(profile_weekdays(p, o, path, "weekdays", JSON_OPTIONAL, &c->weekdays));
    TRY(profile_text(p, o, path, "from", c->weekdays == 0 ? JSON_NEEDED : JSON_OPTIONAL, &from));
    TRY(profile_text(p, o, path, "to", JSON_OPTIONAL, &to));
    TRY(profile_text(p, o, path, "reason", JSON_NEEDED, &c->reason));
    c->from_day = INT32_MIN;
    c->to_day = INT32_MAX;
    if (from != NULL) {
        TRY(day_read(from, path_join(p, path, "from"), &c->from_day));
    }
    if (to != NULL) {
        TRY(day_read(to, path_join(p, path, "to"), &c->to_day));
    } else if (c->weekdays == 0) {
        c->to_day = c->from_day;
    }
    if (c->weekdays == 0) {
        c->weekdays = 127;
    }
    if (c->to_day < c->from_day) {
        return FAIL2(END_BEFORE_START, path_join(p, path, "to"), from, to);
    }
    return closes_what(p, o, path, c);
}

/* The record knows the items; the profile does not. */
static struct result fill_swap(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"item", "given", "groups", "cost_per_kg", "source", NULL};
    struct item_swap *x = element;
    bool given;
    TRY(json_only(o, path, "an item given instead", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &x->item));
    TRY(profile_text(p, o, path, "given", JSON_NEEDED, &x->given));
    if (strcmp(x->item, x->given) == 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "given"), "it is the item itself.");
    }
    TRY(profile_list(p, o, path, "groups", JSON_OPTIONAL, &x->groups));
    TRY(profile_decimal(o, path, "cost_per_kg", JSON_NEEDED, &x->cost_per_kg, &given));
    if (x->cost_per_kg < 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "cost_per_kg"), "it must be 0 or more.");
    }
    return profile_source(p, o, path, "source", JSON_OPTIONAL, &x->source);
}

static struct result fill_part(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"item", "after_days", "share", "yield", "source", NULL};
    struct item_part *x = element;
    bool given;
    TRY(json_only(o, path, "a harvest in parts", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &x->item));
    if (profile_crop(p, x->item) == NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "item"),
                     "no crop of the profile is called so.");
    }
    TRY(json_get_int(o, "after_days", path_join(p, path, "after_days"), JSON_NEEDED, 0, 14,
                     &x->after_days));
    TRY(profile_percent(o, path, "share", JSON_NEEDED, &x->share_ppm));
    TRY(profile_decimal(o, path, "yield", JSON_OPTIONAL, &x->yield, &given));
    x->yield = given ? x->yield : 1000;
    if (x->share_ppm <= 0 || x->yield <= 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "share"),
                     "share and yield must be more than nothing.");
    }
    return profile_source(p, o, path, "source", JSON_OPTIONAL, &x->source);
}

enum { EARLY_LATE_DAYS = 5 };

static struct result fill_early_late(struct profile *p, const json_t *o, const char *path,
                                     void *element)
{
    static const char *const names[] = {"item", "days", "yield", "source", NULL};
    struct item_early_late *x = element;
    bool given;
    TRY(json_only(o, path, "a harvest early or late", names));
    TRY(profile_text(p, o, path, "item", JSON_NEEDED, &x->item));
    if (profile_crop(p, x->item) == NULL) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "item"),
                     "no crop of the profile is called so.");
    }
    TRY(json_get_int(o, "days", path_join(p, path, "days"), JSON_NEEDED, -EARLY_LATE_DAYS,
                     EARLY_LATE_DAYS, &x->days));
    TRY(profile_decimal(o, path, "yield", JSON_NEEDED, &x->yield, &given));
    if (x->days == 0 || x->yield <= 0) {
        return FAIL1(PROFILE_BAD, path_join(p, path, "days"),
                     "days are other than 0, and the yield is more than nothing.");
    }
    return profile_source(p, o, path, "source", JSON_OPTIONAL, &x->source);
}

/* Each day of a crop once, and none of a crop that is harvested in parts: those have days of their
 * own. */
static struct result check_early_late(const struct planning *out)
{
    for (size_t i = 0; i < out->early_late_count; i++) {
        const struct item_early_late *x = &out->early_late[i];
        bool again = false;
        for (size_t k = 0; k < i; k++) {
            const struct item_early_late *y = &out->early_late[k];
            again = again || (strcmp(y->item, x->item) == 0 && y->days == x->days);
        }
        for (size_t k = 0; k < out->part_count; k++) {
            again = again || strcmp(out->parts[k].item, x->item) == 0;
        }
        if (again) {
            return FAIL1(PROFILE_BAD, "planning.early_late",
                         "a crop's days stand once each, and a crop that is harvested in parts has "
                         "none.");
        }
    }
    return RESULT_OK;
}

/* Day by day from the first harvest on, the whole in all. */
static struct result check_parts(const struct profile *p, const struct planning *out)
{
    for (size_t k = 0; k < p->crop_count; k++) {
        const struct item_part *last = NULL;
        int64_t sum = 0, count = 0;
        bool in_order = true;
        for (size_t i = 0; i < out->part_count; i++) {
            const struct item_part *x = &out->parts[i];
            if (strcmp(x->item, p->crops[k].item) != 0) {
                continue;
            }
            in_order =
                in_order && (last != NULL ? x->after_days > last->after_days : x->after_days == 0);
            sum += x->share_ppm;
            count++;
            last = x;
        }
        if (last != NULL && (!in_order || sum != 1000000 || count > PLANNING_PARTS_MAX)) {
            return FAIL1(PROFILE_BAD, "planning.parts",
                         "a crop's parts begin with after_days 0, rise day by day, at most 6, and "
                         "their shares sum to 100 %.");
        }
    }
    return RESULT_OK;
}

/* What a profile may leave out. */
static struct result fill_choices(struct profile *p, const json_t *o, struct planning *out)
{
    const char *path = "planning";
    TRY(profile_fill_recipes(p, o, out));
    if (json_object_get(o, "ingredient_orders") != NULL) {
        TRY(profile_each(p, o, path, "ingredient_orders", sizeof(struct seed_order),
                         fill_seed_order, &out->ingredient_orders, &out->ingredient_order_count));
    }
    if (json_object_get(o, "seed_orders") != NULL) {
        TRY(profile_each(p, o, path, "seed_orders", sizeof(struct seed_order), fill_seed_order,
                         &out->seed_orders, &out->seed_order_count));
    }
    if (json_object_get(o, "works") != NULL) {
        TRY(profile_each(p, o, path, "works", sizeof(struct planning_work), fill_work, &out->works,
                         &out->work_count));
    }
    if (out->work_count > PLANNING_WORKS_MAX) {
        return FAIL1(PROFILE_BAD, "planning.works", "there may be 8 at most.");
    }
    if (json_object_get(o, "closing") != NULL) {
        TRY(profile_each(p, o, path, "closing", sizeof(struct closing), fill_closing,
                         &out->closings, &out->closing_count));
    }
    if (json_object_get(o, "swaps") != NULL) {
        TRY(profile_each(p, o, path, "swaps", sizeof(struct item_swap), fill_swap, &out->swaps,
                         &out->swap_count));
    }
    if (json_object_get(o, "parts") != NULL) {
        TRY(profile_each(p, o, path, "parts", sizeof(struct item_part), fill_part, &out->parts,
                         &out->part_count));
    }
    TRY(check_parts(p, out));
    if (json_object_get(o, "early_late") != NULL) {
        TRY(profile_each(p, o, path, "early_late", sizeof(struct item_early_late), fill_early_late,
                         &out->early_late, &out->early_late_count));
    }
    TRY(check_early_late(out));
    if (out->swap_count > PLANNING_SWAPS_MAX) {
        return FAIL1(PROFILE_BAD, "planning.swaps", "there may be 32 at most.");
    }
    return json_object_get(o, "late") == NULL
               ? RESULT_OK
               : profile_each(p, o, path, "late", sizeof(struct late_group), fill_late, &out->late,
                              &out->late_count);
}

static struct result fill_limits(struct profile *p, const json_t *o, struct planning *out)
{
    const char *path = "planning";
    TRY(profile_mass(o, path, "treat_a_day", JSON_OPTIONAL, &out->treat_mg));
    TRY(profile_mass(o, path, "soak_a_day", JSON_OPTIONAL, &out->soak_mg));
    TRY(profile_mass(o, path, "harvest_a_day", JSON_OPTIONAL, &out->harvest_mg));
    TRY(profile_mass(o, path, "wash_a_day", JSON_OPTIONAL, &out->wash_mg));
    TRY(profile_mass(o, path, "pack_a_day", JSON_OPTIONAL, &out->pack_mg));
    TRY(json_get_int(o, "starts_a_day", path_join(p, path, "starts_a_day"), JSON_OPTIONAL, 1, 10000,
                     &out->starts_a_day));
    return json_get_int(o, "harvests_a_day", path_join(p, path, "harvests_a_day"), JSON_OPTIONAL, 1,
                        10000, &out->harvests_a_day);
}

/* grows: what a house that receives has no use for is needed. */
static struct result fill_costs(const json_t *o, enum json_need grows, struct planning *out)
{
    const char *path = "planning";
    bool given;
    TRY(profile_decimal(o, path, "value_per_kg", JSON_NEEDED, &out->value_per_kg, &given));
    TRY(profile_decimal(o, path, "waste_per_kg", grows, &out->waste_per_kg, &given));
    TRY(profile_decimal(o, path, "start_cost", grows, &out->start_cost, &given));
    TRY(profile_decimal(o, path, "hold_per_kg_day", grows, &out->hold_per_kg_day, &given));
    TRY(profile_decimal(o, path, "change_cost", grows, &out->change_cost, &given));
    return profile_decimal(o, path, "caution", grows, &out->caution, &given);
}

static struct result fill_service(const json_t *o, struct planning *out)
{
    TRY(profile_percent(o, "planning", "service", JSON_OPTIONAL, &out->service_ppm));
    bool given = json_object_get(o, "service") != NULL;
    return !given || (out->service_ppm > 0 && out->service_ppm <= 1000000)
               ? RESULT_OK
               : FAIL1(PROFILE_BAD, "planning.service",
                       "a share of what is wanted lies above 0 % and is 100 % at most.");
}

static struct result fill_growing(const json_t *o, enum json_need grows, struct planning *out)
{
    const char *path = "planning";
    TRY(json_get_int(o, "frozen_days", "planning.frozen_days", grows, 0, 14, &out->frozen_days));
    TRY(profile_bool(o, path, "retest_planned", &out->retest_planned));
    TRY(json_get_int(o, "cleaning_days", "planning.cleaning_days", grows, 1, 7,
                     &out->cleaning_days));
    TRY(profile_duration(o, path, "soak_at", grows, &out->soak_ms));
    TRY(profile_duration(o, path, "harvest_at", grows, &out->harvest_ms));
    TRY(profile_duration(o, path, "dispatch_at", grows, &out->dispatch_ms));
    return profile_duration(o, path, "lead", grows, &out->lead_ms);
}

struct result profile_fill_planning(struct profile *p, const json_t *root)
{
    static const char *const names[] = {"horizon_days",
                                        "frozen_days",
                                        "cleaning_days",
                                        "retest_planned",
                                        "soak_at",
                                        "harvest_at",
                                        "dispatch_at",
                                        "lead",
                                        "starts_a_day",
                                        "harvests_a_day",
                                        "treat_a_day",
                                        "soak_a_day",
                                        "harvest_a_day",
                                        "wash_a_day",
                                        "pack_a_day",
                                        "value_per_kg",
                                        "waste_per_kg",
                                        "start_cost",
                                        "hold_per_kg_day",
                                        "change_cost",
                                        "caution",
                                        "service",
                                        "holidays",
                                        "seed_orders",
                                        "works",
                                        "late",
                                        "swaps",
                                        "parts",
                                        "early_late",
                                        "recipes",
                                        "ingredient_orders",
                                        "closing",
                                        "received",
                                        NULL};
    const char *path = "planning";
    struct planning *out = &p->planning;
    json_t *o = NULL;
    TRY(json_get_object(root, "planning", path, JSON_NEEDED, &o));
    TRY(json_only(o, path, "planning", names));
    TRY(json_get_int(o, "horizon_days", "planning.horizon_days", JSON_NEEDED, 7, 60,
                     &out->horizon_days));
    enum json_need grows = json_object_get(o, "received") == NULL ? JSON_NEEDED : JSON_OPTIONAL;
    TRY(fill_growing(o, grows, out));
    TRY(fill_limits(p, o, out));
    TRY(fill_costs(o, grows, out));
    TRY(fill_service(o, out));
    TRY(profile_each(p, o, path, "holidays", sizeof(struct holiday), fill_holiday, &out->holidays,
                     &out->holiday_count));
    TRY(fill_choices(p, o, out));
    return profile_fill_received(p, o);
}
