/* Tracing forward through the genealogy of a record on disk: the product's loader and trace call
 * against SQLite's recursive query over the same table and against igraph's breadth-first search.
 *
 * 1e5, 1e6 and 1e7 edges; answers compared first; in turns, five rounds, medians of the
 * processor's time, so that other programs on the machine do not count. Fails when
 *   lots, shares and customers   > 0.02 of SQLite (lots only) or > 0.5 of igraph (lots only)
 *   lots only                    > 0.25 of igraph
 * Of igraph's two ways the faster counts; SQLite gets its file in memory and counts, no rows out.
 *
 * trace_bench [EDGES]...   other sizes instead */
#include <igraph.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/check.h"
#include "base/random.h"
#include "folder.h"
#include "trace/memory.h"
#include "trace/trace.h"

enum { ROUNDS = 5, WINDOW = 2000, CUSTOMERS = 200, LOTS_A_SHIPMENT = 20, ONE_IN_SHIPPED = 10 };

static const double MOST_OF_SQLITE = 0.02, MOST_OF_IGRAPH = 0.5, MOST_OF_IGRAPH_BARE = 0.25;

static double seconds(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void must(struct result r)
{
    if (r.code != CODE_OK) {
        struct arena a;
        arena_init(&a, ARENA_LIMIT_DEFAULT);
        fprintf(stderr, "trace_bench: %s\n", result_sentence(&a, &r));
        exit(1);
    }
}

/* A made-up plant: every lot has one to three parents among the WINDOW lots before it; one lot in
 * ten leaves. Ids as the ledger gives them. */
struct plant {
    struct graph_edge *edge;
    size_t edge_count;
    struct shipped_line *line;
    size_t line_count;
    size_t lot_count;
};

static int64_t lot_id(size_t lot)
{
    return (int64_t)(lot + 1) * 4096;
}

static size_t lot_of(int64_t id)
{
    return (size_t)(id / 4096) - 1;
}

static enum basis any_basis(struct random *r)
{
    uint64_t n = random_below(r, 64);
    return n == 0 ? BASIS_UNKNOWN : n < 5 ? BASIS_POSSIBLE : BASIS_MEASURED;
}

static struct plant plant_make(size_t edges)
{
    struct random r;
    random_seed(&r, 1);
    struct plant p = {.edge = MEMORY_TAKE(struct graph_edge, edges + 3),
                      .line = MEMORY_TAKE(struct shipped_line, edges)};
    for (size_t lot = 1; p.edge_count < edges; lot++) {
        size_t first = lot > WINDOW ? lot - WINDOW : 0, last_parent = SIZE_MAX;
        for (uint64_t n = 1 + random_below(&r, 3); n > 0; n--) {
            size_t parent = first + (size_t)random_below(&r, lot - first);
            if (parent == last_parent) {
                continue;
            }
            last_parent = parent;
            bool twice = false; /* the table takes a parent once an entry */
            for (size_t i = p.edge_count; i > 0 && p.edge[i - 1].child == lot_id(lot); i--) {
                twice |= p.edge[i - 1].parent == lot_id(parent);
            }
            if (!twice) {
                p.edge[p.edge_count++] =
                    (struct graph_edge){lot_id(parent), lot_id(lot), (int64_t)lot,
                                        1 + (int64_t)random_below(&r, 90000000), any_basis(&r)};
            }
        }
        if (random_below(&r, ONE_IN_SHIPPED) == 0) {
            int64_t shipment = 1 + (int64_t)(p.line_count / LOTS_A_SHIPMENT);
            p.line[p.line_count++] = (struct shipped_line){
                lot_id(lot), shipment, 1 + (int64_t)random_below(&r, 400), 1000000, (int64_t)lot};
        }
        p.lot_count = lot + 1;
    }
    return p;
}

static void finish(struct statement *q)
{
    bool row = true;
    while (row) {
        must(store_step(q, &row));
    }
}

static void write_edges(struct store *s, const struct plant *p)
{
    static const char *const bases[] = {"measured", "possible", "unknown"};
    for (size_t i = 0; i < p->edge_count; i++) {
        if (i % 200000 == 0) {
            must(i > 0 ? store_commit(s) : RESULT_OK);
            must(store_begin(s));
        }
        const struct graph_edge *e = &p->edge[i];
        struct statement *q = store_prepare(s, Q_FOLD_EDGE);
        store_bind_int(q, 1, e->parent);
        store_bind_int(q, 2, e->child);
        store_bind_int(q, 3, e->entry);
        store_bind_int(q, 4, e->mg);
        store_bind_text(q, 5, bases[e->basis]);
        finish(q);
    }
}

static void write_shipped(struct store *s, const struct plant *p)
{
    for (size_t i = 0; i < p->line_count; i++) {
        const struct shipped_line *line = &p->line[i];
        if (i % LOTS_A_SHIPMENT == 0) {
            char code[32], customer[32];
            snprintf(code, sizeof code, "S-%lld", (long long)line->shipment);
            snprintf(customer, sizeof customer, "c%lld.example",
                     (long long)(line->shipment * 7919 % CUSTOMERS));
            struct statement *q = store_prepare(s, Q_FOLD_SHIPMENT);
            store_bind_int(q, 1, line->shipment);
            store_bind_text(q, 2, code);
            store_bind_text(q, 3, customer);
            store_bind_int(q, 4, line->entry);
            store_bind_int(q, 5, line->entry);
            finish(q);
        }
        struct statement *q = store_prepare(s, Q_FOLD_SHIPPED);
        store_bind_int(q, 1, line->shipment);
        store_bind_int(q, 2, line->lot);
        store_bind_int(q, 3, 0);
        store_bind_text(q, 4, "");
        store_bind_int(q, 5, line->pieces);
        store_bind_int(q, 6, line->mg);
        store_bind_int(q, 7, line->entry);
        finish(q);
    }
}

struct rivals {
    const struct plant *plant;
    size_t start; /* lot */
    struct graph *graph;
    sqlite3 *db;
    sqlite3_stmt *count, *list;
    igraph_t igraph;
};

static sqlite3_stmt *prepare(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *q;
    CHECK(sqlite3_prepare_v2(db, sql, -1, &q, NULL) == SQLITE_OK);
    return q;
}

#define REACHED                                                                      \
    "with recursive reached(lot) as (select ?1 union select e.child from reached r " \
    "join edge e on e.parent = r.lot where e.struck is null) "

static void open_sqlite(struct rivals *v, const char *path)
{
    CHECK(sqlite3_open_v2(path, &v->db, SQLITE_OPEN_READONLY, NULL) == SQLITE_OK);
    CHECK(sqlite3_exec(v->db,
                       "pragma cache_size = -4000000; pragma mmap_size = 8000000000;"
                       "pragma temp_store = memory;",
                       NULL, NULL, NULL) == SQLITE_OK);
    v->count = prepare(v->db, REACHED "select count(*) from reached");
    v->list = prepare(v->db, REACHED "select lot from reached");
}

static double make_igraph(struct rivals *v)
{
    igraph_vector_int_t ends;
    igraph_integer_t count = (igraph_integer_t)v->plant->edge_count;
    CHECK(igraph_vector_int_init(&ends, 2 * count) == IGRAPH_SUCCESS);
    for (igraph_integer_t i = 0; i < count; i++) {
        VECTOR(ends)[2 * i] = (igraph_integer_t)lot_of(v->plant->edge[i].parent);
        VECTOR(ends)[2 * i + 1] = (igraph_integer_t)lot_of(v->plant->edge[i].child);
    }
    double start = seconds(CLOCK_PROCESS_CPUTIME_ID);
    CHECK(igraph_create(&v->igraph, &ends, (igraph_integer_t)v->plant->lot_count,
                        IGRAPH_DIRECTED) == IGRAPH_SUCCESS);
    double took = seconds(CLOCK_PROCESS_CPUTIME_ID) - start;
    igraph_vector_int_destroy(&ends);
    return took;
}

static struct trace_answer ask(const struct rivals *v, struct arena *a)
{
    int64_t lot = lot_id(v->start);
    double weight = 1;
    struct trace_question q = {{&lot, &weight, 1}, TRACE_FORWARD, BASES_ALL, TRACE_GRAPH};
    struct trace_answer out;
    must(trace_run(v->graph, NULL, &q, a, &out));
    return out;
}

static void same(const char *what, int64_t ours, int64_t theirs)
{
    if (ours != theirs) {
        fprintf(stderr, "trace_bench: %s: %lld here, %lld there\n", what, (long long)ours,
                (long long)theirs);
        exit(1);
    }
}

/* The first lot from the middle on that went into one of a hundred of all. */
static size_t choose_start(const struct graph *g)
{
    for (uint32_t lot = g->lot_count / 2; lot < g->lot_count; lot++) {
        struct reach r;
        reach_run(g, &lot, 1, TRACE_FORWARD, BASES_ALL, &r);
        uint32_t count = r.count;
        reach_release(&r);
        if (count > g->lot_count / 100) {
            return lot_of(g->lot[lot]);
        }
    }
    fprintf(stderr, "trace_bench: no lot of this plant reaches far\n");
    exit(1);
}

/* Every lot that SQLite and igraph find, and no other; pieces by a plain loop over the lines. */
static size_t compare_answers(struct rivals *v)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct trace_answer ours = ask(v, &a);
    uint8_t *in = MEMORY_ZERO(uint8_t, v->plant->lot_count);
    for (size_t i = 0; i < ours.lot_count; i++) {
        in[lot_of(ours.lot[i])] = 1;
        CHECK(ours.share[i] > 0 && ours.share[i] <= 1);
    }
    size_t rows = 0;
    sqlite3_bind_int64(v->list, 1, lot_id(v->start));
    while (sqlite3_step(v->list) == SQLITE_ROW) {
        same("a lot of SQLite", in[lot_of(sqlite3_column_int64(v->list, 0))], 1);
        rows++;
    }
    sqlite3_reset(v->list);
    same("lots of SQLite", (int64_t)ours.lot_count, (int64_t)rows);
    igraph_vector_int_t found;
    CHECK(igraph_vector_int_init(&found, 0) == IGRAPH_SUCCESS);
    CHECK(igraph_subcomponent(&v->igraph, &found, (igraph_integer_t)v->start, IGRAPH_OUT) ==
          IGRAPH_SUCCESS);
    same("lots of igraph", (int64_t)ours.lot_count, igraph_vector_int_size(&found));
    for (igraph_integer_t i = 0; i < igraph_vector_int_size(&found); i++) {
        same("a lot of igraph", in[VECTOR(found)[i]], 1);
    }
    igraph_vector_int_destroy(&found);
    int64_t pieces = 0, ours_pieces = 0;
    for (size_t i = 0; i < v->plant->line_count; i++) {
        pieces += in[lot_of(v->plant->line[i].lot)] ? v->plant->line[i].pieces : 0;
    }
    for (size_t i = 0; i < ours.customer_count; i++) {
        ours_pieces += ours.customers[i].pieces;
    }
    same("pieces at customers", ours_pieces, pieces);
    rows = ours.lot_count;
    trace_answer_release(&ours);
    arena_release(&a);
    free(in);
    return rows;
}

