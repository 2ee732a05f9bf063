#include "../support.h"

#include <math.h>

#include "trace/exposure.h"
#include "trace/path.h"

/* Lots 10, 20, 30 ... of a small house: two seed lots into a chamber, one of them into another;
 * both chambers washed into 50 (60 kg and 20 kg), packed as 60 and 70; 60 reworked into 80. */
static const struct graph_edge house[] = {
    {10, 30, 1, 4000000, BASIS_MEASURED},  {20, 30, 1, 6000000, BASIS_MEASURED},
    {20, 40, 2, 5000000, BASIS_MEASURED},  {30, 50, 3, 60000000, BASIS_MEASURED},
    {40, 50, 3, 20000000, BASIS_POSSIBLE}, {50, 60, 4, 30000000, BASIS_MEASURED},
    {50, 70, 5, 40000000, BASIS_MEASURED}, {40, 70, 5, 0, BASIS_UNKNOWN},
    {60, 80, 6, 1000000, BASIS_MEASURED},
};
enum { HOUSE_EDGES = sizeof house / sizeof house[0] };

#define assert_near(found, wanted, within) assert_true(fabs((found) - (wanted)) <= (within))

static struct graph *build(const struct graph_edge *edges, size_t count)
{
    struct graph *g;
    assert_ok(graph_build(edges, count, &g));
    return g;
}

static uint32_t at(const struct graph *g, int64_t lot)
{
    uint32_t position;
    assert_true(graph_find(g, lot, &position));
    return position;
}

/* The lots reached, as text of ascending ids. */
static const char *reached(const struct graph *g, int64_t lot, enum direction direction,
                           unsigned bases)
{
    static char text[512];
    uint32_t start = at(g, lot);
    struct reach r;
    reach_run(g, &start, 1, direction, bases, &r);
    text[0] = '\0';
    uint32_t found = 0;
    for (int64_t id = 0; id <= 1000; id++) {
        uint32_t p;
        if (graph_find(g, id, &p) && reach_has(&r, p)) {
            snprintf(text + strlen(text), sizeof text - strlen(text), "%s%lld",
                     found++ > 0 ? " " : "", (long long)id);
        }
    }
    assert_int_equal(found, r.count);
    reach_release(&r);
    return text;
}

static double share(const struct graph *g, int64_t from, enum direction direction, int64_t of)
{
    uint32_t start = at(g, from);
    struct reach r;
    reach_run(g, &start, 1, direction, BASES_ALL, &r);
    double *shares = calloc(g->lot_count, sizeof *shares);
    assert_non_null(shares);
    exposure_run(g, &r, &start, NULL, 1, shares);
    double out = shares[at(g, of)];
    free(shares);
    reach_release(&r);
    return out;
}

static void reach_follows_edges_both_ways(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    assert_string_equal(reached(g, 10, TRACE_FORWARD, BASES_ALL), "10 30 50 60 70 80");
    assert_string_equal(reached(g, 40, TRACE_FORWARD, BASES_ALL), "40 50 60 70 80");
    assert_string_equal(reached(g, 70, TRACE_BACK, BASES_ALL), "10 20 30 40 50 70");
    assert_string_equal(reached(g, 80, TRACE_BACK, BASES_ALL), "10 20 30 40 50 60 80");
    assert_string_equal(reached(g, 10, TRACE_BACK, BASES_ALL), "10");
    graph_free(g);
}

static void reach_leaves_out_bases(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    assert_string_equal(reached(g, 40, TRACE_FORWARD, BASES_WITHOUT_UNKNOWN), "40 50 60 70 80");
    assert_string_equal(reached(g, 40, TRACE_FORWARD, BASES_MEASURED), "40");
    assert_string_equal(reached(g, 70, TRACE_BACK, BASES_MEASURED), "10 20 30 50 70");
    graph_free(g);
}

static void order_puts_parents_first(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    uint32_t start = at(g, 20);
    struct reach r;
    reach_run(g, &start, 1, TRACE_FORWARD, BASES_ALL, &r);
    assert_int_equal(r.count, 7);
    assert_int_equal(g->lot[r.order[0]], 20);
    assert_int_equal(g->lot[r.order[6]], 80);
    reach_release(&r);
    graph_free(g);
}

/* By hand: 30 is 0.4 of 10 and 0.6 of 20; 40 is all 20; 50 is 3/4 of 30, 1/4 of 40; so 50 is 0.3 of
 * 10 and 0.7 of 20, and 60, 80 too; the unknown edge into 70 carries no mass. - computed here */
