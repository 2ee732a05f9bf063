/* What a page or a command that only reads is asked with. One state of the record: call inside a
 * transaction of the store. */
#ifndef SERVICE_VIEW_H
#define SERVICE_VIEW_H

#include "base/json.h"
#include "ledger/ledger.h"
#include "ledger/profile.h"

struct day_orders;
struct graph;
struct sentences;
struct warmth_kept;

struct view {
    struct store *store;
    struct arena *arena;
    const struct profile *profile; /* in force now */
    int64_t now_ms;
    const char *lang;            /* of words/, such as "en" */
    int64_t person;              /* who asks; 0: nobody signed in */
    const char *role;            /* theirs; NULL: nobody */
    const struct graph *graph;   /* the genealogy at the store's state; NULL: load it when needed */
    struct sentences *sentences; /* made before by this profile; NULL: none are kept */
    struct day_orders *day_orders; /* found before; NULL: none are kept */
    struct warmth_kept *warmth;    /* read of logs before; NULL: nothing is kept */
};

#endif
