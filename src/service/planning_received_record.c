#include "service/planning_received_record.h"

#include <string.h>

#include "base/civil.h"
#include "plan/problem.h"

enum { LEGS_MAX = 400, DID_FIRST = 64 };

struct leg {
    int good;
    int32_t born;
    double kg; /* below 0: taken */
    const char *account;
    bool is_agreed;
};

struct reader {
    struct arena *a;
    const struct received *rules;
    /* of the entry being read */
    int64_t entry;
    int32_t day;
    struct leg legs[LEGS_MAX];
    int leg_count;
    struct received_did *list;
    int count, room;
};

int received_good_of(const struct received *rules, const char *item, const char *supplier)
{
    int found = PLAN_NONE;
    for (size_t i = 0; i < rules->good_count; i++) {
        const struct received_good *g = &rules->goods[i];
        if (g->item == NULL || strcmp(g->item, item) != 0) {
            continue;
        }
        if (g->supplier != NULL && strcmp(g->supplier, supplier) == 0) {
            return (int)i;
        }
        found = g->supplier == NULL && found == PLAN_NONE ? (int)i : found;
    }
    return found;
}

int32_t received_born(const struct received *rules, int good, int64_t lot_day, bool ends,
                      int64_t best_before)
{
    return (int32_t)(ends ? best_before - rules->goods[good].keep_days : lot_day);
}

struct result received_before(struct store *s, const struct profile *p, int32_t day, int64_t *out)
{
    int64_t begin_ms;
    *out = 0;
    TRY(house_day_begin(day, p->day_starts_min, &begin_ms));
    struct statement *q = store_prepare(s, Q_PLANNING_RECEIVED_BEFORE);
    store_bind_int(q, 1, begin_ms);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        *out = row ? store_int(q, 0) : *out;
    }
    return RESULT_OK;
}

static void add(struct reader *r, struct received_did did)
{
    if (r->count == r->room) {
        struct received_did *more = ARENA_ARRAY(r->a, struct received_did, (size_t)r->room * 2);
        memcpy(more, r->list, sizeof *more * (size_t)r->count);
        r->list = more;
        r->room *= 2;
    }
    did.entry = r->entry;
    did.day = r->day;
    r->list[r->count++] = did;
}

static double given_of(const struct reader *r, int good)
{
    double kg = 0;
    for (int i = 0; i < r->leg_count; i++) {
        kg += r->legs[i].good == good && r->legs[i].kg > 0 ? r->legs[i].kg : 0;
    }
    return kg;
}

/* The use that takes a good and gives the most kinds of what came of the entry, the earlier of
 * such; PLAN_NONE: nothing came of it. */
static int use_of(const struct reader *r, int good)
{
    int found = PLAN_NONE, most = 0;
    for (size_t u = 0; u < r->rules->use_count; u++) {
        const struct received_use *use = &r->rules->uses[u];
        int kinds = 0;
        for (size_t k = 0; k < use->part_count && use->good == good; k++) {
            kinds += given_of(r, (int)use->parts[k].good) > 0;
        }
        if (kinds > most) {
            most = kinds;
            found = (int)u;
        }
    }
    return found;
}

static void add_use(struct reader *r, int use, const struct leg *leg)
{
    const struct received_use *u = &r->rules->uses[use];
    double taken = 0, *given = ARENA_ARRAY(r->a, double, u->part_count + 1);
    for (int i = 0; i < r->leg_count; i++) {
        taken -= r->legs[i].kg < 0 && r->legs[i].good != PLAN_NONE ? r->legs[i].kg : 0;
    }
    for (size_t k = 0; k < u->part_count; k++) {
        given[k] = given_of(r, (int)u->parts[k].good) * -leg->kg / taken;
    }
    add(r, (struct received_did){.act = RECEIVED_USED,
                                 .good = leg->good,
                                 .use = use,
                                 .born = leg->born,
                                 .kg = -leg->kg,
                                 .given_kg = given});
}

static bool has_account(const struct reader *r, const char *a, const char *b, const char *c)
{
    for (int i = 0; i < r->leg_count; i++) {
        const char *name = r->legs[i].account;
        if (strcmp(name, a) == 0 || strcmp(name, b) == 0 || strcmp(name, c) == 0) {
            return true;
        }
    }
    return false;
}

static void read_leg(struct reader *r, const struct leg *leg)
{
    if (leg->good == PLAN_NONE) {
        return;
    }
    struct received_did did = {.good = leg->good, .use = PLAN_NONE, .born = leg->born};
    if (leg->kg > 0) {
        did.act = RECEIVED_CAME;
        did.kg = leg->kg;
        if (!leg->is_agreed && has_account(r, "supplier", "supplier", "supplier")) {
            add(r, did);
        }
        return;
    }
    int use = use_of(r, leg->good);
    did.kg = -leg->kg;
    if (use != PLAN_NONE) {
        add_use(r, use, leg);
    } else if (has_account(r, "customer", "customer", "customer")) {
        did.act = RECEIVED_SOLD;
        add(r, did);
    } else if (has_account(r, "waste", "feed", "compost")) {
        did.act = RECEIVED_LEFT;
        add(r, did);
    }
}

static void close_entry(struct reader *r)
{
    for (int i = 0; i < r->leg_count; i++) {
        read_leg(r, &r->legs[i]);
    }
    r->leg_count = 0;
}

static void take_leg(struct reader *r, struct statement *q)
{
    if (store_int(q, 0) != r->entry) {
        close_entry(r);
        r->entry = store_int(q, 0);
        r->day = (int32_t)store_int(q, 1);
    }
    if (r->leg_count == LEGS_MAX) {
        return;
    }
    int good = received_good_of(r->rules, store_text(q, 2), store_text(q, 3));
    struct leg leg = {.good = good,
                      .kg = (double)store_int(q, 7) * 1e-6,
                      .account = arena_copy(r->a, store_text(q, 6)),
                      .is_agreed = store_int(q, 8) != 0};
    if (good != PLAN_NONE) {
        leg.born =
            received_born(r->rules, good, store_int(q, 4), !store_is_null(q, 5), store_int(q, 5));
    }
    r->legs[r->leg_count++] = leg;
}

struct result received_read(struct store *s, struct arena *a, const struct received *rules,
                            int64_t after, struct received_did **out, int *out_count)
{
    struct reader *r = ARENA_NEW(a, struct reader);
    r->a = a;
    r->rules = rules;
    r->room = DID_FIRST;
    r->list = ARENA_ARRAY(a, struct received_did, DID_FIRST);
    struct statement *q = store_prepare(s, Q_PLANNING_RECEIVED_LEGS);
    store_bind_int(q, 1, after);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row) {
            take_leg(r, q);
        }
    }
    close_entry(r);
    *out = r->list;
    *out_count = r->count;
    return RESULT_OK;
}
