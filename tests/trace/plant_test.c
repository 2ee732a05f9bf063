/* The graph against a naive walk of made-up plants. Seeds count up from TEST_SEED (1 when it is not
 * set); a failure names its own. */
#include "../support.h"

#include <math.h>

#include "fill.h"
#include "plant.h"
#include "trace/exposure.h"

enum { PLANTS = 400, RECORD_PLANTS = 60 };

static uint64_t first_seed(void)
{
    const char *text = getenv("TEST_SEED");
    return text != NULL ? strtoull(text, NULL, 10) : 1;
}

static void shuffle(struct graph_edge *edges, size_t count, struct random *r)
{
    for (size_t i = count; i > 1; i--) {
        size_t k = (size_t)random_below(r, i);
        struct graph_edge kept = edges[i - 1];
        edges[i - 1] = edges[k];
        edges[k] = kept;
    }
}

static size_t lot_index(const struct plant *p, int64_t id)
{
    for (size_t i = 0; i < p->lot_count; i++) {
        if (p->lot[i].id == id) {
            return i;
        }
    }
    fail_msg("lot %lld was never born", (long long)id);
    return 0;
}

/* May the naive walk's lot be in the other? */
static bool naive_holds(const struct plant *p, size_t lot, size_t of, unsigned bases)
{
    return plant_set_has(bases == BASES_ALL ? p->lot[lot].holds : p->lot[lot].holds_sure, of);
}

static void check_reach(const struct plant *p, const struct graph *g, size_t lot,
                        enum direction direction, unsigned bases, uint64_t seed)
{
    uint32_t start;
    if (!graph_find(g, p->lot[lot].id, &start)) {
        return; /* nothing ever went in or came out */
    }
    struct reach r;
    reach_run(g, &start, 1, direction, bases, &r);
    uint32_t found = 0;
    for (size_t other = 0; other < p->lot_count; other++) {
        uint32_t position;
        bool reached = graph_find(g, p->lot[other].id, &position) && reach_has(&r, position);
        bool wanted = direction == TRACE_FORWARD ? naive_holds(p, other, lot, bases)
                                                 : naive_holds(p, lot, other, bases);
        found += reached;
        if (reached != wanted) {
            fail_msg("seed %llu: lot %zu %s lot %zu (bases %u): %s", (unsigned long long)seed, lot,
                     direction == TRACE_FORWARD ? "into" : "from", other, bases,
                     wanted ? "missed" : "should not be there");
        }
    }
    assert_int_equal(found, r.count);
    reach_release(&r);
}

/* Shares of one lot in all others and of all roots in it. */
static void check_shares(const struct plant *p, const struct graph *g, size_t lot,
                         enum direction direction, uint64_t seed)
{
    uint32_t start;
    if (!graph_find(g, p->lot[lot].id, &start)) {
        return;
    }
    struct reach r;
    reach_run(g, &start, 1, direction, BASES_ALL, &r);
    double *share = calloc(g->lot_count, sizeof *share);
    assert_non_null(share);
    exposure_run(g, &r, &start, NULL, 1, share);
    double roots = 0;
    for (uint32_t i = 0; i < r.count; i++) {
        size_t other = lot_index(p, g->lot[r.order[i]]);
        double found = share[r.order[i]];
        roots += p->lot[other].is_root ? found : 0;
        bool known = direction == TRACE_FORWARD ? p->lot[lot].is_root : p->lot[other].is_root;
        double wanted =
            direction == TRACE_FORWARD ? p->lot[other].part[lot] : p->lot[lot].part[other];
        if ((known && fabs(found - wanted) > 1e-9) || found < 0 || found > 1 + 1e-12) {
            fail_msg("seed %llu: lot %zu and %zu: share %.17g, not %.17g", (unsigned long long)seed,
                     lot, other, found, wanted);
        }
    }
    if (direction == TRACE_BACK && fabs(roots - 1) > 1e-9) {
        fail_msg("seed %llu: the roots of lot %zu sum to %.17g", (unsigned long long)seed, lot,
                 roots);
    }
    free(share);
    reach_release(&r);
}

static void check_all(const struct plant *p, const struct graph *g, uint64_t seed)
{
    for (size_t lot = 0; lot < p->lot_count; lot++) {
        check_reach(p, g, lot, TRACE_FORWARD, BASES_ALL, seed);
        check_reach(p, g, lot, TRACE_BACK, BASES_ALL, seed);
        check_reach(p, g, lot, TRACE_FORWARD, BASES_WITHOUT_UNKNOWN, seed);
        check_reach(p, g, lot, TRACE_BACK, BASES_WITHOUT_UNKNOWN, seed);
        check_shares(p, g, lot, TRACE_FORWARD, seed);
        check_shares(p, g, lot, TRACE_BACK, seed);
    }
}

static void built_graphs_answer_like_the_naive_walk(void **state)
{
    (void)state;
    static struct plant p;
    size_t edges = 0;
    for (uint64_t seed = first_seed(); seed < first_seed() + PLANTS; seed++) {
        struct random r;
        random_seed(&r, seed);
        plant_play(&p, &r);
        shuffle(p.edge, p.edge_count, &r);
        struct graph *g;
        assert_ok(graph_build(p.edge, p.edge_count, &g));
        check_all(&p, g, seed);
        graph_free(g);
        edges += p.edge_count;
    }
    print_message("# seeds from %llu, %d plants, %zu edges\n", (unsigned long long)first_seed(),
                  PLANTS, edges);
    assert_true(edges > 40 * PLANTS);
}

