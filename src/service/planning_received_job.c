#include "service/planning_received_job.h"

#include <math.h>

#include "service/planning_received_chance.h"
#include "service/planning_received_change.h"
#include "service/planning_received_luck.h"

/* Of the time: first looks at a better plan, before the whole of it (common practice: somebody
 * waits). */
#define FIRST_SHARE 0.25

struct work {
    const struct planning_received_job *job;
    struct arena *a;
    struct planning_received as_is, wished;
    struct planning_received_taken taken;
    struct intake_outcome before;
    struct intake_luck luck;
};

static void show(struct work *w, const struct intake_outcome *x)
{
    json_t *plan[WORDS_SPOKEN];
    struct intake_chance chance = intake_chance_of(w->a, x->plan, &w->luck);
    for (int i = 0; i < WORDS_SPOKEN; i++) {
        const char *lang = words_spoken[i];
        plan[i] = planning_received_json(&w->wished, x, w->a, lang);
        planning_received_chance_put(&w->wished, &w->luck, &chance, w->a, lang, plan[i]);
        json_object_set_new(plan[i], "before", planning_received_sums(&w->as_is, &w->before, w->a));
        json_object_set_new(
            plan[i], "difference",
            planning_received_difference(&w->as_is, &w->before, &w->wished, x, w->a, lang));
        if (w->job->is_trial) {
            json_object_set_new(plan[i], "base",
                                planning_received_json(&w->as_is, &w->before, w->a, lang));
        }
    }
    w->job->show(w->job->self, plan, planning_received_take(&w->wished, x, w->a));
}

/* A plan to be taken is held against the one in force, a trial against the best without its
 * changes. */
static struct result make_before(struct work *w, double seconds)
{
    if (w->job->is_trial) {
        return planning_received_make(w->a, &w->as_is, seconds, w->job->stop, &w->before);
    }
    planning_received_follow(w->a, &w->as_is, &w->taken, &w->before);
    return RESULT_OK;
}

static bool is_better(const struct intake_outcome *x, const struct intake_outcome *than)
{
    return x->cost < than->cost || (x->has_bound && !(than->has_bound && than->gap <= x->gap));
}

static struct result make(struct work *w)
{
    const struct planning_received_job *job = w->job;
    struct intake_outcome best, x;
    double seconds = job->is_trial ? job->seconds / 2 : job->seconds;
    TRY(make_before(w, 0));
    TRY(planning_received_make(w->a, &w->wished, 0, job->stop, &best));
    show(w, &best);
    if (seconds > 0 && job->is_trial && !*job->stop) {
        TRY(make_before(w, seconds));
    }
    for (int step = 0; step < 2 && seconds > 0 && !*job->stop; step++) {
        double of = step == 0 ? seconds * FIRST_SHARE : seconds * (1 - FIRST_SHARE);
        TRY(planning_received_make(w->a, &w->wished, of, job->stop, &x));
        if (is_better(&x, &best)) {
            best = x;
            show(w, &best);
        }
        if (best.has_bound && best.gap <= PLANNING_GAP) {
            break;
        }
    }
    return RESULT_OK;
}

static struct result read_both(struct work *w)
{
    const struct planning_received_job *job = w->job;
    TRY(planning_received_read(job->store, job->profile, job->now_ms, w->a, &w->as_is));
    TRY(planning_received_taken(job->store, &w->taken));
    TRY(planning_received_luck(job->store, w->a, &w->as_is, &w->luck));
    w->wished = w->as_is;
    return planning_received_change(job->store, job->profile, job->now_ms, w->a, job->wish.changes,
                                    &w->wished);
}

struct result planning_received_work(const struct planning_received_job *job, struct arena *a)
{
    struct work *w = ARENA_NEW(a, struct work);
    w->job = job;
    w->a = a;
    if (job->wish.service > 0 || job->wish.keep != PLANNING_KEEP_BALANCE) {
        return FAIL2(FIELD_CHOICE, job->wish.service > 0 ? "service_ppm" : "keep", "given",
                     "nothing: a plan of fruit that comes is the one of least cost");
    }
    TRY(store_begin(job->store));
    struct result r = read_both(w);
    store_rollback(job->store);
    if (r.code == CODE_OK) {
        r = make(w);
    }
    json_decref(w->taken.flows);
    return r;
}
