/* From JSON to struct profile: what a house that receives fruit plans by. */
#include <string.h>

#include "ledger/profile_inner.h"

/* As many as plan/intake.h takes, together. */
enum { THINGS_MAX = 64, KEEP_DAYS_MAX = 1000 };

static struct result wrong(struct profile *p, const char *path, const char *key, const char *what)
{
    return FAIL1(PROFILE_BAD, path_join(p, path, key), what);
}

static struct result not_below_0(struct profile *p, const json_t *o, const char *path,
                                 const char *key, enum json_need need, int64_t *out)
{
    bool given;
    TRY(profile_decimal(o, path, key, need, out, &given));
    return *out >= 0 ? RESULT_OK : wrong(p, path, key, "it must be 0 or more.");
}

/* The index of a good, store or machine that the profile names further up. */
#define NAMED(array, member, what)                                                            \
    static struct result named_##member(struct profile *p, const json_t *o, const char *path, \
                                        const char *key, enum json_need need, int64_t *out)   \
    {                                                                                         \
        const char *name = NULL;                                                              \
        *out = -1;                                                                            \
        TRY(profile_text(p, o, path, key, need, &name));                                      \
        const struct received *r = &p->planning.received;                                     \
        for (size_t i = 0; name != NULL && i < r->member##_count; i++) {                      \
            if (strcmp(r->array[i].name, name) == 0) {                                        \
                *out = (int64_t)i;                                                            \
            }                                                                                 \
        }                                                                                     \
        return name == NULL || *out >= 0 ? RESULT_OK : wrong(p, path, key, what);             \
    }
NAMED(stores, store, "no store of the profile is called so.")
NAMED(goods, good, "no good of the profile is called so.")
NAMED(machines, machine, "no machine of the profile is called so.")

static struct result fill_store(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"store", "places",           "class",  "litres",
                                        "tanks", "cleaned_next_day", "source", NULL};
    struct received_store *s = element;
    TRY(json_only(o, path, "a store", names));
    TRY(profile_text(p, o, path, "store", JSON_NEEDED, &s->name));
    TRY(profile_list(p, o, path, "places", JSON_NEEDED, &s->place_kinds));
    TRY(profile_text(p, o, path, "class", JSON_OPTIONAL, &s->class_));
    TRY(profile_bool(o, path, "litres", &s->in_litres));
    TRY(profile_bool(o, path, "tanks", &s->tanks));
    TRY(profile_bool(o, path, "cleaned_next_day", &s->cleaned_next_day));
    return profile_source(p, o, path, "source", JSON_NEEDED, &s->source);
}

static struct result fill_room(struct profile *p, const json_t *o, const char *path,
                               struct received_good *g)
{
    bool given, room_given;
    g->room_milli = 1000;
    TRY(named_store(p, o, path, "store", JSON_OPTIONAL, &g->store));
    TRY(profile_decimal(o, path, "density", JSON_OPTIONAL, &g->density_milli, &given));
    TRY(profile_decimal(o, path, "room", JSON_OPTIONAL, &g->room_milli, &room_given));
    bool litres = g->store >= 0 && p->planning.received.stores[g->store].in_litres;
    if (litres != given || (given && (g->density_milli < 500 || g->density_milli > 2000))) {
        return wrong(p, path, "density",
                     "goods in litres need a density, 0.5 to 2 kg/L, and no others have one.");
    }
    return g->room_milli > 0 && !(litres && room_given)
               ? RESULT_OK
               : wrong(p, path, "room", "it must be above 0, and litres have none.");
}

