#include "ledger/evidence.h"

#include <string.h>

#include "base/check.h"
#include "ledger/evidence_inner.h"
#include "ledger/water_book.h"

enum { GROW_FIRST = 8 };

void *evidence_grow(struct arena *a, void *array, size_t *count, size_t size)
{
    unsigned char *list;
    memcpy(&list, array, sizeof list); /* a pointer to any object type */
    bool full = *count == 0 || (*count >= GROW_FIRST && (*count & (*count - 1)) == 0);
    if (full) {
        unsigned char *grown = arena_array(a, *count == 0 ? GROW_FIRST : *count * 2, size);
        if (*count > 0) {
            memcpy(grown, list, *count * size);
        }
        list = grown;
        memcpy(array, &list, sizeof list);
    }
    return list + size * (*count)++;
}

const char *evidence_text(struct collector *c, struct statement *q, int column)
{
    const char *text = store_text(q, column);
    return text != NULL ? arena_copy(c->arena, text) : "";
}

const char *evidence_text_or_null(struct collector *c, struct statement *q, int column)
{
    const char *text = store_text(q, column);
    return text != NULL ? arena_copy(c->arena, text) : NULL;
}

const struct evidence_place *evidence_place(const struct evidence *e, const char *code)
{
    for (size_t i = 0; code != NULL && i < e->place_count; i++) {
        if (strcmp(e->places[i].code, code) == 0) {
            return &e->places[i];
        }
    }
    return NULL;
}

bool evidence_place_within(const struct evidence *e, const char *inner, const char *outer)
{
    const char *at = inner;
    /* bounded, as a place might be told to lie in itself */
    for (size_t i = 0; i <= e->place_count && at != NULL; i++) {
        if (strcmp(at, outer) == 0) {
            return true;
        }
        const struct evidence_place *p = evidence_place(e, at);
        at = p != NULL ? p->parent : NULL;
    }
    return false;
}

static struct result add_lot(struct collector *c, int64_t id, size_t via, bool *out_found)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_LOT);
    store_bind_int(q, 1, id);
    bool row;
    TRY(store_step(q, &row));
    *out_found = row;
    if (row) {
        size_t at = c->e->lot_count;
        struct evidence_lot *lot = EVIDENCE_ADD(c->arena, c->e, lot);
        *lot = (struct evidence_lot){.id = id,
                                     .code = evidence_text(c, q, 0),
                                     .item = evidence_text(c, q, 1),
                                     .kind = evidence_text(c, q, 2),
                                     .place = evidence_text_or_null(c, q, 3),
                                     .supplier_lot = store_int(q, 4),
                                     .entry = store_int(q, 5),
                                     .family = evidence_text(c, q, 6),
                                     .allergens = evidence_text(c, q, 7),
                                     .wet_ms = store_int(q, 8),
                                     .via = via == EVIDENCE_NO_LOT ? at : via};
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static size_t find_lot(const struct evidence *e, int64_t id)
{
    for (size_t i = 0; i < e->lot_count; i++) {
        if (e->lots[i].id == id) {
            return i;
        }
    }
    return EVIDENCE_NO_LOT;
}

/* Breadth first, so that via is a shortest way. */
static struct result add_parents(struct collector *c, size_t child)
{
    int64_t *ids = NULL;
    size_t count = 0;
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_PARENTS);
    store_bind_int(q, 1, c->e->lots[child].id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int64_t *id = evidence_grow(c->arena, &ids, &count, sizeof *ids);
        *id = store_int(q, 0);
    }
    c->e->lots[child].made_from = count > 0;
    for (size_t i = 0; i < count; i++) {
        size_t parent = find_lot(c->e, ids[i]);
        if (parent == EVIDENCE_NO_LOT) {
            bool found;
            parent = c->e->lot_count;
            TRY(add_lot(c, ids[i], child, &found));
            CHECK(found); /* the query joined it */
        }
        struct evidence_edge *edge = EVIDENCE_ADD(c->arena, c->e, edge);
        *edge = (struct evidence_edge){.parent = parent, .child = child};
    }
    return RESULT_OK;
}

