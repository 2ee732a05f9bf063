#include "instance.h"
#include "support.h"

/* One start of 16 kg on day 1 (80 kg on day 5) and a frame with two orders and a forecast. */
static struct plan *small(struct arena *a, struct handmade *h)
{
    handmade_init(h);
    h->product.net_kg = 0.3;
    handmade_want(h, 5, 100);
    handmade_want(h, 6, 50);
    handmade_want(h, 6, 60);
    h->lines[1].key = NULL;
    struct plan_frame *f = plan_frame_make(a, &h->p);
    struct plan *plan = plan_new(a, f);
    plan->counts[1] = 1;
    plan->seed_kg[f->options[1].first_fill] = 16;
    return plan;
}

static void flows_are_joined_and_sorted(void **state)
{
    struct handmade h;
    struct plan *plan = small(*state, &h);
    int node = plan->f->options[1].node;
    plan_flow_add(plan, node, 1, 5);
    plan_flow_add(plan, node, 0, 20);
    plan_flow_add(plan, node, 1, 6);
    plan_flow_add(plan, node, 0, 1e-9);
    plan_flows_tidy(plan);
    assert_int_equal(plan->flow_count, 2);
    assert_int_equal(plan->flows[0].cell, 0);
    assert_close(plan->flows[0].kg, 20, 1e-6);
    assert_close(plan->flows[1].kg, 11, 0);
    assert_close(plan_node_kg(*state, plan)[node], 80, 1e-12);
    assert_close(plan_node_used_kg(*state, plan)[node], 31, 1e-6);
    assert_close(plan_cell_met_kg(*state, plan)[1], 11, 0);
}

/* Packs of 0.5 kg in place of packs of 0.3 kg: 20 kg are 40 of the 100 pieces. */
static void a_piece_given_is_a_piece_met(void **state)
{
    struct handmade h;
    small(*state, &h);
    struct plan_product products[2] = {h.product, {"large", 0, 0.5, 3, 0, NULL, 0}};
    struct plan_swap swap = {0, 1, 0.4, NULL};
    h.p.products = products;
    h.p.product_count = 2;
    h.p.swaps = &swap;
    h.p.swap_count = 1;
    h.p.line_count = 1;
    h.lines[0].day = 1;
    h.p.stock_count = 1;
    h.stock[0] = (struct plan_stock){"stock", 0, 1, 0, 20, 1, h.ready_day, NULL, NULL, NULL};
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.met_pieces[0], 40);
    assert_int_equal(x.sale_count, 1);
    assert_int_equal(x.sales[0].product, 1);
    assert_close(x.sales[0].kg, 20, 1e-6);
    assert_close(plan_cell_met_kg(*state, x.improvement.plan)[0], 12, 1e-6);
    /* 20 kg held a day at 0.1 and swapped at 0.4, 60 pieces short at 10 a kg */
    assert_close(x.improvement.cost, 2 + 8 + 180, 1e-6);
    h.stock[0].kg = 60;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.met_pieces[0], 100);
    /* 50 kg go, 10 kg are wasted at 0.5 */
    assert_close(x.improvement.cost, 5 + 20 + 5, 1e-6);
}

static void the_cost_adds_up(void **state)
{
    struct handmade h;
    struct plan *plan = small(*state, &h);
    int node = plan->f->options[1].node;
    plan_flow_add(plan, node, 0, 30);
    plan_flow_add(plan, node, 1, 20);
    /* start 10, seed 16 * 2, 20 kg held a day at 0.1, 30 kg wasted at 0.5, 13 of 33 kg short at 10
     */
    assert_close(plan_cost(*state, plan), 10 + 32 + 2 + 15 + 130, 1e-9);
    h.p.change_cost = 7;
    h.p.taken_count = 3;
    h.taken[0] = (struct plan_taken){1, 0, 0, 0, 15, PLAN_NONE};
    h.taken[1] = (struct plan_taken){1, 1, 0, 0, 15, PLAN_NONE};
    h.taken[2] = (struct plan_taken){2, 1, 0, 0, 15, PLAN_NONE};
    struct plan *again = plan_new(*state, plan_frame_make(*state, &h.p));
    again->counts[1] = 1;
    /* two of three given up, everything short */
    assert_close(plan_cost(*state, again), 10 + 14 + 10 * 0.3 * 210, 1e-9);
}

static void orders_go_before_forecasts_and_pieces_are_whole(void **state)
{
    struct handmade h;
    struct plan *plan = small(*state, &h);
    int node = plan->f->options[1].node;
    plan_flow_add(plan, node, 0, 30);
    plan_flow_add(plan, node, 1, 20);
    struct plan_sale *sales;
    int count = plan_sales(*state, plan, &sales);
    assert_int_equal(count, 3);
    assert_int_equal(sales[1].line, 2);
    assert_close(sales[1].kg, 18, 1e-9);
    assert_int_equal(sales[2].line, 1);
    assert_close(sales[2].kg, 2, 1e-9);
    int64_t *pieces = plan_met_pieces(*state, plan, sales, count);
    /* exactly met is not one short for rounding; 2 kg are six packs of 0.3 and a rest */
    assert_int_equal(pieces[0], 100);
    assert_int_equal(pieces[2], 60);
    assert_int_equal(pieces[1], 6);
}

static void the_end_counts_once(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.crop.end_kg_wanted = 100;
    h.crop.end_value_per_kg = 2;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct plan *plan = plan_new(*state, f);
    int last = f->option_count - 1;
    assert_int_equal(f->options[last].node, PLAN_NONE);
    plan->counts[last] = 1;
    plan->seed_kg[f->options[last].first_fill] = 18;
    assert_close(plan_standing_kg(plan, 0), 90, 1e-9);
    assert_close(plan_cost(*state, plan), 10 + 36 - 180, 1e-9);
    int node = f->node_count - 1;
    assert_int_equal(f->nodes[node].harvest_day, 9);
    plan->end_kg[node] = 30;
    assert_close(plan_standing_kg(plan, 0), 70, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(flows_are_joined_and_sorted),
        EACH(a_piece_given_is_a_piece_met),
        EACH(the_cost_adds_up),
        EACH(orders_go_before_forecasts_and_pieces_are_whole),
        EACH(the_end_counts_once),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_plan", tests, NULL, NULL);
}