static struct result fill_good(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"good",       "item", "supplier",   "store",
                                        "density",    "room", "keep",       "hold_per_kg_day",
                                        "out_per_kg", "end",  "end_per_kg", "value_per_kg",
                                        "source",     NULL};
    struct received_good *g = element;
    const int64_t day_ms = 86400000;
    int64_t keep_ms = 0;
    bool given;
    TRY(json_only(o, path, "a good", names));
    TRY(profile_text(p, o, path, "good", JSON_NEEDED, &g->name));
    for (size_t i = 0; i < p->planning.received.good_count; i++) {
        if (strcmp(p->planning.received.goods[i].name, g->name) == 0) {
            return wrong(p, path, "good", "this good is named twice.");
        }
    }
    TRY(profile_text(p, o, path, "item", JSON_OPTIONAL, &g->item));
    TRY(profile_text(p, o, path, "supplier", JSON_OPTIONAL, &g->supplier));
    TRY(fill_room(p, o, path, g));
    TRY(profile_duration(o, path, "keep", JSON_NEEDED, &keep_ms));
    g->keep_days = keep_ms / day_ms;
    if (keep_ms < 0 || keep_ms % day_ms != 0 || g->keep_days > KEEP_DAYS_MAX) {
        return wrong(p, path, "keep", "it is whole days, 0 to 1000.");
    }
    TRY(not_below_0(p, o, path, "hold_per_kg_day", JSON_OPTIONAL, &g->hold_per_kg_day));
    TRY(profile_decimal(o, path, "out_per_kg", JSON_NEEDED, &g->out_per_kg, &given));
    TRY(profile_mass(o, path, "end", JSON_OPTIONAL, &g->end_mg));
    TRY(not_below_0(p, o, path, "end_per_kg", JSON_OPTIONAL, &g->end_per_kg));
    TRY(not_below_0(p, o, path, "value_per_kg", JSON_OPTIONAL, &g->value_per_kg));
    return profile_source(p, o, path, "source", JSON_NEEDED, &g->source);
}

static struct result fill_machine(struct profile *p, const json_t *o, const char *path,
                                  void *element)
{
    static const char *const names[] = {"machine", "a_day", "weekdays", "source", NULL};
    struct received_machine *m = element;
    TRY(json_only(o, path, "a machine", names));
    TRY(profile_text(p, o, path, "machine", JSON_NEEDED, &m->name));
    TRY(profile_duration(o, path, "a_day", JSON_NEEDED, &m->day_ms));
    TRY(profile_weekdays(p, o, path, "weekdays", JSON_NEEDED, &m->weekdays));
    return m->day_ms >= 0 && m->day_ms <= 10 * INT64_C(86400000)
               ? profile_source(p, o, path, "source", JSON_NEEDED, &m->source)
               : wrong(p, path, "a_day", "it lies between 0 and 240 h, of all of its kind.");
}

static struct result fill_part(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"good", "share", NULL};
    struct received_part *part = element;
    TRY(json_only(o, path, "a share", names));
    TRY(named_good(p, o, path, "good", JSON_NEEDED, &part->good));
    TRY(profile_percent(o, path, "share", JSON_NEEDED, &part->share_ppm));
    return part->share_ppm > 0 ? RESULT_OK : wrong(p, path, "share", "it must be above 0.");
}

static struct result fill_use(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"use",   "good",        "gives",     "machine", "an_hour",
                                        "added", "cost_per_kg", "keeps_age", "source",  NULL};
    struct received_use *u = element;
    int64_t sum = 0;
    TRY(json_only(o, path, "a use", names));
    TRY(profile_text(p, o, path, "use", JSON_NEEDED, &u->name));
    TRY(named_good(p, o, path, "good", JSON_NEEDED, &u->good));
    TRY(profile_each(p, o, path, "gives", sizeof(struct received_part), fill_part, &u->parts,
                     &u->part_count));
    TRY(named_machine(p, o, path, "machine", JSON_OPTIONAL, &u->machine));
    TRY(profile_mass(o, path, "an_hour", u->machine >= 0 ? JSON_NEEDED : JSON_OPTIONAL,
                     &u->hour_mg));
    if (u->machine >= 0 ? u->hour_mg <= 0 : u->hour_mg != 0) {
        return wrong(p, path, "an_hour", "it must be above 0, and goes with a machine.");
    }
    TRY(profile_percent(o, path, "added", JSON_OPTIONAL, &u->added_ppm));
    TRY(not_below_0(p, o, path, "cost_per_kg", JSON_OPTIONAL, &u->cost_per_kg));
    TRY(profile_bool(o, path, "keeps_age", &u->keeps_age));
    for (size_t i = 0; i < u->part_count; i++) {
        sum += u->parts[i].share_ppm;
    }
    if (u->part_count == 0 || u->added_ppm < 0 || sum > 1000000 + u->added_ppm) {
        return wrong(p, path, "gives",
                     "shares are of what is taken in: together they give 100 % and what is added, "
                     "at most.");
    }
    return profile_source(p, o, path, "source", JSON_NEEDED, &u->source);
}

