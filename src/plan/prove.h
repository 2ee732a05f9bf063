/* The solver beside the search, in a thread of its own: how good a plan can be at all, and better
 * plans where it finds some.
 *
 * First the relaxed program: a bound within moments. Then the whole program with its cuts: a
 * stronger bound, and for small houses the best plan there is. Then windows of days of the best
 * plan known (fix and optimise), the worst days first, until told to end. Every plan is read
 * against the program's rows before it counts. Whatever becomes of the solver is told in news,
 * never fatal. */
#ifndef PLAN_PROVE_H
#define PLAN_PROVE_H

#include "plan/model.h"
#include "plan/solver.h"

struct prover;

struct prover_news {
    bool has_bound, is_over; /* is_over: nothing more will come */
    bool is_solved;          /* the whole program, within the gap asked for */
    double bound;
    struct plan *plan;    /* a new one since the last news, in the arena given; NULL */
    struct result solver; /* RESULT_OK, or why it brought nothing (or nothing more) */
};

/* until_s: of CLOCK_MONOTONIC. options->seconds and options->stop play no part. */
struct prover *prover_begin(const struct plan_frame *f, const struct solver_options *options,
                            const struct plan *best, double until_s);
/* The best plan known, for windows around it; tied: limits tie crops together, which whoever offers
 * it deals with only roughly. */
void prover_offer(struct prover *p, const struct plan *best, bool tied);
void prover_news(struct prover *p, struct arena *a, struct prover_news *out);
/* What it does now is cut short. */
void prover_halt(struct prover *p);
/* Waits until it is over, tells the last news and frees it. */
void prover_end(struct prover *p, struct arena *a, struct prover_news *out);

#endif
