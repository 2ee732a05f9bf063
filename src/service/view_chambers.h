/* The chambers as pages show them. */
#ifndef SERVICE_VIEW_CHAMBERS_H
#define SERVICE_VIEW_CHAMBERS_H

#include "service/view.h"

/* {"chambers":[Chamber]} by code. Chamber: {place, name, tone, state, lot, item, start_ms, age_h,
 * ready_ms, reckoned, later_days, seed_mg, expected_mg, expected_low_mg, expected_high_mg,
 * share_left_ppm, temp_mc, temp_ms, holds}; what an empty one has not is null. state: empty,
 * soaking, growing, ready, to-clean, out-of-service. ready_ms: when the heat sum reaches its goal,
 * by the chamber's log as far as it goes, else at the crop's set point (warmth.h); reckoned says
 * so, and later_days by how much later that makes it than the set point alone, below 0 sooner.
 * expected: mean and one standard deviation of the house's own batches. Errors of the store. */
MUST_USE struct result view_chambers(struct view *v, json_t **out);

/* Chamber and {"measured":[{t_ms, temp_mc}],"predicted":[{t_ms, heat_ch_low, heat_ch,
 * heat_ch_high}], "limits":[{name, temp_mc}],"waterings":[{t_ms, litres}],"uses":[{lot, item,
 * start_ms, emptied_ms}]}. measured: means of the chamber's logger, at most 400; its series has the
 * chamber's code, the same in small letters, or its kind and number ("chamber-1" for C-01).
 * predicted: the heat sum in degree-hours from the start to the harvest; up to now from what was
 * measured, where there is any, then at the set point, with a degree less and more. PLACE_UNKNOWN,
 * PLACE_KIND. */
MUST_USE struct result view_chamber(struct view *v, const char *code, json_t **out);

#endif