static void shares_by_mass(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    assert_near(share(g, 10, TRACE_FORWARD, 30), 0.4, 1e-15);
    assert_near(share(g, 10, TRACE_FORWARD, 50), 0.3, 1e-15);
    assert_near(share(g, 20, TRACE_FORWARD, 80), 0.7, 1e-15);
    assert_near(share(g, 40, TRACE_FORWARD, 70), 0.25, 1e-15);
    assert_near(share(g, 80, TRACE_BACK, 10), 0.3, 1e-15);
    assert_near(share(g, 80, TRACE_BACK, 20), 0.7, 1e-15);
    assert_near(share(g, 80, TRACE_BACK, 40), 0.25, 1e-15);
    assert_near(share(g, 80, TRACE_BACK, 60), 1, 1e-15);
    graph_free(g);
}

static void input_without_mass_counts_in_equal_parts(void **state)
{
    (void)state;
    const struct graph_edge edges[] = {{1, 5, 1, 0, BASIS_MEASURED},
                                       {2, 5, 1, 0, BASIS_MEASURED},
                                       {3, 5, 1, 0, BASIS_UNKNOWN},
                                       {4, 5, 1, 0, BASIS_MEASURED}};
    struct graph *g = build(edges, 4);
    assert_near(share(g, 3, TRACE_FORWARD, 5), 0.25, 0);
    assert_near(share(g, 5, TRACE_BACK, 2), 0.25, 0);
    graph_free(g);
}

static void several_starts_share_the_weight(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    const uint32_t starts[] = {at(g, 30), at(g, 40)};
    const double weights[] = {3, 1};
    double *shares = calloc(g->lot_count, sizeof *shares);
    assert_non_null(shares);
    struct reach r;
    reach_run(g, starts, 2, TRACE_BACK, BASES_ALL, &r);
    exposure_run(g, &r, starts, weights, 2, shares);
    assert_near(shares[at(g, 10)], 0.3, 1e-15);
    assert_near(shares[at(g, 20)], 0.7, 1e-15);
    free(shares);
    reach_release(&r);
    graph_free(g);
}

static void a_cycle_is_refused(void **state)
{
    (void)state;
    const struct graph_edge edges[] = {
        {1, 2, 1, 5, BASIS_MEASURED}, {2, 3, 2, 5, BASIS_MEASURED}, {3, 1, 3, 5, BASIS_MEASURED}};
    struct graph *g = NULL;
    assert_code(graph_build(edges, 3, &g), GENEALOGY_CYCLE);
    assert_null(g);
    const struct graph_edge own = {7, 7, 1, 5, BASIS_MEASURED};
    assert_code(graph_build(&own, 1, &g), GENEALOGY_CYCLE);
}

static void bad_masses_are_refused(void **state)
{
    (void)state;
    const struct graph_edge below = {1, 2, 1, -1, BASIS_MEASURED};
    struct graph *g = NULL;
    assert_code(graph_build(&below, 1, &g), GENEALOGY_MASS);
    const struct graph_edge heavy[] = {{1, 3, 1, INT64_MAX, BASIS_MEASURED},
                                       {2, 3, 1, 1, BASIS_MEASURED}};
    assert_code(graph_build(heavy, 2, &g), GENEALOGY_MASS);
    g = build(heavy, 1);
    assert_code(graph_add(g, &heavy[1], 1), GENEALOGY_MASS);
    assert_code(graph_add(g, &below, 1), GENEALOGY_MASS);
    assert_int_equal(g->lot_count, 2);
    graph_free(g);
}

static void the_order_of_ids_is_not_needed(void **state)
{
    (void)state;
    struct graph_edge turned[HOUSE_EDGES];
    for (size_t i = 0; i < HOUSE_EDGES; i++) {
        turned[i] = house[i];
        turned[i].parent = 100 - house[i].parent;
        turned[i].child = 100 - house[i].child;
    }
    struct graph *g = build(turned, HOUSE_EDGES);
    assert_string_equal(reached(g, 90, TRACE_FORWARD, BASES_ALL), "20 30 40 50 70 90");
    assert_string_equal(reached(g, 30, TRACE_BACK, BASES_ALL), "30 50 60 70 80 90");
    assert_near(share(g, 90, TRACE_FORWARD, 20), 0.3, 1e-15);
    graph_free(g);
}

static void added_edges_answer_like_built_ones(void **state)
{
    (void)state;
    for (size_t built = 0; built <= HOUSE_EDGES; built++) {
        struct graph *g = build(house, built);
        for (size_t i = built; i < HOUSE_EDGES; i++) {
            assert_ok(graph_add(g, &house[i], 1));
        }
        assert_int_equal(graph_edge_count(g), HOUSE_EDGES);
        assert_string_equal(reached(g, 10, TRACE_FORWARD, BASES_ALL), "10 30 50 60 70 80");
        assert_string_equal(reached(g, 70, TRACE_BACK, BASES_MEASURED), "10 20 30 50 70");
        assert_near(share(g, 20, TRACE_FORWARD, 80), 0.7, 1e-15);
        assert_near(share(g, 80, TRACE_BACK, 40), 0.25, 1e-15);
        graph_free(g);
    }
}

