/* Who signed for the lot of a dossier: releases, and reviews of what stands in its story. */
#include <string.h>

#include "ledger/kin.h"
#include "service/dossier_inner.h"

struct signature {
    int64_t entry, person, at_ms, tree_size;
    int offset_min;
    const char *meaning;
    int64_t reviewed; /* entries of the story that it reviews; 0: it is a release */
};

struct signing {
    struct telling *t;
    struct signature *list;
    size_t count;
};

static struct result add_releases(struct signing *s)
{
    struct arena *a = s->t->arena;
    struct statement *q = store_prepare(s->t->store, Q_DOSSIER_RELEASES);
    store_bind_int(q, 1, s->t->lot.id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *entry = told_number(s->t, store_int(q, 0));
        const char *meaning =
            store_is_null(q, 6)
                ? TOLD_WORDS(s->t, "dossier.released", store_text(q, 4), entry)
                : TOLD_WORDS(s->t, "dossier.released-once", store_text(q, 4), entry);
        struct signature *one = evidence_grow(a, &s->list, &s->count, sizeof *s->list);
        *one = (struct signature){.entry = store_int(q, 0),
                                  .person = store_int(q, 1),
                                  .at_ms = store_int(q, 2),
                                  .offset_min = (int)store_int(q, 3),
                                  .tree_size = store_int(q, 5),
                                  .meaning = meaning};
    }
}

static struct result add_reviews(struct signing *s, int64_t of_entry, struct id_set *seen)
{
    struct arena *a = s->t->arena;
    struct statement *q = store_prepare(s->t->store, Q_DOSSIER_REVIEWS);
    store_bind_int(q, 1, of_entry);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t entry = store_int(q, 0);
        if (id_set_add(seen, entry)) {
            struct signature *one = evidence_grow(a, &s->list, &s->count, sizeof *s->list);
            *one = (struct signature){.entry = entry,
                                      .person = store_int(q, 1),
                                      .at_ms = store_int(q, 2),
                                      .offset_min = (int)store_int(q, 3),
                                      .tree_size = entry - 1};
        }
        for (size_t i = 0; i < s->count; i++) {
            s->list[i].reviewed += s->list[i].entry == entry;
        }
    }
}

/* Names may have been erased; the number stays. */
static struct result name_of(struct telling *t, int64_t person, const char **out)
{
    struct statement *q = store_prepare(t->store, Q_PERSON_SECRET_GET);
    store_bind_int(q, 1, person);
    bool row;
    TRY(store_step(q, &row));
    const char *number = told_number(t, person);
    *out = row ? TOLD_WORDS(t, "dossier.person-named", store_text(q, 0), number)
               : TOLD_WORDS(t, "dossier.person", number);
    return told_finish(q, row);
}

struct result told_sign(struct telling *t, const struct told *told, size_t count)
{
    struct signing s = {.t = t};
    struct id_set seen = id_set_new(t->arena);
    TRY(add_releases(&s));
    for (size_t i = 0; i < count; i++) {
        TRY(add_reviews(&s, told[i].entry, &seen));
    }
    struct dossier_signature *list = ARENA_ARRAY(t->arena, struct dossier_signature, s.count);
    t->signed_entries = ARENA_ARRAY(t->arena, int64_t, s.count);
    for (size_t i = 0; i < s.count; i++) {
        const struct signature *one = &s.list[i];
        list[i] = (struct dossier_signature){.at_ms = one->at_ms,
                                             .offset_min = one->offset_min,
                                             .meaning = one->meaning,
                                             .tree_size = one->tree_size};
        if (one->reviewed > 0) {
            list[i].meaning = TOLD_WORDS(t, "dossier.reviewed", told_number(t, one->reviewed),
                                         told_number(t, one->entry));
        }
        TRY(name_of(t, one->person, &list[i].name));
        t->signed_entries[i] = one->entry;
    }
    t->signed_count = s.count;
    t->paper.signatures = list;
    t->paper.signature_count = s.count;
    return RESULT_OK;
}
