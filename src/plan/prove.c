#include "plan/prove.h"

#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <time.h>

#include "base/check.h"

enum { WINDOW_DAYS = 7 };

/* A piece of the search shorter than this finds nothing. */
static const double PIECE_MIN_S = 0.05, WINDOW_S = 2;
/* Enough for most of what cuts bring. */
static const double FIRST_BOUND_S = 2;
/* Of the time there is, for the whole program; the rest is for windows. */
static const double WHOLE_SHARE = 0.6;

struct prover {
    const struct plan_frame *f;
    struct solver_options options;
    double until_s;
    pthread_t thread;
    atomic_bool halt;
    pthread_mutex_t mutex; /* of what follows */
    struct arena best_arena, found_arena;
    struct plan *best, *found; /* found NULL: none since the last news */
    int best_version;
    bool is_tied;
    struct prover_news news;
};

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void keep_plan(struct arena *a, const struct plan *from, struct plan **place)
{
    arena_clear(a);
    *place = plan_copy(a, from);
}

/* A plan in scratch that lives until scratch is cleared; NULL where none came. */
static struct result solve(struct prover *p, struct arena *scratch, struct plan_window window,
                           double seconds, bool bound_first, struct plan **out,
                           struct solver_answer *answer)
{
    *out = NULL;
    struct plan_model *m = plan_model_make(scratch, p->f, window);
    if (m->lp->column_count == 0) {
        /* nothing to decide: a house without chambers, goods and orders */
        *answer = (struct solver_answer){.status = SOLVER_SOLVED, .has_bound = true};
        return RESULT_OK;
    }
    struct solver_options options = p->options;
    options.seconds = fmax(PIECE_MIN_S, seconds);
    options.bound_first = bound_first;
    options.stop = &p->halt;
    TRY(solver_run(scratch, &options, lp_text(scratch, m->lp), m->lp->column_count, answer));
    if (answer->status != SOLVER_SOLVED && answer->status != SOLVER_STOPPED)
        return FAIL1(SOLVER_GARBLED, "", "it calls a problem impossible that always has a plan");
    bool whole = window.whole_until > window.whole_from || window.later_kept;
    if (whole) TRY(plan_model_read(scratch, m, answer->values, out));
    return RESULT_OK;
}

static void tell(struct prover *p, const struct result *r, const struct solver_answer *answer,
                 const struct plan *found, bool is_bound)
{
    pthread_mutex_lock(&p->mutex);
    if (is_bound && answer->has_bound && (!p->news.has_bound || answer->bound > p->news.bound)) {
        p->news.has_bound = true;
        p->news.bound = answer->bound;
    }
    if (found) keep_plan(&p->found_arena, found, &p->found);
    p->news.solver = *r;
    /* late with a bound is what was asked for, and stopped it is when the search has ended */
    if ((r->code == CODE_SOLVER_LATE && p->news.has_bound) || r->code == CODE_PLAN_STOPPED)
        p->news.solver = RESULT_OK;
    pthread_mutex_unlock(&p->mutex);
}

static bool may_go_on(const struct prover *p)
{
    return !atomic_load(&p->halt) && p->until_s - now_s() > PIECE_MIN_S;
}

/* -> whether there is sense in going on */
static bool prove_relaxed(struct prover *p, struct arena *scratch)
{
    struct solver_answer answer = {0};
    struct plan *none;
    struct result r =
        solve(p, scratch, plan_window_relaxed(), p->until_s - now_s(), false, &none, &answer);
    tell(p, &r, &answer, NULL, r.code == CODE_OK && answer.status == SOLVER_SOLVED);
    return r.code == CODE_OK || r.code == CODE_SOLVER_LATE;
}

