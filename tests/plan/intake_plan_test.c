#include "intake_support.h"
#include "support.h"

static void only_what_can_be_born_has_a_node(void **state)
{
    struct small s;
    small_init(&s, 4);
    s.lots[0] = (struct intake_lot){"A", 0, -1, 10};
    s.lots[1] = (struct intake_lot){"B", 0, -3, 10}; /* past its life of 2 days */
    s.p.lot_count = 2;
    s.deliveries[0] = (struct intake_delivery){.good = 0, .day = 2, .kg = 5};
    s.p.delivery_count = 1;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    assert_int_equal(f->birth_count, 5);
    assert_int_equal(f->births[0], -1);
    assert_int_equal(intake_birth(f, -1), 0);
    assert_int_equal(intake_birth(f, 3), 4);
    int old = intake_node(f, 0, 0), fresh = intake_node(f, 0, intake_birth(f, 2));
    assert_true(f->can_be[old] && f->can_be[fresh]);
    assert_false(f->can_be[intake_node(f, 0, intake_birth(f, 1))]);
    assert_close(f->given_kg[old], 10, 0);
    assert_int_equal(f->first_day[old], 0);
    assert_int_equal(f->last_day[old], 1);
    assert_true(intake_ends(f, old));
    assert_int_equal(f->last_day[fresh], 3);
    assert_false(intake_ends(f, fresh)); /* it may be used on day 4 */
    /* packs are as old as their fruit */
    assert_int_equal(intake_given(f, 0, 0, 0, 1), intake_node(f, 1, 0));
    assert_true(f->can_be[intake_node(f, 1, 0)]);
    assert_true(intake_usable(f, 0, 0, 1));
    assert_false(intake_usable(f, 0, 0, 2));
    s.use.keeps_age = false;
    f = intake_frame_make(*state, &s.p);
    assert_int_equal(intake_given(f, 0, 0, 0, 1), intake_node(f, 1, intake_birth(f, 1)));
    /* packs that do not keep as long as fruit are too old at once */
    s.use.keeps_age = true;
    s.goods[1].keep_days = 1;
    f = intake_frame_make(*state, &s.p);
    assert_int_equal(intake_given(f, 0, 0, 0, 1), PLAN_NONE);
}

static void a_line_takes_what_has_life_enough(void **state)
{
    struct small s;
    small_init(&s, 4);
    s.lots[0] = (struct intake_lot){"A", 1, -1, 10};
    s.lots[1] = (struct intake_lot){"B", 1, 0, 10};
    s.p.lot_count = 2;
    s.group.remaining_days = 1;
    s.lines[0] = (struct plan_line){.key = "1", .day = 1, .pieces = 3, .shortage_cost_per_kg = 2};
    s.lines[1] = (struct plan_line){.day = 1, .pieces = 4, .shortage_cost_per_kg = 2};
    s.lines[2] = (struct plan_line){.day = 1, .pieces = 4, .shortage_cost_per_kg = 1};
    s.p.line_count = 3;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    assert_int_equal(f->cell_count, 2); /* lines that cost the same are one cell */
    assert_int_equal(f->cell_of_line[1], 0);
    assert_int_equal(f->cell_of_line[2], 1);
    assert_close(f->cells[0].kg, 7, 0);
    assert_false(intake_serves(f, intake_node(f, 1, intake_birth(f, -1)), 0));
    assert_true(intake_serves(f, intake_node(f, 1, intake_birth(f, 0)), 0));
    assert_false(intake_serves(f, intake_node(f, 0, intake_birth(f, 0)), 0));
    assert_false(intake_serves(f, intake_node(f, 1, intake_birth(f, 2)), 0));
}

/* 100 kg come on day 0, 60 are packed on day 1 and 50 of them sold on day 2; the rest leaves. */
static void what_stands_follows_from_what_is_done(void **state)
{
    struct small s;
    small_init(&s, 4);
    s.part.share = 0.9;
    s.goods[0].store = PLAN_NONE;
    s.goods[1].room_per_kg = 2;
    s.goods[0].hold_cost_per_kg_day = 0.01;
    s.use.cost_per_kg = 0.5;
    s.need.hours_per_kg = 0.1;
    s.deliveries[0] = (struct intake_delivery){.good = 0, .kg = 120, .turn_cost_per_kg = 1};
    s.p.delivery_count = 1;
    s.lines[0] = (struct plan_line){.key = "1", .day = 2, .pieces = 70, .shortage_cost_per_kg = 3};
    s.p.line_count = 1;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_plan_new(*state, f);
    int b = intake_birth(f, 0), fruit = intake_node(f, 0, b), pack = intake_node(f, 1, b);
    plan->turn_kg[0] = 20;
    plan->use_kg[b * 4 + 1] = 60;
    plan->sale_kg[b] = 50;
    assert_true(intake_breach(*state, plan) > 1); /* 40 kg of fruit stand past their life */
    intake_let_go(*state, plan);
    assert_close(plan->out_kg[fruit * 4 + 2], 40, 0);
    assert_close(plan->out_kg[pack * 4 + 2], 4, 1e-12);
    double *stock = intake_stock(*state, plan);
    assert_close(stock[fruit * 4], 100, 0);
    assert_close(stock[fruit * 4 + 1], 40, 0);
    assert_close(stock[fruit * 4 + 2], 0, 0);
    assert_close(stock[pack * 4 + 1], 54, 1e-12);
    assert_close(intake_levels(*state, plan, stock, NULL)[1], 108, 1e-12);
    assert_close(intake_hours(*state, plan)[1], 6, 1e-12);
    assert_close(intake_breach(*state, plan), 0, 1e-12);
    /* turned away, packed, fruit of two evenings, 44 kg gone, 20 short; packs are held for nothing
     */
    assert_close(intake_cost(*state, plan), 20 + 30 + 1.4 + 4.4 + 60, 1e-12);
    assert_int_equal(intake_met_pieces(*state, plan)[0], 50);
    intake_feasible(&s.p, f, plan);
    assert_close(intake_unexplained(&s.p, f, plan), 0, 1e-9);
}