static void run_whole(struct rivals *v)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct trace_answer out = ask(v, &a);
    CHECK(out.lot_count > 0);
    trace_answer_release(&out);
    arena_release(&a);
}

static void run_bare(struct rivals *v)
{
    uint32_t start;
    struct reach r;
    CHECK(graph_find(v->graph, lot_id(v->start), &start));
    reach_run(v->graph, &start, 1, TRACE_FORWARD, BASES_ALL, &r);
    CHECK(r.count > 0);
    reach_release(&r);
}

static void run_sqlite(struct rivals *v)
{
    sqlite3_bind_int64(v->count, 1, lot_id(v->start));
    CHECK(sqlite3_step(v->count) == SQLITE_ROW && sqlite3_column_int64(v->count, 0) > 0);
    sqlite3_reset(v->count);
}

static void run_subcomponent(struct rivals *v)
{
    igraph_vector_int_t found;
    CHECK(igraph_vector_int_init(&found, 0) == IGRAPH_SUCCESS);
    CHECK(igraph_subcomponent(&v->igraph, &found, (igraph_integer_t)v->start, IGRAPH_OUT) ==
          IGRAPH_SUCCESS);
    igraph_vector_int_destroy(&found);
}

static void run_bfs(struct rivals *v)
{
    igraph_vector_int_t order;
    CHECK(igraph_vector_int_init(&order, 0) == IGRAPH_SUCCESS);
    CHECK(igraph_bfs_simple(&v->igraph, (igraph_integer_t)v->start, IGRAPH_OUT, &order, NULL,
                            NULL) == IGRAPH_SUCCESS);
    igraph_vector_int_destroy(&order);
}