/* As the writer does it: some of the record loaded, the rest added entry by entry. */
static void grown_graphs_answer_like_the_naive_walk(void **state)
{
    (void)state;
    static struct plant p;
    uint32_t against = 0;
    for (uint64_t seed = first_seed(); seed < first_seed() + PLANTS; seed++) {
        struct random r;
        random_seed(&r, seed);
        plant_play(&p, &r);
        size_t at = (size_t)random_below(&r, p.edge_count + 1);
        struct graph *g;
        assert_ok(graph_build(p.edge, at, &g));
        while (at < p.edge_count) {
            size_t end = at + 1;
            while (end < p.edge_count && p.edge[end].entry == p.edge[at].entry) {
                end++;
            }
            assert_ok(graph_add(g, p.edge + at, end - at));
            at = end;
        }
        against += g->against_count;
        check_all(&p, g, seed);
        graph_free(g);
    }
    assert_true(against > PLANTS); /* lots that took in newer ones were among them */
}

/* Striking an entry leaves what a record without it would have. */
static void struck_graphs_answer_like_built_ones(void **state)
{
    (void)state;
    static struct plant p;
    for (uint64_t seed = first_seed(); seed < first_seed() + PLANTS / 4; seed++) {
        struct random r;
        random_seed(&r, seed);
        plant_play(&p, &r);
        struct graph *g, *without;
        size_t half = p.edge_count / 2;
        int64_t entry = p.edge[random_below(&r, p.edge_count)].entry;
        assert_ok(graph_build(p.edge, half, &g));
        assert_ok(graph_add(g, p.edge + half, p.edge_count - half));
        graph_strike(g, entry);
        size_t kept = 0;
        for (size_t i = 0; i < p.edge_count; i++) {
            if (p.edge[i].entry != entry) {
                p.edge[kept++] = p.edge[i];
            }
        }
        assert_ok(graph_build(p.edge, kept, &without));
        for (uint32_t i = 0; i < without->lot_count; i++) {
            uint32_t there;
            assert_true(graph_find(g, without->lot[i], &there));
            struct reach x, y;
            reach_run(without, &i, 1, TRACE_FORWARD, BASES_ALL, &x);
            reach_run(g, &there, 1, TRACE_FORWARD, BASES_ALL, &y);
            assert_int_equal(x.count, y.count);
            for (uint32_t k = 0; k < x.count; k++) {
                uint32_t other;
                assert_true(graph_find(g, without->lot[x.order[k]], &other));
                assert_true(reach_has(&y, other));
            }
            reach_release(&x);
            reach_release(&y);
        }
        graph_free(g);
        graph_free(without);
    }
}

/* The recursive query's lots must be exactly those reached. */
static void check_query(struct store *s, enum query query, const struct graph *g, int64_t lot,
                        enum direction direction, uint64_t seed)
{
    uint32_t start;
    assert_true(graph_find(g, lot, &start));
    struct reach r;
    reach_run(g, &start, 1, direction, BASES_ALL, &r);
    struct statement *q = store_prepare(s, query);
    store_bind_int(q, 1, lot);
    uint32_t rows = 0;
    for (bool row = true;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            break;
        }
        uint32_t position;
        rows++;
        if (!graph_find(g, store_int(q, 0), &position) || !reach_has(&r, position)) {
            fail_msg("seed %llu: from lot %lld the query finds %lld", (unsigned long long)seed,
                     (long long)lot, (long long)store_int(q, 0));
        }
    }
    assert_int_equal(rows, r.count);
    reach_release(&r);
}

static void loaded_graphs_answer_like_the_recursive_query(void **state)
{
    (void)state;
    static struct plant p;
    for (uint64_t seed = first_seed(); seed < first_seed() + RECORD_PLANTS; seed++) {
        struct random r;
        random_seed(&r, seed);
        plant_play(&p, &r);
        struct store *s = fill_open();
        for (size_t i = 0; i < p.edge_count; i++) {
            fill_edge(s, &p.edge[i]);
        }
        int64_t struck = p.edge[random_below(&r, p.edge_count)].entry;
        fill(s, Q_STRIKE_EDGE, "ii", struck, struck + 1000000);
        struct graph *g;
        assert_ok(graph_load(s, &g));
        for (uint32_t i = 0; i < g->lot_count; i++) {
            check_query(s, Q_TRACE_REACH_FORWARD, g, g->lot[i], TRACE_FORWARD, seed);
            check_query(s, Q_TRACE_REACH_BACK, g, g->lot[i], TRACE_BACK, seed);
        }
        graph_free(g);
        store_close(s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(built_graphs_answer_like_the_naive_walk),
        cmocka_unit_test(grown_graphs_answer_like_the_naive_walk),
        cmocka_unit_test(struck_graphs_answer_like_built_ones),
        cmocka_unit_test(loaded_graphs_answer_like_the_recursive_query),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
