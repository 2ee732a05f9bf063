/* Plans worked out in the background: one at a time, because the solver takes what the machine has.
 * The plan made at once can be had while a better one is still looked for. In memory: what is taken
 * from a plan becomes an entry, the plan itself is worked out anew. Any thread. */
#ifndef SERVICE_PLAN_JOBS_H
#define SERVICE_PLAN_JOBS_H

#include "base/json.h"
#include "base/world.h"

struct plan_jobs;

enum { PLAN_JOB_SECONDS_MAX = 3600 };

/* Opens a reader of its own; before other threads run. */
MUST_USE struct result plan_jobs_open(const char *folder, struct world world,
                                      struct plan_jobs **out);
/* Stops what is being worked out. */
void plan_jobs_close(struct plan_jobs *j);
/* Begins one, or finds the one that is being worked out. seconds for the solver, 0: without it.
 * *out_id in the arena. */
void plan_jobs_begin(struct plan_jobs *j, struct arena *a, int64_t seconds, const char **out_id);
/* {id, state:"working"|"done"|"failed"|"stopped", share_ppm, plan:{..}|null, problem:{..}|null}, in
 * the language; the caller owns it. id NULL: the newest, and null when there is none. JOB_UNKNOWN.
 */
MUST_USE struct result plan_jobs_get(struct plan_jobs *j, struct arena *a, const char *lang,
                                     const char *id, json_t **out);
/* The best found so far stays. JOB_UNKNOWN. */
MUST_USE struct result plan_jobs_stop(struct plan_jobs *j, const char *id);
/* The command that takes its plan, without uuid and person; the caller owns it. JOB_UNKNOWN,
 * JOB_EMPTY. */
MUST_USE struct result plan_jobs_command(struct plan_jobs *j, const char *id, json_t **out);

#endif
