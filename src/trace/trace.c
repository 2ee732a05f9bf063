#include "trace/trace.h"

#include <string.h>

#include "trace/exposure.h"
#include "trace/lot_rows.h"
#include "trace/memory.h"

/* What one trace works on, freed at its end. */
struct walk {
    const struct graph *graph;
    const struct trace_question *question;
    uint32_t *start; /* positions of the starts that the graph knows */
    double *weight;
    size_t start_count;
    double known_weight; /* their part of all weights */
    struct reach reach;
    struct reach sure; /* the same without edges of unknown carry-over; seen is NULL: the same */
    double *share;     /* by position; NULL once the answer has taken it over */
};

/* A lot that is not in the packed order: late ones and starts without any edge. */
struct extra {
    int64_t lot;
    double share;
    uint8_t certain;
};

static void find_starts(struct walk *w)
{
    const struct trace_starts *starts = &w->question->starts;
    w->start = MEMORY_TAKE(uint32_t, starts->count);
    w->weight = MEMORY_TAKE(double, starts->count);
    double all = 0, known = 0;
    for (size_t i = 0; i < starts->count; i++) {
        all += starts->weight[i];
        if (graph_find(w->graph, starts->lot[i], &w->start[w->start_count])) {
            w->weight[w->start_count++] = starts->weight[i];
            known += starts->weight[i];
        }
    }
    w->known_weight = all > 0 ? known / all : 0;
}

static void walk_run(struct walk *w)
{
    const struct trace_question *question = w->question;
    find_starts(w);
    reach_mark(w->graph, w->start, w->start_count, question->direction, question->bases, &w->reach);
    if (w->graph->basis_count[BASIS_UNKNOWN] > 0 &&
        (question->bases & ~(unsigned)BASES_WITHOUT_UNKNOWN) != 0) {
        reach_mark(w->graph, w->start, w->start_count, question->direction,
                   question->bases & BASES_WITHOUT_UNKNOWN, &w->sure);
    }
    w->share = MEMORY_ZERO(double, w->graph->lot_count);
    exposure_run(w->graph, &w->reach, w->start, w->weight, w->start_count, w->share);
}

static void walk_release(struct walk *w)
{
    free(w->start);
    free(w->weight);
    reach_release(&w->reach);
    reach_release(&w->sure);
    free(w->share);
}

static uint8_t is_certain(const struct walk *w, uint32_t position)
{
    return w->sure.seen == NULL || reach_has(&w->sure, position);
}

static double share_of(const struct walk *w, uint32_t position)
{
    double share = w->share[position];
    return w->question->direction == TRACE_FORWARD ? share : share * w->known_weight;
}

static int by_lot(const void *x, const void *y)
{
    const struct extra *a = x, *b = y;
    return (a->lot > b->lot) - (a->lot < b->lot);
}

static struct extra *collect_extras(const struct walk *w, size_t *out_count)
{
    const struct graph *g = w->graph;
    const struct trace_starts *starts = &w->question->starts;
    struct extra *extras = MEMORY_TAKE(struct extra, g->late_lots.count + starts->count);
    size_t count = 0;
    for (size_t i = 0; i < g->late_lots.count; i++) {
        uint32_t p = g->late_lots.value[i];
        if (reach_has(&w->reach, p)) {
            extras[count++] = (struct extra){g->lot[p], share_of(w, p), is_certain(w, p)};
        }
    }
    double all = 0;
    for (size_t i = 0; i < starts->count; i++) {
        all += starts->weight[i];
    }
    for (size_t i = 0; i < starts->count; i++) {
        uint32_t p;
        if (!graph_find(g, starts->lot[i], &p)) {
            bool forward = w->question->direction == TRACE_FORWARD;
            extras[count++] =
                (struct extra){starts->lot[i], forward ? 1 : starts->weight[i] / all, 1};
        }
    }
    qsort(extras, count, sizeof *extras, by_lot);
    *out_count = count;
    return extras;
}

struct column_writer {
    struct trace_answer *answer;
    const struct extra *extras;
    size_t extra_count, extra_at;
};