static struct result add_places(struct collector *c)
{
    struct statement *q = store_prepare(c->store, Q_PLACE_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct evidence_place *place = EVIDENCE_ADD(c->arena, c->e, place);
        *place = (struct evidence_place){.code = evidence_text(c, q, 0),
                                         .kind = evidence_text(c, q, 2),
                                         .class_ = evidence_text(c, q, 3),
                                         .parent = evidence_text_or_null(c, q, 4)};
    }
}

static struct result find_positive_lots(struct collector *c)
{
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_POSITIVE_LOTS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t *id = evidence_grow(c->arena, &c->positive_lots, &c->positive_count,
                                    sizeof *c->positive_lots);
        *id = store_int(q, 0);
    }
}

/* Who told it and who reviewed it, once for each entry. */
static struct result add_entry(struct collector *c, int64_t seq)
{
    if (!id_set_add(&c->entries, seq)) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(c->store, Q_EVIDENCE_ENTRY);
    store_bind_int(q, 1, seq);
    bool row;
    TRY(store_step(q, &row));
    if (row) {
        struct evidence_entry *entry =
            evidence_grow(c->arena, &c->e->entries, &c->e->entry_count, sizeof *entry);
        *entry = (struct evidence_entry){
            .seq = seq, .kind = evidence_text(c, q, 0), .person = store_int(q, 1)};
    }
    while (row) {
        if (!store_is_null(q, 2)) {
            struct evidence_review *review = EVIDENCE_ADD(c->arena, c->e, review);
            *review = (struct evidence_review){
                .of_entry = seq, .entry = store_int(q, 2), .person = store_int(q, 3)};
        }
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

#define ADD_ENTRIES(list)                             \
    for (size_t i = 0; i < c->e->list##_count; i++) { \
        TRY(add_entry(c, c->e->list##s[i].entry));    \
    }

static struct result add_entries(struct collector *c)
{
    ADD_ENTRIES(lot)
    ADD_ENTRIES(seed_state)
    ADD_ENTRIES(treatment)
    ADD_ENTRIES(contact)
    ADD_ENTRIES(clean)
    ADD_ENTRIES(sample)
    ADD_ENTRIES(finding)
    ADD_ENTRIES(waiver)
    ADD_ENTRIES(watering)
    ADD_ENTRIES(check)
    ADD_ENTRIES(environment)
    for (size_t i = 0; i < c->e->water_count; i++) {
        for (size_t k = 0; k < c->e->waters[i].read_count; k++) {
            TRY(add_entry(c, c->e->waters[i].reads[k].entry));
        }
    }
    ADD_ENTRIES(review) /* a review is told as well; the list grows while it is read */
    return RESULT_OK;
}

struct result evidence_collect(struct store *s, struct arena *a, int64_t lot, struct evidence *out)
{
    *out = (struct evidence){0};
    struct collector c = {.store = s, .arena = a, .e = out, .entries = id_set_new(a)};
    bool found;
    TRY(add_lot(&c, lot, EVIDENCE_NO_LOT, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", arena_printf(a, "%lld", (long long)lot));
    }
    for (size_t i = 0; i < out->lot_count; i++) {
        TRY(add_parents(&c, i));
    }
    TRY(add_places(&c));
    TRY(find_positive_lots(&c));
    for (size_t i = 0; i < out->lot_count; i++) {
        TRY(evidence_of_seed(&c, i));
        TRY(evidence_of_contacts(&c, i));
        TRY(evidence_of_samples(&c, i));
    }
    TRY(evidence_of_surfaces(&c));
    TRY(evidence_of_water(&c));
    TRY(evidence_of_waters(&c));
    TRY(evidence_swabs(&c));
    TRY(evidence_of_checks(&c));
    TRY(evidence_environments(&c));
    return add_entries(&c);
}