/* One measurement: the mean of so many calls that a clock tick does not count. */
static double timed_s(void (*run)(struct rivals *), struct rivals *v, int calls)
{
    double start = seconds(CLOCK_PROCESS_CPUTIME_ID);
    for (int i = 0; i < calls; i++) {
        run(v);
    }
    return (seconds(CLOCK_PROCESS_CPUTIME_ID) - start) / calls;
}

static int by_size(const void *x, const void *y)
{
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

static double median(double *values)
{
    qsort(values, ROUNDS, sizeof *values, by_size);
    return values[ROUNDS / 2];
}

enum { WHOLE, BARE, SQLITE, SUBCOMPONENT, BFS, CONTESTANTS };

static bool judge(const char *what, double ratio[ROUNDS], double most)
{
    double middle = median(ratio); /* sorted now */
    bool good = middle <= most;
    printf("  %-44s %7.4f  (%.4f .. %.4f), at most %.2f  %s\n", what, middle, ratio[0],
           ratio[ROUNDS - 1], most, good ? "ok" : "MISSED");
    return good;
}

static bool race(struct rivals *v)
{
    static void (*const run[CONTESTANTS])(struct rivals *) = {run_whole, run_bare, run_sqlite,
                                                              run_subcomponent, run_bfs};
    static const char *const names[] = {"ours: lots, shares, customers", "ours: lots",
                                        "SQLite: recursive count", "igraph: subcomponent",
                                        "igraph: bfs_simple"};
    double took[CONTESTANTS][ROUNDS], to_sqlite[ROUNDS], to_igraph[ROUNDS], bare[ROUNDS];
    int calls = v->plant->edge_count < 300000 ? 20 : v->plant->edge_count < 3000000 ? 4 : 1;
    for (int round = 0; round < ROUNDS; round++) {
        for (int i = 0; i < CONTESTANTS; i++) {
            took[i][round] = timed_s(run[i], v, i == SQLITE ? 1 : calls);
        }
        double sub = took[SUBCOMPONENT][round], bfs = took[BFS][round];
        double igraph = sub < bfs ? sub : bfs;
        to_sqlite[round] = took[WHOLE][round] / took[SQLITE][round];
        to_igraph[round] = took[WHOLE][round] / igraph;
        bare[round] = took[BARE][round] / igraph;
    }
    for (int i = 0; i < CONTESTANTS; i++) {
        printf("  %-44s %10.3f ms\n", names[i], median(took[i]) * 1e3);
    }
    bool good = judge("lots, shares, customers to SQLite's lots", to_sqlite, MOST_OF_SQLITE);
    good &= judge("lots, shares, customers to igraph's lots", to_igraph, MOST_OF_IGRAPH);
    return judge("lots to igraph's lots", bare, MOST_OF_IGRAPH_BARE) && good;
}

static bool bench(size_t edges)
{
    char folder[] = "/tmp/plumule-trace-XXXXXX", path[64];
    CHECK(mkdtemp(folder) != NULL);
    snprintf(path, sizeof path, "%s/record.db", folder);
    struct plant p = plant_make(edges);
    struct store *s;
    must(store_open(path, STORE_CREATE, &s));
    double start = seconds(CLOCK_MONOTONIC);
    write_edges(s, &p);
    write_shipped(s, &p);
    must(store_commit(s));
    store_close(s);
    double written = seconds(CLOCK_MONOTONIC) - start;
    struct rivals v = {.plant = &p};
    must(store_open(path, STORE_READ, &s));
    start = seconds(CLOCK_PROCESS_CPUTIME_ID);
    must(graph_load(s, &v.graph));
    double loaded = seconds(CLOCK_PROCESS_CPUTIME_ID) - start;
    store_close(s);
    v.start = choose_start(v.graph);
    struct graph *again;
    start = seconds(CLOCK_PROCESS_CPUTIME_ID);
    must(graph_build(p.edge, p.edge_count, &again));
    double built = seconds(CLOCK_PROCESS_CPUTIME_ID) - start;
    graph_free(again);
    open_sqlite(&v, path);
    double igraph_built = make_igraph(&v);
    printf("%zu edges, %zu lots, %zu reached, %zu lines shipped\n", p.edge_count, p.lot_count,
           compare_answers(&v), p.line_count);
    printf("  written in %.1f s, loaded in %.3f s; built from arrays in %.1f ms, igraph %.1f ms "
           "(%.3f)\n",
           written, loaded, built * 1e3, igraph_built * 1e3, built / igraph_built);
    bool good = race(&v);
    sqlite3_finalize(v.count);
    sqlite3_finalize(v.list);
    sqlite3_close(v.db);
    igraph_destroy(&v.igraph);
    graph_free(v.graph);
    free(p.edge);
    free(p.line);
    return folder_drop(folder) && good;
}

int main(int count, char **arguments)
{
    const char *igraph = "";
    igraph_version(&igraph, NULL, NULL, NULL);
    printf("trace: SQLite %s, igraph %s, %d rounds\n", sqlite3_libversion(), igraph, ROUNDS);
    static const size_t sizes[] = {100000, 1000000, 10000000};
    bool good = true;
    for (int i = 1; i < count; i++) {
        good &= bench(strtoull(arguments[i], NULL, 10));
    }
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0] && count == 1; i++) {
        good &= bench(sizes[i]);
    }
    return good ? 0 : 1;
}
