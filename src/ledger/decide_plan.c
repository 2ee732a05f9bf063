/* A plan taken in: what the house means to start, or to do with the fruit it receives, and what it
 * tells the orders. Nothing is made by it; the newest one taken is in force. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/listed.h"
#include "ledger/promise.h"
#include "ledger/view.h"

enum {
    STARTS_MAX = 2000,
    PROMISES_MAX = 3000,
    GROW_DAYS_MAX = 60,
    OFF_DAYS_MAX = 30,
    FLOWS_MAX = 5000
};
/* What is noted of a plan's starts is counted from here, after its promises: planning.sql asks for
 * it by the same number. */
enum { NOTED_STARTS_FROM = 10000, NOTED_HARVESTS_FROM = 20000, HARVESTS_MAX = 2000 };

static struct result read_seed_lot(struct draft *d, const json_t *o, const char *path,
                                   const struct crop *crop, int64_t *out_id)
{
    const char *code = NULL;
    struct lot lot;
    const char *field = arena_printf(d->arena, "%s.seed_lot", path);
    *out_id = 0;
    TRY(json_get_text(o, "seed_lot", field, JSON_OPTIONAL, &code));
    if (code == NULL) {
        return RESULT_OK;
    }
    TRY(lot_named(d, o, "seed_lot", field, &lot));
    if (strcmp(lot.kind, "seed") != 0) {
        return FAIL3(LOT_KIND, field, code, lot.kind, "seed");
    }
    *out_id = lot.id;
    return list_has(crop->seed_items, lot.item)
               ? RESULT_OK
               : FAIL2(FIELD_CHOICE, field, code, crop->seed_items);
}

/* Meant to be harvested before or after the day it is ready. */
static struct result read_off_days(struct draft *d, const json_t *o, const char *path,
                                   const char *place, int64_t n)
{
    int64_t off_days = 0;
    TRY(json_get_int(o, "off_days", arena_printf(d->arena, "%s.off_days", path), JSON_OPTIONAL,
                     -OFF_DAYS_MAX, OFF_DAYS_MAX, &off_days));
    if (off_days != 0) {
        noted_add(d, NOTED_STARTS_FROM + n,
                  &(struct noting){.kind = "off-days",
                                   .code = place,
                                   .ok = true,
                                   .data = json_pack("{s:I}", "off_days", (json_int_t)off_days)});
    }
    return RESULT_OK;
}

static struct result read_start(struct draft *d, const json_t *o, size_t n)
{
    static const char *const names[] = {"day",  "place",     "item",     "seed_lot",
                                        "seed", "grow_days", "off_days", NULL};
    const char *path = arena_printf(d->arena, "starts[%zu]", n);
    const char *day_text_in = NULL, *code = NULL, *item = NULL, *seed = NULL;
    struct place place;
    int32_t day;
    int64_t seed_lot, seed_mg, grow_days;
    bool found;
    if (!json_is_object(o)) {
        return FAIL2(FIELD_TYPE, path, "an object", "something else");
    }
    TRY(json_only(o, path, "a planned start", names));
    TRY(json_get_text(o, "day", arena_printf(d->arena, "%s.day", path), JSON_NEEDED, &day_text_in));
    TRY(day_read(day_text_in, arena_printf(d->arena, "%s.day", path), &day));
    const char *place_path = arena_printf(d->arena, "%s.place", path);
    TRY(json_get_text(o, "place", place_path, JSON_NEEDED, &code));
    TRY(place_by_code(d->store, d->arena, code, &place, &found));
    if (!found) {
        return FAIL1(PLACE_UNKNOWN, place_path, code);
    }
    if (strcmp(place.kind, "chamber") != 0) {
        return FAIL3(PLACE_KIND, place_path, code, place.kind, "chamber");
    }
    TRY(json_get_text(o, "item", arena_printf(d->arena, "%s.item", path), JSON_NEEDED, &item));
    const struct crop *crop = profile_crop(d->profile, item);
    if (crop == NULL) {
        return FAIL1(ITEM_UNKNOWN, arena_printf(d->arena, "%s.item", path), item);
    }
    TRY(read_seed_lot(d, o, path, crop, &seed_lot));
    TRY(json_get_text(o, "seed", arena_printf(d->arena, "%s.seed", path), JSON_NEEDED, &seed));
    TRY(mass_read(seed, arena_printf(d->arena, "%s.seed", path), &seed_mg));
    if (seed_mg <= 0) {
        return FAIL2(FIELD_RANGE, arena_printf(d->arena, "%s.seed", path), seed,
                     "more than nothing");
    }
    const char *days_path = arena_printf(d->arena, "%s.grow_days", path);
    TRY(json_get_int(o, "grow_days", days_path, JSON_NEEDED, 1, GROW_DAYS_MAX, &grow_days));
    draft_add(d, EFFECT_PLAN_TAKEN, "iittoii", (int64_t)n, (int64_t)day, code, item, seed_lot,
              seed_mg, grow_days);
    return read_off_days(d, o, path, code, (int64_t)n);
}

