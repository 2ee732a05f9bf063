#include "service/plan_job.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/check.h"
#include "base/file.h"
#include "base/words.h"
#include "service/planning.h"
#include "service/reading.h"

enum { SECONDS_MAX = 3600 };

const char *plan_solver_path(struct arena *a)
{
    char own[4096];
    ssize_t n = readlink("/proc/self/exe", own, sizeof own - 1);
    if (n <= 0) {
        return "plumule-solve";
    }
    own[n] = '\0';
    char *slash = strrchr(own, '/');
    CHECK(slash != NULL);
    *slash = '\0';
    const char *beside = arena_printf(a, "%s/plumule-solve", own);
    /* in the build tree it has a folder of its own */
    return file_exists(beside) ? beside : arena_printf(a, "%s/../../solve/plumule-solve", own);
}

enum state { STATE_NONE, STATE_WAITING, STATE_WORKING, STATE_DONE, STATE_FAILED, STATE_STOPPED };

struct job {
    int64_t number; /* 0: the place is free */
    enum state state;
    int64_t seconds, started_ms;
    json_t *plan, *take; /* NULL: none yet */
    struct result failure;
    atomic_bool stop;
};

struct plan_jobs {
    char *folder;
    struct world world;
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t news;
    bool ending;
    int64_t last_number;
    struct job jobs[PLAN_JOBS_MAX];
};

/* ---- the thread */

/* Keeps what was found; what was there before goes. */
static void keep(struct plan_jobs *all, struct job *job, const struct planning_case *c,
                 const struct plan_outcome *outcome, struct arena *a)
{
    json_t *plan = planning_json(c, outcome, a), *take = planning_take(c, outcome, a);
    pthread_mutex_lock(&all->lock);
    json_decref(job->plan);
    json_decref(job->take);
    job->plan = plan;
    job->take = take;
    pthread_mutex_unlock(&all->lock);
}

/* The plan made at once is there before the search begins. */
static struct result search(struct plan_jobs *all, struct job *job, struct plant *plant,
                            const struct profile *profile, struct arena *a)
{
    struct planning_case c;
    struct plan_outcome outcome;
    TRY(planning_read(plant->store, profile, all->world.now_ms(all->world.self), a, &c));
    TRY(plan_make(a, &c.problem, NULL, &outcome));
    keep(all, job, &c, &outcome, a);
    if (job->seconds == 0 || atomic_load(&job->stop)) {
        return RESULT_OK;
    }
    struct improve_options options = {.solver = {.path = plan_solver_path(a),
                                                 .seconds = (double)job->seconds,
                                                 .gap = 0.005, /* common practice: half a percent */
                                                 .stop = &job->stop}};
    TRY(plan_make(a, &c.problem, &options, &outcome));
    keep(all, job, &c, &outcome, a);
    return RESULT_OK;
}

static struct result run(struct plan_jobs *all, struct job *job)
{
    struct plant *plant;
    struct profile *profile = NULL;
    struct arena a;
    TRY(plant_open_read(all->folder, &plant));
    plant->world = all->world;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = profile_now(plant, &profile);
    if (r.code == CODE_OK) {
        r = search(all, job, plant, profile, &a);
    }
    profile_free(profile);
    arena_release(&a);
    plant_close(plant);
    return r;
}

/* Under the lock: the oldest that waits. */
static struct job *next_job(struct plan_jobs *all)
{
    struct job *next = NULL;
    for (size_t i = 0; i < PLAN_JOBS_MAX; i++) {
        struct job *job = &all->jobs[i];
        if (job->state == STATE_WAITING && (next == NULL || job->number < next->number)) {
            next = job;
        }
    }
    return next;
}

static void *work(void *self)
{
    struct plan_jobs *all = self;
    pthread_mutex_lock(&all->lock);
    while (!all->ending) {
        struct job *job = next_job(all);
        if (job == NULL) {
            pthread_cond_wait(&all->news, &all->lock);
            continue;
        }
        job->state = STATE_WORKING;
        job->started_ms = all->world.now_ms(all->world.self);
        pthread_mutex_unlock(&all->lock);
        struct result r = run(all, job);
        pthread_mutex_lock(&all->lock);
        job->failure = r;
        job->state = r.code != CODE_OK         ? STATE_FAILED
                     : atomic_load(&job->stop) ? STATE_STOPPED
                                               : STATE_DONE;
    }
    pthread_mutex_unlock(&all->lock);
    return NULL;
}

struct result plan_jobs_start(const char *folder, struct world world, struct plan_jobs **out)
{
    struct plan_jobs *all = calloc(1, sizeof *all);
    CHECK(all != NULL);
    all->folder = strdup(folder);
    all->world = world;
    CHECK(all->folder != NULL);
    pthread_mutex_init(&all->lock, NULL);
    pthread_cond_init(&all->news, NULL);
    if (pthread_create(&all->thread, NULL, work, all) != 0) {
        free(all->folder);
        free(all);
        return FAIL0(MEMORY_SHORT, "");
    }
    *out = all;
    return RESULT_OK;
}

void plan_jobs_stop(struct plan_jobs *all)
{
    if (all == NULL) {
        return;
    }
    pthread_mutex_lock(&all->lock);
    all->ending = true;
    for (size_t i = 0; i < PLAN_JOBS_MAX; i++) {
        atomic_store(&all->jobs[i].stop, true);
    }
    pthread_cond_signal(&all->news);
    pthread_mutex_unlock(&all->lock);
    pthread_join(all->thread, NULL);
    for (size_t i = 0; i < PLAN_JOBS_MAX; i++) {
        json_decref(all->jobs[i].plan);
        json_decref(all->jobs[i].take);
    }
    pthread_mutex_destroy(&all->lock);
    pthread_cond_destroy(&all->news);
    free(all->folder);
    free(all);
}

