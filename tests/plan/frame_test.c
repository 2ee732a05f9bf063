#include <limits.h>

#include "instance.h"
#include "plan/frame.h"
#include "support.h"

static struct plan_frame *framed(struct arena *a, struct handmade *h)
{
    struct result r = plan_problem_check(&h->p);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
    return plan_frame_make(a, &h->p);
}

static void like_chambers_are_one_pool(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 4;
    h.p.class_count = 2;
    h.chambers[3].class_index = 1;
    /* out from today: free later, but alike from then on */
    h.outage = (struct plan_outage){-2, 1};
    h.chambers[1].outages = &h.outage;
    h.chambers[1].outage_count = 1;
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 2, 0,    3,    50,    1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->pool_count, 2);
    assert_int_equal(f->pools[0].chamber_count, 3);
    assert_int_equal(f->pools[0].usable[0], 1);
    assert_int_equal(f->pools[0].usable[2], 2);
    assert_int_equal(f->pools[0].usable[4], 3);
    /* out later on: another pool, shut on that day */
    struct plan_outage later = {6, 6};
    h.chambers[1].outages = &later;
    f = framed(*state, &h);
    assert_int_equal(f->pool_count, 3);
    assert_int_equal(f->pools[1].usable[5], 1);
    assert_int_equal(f->pools[1].usable[6], 0);
}

static void lots_of_like_yield_are_one_grade(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.seed_lot_count = 4;
    h.p.market_count = 1;
    h.lots[0].yield_factor = 0.98;
    h.lots[1].yield_factor = 0.97;
    h.lots[1].last_day = 3;
    h.lots[2].yield_factor = 0.90;
    h.lots[3].markets = 0;
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->blend_count, 1);
    assert_int_equal(f->grade_count, 2);
    assert_int_equal(f->grades[1].lot_count, 2);
    /* planned with the lower, and the one that expires first in front */
    assert_close(f->grades[1].yield_factor, 0.97, 0);
    assert_int_equal(f->grades[1].lots[0], 1);
    assert_int_equal(f->grade_of_lot[3], PLAN_NONE);
    assert_close(f->fills[1].packed_kg_per_kg, 5 * 0.97, 1e-12);
}

static void seed_for_other_markets_is_not_blended(void **state)
{
    struct handmade h;
    struct plan_market markets[2] = {{"home", 0, 0, 0, 0}, {"away", 48, 0, 100, 0}};
    handmade_init(&h);
    h.p.markets = markets;
    h.p.market_count = 2;
    h.p.seed_lot_count = 3;
    h.lots[0].markets = 3;
    h.lots[1].markets = 1;
    h.lots[2].markets = 7; /* one that is not known here */
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->blend_count, 2);
    assert_int_equal(f->grades[f->grade_of_lot[2]].blend, f->grades[f->grade_of_lot[0]].blend);
    for (int n = 0; n < f->node_count; n++) {
        const struct plan_node *x = &f->nodes[n];
        assert_int_equal(plan_node_ready_day(x, 0), x->harvest_day);
        int ready = plan_node_ready_day(x, 1);
        /* 148 h from 8:00: day 6 at 12:00, two days after the harvest */
        assert_int_equal(ready, x->markets == 3 ? x->harvest_day + 2 : PLAN_NEVER);
    }
}

static void like_wishes_are_one_cell(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 5, 10);
    handmade_want(&h, 5, 20);
    handmade_want(&h, 6, 30);
    handmade_want(&h, 5, 0);
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->cell_count, 2);
    assert_close(f->cells[0].kg, 30, 1e-12);
    assert_int_equal(f->cell_of_line[3], PLAN_NONE);
    h.lines[1].shortage_cost_per_kg = 3;
    assert_int_equal(framed(*state, &h)->cell_count, 3);
}

static void packed_stock_serves_its_product_only(void **state)
{
    struct handmade h;
    struct plan_product products[2] = {{"small", 0, 0.5, 3, 0, NULL, 0},
                                       {"large", 0, 2, 3, 0, NULL, 0}};
    handmade_init(&h);
    h.p.products = products;
    h.p.product_count = 2;
    handmade_want(&h, 1, 10);
    handmade_want(&h, 1, 10);
    h.lines[1].product = 1;
    assert_int_equal(framed(*state, &h)->cell_count, 1);
    h.p.stock_count = 1;
    h.stock[0] = (struct plan_stock){"stock", 0, 1, -1, 8, 1, h.ready_day, NULL, NULL, NULL};
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->cell_count, 2);
    int n = f->node_of_stock[0];
    assert_false(plan_serves(f, n, f->cell_of_line[0]));
    assert_true(plan_serves(f, n, f->cell_of_line[1]));
    /* too old a day later: harvested on -1, three days of life, one left on the day */
    h.lines[1].day = 2;
    f = framed(*state, &h);
    assert_false(plan_serves(f, f->node_of_stock[0], f->cell_of_line[1]));
}

