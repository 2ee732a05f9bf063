/* Waters that go round, as a page shows them: what their contact was worth in each period, and what
 * gathers in them. */
#include <string.h>

#include "ledger/duty.h"
#include "ledger/evidence.h"
#include "ledger/water_balance.h"
#include "ledger/water_credit.h"
#include "service/view_waters.h"

enum { PERIODS_MAX = 200, FORECAST_POINTS = 24 };

/* ---- stops */

static struct result heard(const struct view *v, struct water_stopped *s)
{
    struct statement *q = store_prepare(v->store, Q_NOTED_LAST);
    store_bind_text(q, 1, "stop-heard");
    store_bind_text(q, 2, s->place);
    bool row;
    TRY(store_step(q, &row));
    if (row && store_int(q, 0) > s->entry) {
        s->heard_ms = store_int(q, 2);
        s->heard_by = store_int(q, 4);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result waters_stopped(const struct view *v, struct water_stopped **out, size_t *out_count)
{
    struct listed *list;
    size_t count;
    *out = NULL;
    *out_count = 0;
    TRY(listed_all(v->store, v->arena, "stop", &list, &count));
    for (size_t i = 0; i < count; i++) {
        struct water_stopped *s = evidence_grow(v->arena, out, out_count, sizeof *s);
        *s = (struct water_stopped){.place = list[i].code,
                                    .why = arena_copy(v->arena, listed_text(&list[i], "why")),
                                    .told = arena_copy(v->arena, listed_text(&list[i], "told")),
                                    .since_ms = list[i].at_ms,
                                    .entry = list[i].entry};
    }
    listed_free(list, count);
    for (size_t i = 0; i < *out_count; i++) {
        TRY(heard(v, &(*out)[i]));
    }
    return RESULT_OK;
}

static struct result put_stops(const struct view *v, json_t *out)
{
    struct water_stopped *list;
    size_t count;
    json_t *stops = json_array();
    view_put(out, "stops", stops);
    TRY(waters_stopped(v, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct water_stopped *s = &list[i];
        view_append(stops, json_pack("{s:s,s:s,s:I,s:I,s:o,s:o}", "place", s->place, "why",
                                     SAY_WHY(v, s->why), "since_ms", (json_int_t)s->since_ms,
                                     "entry", (json_int_t)s->entry, "heard_ms",
                                     view_int(s->heard_ms != 0, s->heard_ms), "heard_by",
                                     view_int(s->heard_by != 0, s->heard_by)));
    }
    return RESULT_OK;
}

/* ---- contact */

struct result water_loop_places(const struct view *v, const char ***out, size_t *out_count)
{
    struct statement *q = store_prepare(v->store, Q_WATER_LOOP_PLACES);
    *out = NULL;
    *out_count = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char **code = evidence_grow(v->arena, out, out_count, sizeof *code);
        *code = arena_copy(v->arena, store_text(q, 0));
    }
}

static json_t *tanks_json(const struct water_credit *c)
{
    json_t *list = json_array();
    for (size_t i = 0; i < c->tank_count; i++) {
        const struct water_credit_tank *t = &c->tanks[i];
        view_append(list, json_pack("{s:s,s:I,s:I,s:I,s:I,s:I,s:I}", "code", t->code, "volume_ml",
                                    (json_int_t)t->tank.volume_ml, "flow_ml_min",
                                    (json_int_t)t->tank.flow_ml_min, "baffling",
                                    (json_int_t)t->tank.baffling_milli, "t10_ms",
                                    (json_int_t)t->worth.t10_ms, "giardia",
                                    (json_int_t)t->worth.giardia_milli, "virus",
                                    (json_int_t)t->worth.virus_milli));
    }
    return list;
}

static json_t *worst_json(const struct view *v, const struct water_credit *c)
{
    static const enum water_meter meters[] = {METER_CHLORINE, METER_PH, METER_TEMP, METER_FLOW};
    json_t *list = json_array();
    for (size_t i = 0; i < sizeof meters / sizeof meters[0]; i++) {
        const struct water_meter_row *m = &water_meters[meters[i]];
        bool has = c->has[meters[i]];
        view_append(list, json_pack("{s:s,s:s,s:o,s:o}", "kind", m->field, "unit", m->unit, "value",
                                    view_int(has, c->worst[meters[i]]), "entry",
                                    view_int(has, c->entry[meters[i]])));
    }
    return list;
}

static json_t *period_json(const struct water_credit *c, int64_t from_ms, int64_t to_ms)
{
    return json_pack("{s:I,s:I,s:b,s:b,s:I,s:I}", "from_ms", (json_int_t)from_ms, "to_ms",
                     (json_int_t)to_ms, "known", (int)c->known, "low", (int)c->low, "giardia",
                     (json_int_t)c->worth.giardia_milli, "virus", (json_int_t)c->worth.virus_milli);
}

static json_t *contact_json(const struct view *v, const struct water_credit *c, int64_t from_ms,
                            int64_t to_ms)
{
    json_t *o = period_json(c, from_ms, to_ms);
    view_put(o, "giardia_asked", json_integer(c->rule->giardia_milli));
    view_put(o, "virus_asked", json_integer(c->rule->virus_milli));
    view_put(o, "source", json_string(c->rule->source->title));
    view_put(o, "worst", worst_json(v, c));
    view_put(o, "segments", tanks_json(c));
    return o;
}

/* The periods of a loop that asks for contact, and the one of now in full. */
static void put_contact(const struct view *v, const struct water_book *b, int64_t begin_ms,
                        int64_t at_ms, json_t *loop)
{
    json_t *periods = json_array(), *contact = NULL;
    int64_t next_ms = begin_ms;
    for (int n = 0; n < PERIODS_MAX && next_ms <= at_ms; n++) {
        struct water_credit c;
        int64_t from_ms, to_ms;
        water_period_at(b, v->profile, next_ms, &from_ms, &to_ms);
        bool last = to_ms > at_ms;
        water_credit(b, v->profile, last ? at_ms : to_ms - 1, from_ms, to_ms, 0, &c);
        next_ms = to_ms;
        if (c.asked) {
            view_append(periods, period_json(&c, from_ms, to_ms));
            contact = last ? contact_json(v, &c, from_ms, to_ms) : contact;
        }
    }
    view_put(loop, "contact", contact != NULL ? contact : json_null());
    view_put(loop, "periods", periods);
}

/* ---- what gathers */

static struct result forecast_json(const struct water_balance *b, json_t **out)
{
    *out = json_array();
    if (!b->forecast.known || b->seen_count == 0) {
        return RESULT_OK;
    }
    const struct wash_seen *last = &b->seen[b->seen_count - 1];
    /* as far as the next change, or as the limit where that is later; a day where nothing says */
    int64_t end_ms = b->next_change_ms > last->at_ms ? b->next_change_ms : last->at_ms + 86400000;
    end_ms = b->forecast.reach_ms > end_ms && b->forecast.reach_ms < end_ms + 86400000
                 ? b->forecast.reach_ms
                 : end_ms;
    for (int i = 0; i <= FORECAST_POINTS; i++) {
        int64_t at_ms = last->at_ms + (end_ms - last->at_ms) / FORECAST_POINTS * i, level;
        TRY(wash_forecast_at(&b->record, last, &b->forecast, at_ms, &level));
        view_append(*out,
                    json_pack("{s:I,s:I}", "at_ms", (json_int_t)at_ms, "value", (json_int_t)level));
    }
    return RESULT_OK;
}

static struct result put_balance(const struct view *v, const char *place, int64_t at_ms,
                                 json_t *loop)
{
    static const char *const reaches[] = {
        [WASH_STAYS_BELOW] = "stays-below", [WASH_REACHES] = "reaches", [WASH_ABOVE_NOW] = "above"};
    struct water_balance b;
    json_t *forecast, *readings = json_array();
    struct result r = water_balance(v->store, v->arena, v->profile, place, at_ms, &b);
    if (r.code != CODE_OK || !b.followed) {
        json_decref(readings);
        view_put(loop, "balance", json_null());
        return r;
    }
    for (size_t i = 0; i < b.seen_count; i++) {
        view_append(readings, json_pack("{s:I,s:I}", "at_ms", (json_int_t)b.seen[i].at_ms, "value",
                                        (json_int_t)b.seen[i].level_milli));
    }
    r = forecast_json(&b, &forecast);
    json_t *o = json_pack(
        "{s:s,s:s,s:I,s:o,s:o,s:o,s:b,s:I,s:b,s:I,s:o,s:s,s:o,s:b,s:o,s:o,s:o}", "measure",
        water_meters[b.measure].field, "unit", water_meters[b.measure].told, "limit",
        (json_int_t)b.limit_milli, "source", view_text(b.source != NULL ? b.source->title : NULL),
        "changed_ms", view_int(b.changed_ms != 0, b.changed_ms), "next_change_ms",
        view_int(b.next_change_ms != 0, b.next_change_ms), "flows_read", (int)b.flows_read,
        "leaves_ml_h", (json_int_t)b.record.leaves_ml_h, "known", (int)b.forecast.known, "load",
        (json_int_t)b.forecast.load_milli_h, "steady",
        view_int(b.forecast.has_steady, b.forecast.steady_milli), "reach",
        reaches[b.forecast.reach], "reach_ms",
        view_int(b.forecast.reach_ms != 0, b.forecast.reach_ms), "due", (int)b.due, "change_by_ms",
        view_int(b.change_by_ms != 0, b.change_by_ms), "readings", readings, "forecast", forecast);
    view_put(loop, "balance", o);
    return r;
}

static struct result put_loops(const struct view *v, int64_t from_ms, int64_t at_ms, json_t *out)
{
    const char **places;
    size_t count;
    json_t *loops = json_array();
    view_put(out, "loops", loops);
    TRY(water_loop_places(v, &places, &count));
    for (size_t i = 0; i < count; i++) {
        struct water_book b;
        TRY(water_book_read(v->store, v->arena, places[i], from_ms, at_ms, &b));
        const struct water_loop *loop = water_loop_at(&b, at_ms);
        if (loop == NULL) {
            continue;
        }
        json_t *o =
            json_pack("{s:s,s:o}", "place", places[i], "rule",
                      view_text(loop->rule != NULL ? words_of(v->arena, v->lang, "word.rule.",
                                                              loop->rule, loop->rule)
                                                   : NULL));
        view_append(loops, o);
        put_contact(v, &b, from_ms, at_ms, o);
        TRY(put_balance(v, places[i], at_ms, o));
    }
    return RESULT_OK;
}

/* ---- what comes round */

static struct result put_duties(const struct view *v, json_t *out)
{
    struct duty *list;
    size_t count;
    json_t *duties = json_array();
    view_put(out, "duties", duties);
    TRY(duties_at(v->store, v->arena, v->now_ms, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct duty *d = &list[i];
        bool water = strcmp(d->kind, "water") == 0 ||
                     (d->about != NULL && strcmp(d->about, "water-reading") == 0);
        if (water) {
            view_append(duties,
                        json_pack("{s:s,s:s,s:o,s:I,s:s}", "code", d->code, "title", d->title,
                                  "place", view_text(d->place), "due_ms", (json_int_t)d->due_ms,
                                  "state", duty_state_text(d->state)));
        }
    }
    return RESULT_OK;
}

struct result view_water_loops(const struct view *v, int64_t from_ms, int64_t at_ms, json_t *out)
{
    TRY(put_stops(v, out));
    TRY(put_loops(v, from_ms, at_ms, out));
    return put_duties(v, out);
}
