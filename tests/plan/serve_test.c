#include "instance.h"
#include "plan/serve.h"
#include "support.h"

/* Two packs of one crop: the ordered one of 1 kg that lives 3 days, and another. */
struct two {
    struct handmade h;
    struct plan_product products[2];
    struct plan_swap swap;
    bool groups[1];
};

static void two_init(struct two *t, double other_kg, int other_life)
{
    handmade_init(&t->h);
    t->products[0] = t->h.product;
    t->products[1] = (struct plan_product){"large", 0, other_kg, other_life, 0, NULL, 0};
    t->swap = (struct plan_swap){0, 1, 0.25, NULL};
    t->h.p.products = t->products;
    t->h.p.product_count = 2;
    t->h.p.swaps = &t->swap;
    t->h.p.swap_count = 1;
    handmade_want(&t->h, 1, 10);
}

static void stock_of(struct two *t, int product, int harvest_day, double kg)
{
    t->h.stock[t->h.p.stock_count++] = (struct plan_stock){
        "lot", 0, product, harvest_day, kg, 1, t->h.ready_day, NULL, NULL, NULL};
}

static void another_pack_serves_a_piece_for_a_piece(void **state)
{
    struct two t;
    two_init(&t, 1.5, 3);
    stock_of(&t, 1, 0, 30);
    stock_of(&t, 0, 0, 30);
    const struct plan_frame *f = plan_frame_make(*state, &t.h.p);
    int large = f->node_of_stock[0], own = f->node_of_stock[1];
    struct plan_serving x = plan_serving(f, large, 0);
    assert_int_equal(x.day, 1);
    assert_int_equal(x.swap, 0);
    assert_close(x.kg_per_kg, 1.5, 0);
    /* a day kept at 0.1 and the swap */
    assert_close(plan_serve_cost(f, large, 0), 0.1 + 0.25, 1e-12);
    assert_true(f->has_uneven_swap);
    x = plan_serving(f, own, 0);
    assert_int_equal(x.swap, PLAN_NONE);
    assert_close(x.kg_per_kg, 1, 0);
    assert_close(plan_serve_cost(f, own, 0), 0.1, 1e-12);
}

static void only_groups_that_take_it(void **state)
{
    struct two t;
    two_init(&t, 1, 3);
    t.groups[0] = false;
    t.swap.groups = t.groups;
    stock_of(&t, 1, 0, 30);
    const struct plan_frame *f = plan_frame_make(*state, &t.h.p);
    assert_false(plan_serves(f, f->node_of_stock[0], 0));
    assert_false(f->has_uneven_swap);
    t.groups[0] = true;
    f = plan_frame_make(*state, &t.h.p);
    assert_true(plan_serves(f, f->node_of_stock[0], 0));
}

/* Age is judged by the life of what is given, and lateness is by the kg ordered. */
static void the_life_is_that_of_what_is_given(void **state)
{
    struct two t;
    two_init(&t, 2, 1);
    stock_of(&t, 1, 0, 30);
    const struct plan_frame *f = plan_frame_make(*state, &t.h.p);
    assert_false(plan_serves(f, f->node_of_stock[0], 0)); /* 0 days left on day 1, 1 is asked */
    t.products[1].life_days = 3;
    t.h.ready_day[0] = 2;
    t.h.group.late_days = 1;
    t.h.group.late_cost_per_kg_day = 3;
    f = plan_frame_make(*state, &t.h.p);
    assert_int_equal(plan_serve_day(f, f->node_of_stock[0], 0), 2);
    assert_close(plan_serve_cost(f, f->node_of_stock[0], 0), 2 * 0.1 + 3 / 2.0 + 0.25, 1e-12);
}

static void a_longer_life_sells_what_is_too_old(void **state)
{
    struct two t;
    two_init(&t, 1, 6);
    t.h.lines[0].day = 4;
    stock_of(&t, PLAN_NONE, 0, 30);
    const struct plan_frame *f = plan_frame_make(*state, &t.h.p);
    assert_int_equal(plan_serving(f, f->node_of_stock[0], 0).swap, 0);
    assert_int_equal(f->cells[0].oldest_harvest_day, 2);
    assert_int_equal(plan_cell_oldest_day(f, &f->cells[0], 0), -1);
    t.h.lines[0].day = 2; /* young enough to be packed as what is ordered */
    f = plan_frame_make(*state, &t.h.p);
    assert_int_equal(plan_serving(f, f->node_of_stock[0], 0).swap, PLAN_NONE);
}

static void without_swaps_nothing_else_serves(void **state)
{
    struct two t;
    two_init(&t, 1, 3);
    t.h.p.swap_count = 0;
    stock_of(&t, 1, 0, 30);
    const struct plan_frame *f = plan_frame_make(*state, &t.h.p);
    assert_int_equal(plan_serve_day(f, f->node_of_stock[0], 0), PLAN_NEVER);
    assert_close(plan_serve_ratio(f, f->node_of_stock[0], 0), 1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(another_pack_serves_a_piece_for_a_piece), EACH(only_groups_that_take_it),
        EACH(the_life_is_that_of_what_is_given),       EACH(a_longer_life_sells_what_is_too_old),
        EACH(without_swaps_nothing_else_serves),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_serve", tests, NULL, NULL);
}
