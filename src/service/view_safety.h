/* The safety board, and the schedule of what comes round with the map of swab sites. */
#ifndef SERVICE_VIEW_SAFETY_H
#define SERVICE_VIEW_SAFETY_H

#include "service/view.h"

/* {"deviations", "deviation_count", "environments", "blocks", "waiting", "waiting_count"}: what is
 * open, who does what next, which places stop, and which clause each lot that waits for release
 * lacks. Errors of the store and of clauses_of_lot. */
MUST_USE struct result view_safety(struct view *v, json_t **out);

/* {"now_ms", "duties", "zones", "sites", "per_round", "rounds", "hits"}. per_round: how many sites
 * are swabbed at a time, 1 or more; all are reached within rounds = ceil(sites / per_round), those
 * not swabbed for longest first. hits: positive swabs of a zone in a calendar month, with the
 * interval of calc/growth/wilson.h. */
MUST_USE struct result view_schedule(struct view *v, int64_t per_round, json_t **out);

#endif
