/* Flows of crops that are given in place of each other. */
#include "untied.h"

/* Crops that are tied together have one flow: it costs what the linear program finds for the same
 * counts, whatever is started. */
static void one_flow_shares_out_both_crops(void **state)
{
    int started = 0, tied = 0;
    double given = 0;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        struct plan_problem *p = untied_of(*state, seed, instance_across);
        struct plan_product *products =
            ARENA_ARRAY(*state, struct plan_product, (size_t)p->product_count);
        memcpy(products, p->products, (size_t)p->product_count * sizeof *products);
        if (seed % 2 == 0) products[1].net_kg *= 1.3;
        p->products = products;
        struct plan_frame *f = plan_frame_make(*state, p);
        assert_false(f->has_uneven_swap);
        struct search *s = untied_search(*state, f, seed, 40 * (int64_t)seed);
        assert_ptr_equal(s->flows[0], s->flows[1]);
        assert_close(s->cost, cost_of_counts(*state, f, s->counts, s->choices), 1e-6);
        const struct flow *w = search_flow_from(s, 0);
        assert_null(search_flow_from(s, 1));
        assert_close(w->cost, flow_cost(w), 1e-9);
        for (int i = 0; i < w->first_arc[w->node_count]; i++) {
            int n = w->frame_nodes[w->arcs[i].node], c = w->frame_cells[w->arcs[i].cell];
            bool across = n >= 0 && c >= 0 && f->nodes[n].crop != f->cells[c].crop;
            tied += across;
            given += across ? (double)w->arc_ug[i] * 1e-9 : 0;
        }
        started += s->started_count;
        search_release(s);
        arena_clear(*state);
    }
    assert_true(started > 30);
    assert_true(tied > 100);
    assert_true(given > 0);
}

/* What a change costs is never below its bound, whichever of the crops it is of; taken back, it
 * leaves no trace. */
static void prices_bound_changes_of_either_crop(void **state)
{
    int close = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct plan_frame *f = plan_frame_make(*state, untied_of(*state, seed, instance_across));
        struct search *s = untied_search(*state, f, seed, 400);
        for (int o = 0; o < f->option_count; o++) {
            struct flow *w = s->flows[s->options[o].flow];
            const struct flow_chamber *c = &s->chambers[o];
            double before = w->cost;
            flow_keep(w);
            flow_add(w, c);
            double step = w->cost - before;
            flow_undo(w);
            assert_true(w->cost == before);
            assert_true(flow_add_bound(w, c, w->bid) <= step + 1e-6);
            close += flow_add_bound(w, c, w->bid) > step - 1e-6;
            if (s->counts[o] == 0) continue;
            flow_remove(w, c);
            step = w->cost - before;
            flow_undo(w);
            assert_true(flow_remove_bound(w, c, w->ask) <= step + 1e-6);
        }
        search_release(s);
        arena_clear(*state);
    }
    assert_true(close > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(one_flow_shares_out_both_crops),
        EACH(prices_bound_changes_of_either_crop),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_flow_make", tests, NULL, NULL);
}
