/* Releases judged again: by the same clauses, on the record as it stands now. Nothing is written
 * here; consequence_judge.c books what comes out. */
#ifndef LEDGER_JUDGE_H
#define LEDGER_JUDGE_H

#include "ledger/clause.h"
#include "ledger/kin.h"
#include "ledger/view.h"

/* A release in force. */
struct resting {
    int64_t release; /* its entry */
    int64_t lot, decided_ms;
    const char *markets, *clauses; /* as it was decided by */
};

/* Releases in force of these lots, decided after a moment (INT64_MIN: any), oldest first. */
MUST_USE struct result releases_of(struct store *s, struct arena *a, const struct id_set *lots,
                                   int64_t after_ms, struct resting **out, size_t *out_count);
/* Adds the lots whose releases in force name an entry among their evidence. */
MUST_USE struct result releases_naming(struct store *s, struct arena *a, int64_t entry,
                                       struct id_set *lots);
/* Does its evidence name one of the entries? */
bool resting_names(const struct resting *r, const struct id_set *entries);

struct gone {
    const char *customer;
    int64_t pieces, mg;
};
struct judged {
    struct resting was;
    const char *code; /* of the lot; "" when the lot is no longer in the record */
    bool met;
    const char *needs; /* comma list: the clauses that are open, or what else would answer */
    json_t *open;      /* array: the open lines as in clauses_json; released by judged_release */
    bool here;
    struct gone *gone; /* what left, by customer */
    size_t gone_count;
};

/* void_entries: evidence that counts for nothing any more (measured with a wrong instrument): a
 * release that names one is open, with the reason given. NULL: none. */
MUST_USE struct result judge_again(struct store *s, const struct profile *p, struct arena *a,
                                   const struct resting *list, size_t count,
                                   const struct id_set *void_entries, const struct result *reason,
                                   struct judged **out);
void judged_release(struct judged *list, size_t count);
/* What left of a lot, by customer. */
MUST_USE struct result gone_of(struct store *s, struct arena *a, int64_t lot, struct gone **out,
                               size_t *out_count);

#endif