/* A lot that takes in a younger one, as a pack lot filled on two days does. */
static void an_old_lot_may_take_in_a_newer_one(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    const struct graph_edge more = {90, 60, 7, 10000000, BASIS_MEASURED};
    assert_ok(graph_add(g, &more, 1));
    assert_int_equal(g->against_count, 1);
    assert_string_equal(reached(g, 90, TRACE_FORWARD, BASES_ALL), "60 80 90");
    assert_string_equal(reached(g, 80, TRACE_BACK, BASES_ALL), "10 20 30 40 50 60 80 90");
    assert_near(share(g, 90, TRACE_FORWARD, 80), 0.25, 1e-15);
    assert_near(share(g, 10, TRACE_FORWARD, 80), 0.225, 1e-15);
    assert_near(share(g, 80, TRACE_BACK, 10), 0.225, 1e-15);
    graph_free(g);
}

static void a_late_cycle_is_refused_whole(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    const struct graph_edge bad[] = {{80, 100, 8, 5, BASIS_MEASURED},
                                     {100, 110, 8, 5, BASIS_MEASURED},
                                     {110, 10, 8, 5, BASIS_MEASURED}};
    assert_code(graph_add(g, bad, 3), GENEALOGY_CYCLE);
    uint32_t position;
    assert_false(graph_find(g, 100, &position));
    assert_int_equal(graph_edge_count(g), HOUSE_EDGES);
    assert_string_equal(reached(g, 10, TRACE_FORWARD, BASES_ALL), "10 30 50 60 70 80");
    assert_ok(graph_add(g, bad, 2));
    assert_string_equal(reached(g, 60, TRACE_FORWARD, BASES_ALL), "60 80 100 110");
    graph_free(g);
}

/* 95 into the old lot 60, then 80 into 95 would go round by way of an edge against the order. */
static void a_cycle_through_a_newer_lot_is_refused(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    const struct graph_edge against = {95, 60, 7, 5, BASIS_MEASURED};
    const struct graph_edge round = {80, 95, 8, 5, BASIS_MEASURED};
    assert_ok(graph_add(g, &against, 1));
    assert_code(graph_add(g, &round, 1), GENEALOGY_CYCLE);
    assert_int_equal(graph_edge_count(g), HOUSE_EDGES + 1);
    graph_free(g);
}

static void a_struck_entry_goes(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES - 2);
    assert_ok(graph_add(g, house + HOUSE_EDGES - 2, 2));
    graph_strike(g, 5); /* one edge packed, one late */
    assert_int_equal(graph_edge_count(g), HOUSE_EDGES - 2);
    assert_string_equal(reached(g, 10, TRACE_FORWARD, BASES_ALL), "10 30 50 60 80");
    assert_string_equal(reached(g, 70, TRACE_BACK, BASES_ALL), "70");
    graph_strike(g, 99);
    assert_int_equal(graph_edge_count(g), HOUSE_EDGES - 2);
    graph_free(g);
}

/* Long enough a tail to be packed on the way. */
static void a_long_tail_is_packed(void **state)
{
    (void)state;
    enum { CHAIN = 9000 };
    struct graph *g = build(house, 1);
    for (int64_t i = 0; i < CHAIN; i++) {
        const struct graph_edge e = {1000 + i, 1001 + i, i + 10, 7, BASIS_MEASURED};
        assert_ok(graph_add(g, &e, 1));
    }
    assert_true(g->packed_count > CHAIN / 3);
    uint32_t start = at(g, 1000);
    struct reach r;
    reach_run(g, &start, 1, TRACE_FORWARD, BASES_ALL, &r);
    assert_int_equal(r.count, CHAIN + 1);
    assert_true(reach_has(&r, at(g, 1000 + CHAIN)));
    reach_release(&r);
    graph_free(g);
}

static void the_path_says_why(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct path_step *steps;
    size_t count;
    uint32_t start = at(g, 20);
    assert_true(path_find(g, &start, 1, TRACE_FORWARD, BASES_ALL, at(g, 80), &a, &steps, &count));
    assert_int_equal(count, 4);
    const int64_t lots[] = {20, 30, 50, 60, 80}, entries[] = {1, 3, 4, 6};
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(steps[i].parent, lots[i]);
        assert_int_equal(steps[i].child, lots[i + 1]);
        assert_int_equal(steps[i].entry, entries[i]);
        assert_int_equal(steps[i].basis, BASIS_MEASURED);
    }
    start = at(g, 70);
    assert_true(path_find(g, &start, 1, TRACE_BACK, BASES_ALL, at(g, 20), &a, &steps, &count));
    assert_int_equal(count, 3); /* not the shorter way over the unknown edge from 40 */
    assert_int_equal(steps[0].child, 70);
    assert_int_equal(steps[2].parent, 20);
    assert_false(path_find(g, &start, 1, TRACE_BACK, BASES_ALL, at(g, 80), &a, &steps, &count));
    assert_true(path_find(g, &start, 1, TRACE_BACK, BASES_ALL, at(g, 70), &a, &steps, &count));
    assert_int_equal(count, 0);
    arena_release(&a);
    graph_free(g);
}

