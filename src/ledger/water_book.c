#include "ledger/water_book.h"

#include <string.h>

#include "base/json.h"
#include "ledger/evidence.h"

#define ANY (INT64_MAX / 4)

const struct water_meter_row water_meters[METERS] = {
    [METER_CHLORINE] = {"chlorine", "mg/L", "mg/L", "wash-chlorine", ANY, "0 mg/L or more"},
    [METER_PH] = {"ph", "pH", "", "wash-ph", 14000, "0 to 14"},
    [METER_TEMP] = {"temp", "C", "C", "wash-temp", 120000, "-60 C to 120 C"},
    [METER_TURBIDITY] = {"turbidity", "NTU", "NTU", "wash-turbidity", 10000000, "0 to 10000 NTU"},
    [METER_FLOW] = {"flow", "L/min", "L/min", NULL, ANY, "0 L/min or more"},
    [METER_SOLIDS] = {"solids", "mg/L TSS", "mg/L", "wash-solids", 1000000000, "0 to 1000000 mg/L"},
    [METER_CONDUCTIVITY] = {"conductivity", "uS/cm", "uS/cm", "wash-conductivity", 1000000000,
                            "0 to 1000000 uS/cm"},
    [METER_MAKE_UP] = {"make_up", "L/h make-up", "L/h", NULL, ANY, "0 L/h or more"},
    [METER_BLOW_DOWN] = {"blow_down", "L/h blow-down", "L/h", NULL, ANY, "0 L/h or more"},
    [METER_ORP] = {"orp", "mV", "mV", "wash-orp", 2000000, "0 to 2000 mV"},
};

enum water_meter water_meter_of(const char *unit)
{
    int m = 0;
    while (m < METERS && strcmp(water_meters[m].unit, unit) != 0) {
        m++;
    }
    return (enum water_meter)m;
}

enum water_meter water_meter_named(const char *field)
{
    int m = 0;
    while (m < METERS && strcmp(water_meters[m].field, field) != 0) {
        m++;
    }
    return (enum water_meter)m;
}

static int64_t data_int(const json_t *data, const char *key)
{
    return json_integer_value(json_object_get(data, key));
}

static void add_loop(struct water_book *b, struct arena *a, struct statement *q, const json_t *data)
{
    const char *rule = json_string_value(json_object_get(data, "rule"));
    const char *measure = json_string_value(json_object_get(data, "measure"));
    struct water_loop *l = evidence_grow(a, &b->loops, &b->loop_count, sizeof *l);
    *l = (struct water_loop){.rule = rule != NULL ? arena_copy(a, rule) : NULL,
                             .measure = measure != NULL ? water_meter_named(measure) : METERS,
                             .volume_ml = data_int(data, "volume_ml"),
                             .fresh_milli = data_int(data, "fresh_milli"),
                             .decay_milli = data_int(data, "decay_milli"),
                             .change_ms = data_int(data, "change_ms"),
                             .active = store_int(q, 1) != 0,
                             .from_ms = store_int(q, 2),
                             .entry = store_int(q, 4)};
}

static void add_tank(struct water_book *b, struct arena *a, struct statement *q, const json_t *data)
{
    struct water_tank *t = evidence_grow(a, &b->tanks, &b->tank_count, sizeof *t);
    *t = (struct water_tank){.code = arena_copy(a, store_text(q, 0)),
                             .volume_ml = data_int(data, "volume_ml"),
                             .flow_ml_min = data_int(data, "flow_ml_min"),
                             .baffling_milli = data_int(data, "baffling_milli"),
                             .active = store_int(q, 1) != 0,
                             .from_ms = store_int(q, 2),
                             .entry = store_int(q, 4)};
}

/* A period begins with the good reading that let it run again. */
static void add_restart(struct water_book *b, struct arena *a, struct statement *q,
                        const json_t *data)
{
    if (store_int(q, 1) == 0) {
        int64_t *restart = evidence_grow(a, &b->restarts, &b->restart_count, sizeof *restart);
        *restart = data_int(data, "reading_ms");
    }
}

typedef void add_fn(struct water_book *b, struct arena *a, struct statement *q, const json_t *data);

static struct result versions(struct store *s, struct arena *a, const char *kind,
                              struct water_book *b, add_fn *add)
{
    struct statement *q = store_prepare(s, Q_WATER_VERSIONS);
    store_bind_text(q, 1, kind);
    store_bind_text(q, 2, b->place);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(json_read_stored(store_text(q, 3), &data));
        add(b, a, q, data);
        json_decref(data);
    }
}

struct result water_book_read(struct store *s, struct arena *a, const char *place, int64_t from_ms,
                              int64_t to_ms, struct water_book *out)
{
    *out = (struct water_book){.place = arena_copy(a, place)};
    TRY(versions(s, a, "water-loop", out, add_loop));
    TRY(versions(s, a, "water-segment", out, add_tank));
    TRY(versions(s, a, "stop", out, add_restart));
    struct statement *q = store_prepare(s, Q_WATER_BOOK_READINGS);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        enum water_meter meter = water_meter_of(store_text(q, 0));
        if (meter != METERS) {
            struct water_read *r = evidence_grow(a, &out->reads, &out->read_count, sizeof *r);
            *r = (struct water_read){.meter = meter,
                                     .value = store_int(q, 1),
                                     .ok = store_int(q, 2) != 0,
                                     .at_ms = store_int(q, 3),
                                     .entry = store_int(q, 4)};
        }
    }
}

const struct water_loop *water_loop_at(const struct water_book *b, int64_t at_ms)
{
    const struct water_loop *found = NULL;
    for (size_t i = 0; i < b->loop_count; i++) {
        found = b->loops[i].from_ms <= at_ms ? &b->loops[i] : found;
    }
    return found != NULL && found->active ? found : NULL;
}

const struct water_rule *water_rule_of(const struct profile *p, const struct water_loop *loop,
                                       const char *place_kind)
{
    const struct water_rule *rule =
        loop != NULL && loop->rule != NULL ? profile_water_rule(p, loop->rule) : NULL;
    return rule != NULL ? rule : profile_water_rule_at(p, place_kind);
}

struct result water_changed(struct store *s, const char *place, int64_t at_ms, int64_t *out_ms)
{
    struct statement *q = store_prepare(s, Q_WATER_CHANGED);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, at_ms);
    bool row;
    TRY(store_step(q, &row));
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}
