#include "service/plan_jobs.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/check.h"
#include "base/words.h"
#include "service/planning.h"
#include "service/reading.h"

enum { ID_MAX = 32 };

enum job_state { JOB_NONE, JOB_WORKING, JOB_DONE, JOB_FAILED, JOB_STOPPED };

struct plan_jobs {
    struct plant *reader; /* the job's thread alone */
    struct world world;
    pthread_mutex_t mutex;
    pthread_t thread;
    bool has_thread;
    atomic_bool stop;
    int64_t count;
    char id[ID_MAX];
    enum job_state state;
    int64_t seconds, started_s;
    struct result failed;
    json_t *plan[WORDS_SPOKEN], *command; /* the plan in each language */
};

static int64_t clock_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec;
}

struct result plan_jobs_open(const char *folder, struct world world, struct plan_jobs **out)
{
    struct plan_jobs *j = calloc(1, sizeof *j);
    CHECK(j != NULL);
    j->world = world;
    struct result r = plant_open_read(folder, &j->reader);
    if (r.code != CODE_OK) {
        free(j);
        return r;
    }
    j->reader->world = world;
    pthread_mutex_init(&j->mutex, NULL);
    *out = j;
    return RESULT_OK;
}

static void plan_drop(struct plan_jobs *j)
{
    for (int i = 0; i < WORDS_SPOKEN; i++) {
        json_decref(j->plan[i]);
        j->plan[i] = NULL;
    }
}

static void join(struct plan_jobs *j)
{
    if (j->has_thread) {
        pthread_join(j->thread, NULL);
        j->has_thread = false;
    }
}

void plan_jobs_close(struct plan_jobs *j)
{
    j->stop = true;
    join(j);
    plan_drop(j);
    json_decref(j->command);
    plant_close(j->reader);
    pthread_mutex_destroy(&j->mutex);
    free(j);
}

/* A plan found becomes the one that can be seen and taken. */
static void show(struct plan_jobs *j, const struct planning_case *c,
                 const struct safety_choice *choice, struct arena *a)
{
    const struct plan_outcome *outcome = &choice->outcome;
    json_t *plan[WORDS_SPOKEN], *command = planning_take(c, outcome, a);
    CHECK(command != NULL);
    for (int i = 0; i < WORDS_SPOKEN; i++) {
        plan[i] = planning_json(c, outcome, a, words_spoken[i]);
        json_object_set_new(plan[i], "chance", planning_chance_json(c, choice, a, words_spoken[i]));
    }
    pthread_mutex_lock(&j->mutex);
    plan_drop(j);
    json_decref(j->command);
    memcpy(j->plan, plan, sizeof plan);
    j->command = command;
    pthread_mutex_unlock(&j->mutex);
}

static struct result make(struct plan_jobs *j, const struct profile *profile, struct arena *a)
{
    struct planning_case c;
    struct safety_choice choice;
    int64_t now_ms = j->world.now_ms(j->world.self);
    TRY(store_begin(j->reader->store));
    struct result r = planning_read(j->reader->store, profile, now_ms, a, &c);
    store_rollback(j->reader->store);
    TRY(r);
    TRY(planning_choose(a, &c, 0, NULL, &choice));
    show(j, &c, &choice, a);
    if (j->seconds == 0 || j->stop) {
        return RESULT_OK;
    }
    struct improve_options options = {.solver = {.path = planning_solver(a),
                                                 .seconds = (double)j->seconds,
                                                 .gap = PLANNING_GAP,
                                                 .stop = &j->stop}};
    TRY(planning_choose(a, &c, 0, &options, &choice));
    show(j, &c, &choice, a);
    return RESULT_OK;
}

static void *work(void *self)
{
    struct plan_jobs *j = self;
    struct arena a;
    struct profile *profile = NULL;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = profile_now(j->reader, &profile);
    if (r.code == CODE_OK) {
        r = make(j, profile, &a);
    }
    profile_free(profile);
    arena_release(&a);
    pthread_mutex_lock(&j->mutex);
    j->failed = r;
    j->state = j->stop ? JOB_STOPPED : r.code == CODE_OK ? JOB_DONE : JOB_FAILED;
    pthread_mutex_unlock(&j->mutex);
    return NULL;
}