/* ---- who asks */

static bool is_over(const struct job *job)
{
    return job->state != STATE_WAITING && job->state != STATE_WORKING;
}

/* Under the lock: a free place, else that of the oldest job that is over; NULL: none. */
static struct job *place_for(struct plan_jobs *all)
{
    struct job *oldest = NULL;
    for (size_t i = 0; i < PLAN_JOBS_MAX; i++) {
        struct job *job = &all->jobs[i];
        if (is_over(job) && (oldest == NULL || job->number < oldest->number)) {
            oldest = job;
        }
    }
    return oldest;
}

struct result plan_job_begin(struct plan_jobs *all, int64_t seconds, struct arena *a,
                             const char **out_id)
{
    if (seconds < 0 || seconds > SECONDS_MAX) {
        return FAIL2(FIELD_RANGE, "seconds", arena_printf(a, "%lld", (long long)seconds),
                     "0 to 3600");
    }
    pthread_mutex_lock(&all->lock);
    struct job *job = place_for(all);
    if (job != NULL) {
        json_decref(job->plan);
        json_decref(job->take);
        *job =
            (struct job){.number = ++all->last_number, .state = STATE_WAITING, .seconds = seconds};
        *out_id = arena_printf(a, "plan-%lld", (long long)job->number);
        pthread_cond_signal(&all->news);
    }
    pthread_mutex_unlock(&all->lock);
    return job != NULL ? RESULT_OK : FAIL0(SERVER_BUSY, "");
}

/* Under the lock. */
static struct job *job_named(struct plan_jobs *all, const char *id)
{
    for (size_t i = 0; i < PLAN_JOBS_MAX; i++) {
        char own[40];
        snprintf(own, sizeof own, "plan-%lld", (long long)all->jobs[i].number);
        if (all->jobs[i].number != 0 && strcmp(own, id) == 0) {
            return &all->jobs[i];
        }
    }
    return NULL;
}

static int64_t share_of(struct plan_jobs *all, const struct job *job)
{
    int64_t passed_ms = all->world.now_ms(all->world.self) - job->started_ms;
    if (job->state != STATE_WORKING || job->seconds == 0 || passed_ms < 0) {
        return is_over(job) ? 1000000 : 0;
    }
    int64_t share = passed_ms * 1000 / job->seconds;
    return share < 999999 ? share : 999999; /* what ends is over */
}

static json_t *short_json(struct plan_jobs *all, const struct job *job)
{
    static const char *const states[] = {
        [STATE_NONE] = "",     [STATE_WAITING] = "working", [STATE_WORKING] = "working",
        [STATE_DONE] = "done", [STATE_FAILED] = "failed",   [STATE_STOPPED] = "stopped"};
    char id[40];
    snprintf(id, sizeof id, "plan-%lld", (long long)job->number);
    return json_pack("{s:s,s:s,s:I}", "id", id, "state", states[job->state], "share_ppm",
                     (json_int_t)share_of(all, job));
}

static json_t *problem_json(const struct job *job, const char *lang)
{
    const struct result *r = &job->failure;
    struct arena a;
    if (r->code == CODE_OK) {
        return json_null();
    }
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *o = json_pack("{s:s,s:s,s:[s,s,s],s:s}", "code", code_id(r->code), "field", r->field,
                          "values", r->value[0], r->value[1], r->value[2], "sentence",
                          result_sentence_in(&a, lang, r));
    arena_release(&a);
    return o;
}

struct result plan_job_json(struct plan_jobs *all, const char *id, const char *lang, json_t **out)
{
    pthread_mutex_lock(&all->lock);
    const struct job *job = job_named(all, id);
    if (job != NULL) {
        *out = short_json(all, job);
        json_object_set_new(*out, "plan",
                            job->plan != NULL ? json_deep_copy(job->plan) : json_null());
        json_object_set_new(*out, "problem", problem_json(job, lang));
    }
    pthread_mutex_unlock(&all->lock);
    return job != NULL ? RESULT_OK : FAIL1(JOB_UNKNOWN, "id", id);
}

json_t *plan_jobs_newest(struct plan_jobs *all)
{
    json_t *out = json_null();
    pthread_mutex_lock(&all->lock);
    for (size_t i = 0; i < PLAN_JOBS_MAX; i++) {
        if (all->jobs[i].number == all->last_number && all->last_number != 0) {
            out = short_json(all, &all->jobs[i]);
        }
    }
    pthread_mutex_unlock(&all->lock);
    return out;
}

struct result plan_job_stop(struct plan_jobs *all, const char *id)
{
    pthread_mutex_lock(&all->lock);
    struct job *job = job_named(all, id);
    if (job != NULL && !is_over(job)) {
        atomic_store(&job->stop, true);
        job->state = job->state == STATE_WAITING ? STATE_STOPPED : job->state;
    }
    pthread_mutex_unlock(&all->lock);
    return job != NULL ? RESULT_OK : FAIL1(JOB_UNKNOWN, "id", id);
}

struct result plan_job_take(struct plan_jobs *all, const char *id, json_t **out)
{
    pthread_mutex_lock(&all->lock);
    const struct job *job = job_named(all, id);
    bool has = job != NULL && job->take != NULL;
    if (has) {
        *out = json_deep_copy(job->take);
    }
    pthread_mutex_unlock(&all->lock);
    return has ? RESULT_OK : job != NULL ? FAIL0(PLAN_STOPPED, "") : FAIL1(JOB_UNKNOWN, "id", id);
}
