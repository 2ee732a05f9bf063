/* Water that is stopped: what was read of it, or found in it, says that nothing may be washed or
 * watered with it. The stop stands as a kept row "stop" of its place until somebody lets it
 * run again, for which the record wants what the stop waits for: a good reading, or a negative
 * result where a laboratory found something. Who is told is the profile's to say (water_rules). */
#ifndef LEDGER_WATER_STOP_H
#define LEDGER_WATER_STOP_H

#include "ledger/listed.h"
#include "ledger/view.h"

/* why: "reading" (out of its limits), "contact" (too little contact time), "result". One that
 * stands already stays as it is, and so does water of which a later reading was good. */
MUST_USE struct result water_stop_put(struct draft *d, const char *place, const char *place_kind,
                                      const char *why);
/* The stop that stands at a place; the caller frees it (listed_free) where found. */
MUST_USE struct result water_stop_at(struct store *s, struct arena *a, const char *place,
                                     struct listed *out, bool *out_found);
/* Something is done with water of a place: broken where it was stopped then. field: of the command.
 */
MUST_USE struct result water_stop_check(struct draft *d, const char *place, const char *field);

#endif
