#include "service/plan_jobs.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/check.h"
#include "base/words.h"
#include "service/planning_board.h"
#include "service/planning_change.h"
#include "service/planning_received_job.h"
#include "service/reading.h"
#include "service/warmth_kept.h"

enum { ID_MAX = 32, SLOT_COUNT = 2 };

enum job_state { JOB_NONE, JOB_WORKING, JOB_DONE, JOB_FAILED, JOB_STOPPED };

/* One to be taken, one that only asks; each with a reader of its own. */
struct slot {
    struct plan_jobs *jobs;
    struct plant *reader; /* the job's thread alone */
    pthread_t thread;
    bool has_thread, is_trial;
    bool is_taken; /* what it found stands in the record: nothing is looked at any more */
    atomic_bool stop;
    char id[ID_MAX];
    enum job_state state;
    int64_t seconds, started_s;
    json_t *wish;            /* {keep, service_ppm, changes} */
    int64_t service_ppm;     /* the share that holds */
    bool service_of_profile; /* and nobody asked for it */
    struct result failed;
    json_t *plan[WORDS_SPOKEN], *command; /* the plan in each language */
};

struct plan_jobs {
    struct world world;
    struct warmth_kept *warmth;
    pthread_mutex_t mutex;
    int64_t count;
    struct slot slots[SLOT_COUNT];
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
    j->warmth = warmth_kept_new();
    for (int i = 0; i < SLOT_COUNT; i++) {
        struct slot *s = &j->slots[i];
        s->jobs = j;
        s->is_trial = i > 0;
        struct result r = plant_open_read(folder, &s->reader);
        if (r.code != CODE_OK) {
            while (i > 0) {
                plant_close(j->slots[--i].reader);
            }
            warmth_kept_free(j->warmth);
            free(j);
            return r;
        }
        s->reader->world = world;
    }
    pthread_mutex_init(&j->mutex, NULL);
    *out = j;
    return RESULT_OK;
}

static void plan_drop(struct slot *s)
{
    for (int i = 0; i < WORDS_SPOKEN; i++) {
        json_decref(s->plan[i]);
        s->plan[i] = NULL;
    }
    json_decref(s->command);
    s->command = NULL;
}

static void join(struct slot *s)
{
    if (s->has_thread) {
        pthread_join(s->thread, NULL);
        s->has_thread = false;
    }
}

void plan_jobs_close(struct plan_jobs *j)
{
    for (int i = 0; i < SLOT_COUNT; i++) {
        j->slots[i].stop = true;
    }
    for (int i = 0; i < SLOT_COUNT; i++) {
        struct slot *s = &j->slots[i];
        join(s);
        plan_drop(s);
        json_decref(s->wish);
        plant_close(s->reader);
    }
    pthread_mutex_destroy(&j->mutex);
    warmth_kept_free(j->warmth);
    free(j);
}

/* What a job reads once and plans from: the record as it is, the same changed, and what the plan is
 * held against. */
struct work {
    struct slot *slot;
    const struct profile *profile;
    struct arena *a;
    struct planning_case as_is, wished;
    double service; /* of the plan, and of what a trial is held against */
    struct plan_outcome before;
};

/* A plan found becomes the one that can be seen and taken. */
static void put(void *self, json_t *plan[WORDS_SPOKEN], json_t *command)
{
    struct slot *s = self;
    pthread_mutex_lock(&s->jobs->mutex);
    plan_drop(s);
    memcpy(s->plan, plan, sizeof s->plan);
    s->command = command;
    pthread_mutex_unlock(&s->jobs->mutex);
}

static void show(void *self, const struct safety_choice *choice, struct arena *a)
{
    struct work *w = self;
    struct slot *s = w->slot;
    const struct plan_outcome *outcome = &choice->outcome;
    struct planning_why why;
    planning_why(&w->wished, outcome, w->profile, a, &why);
    json_t *plan[WORDS_SPOKEN];
    json_t *command = planning_take(&w->wished, outcome, why.promises, why.promise_count, a);
    for (int i = 0; i < WORDS_SPOKEN; i++) {
        const char *lang = words_spoken[i];
        plan[i] = planning_json(&w->wished, outcome, a, lang);
        planning_board(&w->wished, outcome, &why, a, lang, plan[i]);
        planning_chance_put(&w->wished, choice, a, lang, plan[i]);
        json_object_set_new(plan[i], "before", planning_sums(&w->as_is, &w->before));
        if (s->is_trial) {
            json_object_set_new(plan[i], "base", planning_json(&w->as_is, &w->before, a, lang));
        }
        json_object_set_new(
            plan[i], "difference",
            planning_difference(&w->as_is, &w->before, !s->is_trial, &w->wished, outcome, a, lang));
    }
    put(s, plan, command);
}

/* Of a plan to be taken: what the one taken gives as it is. Of a trial: the plan without its
 * changes, looked for as long as the trial itself. */
