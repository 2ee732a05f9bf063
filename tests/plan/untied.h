/* Planning problems in which nothing ties crops together by the kg, so that the search sees all of
 * a plan's cost; and the cost of given counts from the solver. */
#ifndef TESTS_PLAN_UNTIED_H
#define TESTS_PLAN_UNTIED_H

#include "instance.h"
#include "plan/search.h"
#include "support.h"

static inline struct plan_problem *untied_of(struct arena *a, uint64_t seed,
                                             struct instance_size size)
{
    size.days = 18;
    size.chambers = 8;
    size.day_limits = false;
    struct plan_problem *p = instance_make(a, seed, &size);
    /* seed without end, all of one yield and price */
    struct plan_seed_lot *lots = ARENA_ARRAY(a, struct plan_seed_lot, (size_t)p->seed_lot_count);
    memcpy(lots, p->seed_lots, (size_t)p->seed_lot_count * sizeof *lots);
    for (int i = 0; i < p->seed_lot_count; i++) {
        lots[i].kg = 1e5;
        lots[i].yield_factor = 1;
        lots[i].cost_per_kg = 2;
    }
    p->seed_lots = lots;
    /* and all packs of a crop of one weight */
    struct plan_product *products = ARENA_ARRAY(a, struct plan_product, (size_t)p->product_count);
    memcpy(products, p->products, (size_t)p->product_count * sizeof *products);
    for (int i = 0; i < p->swap_count; i++)
        products[p->swaps[i].from_product].net_kg = products[0].net_kg;
    p->products = products;
    return p;
}

static inline struct plan_problem *untied_make(struct arena *a, uint64_t seed)
{
    return untied_of(a, seed, instance_small);
}

/* Some counts that hold, by a short hot search. */
static inline struct search *untied_search(struct arena *a, const struct plan_frame *f,
                                           uint64_t seed, int64_t moves)
{
    struct search_prices prices = search_prices_new(a, f);
    struct search *s = search_new(a, f, &prices, seed);
    search_anneal(s, 2, 1, moves, NULL);
    return s;
}

/* What these counts and running lots' choices cost at least: the linear program with both kept. */
static inline double cost_of_counts(struct arena *a, const struct plan_frame *f, const int *counts,
                                    const int *choices)
{
    struct plan *kept = plan_new(a, f);
    memcpy(kept->choices, choices, (size_t)f->p->running_count * sizeof *choices);
    memcpy(kept->counts, counts, (size_t)f->option_count * sizeof *counts);
    struct plan_model *m = plan_model_make(a, f, (struct plan_window){0, 0, kept, true});
    struct solver_options options = {.path = SOLVE_PATH, .seconds = 60, .gap = 0};
    struct solver_answer x;
    struct result r = solver_run(a, &options, lp_text(a, m->lp), m->lp->column_count, &x);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(x.status, SOLVER_SOLVED);
    return x.objective;
}

#endif
