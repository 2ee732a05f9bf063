/* What was really done with fruit, read from the legs of entries as the profile's uses: the
 * record's steps say what was taken and what came of it, and not by which use of the plan. */
#ifndef SERVICE_PLANNING_RECEIVED_RECORD_H
#define SERVICE_PLANNING_RECEIVED_RECORD_H

#include "ledger/profile.h"
#include "store/store.h"

enum received_act {
    RECEIVED_CAME, /* received, and not of a delivery agreed by itself */
    RECEIVED_USED, /* by the use that takes the good and gives most of what came of it */
    RECEIVED_SOLD,
    RECEIVED_LEFT /* as waste, feed, compost */
};

struct received_did {
    enum received_act act;
    int64_t entry;
    int32_t day;  /* of the house, on which it happened */
    int good;     /* that came, was taken, was sold or left */
    int use;      /* of RECEIVED_USED; PLAN_NONE elsewhere */
    int32_t born; /* the day from which what was taken keeps */
    double kg;
    const double *given_kg; /* of RECEIVED_USED, by the use's parts: its share of what came of the
                               entry */
};

/* The good of an item: the supplier's own row before one for all; PLAN_NONE: the profile has none.
 * supplier "": none. */
int received_good_of(const struct received *rules, const char *item, const char *supplier);
/* The day a lot keeps from: one that says when it ends is as old as that tells. */
int32_t received_born(const struct received *rules, int good, int64_t lot_day, bool ends,
                      int64_t best_before);
/* The last entry recorded before a house day; 0: none. What happened on the day comes after it. */
MUST_USE struct result received_before(struct store *s, const struct profile *p, int32_t day,
                                       int64_t *out);
/* Everything after an entry that still stands, in the order of entries, in the arena. */
MUST_USE struct result received_read(struct store *s, struct arena *a, const struct received *rules,
                                     int64_t after, struct received_did **out, int *out_count);

#endif
