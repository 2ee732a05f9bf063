/* The heat treatment of a load: its curve, what it is worth, and what decided. */
#ifndef SERVICE_VIEW_TREATMENT_H
#define SERVICE_VIEW_TREATMENT_H

#include "service/view.h"

/* {"lot", "way", "met", "curve", "deviations", "papers", "constants", "cautions", ...}: the newest
 * treatment of the load. The curve is computed again from the sealed log by calc/heat with the
 * constants that stood then; "curve" is null where there is no log or it is not kept any more.
 * LOT_UNKNOWN where the lot is not there or was not treated. */
MUST_USE struct result view_treatment(struct view *v, const char *code, json_t **out);

#endif
