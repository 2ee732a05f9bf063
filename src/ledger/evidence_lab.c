/* Evidence of seed, treatment and laboratory. */
#include <string.h>

#include "base/json.h"
#include "ledger/evidence_inner.h"
#include "ledger/finding.h"

#define WATER_LOOK_BACK_MS                                                \
    (INT64_C(366) * 24 * 3600 * 1000) /* a result older than that is none \
                                       */

static struct result seed_states(struct collector *c, size_t lot, int64_t id, bool of_supplier_lot)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_SEED_STATES);
    store_bind_int(q, 1, id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_seed_state *state = EVIDENCE_ADD(c->arena, c->e, seed_state);
        *state = (struct evidence_seed_state){.lot = lot,
                                              .of_supplier_lot = of_supplier_lot,
                                              .state = evidence_text(c, q, 0),
                                              .markets = evidence_text(c, q, 1),
                                              .at_ms = store_int(q, 2),
                                              .entry = store_int(q, 3)};
    }
}

static struct result paper_kind(struct collector *c, const char *hex, const char **inout_kinds)
{
    struct hash sha;
    if (hex == NULL || hex_read(hex, "papers", sha.b, sizeof sha.b).code != CODE_OK) {
        return RESULT_OK; /* not the name of any paper */
    }
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_PAPER);
    store_bind_bytes(q, 1, sha.b, sizeof sha.b);
    bool row;
    TRY(store_step(q, &row));
    if (row) {
        const char *comma = (*inout_kinds)[0] != '\0' ? "," : "";
        *inout_kinds = arena_printf(c->arena, "%s%s%s", *inout_kinds, comma, store_text(q, 0));
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* The kinds of the papers that the command named and that are on record. */
static struct result papers_of(struct collector *c, const char *body, const char **out)
{
    json_t *entry = NULL;
    *out = "";
    TRY(json_read_stored_before(c->arena, body, "effects", &entry));
    json_t *papers = json_object_get(json_object_get(entry, "did"), "papers");
    struct result r = RESULT_OK;
    for (size_t i = 0; i < json_array_size(papers) && r.code == CODE_OK; i++) {
        r = paper_kind(c, json_string_value(json_array_get(papers, i)), out);
    }
    json_decref(entry);
    return r;
}

static struct result constants_signed(struct collector *c, const char *data, bool *out)
{
    json_t *object = NULL;
    TRY(json_read_stored(data, &object));
    int64_t entry = json_integer_value(json_object_get(object, "constants_entry"));
    json_decref(object);
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_CONSTANTS);
    store_bind_int(q, 1, entry);
    TRY(store_step(q, out));
    for (bool row = *out; row;) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result treatments(struct collector *c, size_t lot)
{
    size_t first = c->e->treatment_count;
    const char **data = NULL, **body = NULL;
    size_t data_count = 0, body_count = 0;
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_TREATMENTS);
    store_bind_int(q, 1, c->e->lots[lot].id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct evidence_treatment *t = EVIDENCE_ADD(c->arena, c->e, treatment);
        *t = (struct evidence_treatment){.lot = lot,
                                         .way = evidence_text(c, q, 0),
                                         .recipe = evidence_text(c, q, 1),
                                         .reason = evidence_text(c, q, 2),
                                         .met = store_int(q, 3) != 0,
                                         .papers = "",
                                         .at_ms = store_int(q, 5),
                                         .entry = store_int(q, 6)};
        const char **text = evidence_grow(c->arena, &data, &data_count, sizeof *data);
        *text = evidence_text(c, q, 4);
        text = evidence_grow(c->arena, &body, &body_count, sizeof *body);
        *text = evidence_text(c, q, 7);
    }
    for (size_t i = 0; i < data_count; i++) {
        struct evidence_treatment *t = &c->e->treatments[first + i];
        TRY(papers_of(c, body[i], &t->papers));
        TRY(constants_signed(c, data[i], &t->constants_signed));
    }
    return RESULT_OK;
}

