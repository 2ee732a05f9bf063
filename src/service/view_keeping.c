#include "service/view_keeping.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/story.h"
#include "service/view_inner.h"
#include "service/view_log.h"

/* A room that nobody has read for so long is silent: two shifts and a night, common practice. */
#define SILENT_MS INT64_C(86400000)

struct customer {
    int64_t life_days;
    const char *market;
};

struct keeping {
    struct view *v;
    int32_t today;
    struct customer *customers;
    size_t count;
};

struct room {
    const char *place, *name;
    int64_t lots, mg;
    int64_t temp_mc, temp_ms, entry; /* temp_ms 0: never */
    bool logged;
};

static struct result read_customers(struct keeping *k, json_t *list)
{
    struct statement *q = store_prepare(k->v->store, Q_KEEPING_CUSTOMERS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct customer *c =
            evidence_grow(k->v->arena, &k->customers, &k->count, sizeof *k->customers);
        *c = (struct customer){.life_days = store_int(q, 1),
                               .market = arena_copy(k->v->arena, store_text(q, 2))};
        view_append(list, json_pack("{s:s,s:I,s:s,s:I}", "customer", store_text(q, 0), "life_days",
                                    (json_int_t)c->life_days, "market", c->market, "entry",
                                    (json_int_t)store_int(q, 3)));
    }
}

static struct result put_excursions(const struct view *v, const char *place, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_KEEPING_EXCURSIONS);
    store_bind_text(q, 1, place);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t from_ms = store_int(q, 2), to_ms = store_int(q, 3);
        view_append(list, json_pack("{s:I,s:s,s:o,s:o,s:b}", "entry", (json_int_t)store_int(q, 0),
                                    "sentence", told_deviation(v->arena, v->lang, store_text(q, 1)),
                                    "from_ms", view_int(from_ms != 0, from_ms), "to_ms",
                                    view_int(to_ms != 0, to_ms), "closed", store_int(q, 4) != 0));
    }
}

/* The later of what was told and what the logger has. */
static struct result read_temperature(const struct view *v, struct room *r)
{
    struct view_log_point point;
    bool any, row;
    struct statement *q = store_prepare(v->store, Q_KEEPING_READ_LAST);
    store_bind_text(q, 1, r->place);
    TRY(store_step(q, &row));
    if (row) {
        r->temp_ms = store_int(q, 0);
        r->temp_mc = store_int(q, 1);
        r->entry = store_int(q, 2);
    }
    TRY(told_finish(q, row));
    TRY(view_log_last(v, r->place, &point, &any));
    if (any && point.t_ms > r->temp_ms) {
        r->temp_ms = point.t_ms;
        r->temp_mc = point.temp_mc;
        r->logged = true;
    }
    return RESULT_OK;
}

static struct result put_room(const struct view *v, struct room *r, json_t *rooms)
{
    struct limit limit;
    json_t *excursions = json_array();
    TRY(read_temperature(v, r));
    TRY(limit_in_force(v->store, v->profile, "cold-room", NULL, v->now_ms, &limit));
    bool known = r->temp_ms != 0;
    bool outside =
        (limit.has_low && r->temp_mc < limit.low) || (limit.has_high && r->temp_mc > limit.high);
    const char *state = !known                               ? "none"
                        : outside                            ? "outside"
                        : r->temp_ms < v->now_ms - SILENT_MS ? "silent"
                                                             : "within";
    json_t *o =
        json_pack("{s:s,s:s,s:I,s:I,s:o,s:o,s:o,s:o,s:o,s:o,s:s,s:s,s:o}", "place", r->place,
                  "name", r->name, "lots", (json_int_t)r->lots, "mg", (json_int_t)r->mg, "temp_mc",
                  view_int(known, r->temp_mc), "temp_ms", view_int(known, r->temp_ms), "how",
                  view_text(!known      ? NULL
                            : r->logged ? "logged"
                                        : "checked"),
                  "entry", view_int(known && !r->logged, r->entry), "low_mc",
                  view_int(limit.has_low, limit.low), "high_mc",
                  view_int(limit.has_high, limit.high), "state", state, "tone",
                  strcmp(state, "within") == 0    ? "done"
                  : strcmp(state, "outside") == 0 ? "stopped"
                                                  : "due",
                  "excursions", excursions);
    view_append(rooms, o);
    return put_excursions(v, r->place, excursions);
}