static void fixed_starts_take_chambers_and_seed(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.frozen_days = 2;
    h.p.seed_lot_count = 2;
    h.lots[0].kg = 12;
    h.p.taken_count = 3;
    h.taken[0] = (struct plan_taken){1, 0, 0, 0, 15, 0};
    h.taken[1] = (struct plan_taken){1, 1, 0, 0, 20, PLAN_NONE};
    h.taken[2] = (struct plan_taken){1, 1, 0, 0, 20, PLAN_NONE};
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->fixed_count, 2);
    assert_int_equal(f->drop_count, 1);
    assert_int_equal(f->drops[0].taken, 2);
    assert_int_equal(f->drops[0].reason, PLAN_DROP_CHAMBER);
    /* the named lot first, the rest from the other */
    assert_int_equal(f->fixed[0].part_count, 2);
    assert_int_equal(f->fixed[0].parts[0].lot, 0);
    assert_close(f->fixed[0].parts[0].kg, 12, 0);
    assert_close(f->lot_kg[0], 0, 0);
    assert_close(f->lot_kg[1], 1000 - 3 - 20, 1e-9);
    assert_close(f->fixed[0].packed_kg, 75, 1e-9);
    assert_close(f->nodes[f->fixed[0].harvests[0].node].given_kg, 175, 1e-9);
    for (int d = 0; d < f->span_days; d++)
        assert_int_equal(f->busy_fixed[d], d >= 1 && d <= 5 ? 2 : 0);
    /* nothing new on frozen days but in place of what fell away */
    for (int o = 0; o < f->option_count; o++)
        assert_true(f->options[o].day >= 2);
    h.lots[0].kg = h.lots[1].kg = 5;
    f = framed(*state, &h);
    assert_int_equal(f->drop_count, 3);
    assert_int_equal(f->drops[0].reason, PLAN_DROP_SEED);
    assert_true(f->options[0].is_replacement);
    assert_int_equal(plan_dropped(f, 1, 0), 3);
    /* 10 g too little is still weighed out, 100 g of 20 kg is not */
    h.p.taken_count = 2;
    h.lots[0].kg = 12;
    h.lots[1].kg = 15 + 20 - 12 - 0.01;
    assert_int_equal(framed(*state, &h)->drop_count, 0);
    h.lots[1].kg = 15 + 20 - 12 - 0.1;
    f = framed(*state, &h);
    assert_int_equal(f->drop_count, 1);
    assert_int_equal(f->drops[0].taken, 1);
    assert_int_equal(f->drops[0].reason, PLAN_DROP_SEED);
}

static void starts_that_cannot_be_are_no_options(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.lots[0].from_day = 2;
    h.lots[0].last_day = 3;
    struct plan_frame *f = framed(*state, &h);
    assert_int_equal(f->option_count, 2);
    assert_int_equal(f->options[0].day, 2);
    assert_int_equal(f->options[1].day, 3);
    /* harvested past the last day only where something is wanted to stand then */
    h.lots[0].last_day = 8;
    f = framed(*state, &h);
    assert_int_equal(f->options[f->option_count - 1].day, 5);
    h.crop.end_kg_wanted = 10;
    h.crop.end_value_per_kg = 1;
    f = framed(*state, &h);
    assert_int_equal(f->options[f->option_count - 1].day, 8);
    assert_int_equal(f->options[f->option_count - 1].node, PLAN_NONE);
}

/* 20 kg of seed on day 1 are 100 kg: 60 on day 5, 40 on day 7, the chamber free on day 8. */
static void parts_are_harvests_of_their_own(void **state)
{
    struct handmade h;
    handmade_init(&h);
    struct plan_part parts[2] = {{0, 0.6, 1}, {2, 0.4, 1}};
    h.ways[0].parts = parts;
    h.ways[0].part_count = 2;
    h.p.chamber_count = 1;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    const struct plan_option *o = &f->options[1];
    assert_int_equal(o->day, 1);
    assert_int_equal(o->harvest_day, 5);
    assert_int_equal(o->last_day, 7);
    assert_int_equal(o->harvest_count, 2);
    assert_int_equal(f->nodes[o->harvests[1].node].harvest_day, 7);
    assert_close(o->harvests[1].share, 0.4, 1e-12);
    assert_close(o->seed_min_kg, 20, 0); /* to the top */
    handmade_want(&h, 5, 60);
    handmade_want(&h, 7, 40);
    struct plan_outcome x;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.start_count, 1);
    assert_int_equal(x.starts[0].day, 1);
    assert_int_equal(x.starts[0].last_day, 7);
    assert_int_equal(x.met_pieces[0], 60);
    assert_int_equal(x.met_pieces[1], 40);
    /* one start, 20 kg of seed at 2 */
    assert_close(x.improvement.cost, 10 + 40, 1e-9);
    assert_int_equal(x.purpose_count, 2);
    for (int d = 0; d < 10; d++)
        assert_int_equal(x.slack->chambers[d], d < 1 || d > 7);
    /* each is a harvest of its day */
    h.days[6].harvests_max = h.days[7].harvests_max = 0;
    plan_of(*state, &h.p, NULL, &x);
    assert_int_equal(x.start_count, 0);
    /* taken and frozen, it stands with both */
    h.days[6].harvests_max = h.days[7].harvests_max = INT_MAX;
    h.p.frozen_days = 2;
    h.p.taken_count = 1;
    h.taken[0] = (struct plan_taken){1, 0, 0, 0, 20, PLAN_NONE};
    f = plan_frame_make(*state, &h.p);
    assert_int_equal(f->fixed_count, 1);
    assert_int_equal(f->fixed[0].last_day, 7);
    assert_close(f->nodes[f->fixed[0].harvests[1].node].given_kg, 40, 1e-9);
    assert_int_equal(f->busy_fixed[7], 1);
    assert_int_equal(f->busy_fixed[8], 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(like_chambers_are_one_pool),
        EACH(lots_of_like_yield_are_one_grade),
        EACH(seed_for_other_markets_is_not_blended),
        EACH(like_wishes_are_one_cell),
        EACH(packed_stock_serves_its_product_only),
        EACH(fixed_starts_take_chambers_and_seed),
        EACH(starts_that_cannot_be_are_no_options),
        EACH(parts_are_harvests_of_their_own),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_frame", tests, NULL, NULL);
}
