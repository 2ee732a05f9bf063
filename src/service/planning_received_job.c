#include "service/planning_received_job.h"

#include <math.h>

#include "base/check.h"
#include "service/planning_received_care.h"
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

struct made {
    struct intake_outcome x;
    struct intake_care care;
};

static void show(struct work *w, const struct made *made)
{
    json_t *plan[WORDS_SPOKEN] = {0};
    const struct intake_outcome *x = &made->x;
    for (int i = 0; i < w->job->lang_count; i++) {
        const char *lang = w->job->langs[i];
        plan[i] = planning_received_json(&w->wished, x, w->a, lang);
        planning_received_chance_put(&w->wished, &w->luck, &made->care.chance, w->a, lang, plan[i]);
        planning_received_care_put(&made->care,
                                   planning_service_of_profile(&w->job->wish, w->job->profile),
                                   w->a, lang, plan[i]);
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

static struct planning_ask ask_of(const struct work *w, double seconds)
{
    return (struct planning_ask){.seconds = seconds,
                                 .service = planning_service(&w->job->wish, w->job->profile),
                                 .stop = w->job->stop};
}

/* A plan to be taken is held against the one in force, a trial against the best without its
 * changes. */
static struct result make_before(struct work *w, double seconds)
{
    if (w->job->is_trial) {
        struct intake_care care;
        const struct planning_ask ask = ask_of(w, seconds);
        return planning_received_careful(w->a, &w->as_is, &w->luck, &ask, &w->before, &care);
    }
    planning_received_follow(w->a, &w->as_is, &w->taken, &w->before);
    return RESULT_OK;
}

/* By what it costs and meets where things go otherwise, if they can. */
static bool is_better(const struct made *x, const struct made *other)
{
    if (x->care.is_chosen || x->care.service > 0) {
        return intake_care_better(&x->care.chance, &other->care.chance, x->care.service);
    }
    return x->x.cost < other->x.cost;
}

/* A bound is one of every plan. -> whether the best is another, or better known */
static bool take(const struct made *x, struct made *best)
{
    struct intake_outcome known = best->x.has_bound ? best->x : x->x;
    bool is_news = is_better(x, best);
    if (x->x.has_bound && known.bound < x->x.bound) {
        known = x->x;
    }
    if (is_news) {
        *best = *x;
    }
    if (!is_news && !known.has_bound && x->x.solver.code != best->x.solver.code) {
        best->x.solver = x->x.solver; /* the plan made at once stays, and people hear why */
        is_news = true;
    }
    if (known.has_bound) {
        is_news = is_news || !best->x.has_bound || best->x.bound < known.bound;
        best->x.has_bound = true;
        best->x.bound = fmin(known.bound, best->x.cost);
        best->x.gap = fmin(1, (best->x.cost - best->x.bound) / fmax(1e-9, fabs(best->x.cost)));
    }
    return is_news;
}

static struct result make(struct work *w)
{
    const struct planning_received_job *job = w->job;
    struct made best, x;
    double seconds = job->is_trial ? job->seconds / 2 : job->seconds;
    TRY(make_before(w, 0));
    struct planning_ask ask = ask_of(w, 0);
    TRY(planning_received_careful(w->a, &w->wished, &w->luck, &ask, &best.x, &best.care));
    show(w, &best);
    if (seconds > 0 && job->is_trial && !*job->stop) {
        TRY(make_before(w, seconds));
    }
    for (int step = 0; step < 2 && seconds > 0 && !*job->stop; step++) {
        ask.seconds = step == 0 ? seconds * FIRST_SHARE : seconds * (1 - FIRST_SHARE);
        TRY(planning_received_careful(w->a, &w->wished, &w->luck, &ask, &x.x, &x.care));
        if (take(&x, &best)) {
            show(w, &best);
        }
        if (best.x.has_bound && best.x.gap <= PLANNING_GAP) {
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
    CHECK(job->lang_count <= WORDS_SPOKEN);
    w->job = job;
    w->a = a;
    if (job->wish.keep != PLANNING_KEEP_BALANCE) {
        return FAIL2(FIELD_CHOICE, "keep", "given",
                     "nothing: a plan of fruit that comes is made anew");
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