static struct result read_rooms(const struct view *v, json_t *rooms)
{
    struct room *list = NULL;
    size_t count = 0;
    struct statement *q = store_prepare(v->store, Q_KEEPING_ROOMS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct room *r = evidence_grow(v->arena, &list, &count, sizeof *list);
        *r = (struct room){.place = arena_copy(v->arena, store_text(q, 0)),
                           .name = arena_copy(v->arena, store_text(q, 1)),
                           .lots = store_int(q, 2),
                           .mg = store_int(q, 3)};
    }
    for (size_t i = 0; i < count; i++) {
        TRY(put_room(v, &list[i], rooms));
    }
    return RESULT_OK;
}

/* What is left of a lot's life, for whom. */
struct life {
    int64_t left_d, least_d; /* least_d: what the most patient customer wants */
    int64_t customers, takers, tomorrow;
    const char *word, *tone;
};

static struct life life_of(const struct keeping *k, const char *markets, int32_t best_before)
{
    struct life l = {.left_d = best_before - k->today};
    for (size_t i = 0; i < k->count; i++) {
        const struct customer *c = &k->customers[i];
        if (markets[0] != '\0' && c->market[0] != '\0' && !list_has(markets, c->market)) {
            continue;
        }
        l.least_d = l.customers == 0 || c->life_days < l.least_d ? c->life_days : l.least_d;
        l.customers++;
        l.takers += c->life_days <= l.left_d;
        l.tomorrow += c->life_days < l.left_d;
    }
    bool ends = l.takers > 0 && l.tomorrow == 0;
    l.word = best_before == 0         ? "none"
             : l.left_d < 0           ? "past"
             : l.takers == 0          ? "nobody"
             : ends                   ? "today"
             : l.tomorrow < l.takers  ? "fewer"
             : l.takers < l.customers ? "some"
                                      : "all";
    l.tone = l.left_d < 0 || (best_before != 0 && l.takers == 0) ? "stopped"
             : ends || l.tomorrow < l.takers                     ? "due"
             : l.takers < l.customers                            ? "waiting"
                                                                 : "done";
    return l;
}

static json_t *stock_json(const struct keeping *k, struct statement *q)
{
    struct view *v = k->v;
    int32_t day = (int32_t)store_int(q, 7), best_before = (int32_t)store_int(q, 8);
    struct life l = life_of(k, store_text(q, 9), best_before);
    bool held = store_int(q, 10) > 0, released = store_int(q, 11) != 0, dated = best_before != 0;
    bool goes = dated && l.customers > 0;
    const char *leave_by = goes ? day_text(v->arena, best_before - (int32_t)l.least_d) : NULL;
    json_t *o =
        json_pack("{s:s,s:s,s:s,s:o,s:I,s:I,s:I,s:s,s:s,s:I,s:s,s:I}", "lot", store_text(q, 0),
                  "item", store_text(q, 1), "kind", store_text(q, 2), "place",
                  view_text(store_text(q, 3)), "mg", (json_int_t)store_int(q, 4), "pieces",
                  (json_int_t)store_int(q, 5), "holds", (json_int_t)store_int(q, 10), "state",
                  held       ? "held"
                  : released ? "released"
                             : "open",
                  "tone",
                  held       ? "stopped"
                  : released ? "done"
                             : "waiting",
                  "born_ms", (json_int_t)store_int(q, 6), "day", day_text(v->arena, day), "age_d",
                  (json_int_t)(k->today - day));
    CHECK(o != NULL);
    view_put(o, "best_before", view_text(dated ? day_text(v->arena, best_before) : NULL));
    view_put(o, "left_d", view_int(dated, l.left_d));
    view_put(o, "leave_by", view_text(leave_by));
    view_put(o, "takers", json_integer(dated ? l.takers : 0));
    view_put(o, "customers", json_integer(l.customers));
    view_put(o, "life", json_string(l.word));
    view_put(o, "life_tone", json_string(l.tone));
    return o;
}

static struct result read_stock(const struct keeping *k, json_t *stock)
{
    struct statement *q = store_prepare(k->v->store, Q_KEEPING_STOCK);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(stock, stock_json(k, q));
    }
}

struct result view_keeping(struct view *v, json_t **out)
{
    struct keeping k = {.v = v, .today = view_day(v, v->now_ms)};
    json_t *rooms = json_array(), *customers = json_array(), *stock = json_array();
    json_t *o = json_pack("{s:s,s:o,s:o,s:o}", "day", day_text(v->arena, k.today), "rooms", rooms,
                          "customers", customers, "stock", stock);
    CHECK(o != NULL);
    struct result r = read_customers(&k, customers);
    r = r.code == CODE_OK ? read_rooms(v, rooms) : r;
    r = r.code == CODE_OK ? read_stock(&k, stock) : r;
    return view_hand_over(r, o, out);
}