/* Extras below an id go first. */
static void write_extras(struct column_writer *c, int64_t below)
{
    struct trace_answer *out = c->answer;
    while (c->extra_at < c->extra_count && c->extras[c->extra_at].lot < below) {
        const struct extra *e = &c->extras[c->extra_at++];
        out->lot[out->lot_count] = e->lot;
        out->share[out->lot_count] = e->share;
        out->certain[out->lot_count++] = e->certain;
    }
}

static inline void write_lot(const struct walk *w, struct column_writer *c, uint32_t position)
{
    struct trace_answer *out = c->answer;
    int64_t lot = w->graph->lot[position];
    if (c->extra_at < c->extra_count) {
        write_extras(c, lot);
    }
    out->lot[out->lot_count] = lot;
    out->share[out->lot_count] = share_of(w, position);
    out->certain[out->lot_count++] = is_certain(w, position);
}

/* Packed lots in the order of their ids, which is mostly that of their positions. */
static void write_packed(const struct walk *w, struct column_writer *c)
{
    const struct graph *g = w->graph;
    uint32_t packed = g->ids.count;
    if (g->position_of_place != NULL) {
        for (uint32_t place = 0; place < packed; place++) {
            if (reach_has(&w->reach, g->position_of_place[place])) {
                write_lot(w, c, g->position_of_place[place]);
            }
        }
        return;
    }
    for (uint32_t word = 0; word * UINT64_C(64) < packed; word++) {
        uint64_t todo = w->reach.seen[word];
        if (packed - word * 64 < 64) {
            todo &= (UINT64_C(1) << (packed - word * 64)) - 1;
        }
        for (; todo != 0; todo &= todo - 1) {
            write_lot(w, c, word * 64 + (uint32_t)__builtin_ctzll(todo));
        }
    }
}

static uint32_t lowest_reached(const struct walk *w)
{
    size_t word = 0, words = (size_t)w->graph->lot_count / 64 + 1;
    while (word < words && w->reach.seen[word] == 0) {
        word++;
    }
    return word < words ? (uint32_t)(word * 64) + (uint32_t)__builtin_ctzll(w->reach.seen[word])
                        : 0;
}

/* In the common case the shares by position are pushed together where they stand: the share of the
 * i-th lot never moves up, so it overwrites nothing that is still to be read. A first touch of
 * fresh memory would cost more than the exposure itself. */
static void place_shares(struct walk *w, size_t extra_count, struct trace_answer *out)
{
    if (extra_count == 0 && w->graph->position_of_place == NULL) {
        out->share_block = w->share;
        out->share = w->share + lowest_reached(w);
    } else {
        out->share_block = MEMORY_TAKE(double, w->reach.count + extra_count);
        out->share = out->share_block;
    }
}

static void write_columns(struct walk *w, struct trace_answer *out)
{
    struct column_writer c = {.answer = out};
    struct extra *extras = collect_extras(w, &c.extra_count);
    c.extras = extras;
    size_t room = w->reach.count + c.extra_count;
    out->lot = MEMORY_TAKE(int64_t, room);
    out->certain = MEMORY_TAKE(uint8_t, room);
    place_shares(w, c.extra_count, out);
    write_packed(w, &c);
    write_extras(&c, INT64_MAX);
    free(extras);
    if (out->share_block == w->share) {
        w->share = NULL;
    }
}

/* Entries of every edge between two lots reached. */
static size_t collect_entries(const struct walk *w, int64_t **out)
{
    const struct graph *g = w->graph;
    int64_t *entries = NULL;
    size_t count = 0, room = 0;
    struct reach_walk lots = reach_walk_begin(&w->reach, g);
    for (uint32_t p; reach_walk_next(&lots, &p);) {
        struct graph_walk edges = graph_walk_begin(g, p, true);
        struct graph_step step;
        while (graph_walk_next(&edges, &step)) {
            bool inside =
                reach_has(&w->reach, step.position) && (w->question->bases >> step.basis & 1) != 0;
            if (!inside || (count > 0 && entries[count - 1] == step.entry)) {
                continue;
            }
            if (count == room) {
                room = room > 0 ? 2 * room : 256;
                entries = MEMORY_GROW(entries, int64_t, room);
            }
            entries[count++] = step.entry;
        }
    }
    *out = entries;
    return ids_sort(entries, count);
}

