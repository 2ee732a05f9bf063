/* The plan of received fruit with care (plan/intake_care.h), and what of it is told. */
#ifndef SERVICE_PLANNING_RECEIVED_CARE_H
#define SERVICE_PLANNING_RECEIVED_CARE_H

#include "plan/intake_care.h"
#include "service/planning_received.h"

/* luck of c. Nobody listens to what the ask tells. PLAN_FIELD. */
MUST_USE struct result planning_received_careful(struct arena *a, const struct planning_received *c,
                                                 const struct intake_luck *luck,
                                                 const struct planning_ask *ask,
                                                 struct intake_outcome *out,
                                                 struct intake_care *care);
/* of_profile: the share of service asked for is the profile's. For the plan's "care":
 * {"level_milli": standard deviations | null: none, "tried", "futures", "cost", "told_cost",
 * "saved", "saved_error", "short_g", "told_short_g", "left_g", "told_left_g", "sentence"}: means in
 * the futures, told_... of the plan without care. */
void planning_received_care_put(const struct intake_care *care, bool of_profile, struct arena *a,
                                const char *lang, json_t *plan);

#endif