/* The mutex is held, nothing works. */
static void begin(struct plan_jobs *j, int64_t seconds)
{
    join(j);
    plan_drop(j);
    json_decref(j->command);
    j->command = NULL;
    j->stop = false;
    j->state = JOB_WORKING;
    j->seconds = seconds;
    j->started_s = clock_s();
    snprintf(j->id, sizeof j->id, "plan-%lld", (long long)++j->count);
    int failed = pthread_create(&j->thread, NULL, work, j);
    CHECK(failed == 0);
    j->has_thread = true;
}

void plan_jobs_begin(struct plan_jobs *j, struct arena *a, int64_t seconds, const char **out_id)
{
    pthread_mutex_lock(&j->mutex);
    if (j->state != JOB_WORKING) {
        begin(j, seconds);
    }
    *out_id = arena_copy(a, j->id);
    pthread_mutex_unlock(&j->mutex);
}

/* The mutex is held. */
static struct result check_id(const struct plan_jobs *j, const char *id)
{
    return j->state != JOB_NONE && strcmp(j->id, id) == 0 ? RESULT_OK : FAIL1(JOB_UNKNOWN, "", id);
}

/* The mutex is held. */
static json_t *job_json(const struct plan_jobs *j, struct arena *a, const char *lang)
{
    static const char *const states[] = {"", "working", "done", "failed", "stopped"};
    int64_t share = 1000000;
    if (j->state == JOB_WORKING) {
        int64_t past = (clock_s() - j->started_s) * 1000000;
        share = j->seconds > 0 && past / j->seconds < 990000 ? past / j->seconds : 990000;
    }
    json_t *problem = j->state == JOB_FAILED
                          ? json_pack("{s:s,s:s}", "code", code_id(j->failed.code), "detail",
                                      result_sentence_in(a, lang, &j->failed))
                          : json_null();
    int spoken = WORDS_SPOKEN - 1;
    while (spoken > 0 && strcmp(words_spoken[spoken], lang) != 0) {
        spoken--;
    }
    json_t *plan = j->plan[spoken] != NULL ? json_deep_copy(j->plan[spoken]) : json_null();
    json_t *out = json_pack("{s:s,s:s,s:I,s:o,s:o}", "id", j->id, "state", states[j->state],
                            "share_ppm", (json_int_t)share, "plan", plan, "problem", problem);
    CHECK(out != NULL);
    return out;
}

struct result plan_jobs_get(struct plan_jobs *j, struct arena *a, const char *lang, const char *id,
                            json_t **out)
{
    struct result r = RESULT_OK;
    pthread_mutex_lock(&j->mutex);
    if (id != NULL) {
        r = check_id(j, id);
    }
    if (r.code == CODE_OK) {
        *out = j->state == JOB_NONE ? json_null() : job_json(j, a, lang);
    }
    pthread_mutex_unlock(&j->mutex);
    return r;
}

struct result plan_jobs_stop(struct plan_jobs *j, const char *id)
{
    pthread_mutex_lock(&j->mutex);
    struct result r = check_id(j, id);
    if (r.code == CODE_OK && j->state == JOB_WORKING) {
        j->stop = true;
    }
    pthread_mutex_unlock(&j->mutex);
    return r;
}

struct result plan_jobs_command(struct plan_jobs *j, const char *id, json_t **out)
{
    pthread_mutex_lock(&j->mutex);
    struct result r = check_id(j, id);
    if (r.code == CODE_OK && j->command == NULL) {
        r = FAIL1(JOB_EMPTY, "", id);
    }
    if (r.code == CODE_OK) {
        *out = json_deep_copy(j->command);
    }
    pthread_mutex_unlock(&j->mutex);
    return r;
}