/* What an order is told: so many pieces, by that day. */
static struct result read_promise(struct draft *d, const json_t *o, size_t n)
{
    static const char *const names[] = {"order", "day", "pieces", "instead", NULL};
    const char *path = arena_printf(d->arena, "promises[%zu]", n);
    const char *key = NULL, *day_given = NULL;
    int32_t day;
    int64_t pieces;
    bool found;
    if (!json_is_object(o)) {
        return FAIL2(FIELD_TYPE, path, "an object", "something else");
    }
    TRY(json_only(o, path, "a promise", names));
    const char *order_path = arena_printf(d->arena, "%s.order", path);
    TRY(json_get_text(o, "order", order_path, JSON_NEEDED, &key));
    TRY(json_get_text(o, "day", arena_printf(d->arena, "%s.day", path), JSON_NEEDED, &day_given));
    TRY(day_read(day_given, arena_printf(d->arena, "%s.day", path), &day));
    TRY(json_get_int(o, "pieces", arena_printf(d->arena, "%s.pieces", path), JSON_NEEDED, 0,
                     100000000, &pieces));
    struct statement *q = store_prepare(d->store, Q_ORDER_LINE_BY_KEY);
    store_bind_text(q, 1, key);
    TRY(store_step(q, &found));
    if (!found) {
        return FAIL1(ORDER_UNKNOWN, order_path, key);
    }
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
    }
    json_t *instead;
    TRY(promise_instead_read(d, o, path, &instead));
    json_t *data = json_pack("{s:s,s:I,s:o*}", "day", day_text(d->arena, day), "pieces",
                             (json_int_t)pieces, "instead", instead);
    noted_add(d, (int64_t)n,
              &(struct noting){.kind = "promise", .code = key, .ok = true, .data = data});
    return RESULT_OK;
}

#define FLOW_ACTS "comes,turned,bought,used,made,leaves,sold"

/* Good and use are names of the profile's, of names a delivery or an offer. */
static struct result read_flow(struct draft *d, const json_t *o, size_t n)
{
    static const char *const names[] = {"day", "act", "good", "use", "of", "born", "mg", NULL};
    const char *path = arena_printf(d->arena, "flows[%zu]", n);
    const char *day_given = NULL, *name = NULL, *day_path = arena_printf(d->arena, "%s.day", path);
    int32_t day;
    int64_t mg;
    if (!json_is_object(o)) {
        return FAIL2(FIELD_TYPE, path, "an object", "something else");
    }
    TRY(json_only(o, path, "a planned flow", names));
    TRY(json_get_text(o, "day", day_path, JSON_NEEDED, &day_given));
    TRY(day_read(day_given, day_path, &day));
    const char *act_path = arena_printf(d->arena, "%s.act", path);
    TRY(json_get_text(o, "act", act_path, JSON_NEEDED, &name));
    if (!list_has(FLOW_ACTS, name)) {
        return FAIL2(FIELD_CHOICE, act_path, name, FLOW_ACTS);
    }
    const char *good_path = arena_printf(d->arena, "%s.good", path);
    TRY(json_get_text(o, "good", good_path, JSON_NEEDED, &name));
    const struct received *r = &d->profile->planning.received;
    size_t k = 0;
    while (k < r->good_count && strcmp(r->goods[k].name, name) != 0) {
        k++;
    }
    if (k == r->good_count) {
        return FAIL2(FIELD_CHOICE, good_path, name, "a good that the profile plans with");
    }
    TRY(json_get_text(o, "use", arena_printf(d->arena, "%s.use", path), JSON_OPTIONAL, &name));
    TRY(json_get_text(o, "of", arena_printf(d->arena, "%s.of", path), JSON_OPTIONAL, &name));
    const char *born = NULL, *born_path = arena_printf(d->arena, "%s.born", path);
    TRY(json_get_text(o, "born", born_path, JSON_OPTIONAL, &born));
    if (born != NULL) {
        TRY(day_read(born, born_path, &day));
    }
    return json_get_int(o, "mg", arena_printf(d->arena, "%s.mg", path), JSON_NEEDED, 1,
                        INT64_C(1000000000000000), &mg);
}

