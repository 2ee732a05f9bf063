/* Packing: the lines with their checks, the last runs, and what was packed. */
#ifndef SERVICE_VIEW_PACKING_H
#define SERVICE_VIEW_PACKING_H

#include "service/view.h"

enum { VIEW_PACKING_RUNS = 20, VIEW_PACKING_LOTS = 40 };

/* {"lines":[{place, name, in_service, run, checks:[{kind, title, instrument, at_ms, entry, due_ms,
 * state, tone}]}], "runs":[{run, place, family, start_ms, end_ms, entry, lots, pieces, cases,
 * declared_mg, mean_net_mg, giveaway_mg, giveaway_ppm}], "lots":[{entry, at_ms, place, run, lot,
 * item, pieces, cases, declared_mg, mean_net_mg, giveaway_mg, holds, state, tone, label:{entry,
 * state, tone}}]}, the newest first.
 * A check of a line is "good" when its last reading was and came after the last packing; "due" when
 * something was packed since; "bad" when it was not good; "none" when nobody ever made it there. An
 * instrument that weighed there last is "good" until its calibration ends. run of a line: the one
 * that is open, else null. declared_mg and mean_net_mg: of one piece, a run's by its pieces; null
 * where nothing was packed. giveaway_ppm: of the declared mass. Errors of the store. */
MUST_USE struct result view_packing(struct view *v, json_t **out);

#endif
