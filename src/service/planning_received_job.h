/* What a background job does for a house that receives fruit. */
#ifndef SERVICE_PLANNING_RECEIVED_JOB_H
#define SERVICE_PLANNING_RECEIVED_JOB_H

#include "base/words.h"
#include "service/planning_change.h"
#include "service/planning_received.h"

struct planning_received_job {
    struct store *store; /* a transaction of its own is begun and ended */
    const struct profile *profile;
    int64_t now_ms;
    double seconds; /* 0: made at once */
    struct planning_wish wish;
    bool is_trial; /* held against the plan without its changes, not against the one taken */
    const atomic_bool *stop;
    const char *const *langs; /* in which plans are told, WORDS_SPOKEN at most */
    int lang_count;
    /* The best plan so far, in each of the languages, and the command that takes it; all taken
     * over. With chance, care, difference, before and, of a trial, base: see plan_jobs_get. */
    void (*show)(void *self, json_t *plan[WORDS_SPOKEN], json_t *command);
    void *self;
};

/* FIELD_CHOICE for wishes that a house that receives can't be asked; errors of
 * planning_received_read and planning_received_change. */
MUST_USE struct result planning_received_work(const struct planning_received_job *job,
                                              struct arena *a);

#endif