/* Kept as one list, so that a plan with nothing to do is in force as well. */
static struct result read_flows(struct draft *d, size_t promise_count)
{
    json_t *flows = NULL;
    TRY(json_get_array(d->cmd->body, "flows", "flows", JSON_OPTIONAL, &flows));
    if (flows == NULL) {
        return RESULT_OK;
    }
    size_t count = json_array_size(flows);
    if (count > FLOWS_MAX) {
        return FAIL2(FIELD_RANGE, "flows", "too long", "at most 5000 flows");
    }
    for (size_t i = 0; i < count; i++) {
        TRY(read_flow(d, json_array_get(flows, i), i));
    }
    noted_add(d, (int64_t)promise_count,
              &(struct noting){.kind = "plan-flows",
                               .code = "plan",
                               .ok = true,
                               .data = json_pack("{s:o}", "flows", json_deep_copy(flows))});
    json_object_set_new(d->answer, "flows", json_integer((json_int_t)count));
    return RESULT_OK;
}

/* The day on which a lot that grows is harvested. */
static struct result read_harvest(struct draft *d, const json_t *o, int64_t n)
{
    static const char *const names[] = {"lot", "day", "off_days", NULL};
    const char *path = arena_printf(d->arena, "harvests[%lld]", (long long)n), *day_given = NULL;
    const char *lot_path = arena_printf(d->arena, "%s.lot", path);
    struct lot lot;
    int32_t day;
    int64_t off_days;
    if (!json_is_object(o)) {
        return FAIL2(FIELD_TYPE, path, "an object", "something else");
    }
    TRY(json_only(o, path, "a planned harvest", names));
    TRY(lot_named(d, o, "lot", lot_path, &lot));
    if (strcmp(lot.kind, "growing") != 0) {
        return FAIL3(LOT_KIND, lot_path, lot.code, lot.kind, "growing");
    }
    TRY(json_get_text(o, "day", arena_printf(d->arena, "%s.day", path), JSON_NEEDED, &day_given));
    TRY(day_read(day_given, arena_printf(d->arena, "%s.day", path), &day));
    TRY(json_get_int(o, "off_days", arena_printf(d->arena, "%s.off_days", path), JSON_NEEDED,
                     -OFF_DAYS_MAX, OFF_DAYS_MAX, &off_days));
    noted_add(d, NOTED_HARVESTS_FROM + n,
              &(struct noting){.kind = "harvest-day",
                               .code = lot.code,
                               .lot = lot.id,
                               .ok = true,
                               .data = json_pack("{s:s,s:I}", "day", day_text(d->arena, day),
                                                 "off_days", (json_int_t)off_days)});
    return RESULT_OK;
}

struct result decide_plan_take(struct draft *d)
{
    static const char *const names[] = {"starts", "promises", "harvests", "flows", NULL};
    json_t *list = NULL, *promises = NULL, *harvests = NULL;
    TRY(draft_only(d, "taking a plan", names));
    if (d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    TRY(json_get_array(d->cmd->body, "starts", "starts", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count > STARTS_MAX) {
        return FAIL2(FIELD_RANGE, "starts", "too long", "at most 2000 starts");
    }
    for (size_t i = 0; i < count; i++) {
        TRY(read_start(d, json_array_get(list, i), i));
    }
    TRY(json_get_array(d->cmd->body, "promises", "promises", JSON_OPTIONAL, &promises));
    if (json_array_size(promises) > PROMISES_MAX) {
        return FAIL2(FIELD_RANGE, "promises", "too long", "at most 3000 promises");
    }
    for (size_t i = 0; i < json_array_size(promises); i++) {
        TRY(read_promise(d, json_array_get(promises, i), i));
    }
    TRY(json_get_array(d->cmd->body, "harvests", "harvests", JSON_OPTIONAL, &harvests));
    if (json_array_size(harvests) > HARVESTS_MAX) {
        return FAIL2(FIELD_RANGE, "harvests", "too long", "at most 2000 harvests");
    }
    for (size_t i = 0; i < json_array_size(harvests); i++) {
        TRY(read_harvest(d, json_array_get(harvests, i), (int64_t)i));
    }
    TRY(read_flows(d, json_array_size(promises)));
    if (count > 0 || json_object_get(d->answer, "flows") == NULL) {
        json_object_set_new(d->answer, "starts", json_integer((json_int_t)count));
    }
    return RESULT_OK;
}