static struct result make_before(struct work *w, double seconds)
{
    struct planning_case standing = w->as_is;
    if (w->slot->is_trial) {
        struct planning_ask ask = {
            .seconds = seconds, .service = w->service, .stop = &w->slot->stop};
        struct safety_choice choice;
        TRY(planning_choose(w->a, &w->as_is, &ask, &choice));
        w->before = choice.outcome;
        return RESULT_OK;
    }
    standing.problem = planning_standing(&w->as_is.problem);
    struct planning_case *kept = ARENA_NEW(w->a, struct planning_case);
    *kept = standing;
    return planning_at_once(kept, w->a, &w->before);
}

static struct result read_both(struct work *w)
{
    struct slot *s = w->slot;
    struct planning_wish wish;
    struct world world = s->jobs->world;
    TRY(planning_wish_read(s->wish, &wish));
    w->service = planning_service(&wish, w->profile);
    int64_t now_ms = world.now_ms(world.self);
    TRY(planning_read(s->reader->store, s->jobs->warmth, w->profile, now_ms, w->a, &w->as_is));
    w->wished = w->as_is;
    return planning_change(s->reader->store, s->jobs->warmth, w->profile, now_ms, w->a, &wish,
                           &w->wished);
}

static struct result make(struct work *w)
{
    struct slot *s = w->slot;
    TRY(store_begin(s->reader->store));
    struct result r = read_both(w);
    store_rollback(s->reader->store);
    TRY(r);
    TRY(make_before(w, 0));
    struct safety_choice choice;
    struct planning_ask ask = {.service = w->service, .stop = &s->stop, .tell = show, .self = w};
    TRY(planning_choose(w->a, &w->wished, &ask, &choice));
    show(w, &choice, w->a);
    if (s->seconds == 0 || s->stop) {
        return RESULT_OK;
    }
    ask.seconds = (double)s->seconds;
    if (s->is_trial) {
        ask.seconds /= 2;
        TRY(make_before(w, ask.seconds));
    }
    TRY(planning_choose(w->a, &w->wished, &ask, &choice));
    show(w, &choice, w->a);
    return RESULT_OK;
}

static struct result make_received(struct slot *s, const struct profile *profile, struct arena *a)
{
    struct world world = s->jobs->world;
    struct planning_received_job job = {.store = s->reader->store,
                                        .profile = profile,
                                        .now_ms = world.now_ms(world.self),
                                        .seconds = (double)s->seconds,
                                        .is_trial = s->is_trial,
                                        .stop = &s->stop,
                                        .langs = words_spoken,
                                        .lang_count = WORDS_SPOKEN,
                                        .show = put,
                                        .self = s};
    TRY(planning_wish_read(s->wish, &job.wish));
    return planning_received_work(&job, a);
}

static struct planning_wish wish_of(const struct slot *s)
{
    struct planning_wish wish;
    struct result r = planning_wish_read(s->wish, &wish);
    CHECK(r.code == CODE_OK); /* it was read before the job began */
    return wish;
}

static void note_service(struct slot *s, const struct profile *profile)
{
    struct planning_wish wish = wish_of(s);
    pthread_mutex_lock(&s->jobs->mutex);
    s->service_ppm = llround(planning_service(&wish, profile) * 1e6);
    s->service_of_profile = planning_service_of_profile(&wish, profile);
    pthread_mutex_unlock(&s->jobs->mutex);
}

static void *work(void *self)
{
    struct slot *s = self;
    struct arena a;
    struct profile *profile = NULL;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = profile_now(s->reader, &profile);
    if (r.code == CODE_OK) {
        note_service(s, profile);
    }
    if (r.code == CODE_OK && profile->planning.received.given) {
        r = make_received(s, profile, &a);
    } else if (r.code == CODE_OK) {
        struct work *w = ARENA_NEW(&a, struct work);
        *w = (struct work){.slot = s, .profile = profile, .a = &a};
        r = make(w);
    }
    profile_free(profile);
    arena_release(&a);
    pthread_mutex_lock(&s->jobs->mutex);
    s->failed = r;
    s->state = s->stop ? JOB_STOPPED : r.code == CODE_OK ? JOB_DONE : JOB_FAILED;
    pthread_mutex_unlock(&s->jobs->mutex);
    return NULL;
}

/* The mutex is held, nothing works. */
static void begin(struct slot *s, int64_t seconds, const json_t *wish)
{
    join(s);
    plan_drop(s);
    json_decref(s->wish);
    s->wish = wish != NULL ? json_deep_copy(wish) : NULL;
    s->stop = false;
    s->is_taken = false;
    s->state = JOB_WORKING;
    s->seconds = seconds;
    s->service_ppm = llround(wish_of(s).service * 1e6); /* until the job has read the profile */
    s->service_of_profile = false;
    s->started_s = clock_s();
    snprintf(s->id, sizeof s->id, "%s-%lld", s->is_trial ? "trial" : "plan",
             (long long)++s->jobs->count);
    int failed = pthread_create(&s->thread, NULL, work, s);
    CHECK(failed == 0);
    s->has_thread = true;
}

