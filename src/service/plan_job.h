/* Planning in the background: a few jobs, one searching at a time, each with a plan at once and a
 * better one as the search goes on. */
#ifndef SERVICE_PLAN_JOB_H
#define SERVICE_PLAN_JOB_H

#include "base/json.h"
#include "base/world.h"

enum { PLAN_JOBS_MAX = 8 };

/* plumule-solve beside the own program, in the arena. */
const char *plan_solver_path(struct arena *a);

struct plan_jobs;
/* A thread of its own, which opens the record in folder for reading when it has something to do. */
MUST_USE struct result plan_jobs_start(const char *folder, struct world world,
                                       struct plan_jobs **out);
/* Stops what is searching and ends the thread. */
void plan_jobs_stop(struct plan_jobs *jobs);

/* All of these: any thread.
 *
 * seconds: 0 (without the solver) to 3600, for the search alone. The job's id lives in the arena.
 * FIELD_RANGE; SERVER_BUSY while PLAN_JOBS_MAX jobs wait or search. */
MUST_USE struct result plan_job_begin(struct plan_jobs *jobs, int64_t seconds, struct arena *a,
                                      const char **out_id);
/* {id, state:"working"|"done"|"failed"|"stopped", share_ppm, plan:Plan|null, problem:object|null}.
 * While it works the plan is the one that was made at once. JOB_UNKNOWN. */
MUST_USE struct result plan_job_json(struct plan_jobs *jobs, const char *id, const char *lang,
                                     json_t **out);
/* The newest job without its plan, {id, state, share_ppm}; null when there is none. */
json_t *plan_jobs_newest(struct plan_jobs *jobs);
/* Harmless when it is over. JOB_UNKNOWN. */
MUST_USE struct result plan_job_stop(struct plan_jobs *jobs, const char *id);
/* The command {"kind":"plan-take",..} for the best plan so far. JOB_UNKNOWN; PLAN_STOPPED when it
 * has none. */
MUST_USE struct result plan_job_take(struct plan_jobs *jobs, const char *id, json_t **out);

#endif
