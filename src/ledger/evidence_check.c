/* Evidence of checks and of open actions on the environment. */
#include <string.h>

#include "base/json.h"
#include "ledger/evidence_inner.h"

/* Checks further away than that bracket nothing. */
#define CHECK_WINDOW_MS (INT64_C(2) * 24 * 3600 * 1000)

static void add_check(struct collector *c, const struct evidence_check *check)
{
    for (size_t i = 0; i < c->e->check_count; i++) {
        const struct evidence_check *k = &c->e->checks[i];
        if (k->entry == check->entry && k->at_ms == check->at_ms && k->ok == check->ok &&
            k->run == check->run && strcmp(k->kind, check->kind) == 0) {
            return;
        }
    }
    struct evidence_check *added = EVIDENCE_ADD(c->arena, c->e, check);
    *added = *check;
}

/* Rows: place, run, ok, at_ms, entry. */
static struct result metal_checks(struct collector *c, struct statement *q)
{
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_check check = {.kind = "metal-check",
                                       .lot = EVIDENCE_NO_LOT,
                                       .place = evidence_text_or_null(c, q, 0),
                                       .run = store_int(q, 1),
                                       .ok = store_int(q, 2) != 0,
                                       .at_ms = store_int(q, 3),
                                       .entry = store_int(q, 4)};
        add_check(c, &check);
    }
}

/* All checks of detectors and pack lines around the minutes of packing; which of them count for a
 * lot is the clause's to say. */
static struct result checks_around(struct collector *c, const struct evidence_contact *k)
{
    int64_t from_ms = k->from_ms - CHECK_WINDOW_MS, to_ms = k->to_ms + CHECK_WINDOW_MS;
    for (size_t i = 0; i < c->e->place_count; i++) {
        struct statement *q = store_prepare(c->store, Q_EVIDENCE_READINGS_AT);
        store_bind_text(q, 1, "metal-check");
        store_bind_text(q, 2, c->e->places[i].code);
        store_bind_int(q, 3, from_ms);
        store_bind_int(q, 4, to_ms);
        TRY(metal_checks(c, q));
    }
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_READINGS_NOWHERE);
    store_bind_text(q, 1, "metal-check");
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    return metal_checks(c, q);
}

static struct result label_checks(struct collector *c, size_t lot)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_READINGS_OF_LOT);
    store_bind_text(q, 1, "label-check");
    store_bind_int(q, 2, c->e->lots[lot].id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_check check = {.kind = "label-check",
                                       .lot = lot,
                                       .place = evidence_text_or_null(c, q, 1),
                                       .run = store_int(q, 2),
                                       .ok = store_int(q, 3) != 0,
                                       .at_ms = store_int(q, 6),
                                       .entry = store_int(q, 7)};
        add_check(c, &check);
    }
}

/* What was read of the water of a wash line while the lot was in it, and on both sides. */
static struct result water_readings(struct collector *c, const struct evidence_contact *k)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_WATER_READINGS_AT);
    store_bind_text(q, 1, k->place);
    store_bind_int(q, 2, k->from_ms - CHECK_WINDOW_MS);
    store_bind_int(q, 3, k->to_ms + CHECK_WINDOW_MS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_check check = {.kind = "water-reading",
                                       .lot = EVIDENCE_NO_LOT,
                                       .place = k->place,
                                       .ok = store_int(q, 0) != 0,
                                       .at_ms = store_int(q, 1),
                                       .entry = store_int(q, 2)};
        add_check(c, &check);
    }
}

static bool is_wash_line(const struct evidence *e, const char *place)
{
    for (size_t i = 0; i < e->place_count && place != NULL; i++) {
        if (strcmp(e->places[i].code, place) == 0) {
            return strcmp(e->places[i].kind, "wash-line") == 0;
        }
    }
    return false;
}

struct result evidence_of_checks(struct collector *c)
{
    for (size_t i = 0; i < c->e->contact_count; i++) {
        if (strcmp(c->e->contacts[i].act, "pack") == 0) {
            TRY(checks_around(c, &c->e->contacts[i]));
        }
        if (is_wash_line(c->e, c->e->contacts[i].place)) {
            TRY(water_readings(c, &c->e->contacts[i]));
        }
    }
    for (size_t i = 0; i < c->e->lot_count; i++) {
        TRY(label_checks(c, i));
    }
    return RESULT_OK;
}

struct result evidence_environments(struct collector *c)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_ENVIRONMENTS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_environment *action = EVIDENCE_ADD(c->arena, c->e, environment);
        *action = (struct evidence_environment){.id = store_int(q, 0),
                                                .place = evidence_text(c, q, 1),
                                                .from_ms = store_int(q, 2),
                                                .entry = store_int(q, 4)};
        json_t *data = NULL;
        TRY(json_read_stored(store_text(q, 3), &data));
        json_t *from = json_object_get(data, "from_ms");
        if (json_is_integer(from)) {
            action->from_ms = json_integer_value(from);
        }
        json_decref(data);
    }
}
