/* Evidence of places: what was where, what else was there, cleans. */
#include <string.h>

#include "ledger/evidence_inner.h"
#include "ledger/view.h"

/* A step at a line, and a run, take no longer. */
#define STEP_LONGEST_MS (INT64_C(2) * 24 * 3600 * 1000)
#define RUN_LONGEST_MS (INT64_C(30) * 24 * 3600 * 1000)
#define CLEAN_LOOK_BACK_MS (INT64_C(30) * 24 * 3600 * 1000)

struct result evidence_of_contacts(struct collector *c, size_t lot)
{
    const struct evidence_lot *l = &c->e->lots[lot];
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_CONTACTS);
    store_bind_int(q, 1, l->id);
    store_bind_int(q, 2, EVIDENCE_OPEN_MS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        bool run = store_int(q, 3) != 0;
        struct evidence_contact *k = EVIDENCE_ADD(c->arena, c->e, contact);
        *k = (struct evidence_contact){.lot = lot,
                                       .entry = store_int(q, 0),
                                       .act = evidence_text(c, q, 1),
                                       .place = evidence_text_or_null(c, q, 2),
                                       .run = store_int(q, 3),
                                       .family = run ? evidence_text(c, q, 4) : l->family,
                                       .allergens = run ? evidence_text(c, q, 5) : l->allergens,
                                       .start_ms = store_int(q, 6),
                                       .from_ms = store_int(q, 7),
                                       .to_ms = store_int(q, 8),
                                       .made = store_int(q, 9) != 0};
        k->start_ms = k->from_ms < k->start_ms ? k->from_ms : k->start_ms;
    }
}

static bool is_positive(const struct collector *c, int64_t lot)
{
    size_t low = 0, high = c->positive_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (c->positive_lots[middle] < lot) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low < c->positive_count && c->positive_lots[low] == lot;
}

static bool same_use(const struct evidence_use *x, const struct evidence_use *y)
{
    return x->entry == y->entry && x->lot == y->lot && x->from_ms == y->from_ms &&
           strcmp(x->place, y->place) == 0;
}

/* Two contacts with one place look at overlapping times; what both see is kept once. */
static void add_use(struct collector *c, const struct evidence_use *use)
{
    for (size_t i = 0; i < c->e->use_count; i++) {
        if (same_use(&c->e->uses[i], use)) {
            return;
        }
    }
    struct evidence_use *added = EVIDENCE_ADD(c->arena, c->e, use);
    *added = *use;
    added->positive = is_positive(c, use->lot);
}

static struct result uses_at(struct collector *c, const char *place, int64_t from_ms, int64_t to_ms)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_USES);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms - STEP_LONGEST_MS);
    store_bind_int(q, 3, to_ms);
    store_bind_int(q, 4, from_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct evidence_use use = {.place = place,
                                   .lot = store_int(q, 0),
                                   .lot_code = evidence_text(c, q, 1),
                                   .entry = store_int(q, 2),
                                   .run = store_int(q, 3),
                                   .family = evidence_text(c, q, 4),
                                   .allergens = evidence_text(c, q, 5),
                                   .from_ms = store_int(q, 6),
                                   .to_ms = store_int(q, 7)};
        add_use(c, &use);
    }
    q = store_prepare(c->store, Q_EVIDENCE_CHAMBER_USES);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, to_ms);
    store_bind_int(q, 3, EVIDENCE_OPEN_MS);
    store_bind_int(q, 4, from_ms);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_use use = {.place = place,
                                   .lot = store_int(q, 0),
                                   .lot_code = evidence_text(c, q, 1),
                                   .entry = store_int(q, 2),
                                   .family = "",
                                   .allergens = "",
                                   .from_ms = store_int(q, 3),
                                   .to_ms = store_int(q, 4)};
        add_use(c, &use);
    }
}

static struct result runs_at(struct collector *c, const char *place, int64_t from_ms, int64_t to_ms)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_RUNS);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms - RUN_LONGEST_MS);
    store_bind_int(q, 3, to_ms);
    store_bind_int(q, 4, EVIDENCE_OPEN_MS);
    store_bind_int(q, 5, from_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        bool known = false;
        for (size_t i = 0; i < c->e->run_count && !known; i++) {
            known = c->e->runs[i].id == store_int(q, 0);
        }
        if (known) {
            continue;
        }
        struct evidence_run *run = EVIDENCE_ADD(c->arena, c->e, run);
        *run = (struct evidence_run){.place = place,
                                     .id = store_int(q, 0),
                                     .code = evidence_text(c, q, 1),
                                     .family = evidence_text(c, q, 2),
                                     .allergens = evidence_text(c, q, 3),
                                     .start_ms = store_int(q, 4),
                                     .end_ms = store_int(q, 5)};
    }
}

static void add_clean(struct collector *c, const struct evidence_clean *clean)
{
    for (size_t i = 0; i < c->e->clean_count; i++) {
        if (c->e->cleans[i].entry == clean->entry &&
            strcmp(c->e->cleans[i].place, clean->place) == 0) {
            return;
        }
    }
    struct evidence_clean *added = EVIDENCE_ADD(c->arena, c->e, clean);
    *added = *clean;
}

/* -> the last valid clean before at_ms, with what else was told of the place since; not
 * valid where there is none. Product that was told of later than the clean and was on the place
 * during it makes it count for nothing, however it was decided. */
static struct result cleans_before(struct collector *c, const char *place, int64_t at_ms,
                                   struct evidence_clean *out)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_CLEANS);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, at_ms);
    *out = (struct evidence_clean){.place = place};
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_clean clean = {.place = place,
                                       .valid = store_int(q, 0) != 0,
                                       .start_ms = store_int(q, 1),
                                       .end_ms = store_int(q, 2),
                                       .entry = store_int(q, 3)};
        if (clean.valid) {
            const char *lot;
            TRY(place_in_use(c->store, c->arena, place, clean.start_ms, clean.end_ms, &lot));
            clean.valid = lot == NULL;
        }
        if (clean.valid || clean.end_ms >= at_ms - CLEAN_LOOK_BACK_MS) {
            add_clean(c, &clean);
        }
        if (clean.valid) {
            *out = clean;
            return RESULT_OK;
        }
    }
}

struct result evidence_of_surfaces(struct collector *c)
{
    for (size_t i = 0; i < c->e->contact_count; i++) {
        const struct evidence_contact *k = &c->e->contacts[i];
        if (k->place == NULL) {
            continue;
        }
        struct evidence_clean clean;
        TRY(cleans_before(c, k->place, k->start_ms, &clean));
        if (clean.valid) {
            TRY(uses_at(c, k->place, clean.end_ms, k->start_ms));
            TRY(runs_at(c, k->place, clean.end_ms, k->start_ms));
        }
    }
    return RESULT_OK;
}
