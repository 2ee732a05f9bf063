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

static inline double mass_from_reached(const struct graph *g, unsigned bases, uint32_t position,
                                       const double *share)
{
    double sum = 0;
    uint32_t end = g->in.offset[position + 1];
    for (uint32_t k = g->in.offset[position]; k < end; k++) {
        uint32_t link = g->in.link[k];
        if (follows(bases, LINK_BASIS(link))) {
            sum += (double)g->in.mg[k] * share[LINK_POSITION(link)];
        }
    }
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
    for (uint32_t i = 0; i < r->count; i++) {
        uint32_t p = r->order[i];
        if (share[p] != 0) {
            continue; /* a start lot */
        }
        double part = g->input_mg[p] > 0
                          ? mass_from_reached(g, r->bases, p, share) / (double)g->input_mg[p]
                          : equal_parts(g, r->bases, p, share);
        share[p] = part < 1 ? part : 1; /* rounding may leave it a hair above */
    }
}

/* What the children of a lot took from it, as shares of the starts. per_mg: share by milligram of
 * input; for a child without mass, share by edge. */
static inline double taken_by_children(const struct graph *g, unsigned bases, uint32_t position,
                                       const double *per_mg)
{
    double sum = 0;
    uint32_t end = g->out.offset[position + 1];
    for (uint32_t k = g->out.offset[position]; k < end; k++) {
        uint32_t link = g->out.link[k], child = LINK_POSITION(link);
        if (follows(bases, LINK_BASIS(link)) && per_mg[child] != 0) {
            sum += g->input_mg[child] > 0 ? (double)g->out.mg[k] * per_mg[child] : per_mg[child];
        }
    }
    if (g->late_count > 0) {
        for (uint32_t next = g->late_out[position]; next != 0;) {
            const struct graph_late *l = &g->late[next - 1];
            if (follows(bases, l->basis) && per_mg[l->child] != 0) {
                sum +=
                    g->input_mg[l->child] > 0 ? (double)l->mg * per_mg[l->child] : per_mg[l->child];
            }
            next = l->next_out;
        }
    }
    return sum;
}

/* share holds the weights of the starts. */
static void run_back(const struct graph *g, const struct reach *r, double *share)
{
    double *per_mg = MEMORY_ZERO(double, g->lot_count);
    for (uint32_t i = 0; i < r->count; i++) {
        uint32_t p = r->order[i];
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