static bool prove_whole(struct prover *p, struct arena *scratch, double seconds, bool bound_first)
{
    struct solver_answer answer = {0};
    struct plan *found;
    struct result r =
        solve(p, scratch, plan_window_whole(p->f), seconds, bound_first, &found, &answer);
    tell(p, &r, &answer, found, r.code == CODE_OK || r.code == CODE_SOLVER_LATE);
    bool solved = r.code == CODE_OK && answer.status == SOLVER_SOLVED;
    if (solved) {
        pthread_mutex_lock(&p->mutex);
        p->news.is_solved = true;
        pthread_mutex_unlock(&p->mutex);
    }
    return !solved && (r.code == CODE_OK || r.code == CODE_SOLVER_LATE);
}

/* What the plan pays a day for: shortage, waste and keeping, by the day it comes from. */
static void day_costs(struct arena *a, const struct plan *plan, double *cost)
{
    const struct plan_frame *f = plan->f;
    double *made = plan_node_kg(a, plan), *used = plan_node_used_kg(a, plan);
    double *met = plan_cell_met_kg(a, plan);
    for (int n = 0; n < f->node_count; n++) {
        int day = f->nodes[n].harvest_day > 0 ? f->nodes[n].harvest_day : 0;
        cost[day] += fmax(0, made[n] - used[n]) * f->p->crops[f->nodes[n].crop].waste_cost_per_kg;
    }
    for (int c = 0; c < f->cell_count; c++)
        if (f->cells[c].want == c)
            cost[f->cells[c].day] +=
                fmax(0, f->cells[c].kg - met[c]) * f->cells[c].shortage_cost_per_kg;
}

/* First day of the window whose starts are to be chosen anew: that behind the most such cost not
 * looked at yet. Costs come due a growing time after the start. */
static int worst_window(struct arena *a, const struct plan *plan, const bool *done)
{
    const struct plan_frame *f = plan->f;
    int days = f->p->day_count, grow_days = 0, ways = 0, best = PLAN_NONE;
    double *cost = ARENA_ARRAY(a, double, (size_t)days), most = -1;
    day_costs(a, plan, cost);
    for (int k = 0; k < f->p->crop_count; k++)
        for (int w = 0; w < f->p->crops[k].way_count; w++, ways++)
            grow_days += f->p->crops[k].ways[w].grow_days;
    int delay = ways > 0 ? grow_days / ways : 0;
    for (int from = 0; from < days; from++) {
        double sum = 0;
        for (int d = from + delay; d < from + delay + WINDOW_DAYS && d < days; d++)
            sum += cost[d];
        if (done[from] || sum <= most) continue;
        most = sum;
        best = from;
    }
    return best;
}

/* The best plan known, in scratch. -> its number */
static int best_now(struct prover *p, struct arena *scratch, struct plan **out, bool *out_tied)
{
    pthread_mutex_lock(&p->mutex);
    *out = plan_copy(scratch, p->best);
    *out_tied = p->is_tied;
    int version = p->best_version;
    pthread_mutex_unlock(&p->mutex);
    return version;
}

/* -> whether there is sense in going on */
static bool better_window(struct prover *p, struct arena *scratch, const struct plan *best,
                          int from, int until)
{
    struct plan_window window = {from, until, best, true};
    struct solver_answer answer = {0};
    struct plan *found;
    double seconds = fmin(WINDOW_S, p->until_s - now_s());
    struct result r = solve(p, scratch, window, seconds, false, &found, &answer);
    if (found && plan_cost(scratch, found) < plan_cost(scratch, best) - 1e-6) {
        struct result fine = RESULT_OK;
        tell(p, &fine, &answer, found, false);
    }
    bool go_on = r.code == CODE_OK || r.code == CODE_SOLVER_LATE;
    if (!go_on) tell(p, &r, &answer, NULL, false);
    return go_on;
}

/* The best plan's own counts: goods and seed shared out at least cost. */
static bool better_with_counts_kept(struct prover *p, struct arena *scratch)
{
    struct plan *best;
    bool tied;
    best_now(p, scratch, &best, &tied);
    bool go_on = !tied || better_window(p, scratch, best, 0, 0);
    arena_clear(scratch);
    return go_on;
}

