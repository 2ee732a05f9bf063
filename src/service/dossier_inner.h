/* Between the dossier_*.c files; nobody else includes this. */
#ifndef SERVICE_DOSSIER_INNER_H
#define SERVICE_DOSSIER_INNER_H

#include "base/words.h"
#include "ledger/clause.h"
#include "ledger/view.h"
#include "paper/dossier.h"
#include "service/story.h"

struct telling {
    struct store *store;
    struct arena *arena;
    const char *lang;
    const struct profile *profile;
    struct lot lot;
    struct clause_list clauses;
    const char **cautions;
    size_t caution_count;
    int64_t *signed_entries; /* releases and reviews: what is proved */
    size_t signed_count;
    struct dossier paper;
};

/* Fills the story of the paper. */
MUST_USE struct result told_print(struct telling *t, const struct told *told, size_t count);
/* Fills the signatures, and the entries that are to be proved. */
MUST_USE struct result told_sign(struct telling *t, const struct told *told, size_t count);

/* Fills head and proofs of the paper. */
MUST_USE struct result told_prove(struct telling *t);

/* A sentence of the catalogue. */
#define TOLD_WORDS(t, key, ...) WORDS((t)->arena, (t)->lang, key, __VA_ARGS__)
const char *told_number(const struct telling *t, int64_t n);
void told_caution(struct telling *t, const char *text);

#endif
