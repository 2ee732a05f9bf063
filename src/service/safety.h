/* Between today_safety.c and the pages of food safety: open deviations, and the form by which a
 * duty is done. Nobody else includes this. */
#ifndef SERVICE_SAFETY_H
#define SERVICE_SAFETY_H

#include "ledger/duty.h"
#include "service/view_inner.h"

/* One that is not closed, with the corrective action that stands. */
struct deviation {
    int64_t id, entry, lot, at_ms, person;
    const char *rule, *lot_code, *place;      /* lot_code, place: NULL where there is none */
    const char *sentence;                     /* in the reader's language */
    int64_t from_ms, to_ms;                   /* its window; 0: none, or still open */
    int64_t action, action_person, action_ms; /* action: its entry; 0: none */
    const char *cause, *correction, *disposition, *restart; /* "" without an action */
};
/* The newest first. */
MUST_USE struct result deviations_open(const struct view *v, struct deviation **out,
                                       size_t *out_count);

struct duty_way {
    const char *form, *verb; /* verb: a key of words, "verb." before it */
    json_t *with;            /* what the form begins with; the caller's */
};
/* A record that fulfils it leads to that record's form, else it is told done. */
struct duty_way duty_way(const struct duty *d);

#endif