struct result evidence_of_seed(struct collector *c, size_t lot)
{
    const struct evidence_lot *l = &c->e->lots[lot];
    TRY(seed_states(c, lot, l->id, false));
    if (l->supplier_lot != 0) {
        TRY(seed_states(c, lot, l->supplier_lot, true));
    }
    return treatments(c, lot);
}

static struct result findings(struct collector *c, size_t sample)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_FINDINGS);
    store_bind_int(q, 1, c->e->samples[sample].id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_finding *f = EVIDENCE_ADD(c->arena, c->e, finding);
        *f = (struct evidence_finding){.sample = sample,
                                       .organism = evidence_text(c, q, 0),
                                       .state = evidence_text(c, q, 1),
                                       .method = evidence_text(c, q, 2),
                                       .report = store_int(q, 3) != 0,
                                       .by_hand = store_int(q, 4) != 0,
                                       .second_person = store_int(q, 5),
                                       .person = store_int(q, 6),
                                       .at_ms = store_int(q, 7),
                                       .entry = store_int(q, 8)};
        size_t len;
        const void *sha = store_bytes(q, 9, &len);
        if (f->report && len == sizeof f->report_sha256.b) {
            memcpy(f->report_sha256.b, sha, len);
        }
    }
}

struct result evidence_of_sample(struct store *s, struct arena *a, int64_t sample, const char *code,
                                 struct evidence *out)
{
    *out = (struct evidence){0};
    struct collector c = {.store = s, .arena = a, .e = out};
    struct evidence_sample *added = EVIDENCE_ADD(a, out, sample);
    *added = (struct evidence_sample){.id = sample, .code = code, .lot = EVIDENCE_NO_LOT};
    return findings(&c, 0);
}

/* Row: id, code, location, what, taken_ms, volume_ml, entry. */
static struct evidence_sample sample_row(struct collector *c, struct statement *q, size_t lot,
                                         const char *place)
{
    return (struct evidence_sample){.id = store_int(q, 0),
                                    .lot = lot,
                                    .place = place,
                                    .code = evidence_text(c, q, 1),
                                    .location = evidence_text(c, q, 2),
                                    .what = evidence_text(c, q, 3),
                                    .taken_ms = store_int(q, 4),
                                    .volume_ml = store_int(q, 5),
                                    .entry = store_int(q, 6)};
}

static struct result samples(struct collector *c, struct statement *q, size_t lot)
{
    size_t first = c->e->sample_count;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct evidence_sample *s = EVIDENCE_ADD(c->arena, c->e, sample);
        *s = sample_row(c, q, lot, NULL);
    }
    for (size_t i = first; i < c->e->sample_count; i++) {
        TRY(findings(c, i));
    }
    return RESULT_OK;
}

static const char *data_text(struct collector *c, const json_t *data, const char *key)
{
    const char *text = json_string_value(json_object_get(data, key));
    return text != NULL ? arena_copy(c->arena, text) : "";
}

/* Readings of one kind of a lot whose data says more. */
static struct result readings(struct collector *c, size_t lot, const char *kind)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_READINGS_OF_LOT);
    store_bind_text(q, 1, kind);
    store_bind_int(q, 2, c->e->lots[lot].id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        json_t *data = NULL;
        TRY(json_read_stored(store_text(q, 5), &data));
        if (strcmp(kind, "watering") == 0) {
            struct evidence_watering *w = EVIDENCE_ADD(c->arena, c->e, watering);
            *w = (struct evidence_watering){.lot = lot,
                                            .source = data_text(c, data, "source"),
                                            .at_ms = store_int(q, 6),
                                            .to_ms = store_int(q, 6),
                                            .entry = store_int(q, 7)};
            const json_t *to_ms = json_object_get(data, "to_ms");
            w->to_ms = to_ms != NULL ? json_integer_value(to_ms) : w->to_ms;
        } else {
            struct evidence_waiver *w = EVIDENCE_ADD(c->arena, c->e, waiver);
            *w = (struct evidence_waiver){.lot = lot,
                                          .sample = store_int(q, 4),
                                          .market = data_text(c, data, "market"),
                                          .role = data_text(c, data, "role"),
                                          .reason = data_text(c, data, "reason"),
                                          .entry = store_int(q, 7)};
        }
        json_decref(data);
    }
}

