#include "trace/exposure.h"

#include "trace/memory.h"

static inline bool follows(unsigned bases, enum basis basis)
{
    return bases >> basis & 1;
}

static uint32_t parent_count(const struct graph *g, uint32_t position)
{
    struct graph_walk w = graph_walk_begin(g, position, false);
    struct graph_step step;
    uint32_t count = 0;
    while (graph_walk_next(&w, &step)) {
        count++;
    }
    return count;
}

/* Into a lot whose edges all have zero mass: each edge counts the same. */
static double equal_parts(const struct graph *g, unsigned bases, uint32_t position,
                          const double *share)
{
    struct graph_walk w = graph_walk_begin(g, position, false);
    struct graph_step step;
    double sum = 0;
    uint32_t count = 0;
    while (graph_walk_next(&w, &step)) {
        sum += follows(bases, step.basis) ? share[step.position] : 0;
        count++;
    }
    return count > 0 ? sum / count : 0;
}

/* One edge's mass times the value at its other end; nothing when the edge is not meant. */
static inline double term(const struct graph_side *side, unsigned bases, uint32_t at, uint32_t end,
                          const double *value)
{
    uint32_t link = side->link[at];
    uint64_t meant = (uint64_t)(at < end) & (bases >> LINK_BASIS(link) & 1);
    return (double)(side->mg[at] & (int64_t)(0 - meant)) * value[LINK_POSITION(link)];
}

/* Sum over the packed edges of one lot, four at a time whether there are as many or not: how many a
 * lot has can't be foreseen, and a wrong guess of the processor costs more than three edges. The
 * sides have GRAPH_PAD edges more than they need. */
static inline double packed_sum(const struct graph_side *side, unsigned bases, uint32_t position,
                                const double *value)
{
    double sum = 0;
    uint32_t end = side->offset[position + 1];
    for (uint32_t k = side->offset[position]; k < end; k += GRAPH_PAD) {
        sum += term(side, bases, k, end, value);
        sum += term(side, bases, k + 1, end, value);
        sum += term(side, bases, k + 2, end, value);
        sum += term(side, bases, k + 3, end, value);
    }
    return sum;
}

static inline double mass_from_reached(const struct graph *g, unsigned bases, uint32_t position,
                                       const double *share)
{
    double sum = packed_sum(&g->in, bases, position, share);
    if (g->late_count > 0) {
        for (uint32_t next = g->late_in[position]; next != 0;) {
            const struct graph_late *l = &g->late[next - 1];
            if (follows(bases, l->basis)) {
                sum += (double)l->mg * share[l->parent];
            }
            next = l->next_in;
        }
    }
    return sum;
}

/* Parents come first in the order; a lot that was not reached keeps the share 0. */
static void run_forward(const struct graph *g, const struct reach *r, double *share)
{
    struct reach_walk w = reach_walk_begin(r, g);
    for (uint32_t p; reach_walk_next(&w, &p);) {
        if (share[p] != 0) {
            continue; /* a start lot */
        }
        double part = g->input_mg[p] > 0
                          ? mass_from_reached(g, r->bases, p, share) / (double)g->input_mg[p]
                          : equal_parts(g, r->bases, p, share);
        share[p] = part < 1 ? part : 1; /* rounding may leave it a hair above */
    }
}

/* What children without any mass took: per_mg is their share by edge. */
static double taken_by_massless(const struct graph *g, unsigned bases, uint32_t position,
                                const double *per_mg)
{
    struct graph_walk w = graph_walk_begin(g, position, true);
    struct graph_step step;
    double sum = 0;
    while (graph_walk_next(&w, &step)) {
        if (follows(bases, step.basis) && g->input_mg[step.position] == 0) {
            sum += per_mg[step.position];
        }
    }
    return sum;
}

/* What the children of a lot took from it, as shares of the starts. per_mg: the child's share by
 * milligram of its input. */
static inline double taken_by_children(const struct graph *g, unsigned bases, uint32_t position,
                                       const double *per_mg)
{
    double sum = packed_sum(&g->out, bases, position, per_mg);
    if (g->late_count > 0) {
        for (uint32_t next = g->late_out[position]; next != 0;) {
            const struct graph_late *l = &g->late[next - 1];
            if (follows(bases, l->basis)) {
                sum += (double)l->mg * per_mg[l->child];
            }
            next = l->next_out;
        }
    }
    return g->massless_edges > 0 ? sum + taken_by_massless(g, bases, position, per_mg) : sum;
}

/* share holds the weights of the starts. */
static void run_back(const struct graph *g, const struct reach *r, double *share)
{
    double *per_mg = MEMORY_ZERO(double, g->lot_count);
    struct reach_walk w = reach_walk_begin(r, g);
    for (uint32_t p; reach_walk_next(&w, &p);) {
        share[p] += taken_by_children(g, r->bases, p, per_mg);
        if (g->input_mg[p] > 0) {
            per_mg[p] = share[p] / (double)g->input_mg[p];
        } else {
            uint32_t parents = parent_count(g, p);
            per_mg[p] = parents > 0 ? share[p] / parents : 0;
        }
    }
    free(per_mg);
}

void exposure_run(const struct graph *g, const struct reach *reach, const uint32_t *starts,
                  const double *weights, size_t start_count, double *share)
{
    if (reach->direction == TRACE_FORWARD) {
        for (size_t i = 0; i < start_count; i++) {
            share[starts[i]] = 1;
        }
        run_forward(g, reach, share);
        return;
    }
    double sum = 0;
    for (size_t i = 0; i < start_count; i++) {
        sum += weights != NULL ? weights[i] : 1;
    }
    for (size_t i = 0; i < start_count && sum > 0; i++) {
        share[starts[i]] += (weights != NULL ? weights[i] : 1) / sum;
    }
    run_back(g, reach, share);
}
