/* The story of a lot: the entries behind it and behind what went into it, as the dossier prints and
 * a page shows it. */
#ifndef SERVICE_STORY_H
#define SERVICE_STORY_H

#include "ledger/clause.h"
#include "store/store.h"

/* One line of the story: an entry and the lots of the lot's history that it is about. */
struct told {
    int64_t entry, happened_ms, person, struck_by; /* struck_by 0: it stands */
    int offset_min;
    const char *kind, *place, *lots; /* place may be NULL; lots "" when it is about none of them */
};

/* All entries of the story with those that the clauses rest on, by time and entry. */
MUST_USE struct result told_collect(struct store *s, struct arena *a, int64_t lot,
                                    const struct clause_list *clauses, struct told **out,
                                    size_t *out_count);
/* The sentence of a deviation as it was booked. */
const char *told_deviation(struct arena *a, const char *lang, const char *stored);
/* Steps a query to its end. */
MUST_USE struct result told_finish(struct statement *q, bool row);

#endif