struct result evidence_of_samples(struct collector *c, size_t lot)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_SAMPLES);
    store_bind_int(q, 1, c->e->lots[lot].id);
    TRY(samples(c, q, lot));
    TRY(readings(c, lot, "watering"));
    return readings(c, lot, "age-waiver");
}

/* Appends the samples of one, which come newest first, in ledger order. */
static void append_turned(struct collector *c, const struct evidence *newest_first)
{
    size_t first = c->e->sample_count, count = newest_first->sample_count;
    for (size_t i = count; i-- > 0;) {
        struct evidence_sample *s = EVIDENCE_ADD(c->arena, c->e, sample);
        *s = newest_first->samples[i];
        for (size_t k = 0; k < newest_first->finding_count; k++) {
            if (newest_first->findings[k].sample == i) {
                struct evidence_finding *f = EVIDENCE_ADD(c->arena, c->e, finding);
                *f = newest_first->findings[k];
                f->sample = first + (count - 1 - i);
            }
        }
    }
}

/* The state of a water system at a moment is that of its newest sample with a result: samples
 * taken before that one say nothing about the first use, nor about any later one. */
static struct result water_samples(struct collector *c, const char *place, int64_t first_ms,
                                   int64_t last_ms)
{
    struct evidence seen = {0};
    struct collector back = {.store = c->store, .arena = c->arena, .e = &seen};
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_WATER_SAMPLES);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, first_ms - WATER_LOOK_BACK_MS);
    store_bind_int(q, 3, last_ms);
    for (bool settled = false; !settled;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct evidence_sample *s = EVIDENCE_ADD(c->arena, &seen, sample);
        *s = sample_row(c, q, EVIDENCE_NO_LOT, place);
        TRY(findings(&back, seen.sample_count - 1));
        settled = s->taken_ms <= first_ms && water_settled(&seen, seen.sample_count - 1);
    }
    append_turned(c, &seen);
    return RESULT_OK;
}

/* Samples of every water system from the state at the first use (no older than a year) to the last
 * use. */
struct result evidence_of_water(struct collector *c)
{
    int64_t first_ms = INT64_MAX, last_ms = INT64_MIN;
    for (size_t i = 0; i < c->e->watering_count; i++) {
        const struct evidence_watering *w = &c->e->waterings[i];
        first_ms = w->at_ms < first_ms ? w->at_ms : first_ms;
        last_ms = w->to_ms > last_ms ? w->to_ms : last_ms;
    }
    for (size_t i = 0; i < c->e->contact_count; i++) {
        const struct evidence_contact *k = &c->e->contacts[i];
        first_ms = k->start_ms < first_ms ? k->start_ms : first_ms;
        last_ms = k->to_ms > last_ms ? k->to_ms : last_ms;
    }
    for (size_t i = 0; first_ms <= last_ms && i < c->e->place_count; i++) {
        const struct evidence_place *p = &c->e->places[i];
        if (strcmp(p->kind, "water-system") == 0) {
            TRY(water_samples(c, p->code, first_ms, last_ms));
        }
    }
    return RESULT_OK;
}

/* Swabs that found something: they end what a clean is good for. */
struct result evidence_swabs(struct collector *c)
{
    size_t first = c->e->sample_count;
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_SWABS_POSITIVE);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct evidence_sample *s = EVIDENCE_ADD(c->arena, c->e, sample);
        *s = (struct evidence_sample){.id = store_int(q, 0),
                                      .lot = EVIDENCE_NO_LOT,
                                      .code = evidence_text(c, q, 1),
                                      .place = evidence_text(c, q, 2),
                                      .location = evidence_text(c, q, 3),
                                      .what = "swab",
                                      .taken_ms = store_int(q, 4),
                                      .volume_ml = store_int(q, 5),
                                      .entry = store_int(q, 6)};
    }
    for (size_t i = first; i < c->e->sample_count; i++) {
        TRY(findings(c, i));
    }
    return RESULT_OK;
}
