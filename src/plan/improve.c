#include "plan/improve.h"

#include <math.h>
#include <time.h>

/* A piece of the search shorter than this finds nothing. */
static const double PIECE_MIN_S = 0.2;

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static struct result solve_window(struct arena *a, const struct plan_frame *f,
                                  struct plan_window window, const struct solver_options *options,
                                  struct plan **out, struct solver_answer *out_answer)
{
    /* the text and the terms are large and needed only here; what is read back lives in a */
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    struct plan_model *m = plan_model_make(&scratch, f, window);
    if (m->lp->column_count == 0) {
        /* nothing to decide: a house without chambers, goods and orders */
        arena_release(&scratch);
        *out_answer = (struct solver_answer){.status = SOLVER_SOLVED};
        *out = plan_new(a, f);
        return RESULT_OK;
    }
    const char *text = lp_text(&scratch, m->lp);
    struct result r = solver_run(&scratch, options, text, m->lp->column_count, out_answer);
    if (r.code == CODE_OK && out_answer->status != SOLVER_SOLVED &&
        out_answer->status != SOLVER_STOPPED)
        r = FAIL1(SOLVER_GARBLED, "", "it calls a problem impossible that always has a plan");
    if (r.code == CODE_OK) r = plan_model_read(a, m, out_answer->values, out);
    out_answer->values = NULL;
    arena_release(&scratch);
    return r;
}

static struct result solve_whole(struct arena *a, const struct plan_frame *f,
                                 const struct improve_options *options, struct plan **out,
                                 struct improvement *report)
{
    struct solver_answer answer;
    TRY(solve_window(a, f, plan_window_whole(f), &options->solver, out, &answer));
    report->has_bound = true;
    report->bound = answer.bound;
    return RESULT_OK;
}

static struct result solve_by_windows(struct arena *a, const struct plan_frame *f,
                                      const struct improve_options *options, struct plan **out)
{
    double until_s = now_s() + options->solver.seconds;
    int days = f->p->day_count;
    int pieces = 1;
    for (int from = 0; from + options->window_days < days; from += options->step_days)
        pieces++;
    struct plan *kept = NULL;
    for (int from = 0;; from += options->step_days, pieces--) {
        struct solver_options piece = options->solver;
        piece.seconds = fmax(PIECE_MIN_S, (until_s - now_s()) / pieces);
        int whole_until = from + options->window_days;
        bool last = whole_until >= days;
        struct plan_window window = {kept ? from : 0, last ? days : whole_until, kept};
        struct plan *found = NULL;
        struct solver_answer answer;
        TRY(solve_window(a, f, window, &piece, &found, &answer));
        kept = found;
        if (last) break;
    }
    *out = kept;
    return RESULT_OK;
}

void plan_improve(struct arena *a, const struct plan_frame *f, const struct plan *given,
                  const struct improve_options *options, struct improvement *out)
{
    *out = (struct improvement){.plan = given, .cost = plan_cost(a, given)};
    struct plan *found = NULL;
    bool whole = options->window_days <= 0 || options->step_days <= 0;
    out->solver =
        whole ? solve_whole(a, f, options, &found, out) : solve_by_windows(a, f, options, &found);
    if (out->solver.code == CODE_OK) {
        double cost = plan_cost(a, found);
        if (cost <= out->cost) {
            out->plan = found;
            out->is_improved = true;
            out->cost = cost;
        }
    }
    if (out->has_bound) out->gap = fmax(0, out->cost - out->bound) / fmax(1e-9, fabs(out->cost));
}