static struct result read_steps(const struct walk *w, struct store *s, struct arena *a,
                                struct trace_answer *out)
{
    int64_t *entries;
    size_t count = collect_entries(w, &entries);
    struct result r = steps_read(s, entries, count, a, &out->steps, &out->step_count);
    free(entries);
    return r;
}

static struct result read_account(struct store *s, struct arena *a, struct trace_answer *out)
{
    int64_t *here_mg = ARENA_ARRAY(a, int64_t, out->lot_count);
    for (size_t i = 0; i < out->lot_count; i++) {
        here_mg[i] = out->facts[i].here_mg;
    }
    return account_read(s, out->lot, out->lot_count, here_mg, a, &out->account);
}

static void count_held(struct trace_answer *out)
{
    for (size_t i = 0; i < out->hold_count; i++) {
        out->held_lots += i == 0 || out->holds[i].lot != out->holds[i - 1].lot;
    }
}

/* Of the mass that is here or left, the part of the lots that are not certain. */
static double unknown_part_forward(const struct trace_answer *out)
{
    double all = 0, unknown = 0;
    for (size_t i = 0; i < out->lot_count; i++) {
        double mg = out->facts[i].here_mg > 0 ? (double)out->facts[i].here_mg : 0;
        all += mg;
        unknown += out->certain[i] ? 0 : mg;
    }
    for (size_t i = 0; i < out->scope.left_count; i++) {
        const struct scope_left *left = &out->scope.left[i];
        size_t at = ids_index(out->lot, out->lot_count, left->lot);
        all += (double)left->mg;
        unknown += out->certain[at] ? 0 : (double)left->mg;
    }
    return all > 0 ? unknown / all : 0;
}

/* Shares over the lots without parents sum to 1; of those the ones that are not certain. */
static double unknown_part_back(const struct walk *w)
{
    double unknown = 0;
    if (w->sure.seen == NULL) {
        return 0;
    }
    struct reach_walk lots = reach_walk_begin(&w->reach, w->graph);
    for (uint32_t p; reach_walk_next(&lots, &p);) {
        struct graph_walk parents = graph_walk_begin(w->graph, p, false);
        struct graph_step step;
        if (!is_certain(w, p) && !graph_walk_next(&parents, &step)) {
            unknown += share_of(w, p);
        }
    }
    return unknown;
}

static struct result read_record(const struct walk *w, struct store *s, struct arena *a,
                                 struct trace_answer *out)
{
    TRY(facts_read(s, out->lot, out->lot_count, a, &out->facts));
    TRY(scope_of_facts(s, out->lot, out->lot_count, out->facts, a, &out->scope));
    TRY(read_account(s, a, out));
    TRY(holds_read(s, out->lot, out->lot_count, a, &out->holds, &out->hold_count));
    count_held(out);
    TRY(read_steps(w, s, a, out));
    if (out->direction == TRACE_FORWARD) {
        out->unknown_part = unknown_part_forward(out);
    }
    return RESULT_OK;
}

struct result trace_run(const struct graph *g, struct store *s,
                        const struct trace_question *question, struct arena *a,
                        struct trace_answer *out)
{
    *out = (struct trace_answer){.direction = question->direction};
    struct walk w = {.graph = g, .question = question};
    walk_run(&w);
    out->unknown_part = question->direction == TRACE_BACK ? unknown_part_back(&w) : 0;
    write_columns(&w, out);
    customers_reached(g, &w.reach, a, &out->customers, &out->customer_count);
    struct result r = RESULT_OK;
    if (question->depth == TRACE_RECORD) {
        r = read_record(&w, s, a, out);
    }
    walk_release(&w);
    if (r.code != CODE_OK) {
        trace_answer_release(out);
    }
    return r;
}

void trace_answer_release(struct trace_answer *answer)
{
    free(answer->lot);
    free(answer->share_block);
    free(answer->certain);
    *answer = (struct trace_answer){.lot_count = 0};
}
