#include "untied.h"

static double sum_of(const struct search *s)
{
    double cost = 0;
    for (int k = 0; k < s->f->p->crop_count; k++)
        cost += s->flows[k]->cost;
    return cost;
}

/* After any number of changes the flows cost what the linear program finds for the same counts. */
static void the_flow_stays_cheapest(void **state)
{
    int started = 0;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        struct plan_frame *f = plan_frame_make(*state, untied_make(*state, seed));
        struct search *s = untied_search(*state, f, seed, 40 * (int64_t)seed);
        assert_close(s->cost, cost_of_counts(*state, f, s->counts, s->choices), 1e-6);
        started += s->started_count;
        search_release(s);
        arena_clear(*state);
    }
    assert_true(started > 30);
}

/* The cost that is carried along is that of the parts, and no amount is out of its bounds. */
static void cost_and_amounts_are_those_of_the_parts(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, untied_make(*state, 3));
    struct search *s = untied_search(*state, f, 7, 3000);
    for (int k = 0; k < f->p->crop_count; k++) {
        const struct flow *w = s->flows[k];
        assert_close(w->cost, flow_cost(w), 1e-9);
        int64_t *out = ARENA_ARRAY(*state, int64_t, (size_t)w->node_count);
        int64_t *into = ARENA_ARRAY(*state, int64_t, (size_t)w->cell_count);
        for (int i = 0; i < w->first_arc[w->node_count]; i++) {
            assert_true(w->arc_ug[i] >= 0);
            out[w->arcs[i].node] += w->arc_ug[i];
            into[w->arcs[i].cell] += w->arc_ug[i];
        }
        for (int n = 0; n < w->node_count; n++) {
            int64_t room = w->sunk_ug[n];
            for (int l = w->first_layer[n]; l < w->first_layer[n + 1]; l++)
                room += w->layer_ug[l];
            assert_int_equal(out[n], w->used_ug[n]);
            assert_true(w->used_ug[n] <= room);
        }
        for (int c = 0; c < w->cell_count; c++) {
            assert_int_equal(into[c], w->met_ug[c]);
            assert_true(w->met_ug[c] <= w->wanted_ug[c]);
        }
    }
    search_release(s);
}

static void taking_back_leaves_no_trace(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, untied_make(*state, 4));
    struct search *s = untied_search(*state, f, 8, 500);
    int changed = 0;
    for (int o = 0; o < f->option_count; o++) {
        struct flow *w = s->flows[s->options[o].flow];
        int arcs = w->first_arc[w->node_count];
        size_t bytes = (size_t)arcs * sizeof *w->arc_ug;
        int64_t *before = ARENA_ARRAY(*state, int64_t, (size_t)arcs + 1);
        memcpy(before, w->arc_ug, bytes);
        double cost = w->cost;
        flow_keep(w);
        flow_add(w, &s->chambers[o]);
        changed += memcmp(before, w->arc_ug, bytes) != 0;
        if (s->counts[o] > 0) {
            flow_remove(w, &s->chambers[o]);
            flow_remove(w, &s->chambers[o]);
        }
        flow_undo(w);
        assert_memory_equal(before, w->arc_ug, bytes);
        assert_true(w->cost == cost);
    }
    assert_true(changed > 5);
    search_release(s);
}

/* What a change costs is never below its bound, at either set of prices. */
static void prices_bound_what_changes_cost(void **state)
{
    int close = 0;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        struct plan_frame *f = plan_frame_make(*state, untied_make(*state, seed));
        struct search *s = untied_search(*state, f, seed, 400);
        for (int o = 0; o < f->option_count; o++) {
            struct flow *w = s->flows[s->options[o].flow];
            const struct flow_chamber *c = &s->chambers[o];
            double ask = w->ask[c->node], before = w->cost;
            assert_true(w->bid[c->node] <= ask + 1e-9);
            flow_keep(w);
            flow_add(w, c);
            double step = w->cost - before;
            flow_undo(w);
            assert_true(flow_add_bound(w, c, w->bid) <= step + 1e-6);
            close += flow_add_bound(w, c, w->bid) > step - 1e-6;
            if (isfinite(ask)) assert_true(flow_add_bound(w, c, w->ask) <= step + 1e-6);
            if (s->counts[o] == 0) continue;
            flow_remove(w, c);
            step = w->cost - before;
            flow_undo(w);
            assert_true(flow_remove_bound(w, c, w->ask) <= step + 1e-6);
            assert_true(flow_remove_bound(w, c, w->bid) <= step + 1e-6);
        }
        search_release(s);
        arena_clear(*state);
    }
    /* and sometimes it is exact: bounds that are far below would be no use */
    assert_true(close > 20);
}

/* One chamber for another in a flow, given up beyond a limit. -> what it costs more; INFINITY */
static double change_within(struct flow *w, const struct flow_chamber *out,
                            const struct flow_chamber *in, double limit)
{
    double before = w->cost, cost = INFINITY;
    flow_keep(w);
    if (flow_exchange(w, out, w, in, limit)) cost = w->cost - before;
    flow_undo(w);
    assert_true(w->cost == before);
    return cost;
}

/* What is given up would have cost more than the limit; nothing else is, and mostly all of that. */
static void what_is_given_up_costs_more(void **state)
{
    int given_up = 0, over = 0;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        struct plan_frame *f = plan_frame_make(*state, untied_make(*state, seed));
        struct search *s = untied_search(*state, f, seed, 400);
        for (int o = 0; o < f->option_count; o++)
            for (int q = o % 3; s->counts[o] > 0 && q < f->option_count; q += 3) {
                struct flow *w = s->flows[s->options[o].flow];
                if (s->flows[s->options[q].flow] != w) continue;
                const struct flow_chamber *x = &s->chambers[o], *y = &s->chambers[q];
                double step = change_within(w, x, y, INFINITY);
                assert_close(change_within(w, x, y, step + 1e-6), step, 1e-6);
                double most = step - 0.1 * fabs(step) - 1e-3;
                double again = change_within(w, x, y, most);
                over++;
                given_up += !isfinite(again);
                if (isfinite(again)) assert_close(again, step, 1e-6);
            }
        search_release(s);
        arena_clear(*state);
    }
    print_message("# given up %d of %d\n", given_up, over);
    assert_true(over > 200);
    assert_true(given_up > over / 2);
}

static void nothing_started_is_what_is_given(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 0, 0,    2,    50,    1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    handmade_want(&h, 3, 30);
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = search_new(*state, f, &prices, 1);
    /* 30 kg kept one day at 0.1, 20 kg wasted at 0.5 */
    assert_close(sum_of(s), 3 + 10, 1e-9);
    search_release(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_flow_stays_cheapest),          EACH(cost_and_amounts_are_those_of_the_parts),
        EACH(taking_back_leaves_no_trace),      EACH(prices_bound_what_changes_cost),
        EACH(nothing_started_is_what_is_given), EACH(what_is_given_up_costs_more),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_flow", tests, NULL, NULL);
}
