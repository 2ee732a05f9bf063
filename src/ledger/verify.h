/* Does the record still say what was written? Replays every entry into a scratch record and
 * compares, checks the tree and every signed head, every kept paper and piece, and what must hold
 * of any record. Finds any changed bit of an entry, a paper, a sealed piece or a derived row.
 * Changes nothing.
 *
 * What can't be found: rows of truth that were replaced together with all heads signed over them,
 * when nobody outside kept a head. Names and contacts are no part of entries and are not looked at.
 */
#ifndef LEDGER_VERIFY_H
#define LEDGER_VERIFY_H

#include "ledger/ledger.h"

enum { VERIFY_FINDINGS_MAX = 500 };

struct verify_finding {
    const char *table; /* where it stands: "daybook", "head", "lot", "file" .. */
    const char *key;   /* which row, "id=204800 entry=50" */
    const char *is;    /* what stands there */
    const char *wanted;
};

/* An amount that was told to have left and had never come in, not explained yet. No fault of the
 * record. */
struct verify_owed {
    int64_t entry, amount;
    const char *lot, *unit;
};

struct verify_report {
    int64_t entries, heads, files, rows; /* looked at */
    struct hash root;                    /* of the leaves as they are */
    struct verify_finding *findings;     /* the first VERIFY_FINDINGS_MAX */
    size_t finding_count;
    int64_t found; /* all of them; 0: the record is whole */
    struct verify_owed *owed;
    size_t owed_count;
};

/* Called now and then with what is being looked at; false stops (STOPPED). */
struct verify_progress {
    bool (*step)(void *self, const char *what, int64_t done, int64_t of);
    void *self;
};

/* Inside a transaction of the caller's where others write meanwhile. progress may be NULL.
 * Everything found is in the report; an error is returned only where nothing can be said:
 * store.h's, VERIFY_STOPPED. */
MUST_USE struct result ledger_verify(struct store *s, const struct verify_progress *progress,
                                     struct arena *a, struct verify_report *out);

/* For pages:
 * {"entries":..,"heads":..,"files":..,"rows":..,"root":..,"found":..,"findings":[..],"owed":[..]};
 * owned by the caller. */
json_t *verify_json(struct arena *a, const struct verify_report *report);

#endif
