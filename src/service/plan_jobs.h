/* Plans worked out in the background: one to be taken, and one beside it that only asks what would
 * be. The plan made at once can be had while a better one is still looked for. In memory: what is
 * taken from a plan becomes an entry, the plan itself is worked out anew. Any thread. */
#ifndef SERVICE_PLAN_JOBS_H
#define SERVICE_PLAN_JOBS_H

#include "base/json.h"
#include "base/world.h"

struct plan_jobs;

enum { PLAN_JOB_SECONDS_MAX = 3600 };

/* Opens readers of its own; before other threads run. */
MUST_USE struct result plan_jobs_open(const char *folder, struct world world,
                                      struct plan_jobs **out);
/* Stops what is being worked out. */
void plan_jobs_close(struct plan_jobs *j);
/* Begins one, or finds the one that is being worked out. seconds for the solver, 0: without it.
 * wish: {keep?, service_ppm?, changes?, trial?}, see service/planning_change.h; NULL: none. With
 * changes, or with trial, it is one that can't be taken and stands beside the other. *out_id in the
 * arena. FIELD_* from the wish; what its changes name is looked up by the job. */
MUST_USE struct result plan_jobs_begin(struct plan_jobs *j, struct arena *a, int64_t seconds,
                                       const json_t *wish, const char **out_id);
/* {id, trial, keep, service_ppm, service_of_profile, changes,
 * state:"working"|"done"|"failed"|"stopped", share_ppm, plan:{..}|null, received:{..}|null,
 * problem:{..}|null}, in the language; the caller owns it. Of a house that receives fruit plan is
 * null and received that of planning_received_json. The plan is that of planning_json with what
 * planning_board puts into it, difference (from the plan taken; of a trial, from the plan without
 * its changes), and before (planning_sums of what it differs from); of a trial also base, the plan
 * without its changes. id NULL: the newest that can be taken, and null when there is none.
 * JOB_UNKNOWN. */
MUST_USE struct result plan_jobs_get(struct plan_jobs *j, struct arena *a, const char *lang,
                                     const char *id, json_t **out);
/* The best found so far stays. JOB_UNKNOWN. */
MUST_USE struct result plan_jobs_stop(struct plan_jobs *j, const char *id);
/* The command that takes its plan, without uuid and person; the caller owns it. JOB_UNKNOWN,
 * JOB_EMPTY, JOB_TRIAL. */
MUST_USE struct result plan_jobs_command(struct plan_jobs *j, const char *id, json_t **out);
/* It is booked: it stops, and is no longer the newest. One that is gone is no error. */
void plan_jobs_taken(struct plan_jobs *j, const char *id);

#endif
