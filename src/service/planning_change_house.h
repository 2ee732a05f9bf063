/* What if the house worked otherwise: changes of what its profile says, made before the problem is
 * read, so that everything that follows from it follows.
 *
 *   {"what":"closed-day","day":DAY,"to"?:DAY,"of"?:"soak"|"harvest"|"pack"|"dispatch",
 *    "reason"?:TEXT}       not done from that day to the other, or on it alone; without of none of
 *                          them
 *   {"what":"open-day","day":DAY,"to"?:DAY}     works, whatever the profile says of those days
 *   {"what":"parts","item":"MUNG","share_ppm":N,"days"?:N,"yield_milli"?:N}
 *                          so much of a chamber is harvested when it is ready, the rest so many
 * days later, at so much of what it would have borne (1000 where not said); 1000000: all at once. A
 * crop in parts is not harvested early or late */
#ifndef SERVICE_PLANNING_CHANGE_HOUSE_H
#define SERVICE_PLANNING_CHANGE_HOUSE_H

#include "ledger/profile.h"
#include "service/change_reader.h"

/* house: a struct profile, a copy of the record's. Its lists are replaced, in the arena, and none
 * is written into. FIELD_*, ITEM_UNKNOWN. */
MUST_USE struct result planning_change_closed(const struct change *x, void *house);
MUST_USE struct result planning_change_open(const struct change *x, void *house);
MUST_USE struct result planning_change_parts(const struct change *x, void *house);

#endif