static struct result fill_offer(struct profile *p, const json_t *o, const char *path, void *element)
{
    static const char *const names[] = {"offer",  "good",         "lead",   "a_day",
                                        "in_all", "price_per_kg", "source", NULL};
    struct received_offer *f = element;
    int64_t lead_ms = 0;
    TRY(json_only(o, path, "an offer", names));
    TRY(profile_text(p, o, path, "offer", JSON_NEEDED, &f->name));
    TRY(named_good(p, o, path, "good", JSON_NEEDED, &f->good));
    TRY(profile_duration(o, path, "lead", JSON_NEEDED, &lead_ms));
    f->lead_days = (lead_ms + 86399999) / 86400000;
    TRY(profile_mass(o, path, "a_day", JSON_NEEDED, &f->day_mg));
    TRY(profile_mass(o, path, "in_all", JSON_OPTIONAL, &f->all_mg));
    TRY(not_below_0(p, o, path, "price_per_kg", JSON_NEEDED, &f->price_per_kg));
    return lead_ms >= 0 && f->lead_days <= 365
               ? profile_source(p, o, path, "source", JSON_NEEDED, &f->source)
               : wrong(p, path, "lead", "it must be a year at most.");
}

static struct result fill_delivery(struct profile *p, const json_t *o, const char *path,
                                   void *element)
{
    static const char *const names[] = {"delivery",    "good",   "mass",   "weekdays",
                                        "turn_per_kg", "booked", "source", NULL};
    struct received_delivery *d = element;
    TRY(json_only(o, path, "a delivery that comes by agreement", names));
    TRY(profile_text(p, o, path, "delivery", JSON_NEEDED, &d->name));
    TRY(named_good(p, o, path, "good", JSON_NEEDED, &d->good));
    TRY(profile_mass(o, path, "mass", JSON_NEEDED, &d->mg));
    TRY(profile_weekdays(p, o, path, "weekdays", JSON_NEEDED, &d->weekdays));
    TRY(not_below_0(p, o, path, "turn_per_kg", JSON_NEEDED, &d->turn_per_kg));
    TRY(profile_bool(o, path, "booked", &d->booked));
    return profile_source(p, o, path, "source", JSON_NEEDED, &d->source);
}

struct result profile_fill_received(struct profile *p, const json_t *planning)
{
    static const char *const names[] = {"stores", "goods",      "machines", "uses",
                                        "offers", "deliveries", NULL};
    const char *path = "planning.received";
    struct received *r = &p->planning.received;
    json_t *o = NULL;
    TRY(json_get_object(planning, "received", path, JSON_OPTIONAL, &o));
    if (o == NULL) {
        return RESULT_OK;
    }
    r->given = true;
    TRY(json_only(o, path, "what a house that receives plans by", names));
    TRY(profile_each(p, o, path, "stores", sizeof(struct received_store), fill_store, &r->stores,
                     &r->store_count));
    TRY(profile_each(p, o, path, "goods", sizeof(struct received_good), fill_good, &r->goods,
                     &r->good_count));
    TRY(profile_each(p, o, path, "machines", sizeof(struct received_machine), fill_machine,
                     &r->machines, &r->machine_count));
    TRY(profile_each(p, o, path, "uses", sizeof(struct received_use), fill_use, &r->uses,
                     &r->use_count));
    TRY(profile_each(p, o, path, "offers", sizeof(struct received_offer), fill_offer, &r->offers,
                     &r->offer_count));
    TRY(profile_each(p, o, path, "deliveries", sizeof(struct received_delivery), fill_delivery,
                     &r->deliveries, &r->delivery_count));
    if (r->store_count + r->good_count + r->machine_count > THINGS_MAX) {
        return FAIL1(PROFILE_BAD, path, "stores, goods and machines together may be 64 at most.");
    }
    return p->planning.late_count == 0 ? RESULT_OK
                                       : FAIL1(PROFILE_BAD, "planning.late",
                                               "a house that receives plans no goods taken late.");
}