static void each_breach_is_seen(void **state)
{
    struct small s;
    small_init(&s, 3);
    s.lots[0] = (struct intake_lot){"A", 0, 0, 30};
    s.p.lot_count = 1;
    s.lines[0] = (struct plan_line){.key = "1", .day = 1, .pieces = 20, .shortage_cost_per_kg = 3};
    s.p.line_count = 1;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_plan_new(*state, f);
    int b = intake_birth(f, 0);
    plan->use_kg[b * 3] = 20;
    plan->sale_kg[b] = 20;
    intake_let_go(*state, plan);
    assert_close(intake_breach(*state, plan), 0, 1e-12);
    s.limit[0] = 29; /* the evening of day 0: 10 kg of fruit, 20 of packs */
    assert_close(intake_breach(*state, plan), 1.0 / 29, 1e-9);
    s.limit[0] = INFINITY;
    s.hours[0] = 19;
    assert_close(intake_breach(*state, plan), 1.0 / 19, 1e-9);
    s.hours[0] = INFINITY;
    s.store.tank_size = 15; /* packs take two tanks, fruit one */
    s.store.tank_count = 3;
    assert_close(intake_breach(*state, plan), 0, 1e-12);
    s.store.tank_count = 2;
    assert_close(intake_breach(*state, plan), 1, 1e-12);
    s.store.tank_count = 3;
    /* on day 1 the packs' two tanks are emptied; still three are in use where they are cleaned */
    int tanks[3] = {0};
    s.store.cleaned_next_day = true;
    intake_levels(*state, plan, intake_stock(*state, plan), tanks);
    assert_int_equal(tanks[1], 3);
    memset(tanks, 0, sizeof tanks);
    s.store.cleaned_next_day = false;
    intake_levels(*state, plan, intake_stock(*state, plan), tanks);
    assert_int_equal(tanks[1], 1);
    plan->sale_kg[b] = 21;
    assert_true(intake_breach(*state, plan) > 0.9);
}

static void orders_come_before_forecasts(void **state)
{
    struct small s;
    small_init(&s, 2);
    s.product.net_kg = 0.5;
    s.lines[0] = (struct plan_line){.day = 1, .pieces = 10, .shortage_cost_per_kg = 3};
    s.lines[1] = (struct plan_line){.key = "1", .day = 1, .pieces = 10, .shortage_cost_per_kg = 3};
    s.lines[2] = (struct plan_line){.key = "2", .day = 1, .pieces = 10, .shortage_cost_per_kg = 3};
    s.p.line_count = 3;
    s.lots[0] = (struct intake_lot){"A", 1, 0, 7.3};
    s.p.lot_count = 1;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_plan_new(*state, f);
    plan->sale_kg[intake_birth(f, 0)] = 7.3;
    int64_t *met = intake_met_pieces(*state, plan);
    assert_int_equal(met[1], 10);
    assert_int_equal(met[2], 4); /* 2.3 kg are four and a half */
    assert_int_equal(met[0], 0);
}

static void what_lives_on_counts_at_the_end(void **state)
{
    struct small s;
    small_init(&s, 2);
    s.lots[0] = (struct intake_lot){"A", 0, -1, 10}; /* last day: 1 */
    s.lots[1] = (struct intake_lot){"B", 0, 0, 10};  /* last day: 2 */
    s.p.lot_count = 2;
    s.goods[0].end_kg_wanted = 6;
    s.goods[0].end_value_per_kg = 0.5;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_plan_new(*state, f);
    intake_let_go(*state, plan);
    assert_close(intake_end_kg(*state, plan, intake_stock(*state, plan))[0], 10, 0);
    assert_close(intake_cost(*state, plan), 10 * 0.1 - 6 * 0.5, 1e-12);
    intake_feasible(&s.p, f, plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(only_what_can_be_born_has_a_node),      EACH(a_line_takes_what_has_life_enough),
        EACH(what_stands_follows_from_what_is_done), EACH(each_breach_is_seen),
        EACH(orders_come_before_forecasts),          EACH(what_lives_on_counts_at_the_end),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