/* Windows around the best plan known; all over again when there is a better one. */
static void better_by_windows(struct prover *p, struct arena *scratch)
{
    bool done[PLAN_DAYS_MAX] = {0}, tied, go_on = true;
    int version = -1, days = p->f->p->day_count;
    while (go_on && may_go_on(p)) {
        arena_clear(scratch);
        struct plan *best;
        int now = best_now(p, scratch, &best, &tied);
        for (int d = 0; now != version && d < days; d++)
            done[d] = false;
        version = now;
        int from = worst_window(scratch, best, done);
        if (from == PLAN_NONE) return;
        for (int d = from - WINDOW_DAYS / 2; d <= from + WINDOW_DAYS / 2; d++)
            if (d >= 0 && d < days) done[d] = true;
        go_on = better_window(p, scratch, best, from, from + WINDOW_DAYS);
    }
}

static bool is_tied(struct prover *p)
{
    pthread_mutex_lock(&p->mutex);
    bool tied = p->is_tied;
    pthread_mutex_unlock(&p->mutex);
    return tied;
}

static void *work(void *self)
{
    struct prover *p = self;
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    bool go_on = prove_relaxed(p, &scratch);
    arena_clear(&scratch);
    if (go_on && may_go_on(p)) go_on = better_with_counts_kept(p, &scratch);
    if (go_on && may_go_on(p)) {
        double left_s = p->until_s - now_s();
        /* where limits tie crops together the search needs plans from here, too */
        if (left_s > FIRST_BOUND_S && !is_tied(p)) {
            go_on = prove_whole(p, &scratch, fmin(FIRST_BOUND_S, left_s * WHOLE_SHARE), true);
            left_s = p->until_s - now_s();
        }
        bool bound_first = left_s > FIRST_BOUND_S && !is_tied(p);
        if (go_on && may_go_on(p))
            go_on = prove_whole(p, &scratch, left_s * WHOLE_SHARE, bound_first);
    }
    if (go_on && may_go_on(p)) better_by_windows(p, &scratch);
    arena_release(&scratch);
    pthread_mutex_lock(&p->mutex);
    p->news.is_over = true;
    pthread_mutex_unlock(&p->mutex);
    return NULL;
}

struct prover *prover_begin(const struct plan_frame *f, const struct solver_options *options,
                            const struct plan *best, double until_s)
{
    struct prover *p = calloc(1, sizeof *p);
    CHECK(p != NULL);
    p->f = f;
    p->options = *options;
    p->until_s = until_s;
    p->news.solver = RESULT_OK;
    arena_init(&p->best_arena, ARENA_LIMIT_DEFAULT);
    arena_init(&p->found_arena, ARENA_LIMIT_DEFAULT);
    p->best = plan_copy(&p->best_arena, best);
    pthread_mutex_init(&p->mutex, NULL);
    int failed = pthread_create(&p->thread, NULL, work, p);
    CHECK(failed == 0);
    return p;
}

void prover_offer(struct prover *p, const struct plan *best, bool tied)
{
    pthread_mutex_lock(&p->mutex);
    p->is_tied = tied;
    keep_plan(&p->best_arena, best, &p->best);
    p->best_version++;
    pthread_mutex_unlock(&p->mutex);
}

void prover_news(struct prover *p, struct arena *a, struct prover_news *out)
{
    pthread_mutex_lock(&p->mutex);
    *out = p->news;
    out->plan = p->found ? plan_copy(a, p->found) : NULL;
    p->found = NULL;
    pthread_mutex_unlock(&p->mutex);
}

void prover_halt(struct prover *p)
{
    atomic_store(&p->halt, true);
}

void prover_end(struct prover *p, struct arena *a, struct prover_news *out)
{
    pthread_join(p->thread, NULL);
    prover_news(p, a, out);
    arena_release(&p->best_arena);
    arena_release(&p->found_arena);
    pthread_mutex_destroy(&p->mutex);
    free(p);
}