/* From 40 to 70 there is a measured way over 50 except for its first step. */
static void the_path_prefers_better_evidence(void **state)
{
    (void)state;
    struct graph *g = build(house, HOUSE_EDGES);
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct path_step *steps;
    size_t count;
    uint32_t start = at(g, 40);
    assert_true(path_find(g, &start, 1, TRACE_FORWARD, BASES_ALL, at(g, 70), &a, &steps, &count));
    assert_int_equal(count, 2);
    assert_int_equal(steps[0].basis, BASIS_POSSIBLE);
    graph_strike(g, 3);
    start = at(g, 40);
    assert_true(path_find(g, &start, 1, TRACE_FORWARD, BASES_ALL, at(g, 70), &a, &steps, &count));
    assert_int_equal(count, 1);
    assert_int_equal(steps[0].basis, BASIS_UNKNOWN);
    assert_false(path_find(g, &start, 1, TRACE_FORWARD, BASES_WITHOUT_UNKNOWN, at(g, 70), &a,
                           &steps, &count));
    arena_release(&a);
    graph_free(g);
}

/* Two ways of two steps each, and two entries on one step: the same answer however it was built. */
static void ties_go_to_the_lowest_lot_and_entry(void **state)
{
    (void)state;
    struct graph_edge edges[] = {{1, 5, 9, 1, BASIS_MEASURED},
                                 {1, 4, 8, 1, BASIS_MEASURED},
                                 {1, 4, 3, 2, BASIS_MEASURED},
                                 {5, 7, 4, 1, BASIS_MEASURED},
                                 {4, 7, 6, 1, BASIS_MEASURED}};
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (int turned = 0; turned < 2; turned++) {
        struct graph *g = build(edges, 5);
        struct path_step *steps;
        size_t count;
        uint32_t start = at(g, 1);
        assert_true(
            path_find(g, &start, 1, TRACE_FORWARD, BASES_ALL, at(g, 7), &a, &steps, &count));
        assert_int_equal(count, 2);
        assert_int_equal(steps[0].child, 4);
        assert_int_equal(steps[0].entry, 3);
        assert_int_equal(steps[1].parent, 4);
        graph_free(g);
        for (size_t i = 0; i < 2; i++) {
            struct graph_edge kept = edges[i];
            edges[i] = edges[4 - i];
            edges[4 - i] = kept;
        }
    }
    arena_release(&a);
}

static void an_empty_graph_has_no_lots(void **state)
{
    (void)state;
    struct graph *g = build(NULL, 0);
    uint32_t position;
    assert_false(graph_find(g, 10, &position));
    struct reach r;
    reach_run(g, NULL, 0, TRACE_BACK, BASES_ALL, &r);
    assert_int_equal(r.count, 0);
    reach_release(&r);
    assert_ok(graph_add(g, house, HOUSE_EDGES));
    assert_string_equal(reached(g, 20, TRACE_FORWARD, BASES_ALL), "20 30 40 50 60 70 80");
    graph_free(g);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reach_follows_edges_both_ways),
        cmocka_unit_test(reach_leaves_out_bases),
        cmocka_unit_test(order_puts_parents_first),
        cmocka_unit_test(shares_by_mass),
        cmocka_unit_test(input_without_mass_counts_in_equal_parts),
        cmocka_unit_test(several_starts_share_the_weight),
        cmocka_unit_test(a_cycle_is_refused),
        cmocka_unit_test(bad_masses_are_refused),
        cmocka_unit_test(the_order_of_ids_is_not_needed),
        cmocka_unit_test(added_edges_answer_like_built_ones),
        cmocka_unit_test(an_old_lot_may_take_in_a_newer_one),
        cmocka_unit_test(a_late_cycle_is_refused_whole),
        cmocka_unit_test(a_cycle_through_a_newer_lot_is_refused),
        cmocka_unit_test(a_struck_entry_goes),
        cmocka_unit_test(a_long_tail_is_packed),
        cmocka_unit_test(the_path_says_why),
        cmocka_unit_test(the_path_prefers_better_evidence),
        cmocka_unit_test(ties_go_to_the_lowest_lot_and_entry),
        cmocka_unit_test(an_empty_graph_has_no_lots),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
