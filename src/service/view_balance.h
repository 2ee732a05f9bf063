/* What became of the house's mass: step by step, by account, and what is owed. */
#ifndef SERVICE_VIEW_BALANCE_H
#define SERVICE_VIEW_BALANCE_H

#include "service/view.h"

/* {"steps":[{step, entries, in_mg, out_mg, tolerance_ppm}],"accounts":[{account, unit, amount}],
 * "owed":[{lot, unit, amount, entry, at_ms}]}. tolerance_ppm: null where the profile has none.
 * The view may be without a profile. Errors of the store. */
MUST_USE struct result view_balance(struct view *v, json_t **out);
/* The last of these by itself, an array. */
MUST_USE struct result view_owed(struct view *v, json_t **out_array);

#endif