struct result plan_jobs_begin(struct plan_jobs *j, struct arena *a, int64_t seconds,
                              const json_t *wish, const char **out_id)
{
    struct planning_wish read;
    bool trial = false;
    TRY(planning_wish_read(wish, &read));
    if (wish != NULL) {
        TRY(json_get_bool(wish, "trial", "trial", JSON_OPTIONAL, &trial));
    }
    struct slot *s = &j->slots[trial || read.changes != NULL];
    pthread_mutex_lock(&j->mutex);
    if (s->state != JOB_WORKING) {
        begin(s, seconds, wish);
    }
    *out_id = arena_copy(a, s->id);
    pthread_mutex_unlock(&j->mutex);
    return RESULT_OK;
}

/* The mutex is held. */
static struct result find(struct plan_jobs *j, const char *id, struct slot **out)
{
    for (int i = 0; i < SLOT_COUNT; i++) {
        *out = &j->slots[i];
        if ((*out)->state != JOB_NONE && strcmp((*out)->id, id) == 0) {
            return RESULT_OK;
        }
    }
    return FAIL1(JOB_UNKNOWN, "", id);
}

/* The mutex is held. */
static json_t *job_json(const struct slot *s, struct arena *a, const char *lang)
{
    static const char *const states[] = {"", "working", "done", "failed", "stopped"};
    int64_t share = 1000000;
    if (s->state == JOB_WORKING) {
        int64_t past = (clock_s() - s->started_s) * 1000000;
        share = s->seconds > 0 && past / s->seconds < 990000 ? past / s->seconds : 990000;
    }
    json_t *problem = s->state == JOB_FAILED
                          ? json_pack("{s:s,s:s}", "code", code_id(s->failed.code), "detail",
                                      result_sentence_in(a, lang, &s->failed))
                          : json_null();
    int spoken = WORDS_SPOKEN - 1;
    while (spoken > 0 && strcmp(words_spoken[spoken], lang) != 0) {
        spoken--;
    }
    struct planning_wish wish = wish_of(s);
    json_t *changes = wish.changes != NULL ? json_deep_copy(wish.changes) : json_array();
    const json_t *shown = s->plan[spoken];
    json_t *plan = shown != NULL ? json_deep_copy(shown) : json_null();
    bool received = json_object_get(shown, "kind") != NULL; /* of fruit */
    json_t *out = json_pack("{s:s,s:b,s:s,s:I,s:b,s:o,s:s,s:I,s:o,s:o,s:o}", "id", s->id, "trial",
                            s->is_trial, "keep", planning_keep_id(wish.keep), "service_ppm",
                            (json_int_t)s->service_ppm, "service_of_profile", s->service_of_profile,
                            "changes", changes, "state", states[s->state], "share_ppm",
                            (json_int_t)share, "plan", received ? json_null() : plan, "received",
                            received ? plan : json_null(), "problem", problem);
    CHECK(out != NULL);
    return out;
}

struct result plan_jobs_get(struct plan_jobs *j, struct arena *a, const char *lang, const char *id,
                            json_t **out)
{
    struct result r = RESULT_OK;
    struct slot *s = &j->slots[0];
    pthread_mutex_lock(&j->mutex);
    if (id != NULL) {
        r = find(j, id, &s);
    }
    if (r.code == CODE_OK) {
        bool none = s->state == JOB_NONE || (id == NULL && s->is_taken);
        *out = none ? json_null() : job_json(s, a, lang);
    }
    pthread_mutex_unlock(&j->mutex);
    return r;
}

struct result plan_jobs_stop(struct plan_jobs *j, const char *id)
{
    struct slot *s;
    pthread_mutex_lock(&j->mutex);
    struct result r = find(j, id, &s);
    if (r.code == CODE_OK && s->state == JOB_WORKING) {
        s->stop = true;
    }
    pthread_mutex_unlock(&j->mutex);
    return r;
}

struct result plan_jobs_command(struct plan_jobs *j, const char *id, json_t **out)
{
    struct slot *s;
    pthread_mutex_lock(&j->mutex);
    struct result r = find(j, id, &s);
    if (r.code == CODE_OK && s->is_trial) {
        r = FAIL1(JOB_TRIAL, "", id);
    }
    if (r.code == CODE_OK && s->command == NULL) {
        r = FAIL1(JOB_EMPTY, "", id);
    }
    if (r.code == CODE_OK) {
        *out = json_deep_copy(s->command);
    }
    pthread_mutex_unlock(&j->mutex);
    return r;
}

void plan_jobs_taken(struct plan_jobs *j, const char *id)
{
    struct slot *s;
    pthread_mutex_lock(&j->mutex);
    struct result r = find(j, id, &s);
    if (r.code == CODE_OK) {
        s->is_taken = true;
        s->stop = true;
    }
    pthread_mutex_unlock(&j->mutex);
}
