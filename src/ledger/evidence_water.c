/* Evidence of the waters that go round: a book of each that a lot met, or may have met. */
#include <string.h>

#include "ledger/evidence_inner.h"
#include "ledger/water_book.h"

/* A period of contact is a house day at most; so far about each use its readings may lie. */
#define PERIOD_MS (INT64_C(26) * 3600 * 1000)

struct span {
    int64_t from_ms, to_ms;
};

static void widen(struct span *s, int64_t from_ms, int64_t to_ms)
{
    s->from_ms = from_ms < s->from_ms ? from_ms : s->from_ms;
    s->to_ms = to_ms > s->to_ms ? to_ms : s->to_ms;
}

/* On a wash line what passed over it; of a water system what was watered with it, and, as a step
 * may leave out where its water came from, whatever else was done. */
static struct span span_of(const struct evidence *e, const struct evidence_place *place)
{
    struct span s = {INT64_MAX, INT64_MIN};
    bool system = strcmp(place->kind, "water-system") == 0;
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (system || (k->place != NULL && strcmp(k->place, place->code) == 0)) {
            widen(&s, k->start_ms < k->from_ms ? k->start_ms : k->from_ms, k->to_ms);
        }
    }
    for (size_t i = 0; i < e->watering_count && system; i++) {
        widen(&s, e->waterings[i].at_ms, e->waterings[i].to_ms);
    }
    return s;
}

static struct result loop_places(struct collector *c, struct id_set *places)
{
    struct statement *q = store_prepare(c->store, Q_WATER_LOOP_PLACES);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        for (size_t i = 0; i < c->e->place_count; i++) {
            if (strcmp(c->e->places[i].code, store_text(q, 0)) == 0) {
                id_set_add(places, (int64_t)i);
            }
        }
    }
}

struct result evidence_of_waters(struct collector *c)
{
    struct id_set places = id_set_new(c->arena);
    TRY(loop_places(c, &places));
    for (size_t i = 0; i < places.count; i++) {
        const struct evidence_place *place = &c->e->places[places.id[i]];
        struct span s = span_of(c->e, place);
        if (s.from_ms <= s.to_ms) {
            struct water_book *book =
                evidence_grow(c->arena, &c->e->waters, &c->e->water_count, sizeof *book);
            TRY(water_book_read(c->store, c->arena, place->code, s.from_ms - PERIOD_MS,
                                s.to_ms + PERIOD_MS, book));
        }
    }
    return RESULT_OK;
}
