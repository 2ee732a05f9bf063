/* Between the files that tell a plan of received fruit; nobody else includes this. */
#ifndef SERVICE_PLANNING_RECEIVED_INNER_H
#define SERVICE_PLANNING_RECEIVED_INNER_H

#include "service/planning_received.h"

/* Less is the solver's rounding. */
#define PLANNING_RECEIVED_TELLS_KG 0.0005

const char *planning_received_day(const struct planning_received *c, struct arena *a, int day);
/* The flows of planning_received_json; owned by the caller. */
json_t *planning_received_flows(const struct planning_received *c, const struct intake_outcome *x,
                                struct arena *a);
/* What a use is counted on to give and why, in a sentence. */
const char *planning_received_counts_on(const struct planning_received *c, int use, struct arena *a,
                                        const char *lang);
/* The plan's "counted"; owned by the caller. */
json_t *planning_received_counted(const struct planning_received *c, struct arena *a,
                                  const char *lang);
/* Takes the hours of machines from closed days: those that pack what is sold on days closed for
 * packing, all others on days closed for harvest, which here is every other work on fruit. */
void planning_received_close(struct arena *a, struct planning_received *c);
/* The plan's "closed"; owned by the caller. */
json_t *planning_received_closed(const struct planning_received *c, struct arena *a,
                                 const char *lang);
/* The same as a taken plan keeps them: without what is null, uses by the day of birth of what they
 * take ("born"), and in milligrams ("mg"): a gram less would be a piece less. */
json_t *planning_received_kept(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a);

#endif
