#include "feasible.h"
#include "instance.h"
#include "plan/construct.h"
#include "support.h"

static int placed_at(struct arena *a, struct handmade *h, const int *counts_by_day, double seed_kg,
                     struct plan_placed **out)
{
    assert_int_equal(plan_problem_check(&h->p).code, CODE_OK);
    struct plan_frame *f = plan_frame_make(a, &h->p);
    struct plan *plan = plan_new(a, f);
    for (int o = 0; o < f->option_count; o++) {
        if (f->options[o].pool != 0 || f->options[o].way != 0) continue;
        plan->counts[o] = counts_by_day[f->options[o].day];
        /* from the best grade down */
        double left_kg = seed_kg * plan->counts[o];
        for (int g = f->blends[f->options[o].blend].grade_count - 1; g >= 0; g--) {
            int grade = f->blends[f->options[o].blend].first_grade + g;
            double kg = 0;
            for (int i = 0; i < f->grades[grade].lot_count; i++)
                kg += h->lots[f->grades[grade].lots[i]].kg;
            plan->seed_kg[f->options[o].first_fill + g] = fmin(kg, left_kg);
            left_kg -= fmin(kg, left_kg);
        }
    }
    return plan_place(a, plan, out);
}

static void the_longest_idle_chamber_comes_first(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 4;
    h.chambers[0].idle_since_day = -2;
    h.chambers[1].idle_since_day = -7;
    h.chambers[2].idle_since_day = -4;
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 3, 0,    0,    50,    1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    struct plan_placed *x;
    const int counts[10] = {1, 1, 1, 1};
    assert_int_equal(placed_at(*state, &h, counts, 15, &x), 4);
    assert_int_equal(x[0].chamber, 1);
    assert_int_equal(x[1].chamber, 2);
    assert_int_equal(x[2].chamber, 0);
    /* the one that was busy yesterday last */
    assert_int_equal(x[3].chamber, 3);
}

static void a_taken_start_keeps_its_chamber(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 3;
    h.chambers[1].idle_since_day = -9;
    /* chamber 1 has stood longest, but a start of day 1 waits for it */
    h.p.taken_count = 1;
    h.taken[0] = (struct plan_taken){1, 1, 0, 0, 15, PLAN_NONE};
    struct plan_placed *x;
    const int counts[10] = {1, 1};
    assert_int_equal(placed_at(*state, &h, counts, 15, &x), 2);
    assert_int_equal(x[0].chamber, 2);
    assert_int_equal(x[1].chamber, 1);
    assert_int_equal(x[1].taken, 0);
    assert_false(x[1].is_fixed);
}

/* Both chambers that are free are waited for: the one that is waited for later is taken, and its
 * start finds another by then. The other way round all three would move on. */
static void a_new_start_sends_as_few_taken_ones_on_as_can_be(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 4;
    h.chambers[1].idle_since_day = -9;
    h.p.running_count = 2;
    h.running[0] = (struct plan_running){"long", 0, 0,    9,    50,    1, h.ready_day, NULL, 0,
                                         0,      0, NULL, NULL, false, 0};
    h.running[1] = (struct plan_running){"soon", 3, 0,    4,    50,    1, h.ready_day, NULL, 0,
                                         0,      0, NULL, NULL, false, 0};
    h.p.taken_count = 2;
    h.taken[0] = (struct plan_taken){2, 1, 0, 0, 15, PLAN_NONE};
    h.taken[1] = (struct plan_taken){5, 2, 0, 0, 15, PLAN_NONE};
    struct plan_placed *x;
    const int counts[10] = {0, 1, 1, 0, 0, 1};
    assert_int_equal(placed_at(*state, &h, counts, 15, &x), 3);
    assert_int_equal(x[0].chamber, 2);
    assert_int_equal(x[1].chamber, 1);
    assert_int_equal(x[2].chamber, 3);
}

static void a_taken_start_moves_when_its_chamber_is_gone(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.frozen_days = 3;
    h.p.taken_count = 1;
    h.taken[0] = (struct plan_taken){1, 0, 0, 0, 15, PLAN_NONE};
    h.outage = (struct plan_outage){0, PLAN_NEVER};
    h.chambers[0].outages = &h.outage;
    h.chambers[0].outage_count = 1;
    handmade_want(&h, 6, 70);
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    feasible_check(&h.p, &x);
    assert_int_equal(x.frame->drop_count, 0);
    assert_int_equal(x.start_count, 1);
    assert_true(x.starts[0].is_fixed);
    assert_int_equal(x.starts[0].chamber, 1);
    assert_int_equal(x.short_count, 0);
}

static void a_taken_start_that_cannot_be_is_replaced(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.class_count = 2;
    h.chambers[1].class_index = 1;
    h.p.frozen_days = 3;
    h.p.taken_count = 1;
    h.taken[0] = (struct plan_taken){1, 0, 0, 0, 15, PLAN_NONE};
    h.outage = (struct plan_outage){0, PLAN_NEVER};
    h.chambers[0].outages = &h.outage;
    h.chambers[0].outage_count = 1;
    handmade_want(&h, 6, 70);
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    feasible_check(&h.p, &x);
    assert_int_equal(x.frame->drop_count, 1);
    assert_int_equal(x.frame->drops[0].taken, 0);
    assert_int_equal(x.frame->drops[0].reason, PLAN_DROP_CHAMBER);
    /* another class takes it, on the frozen day itself: later ones would come too late */
    assert_int_equal(x.start_count, 1);
    assert_int_equal(x.starts[0].day, 1);
    assert_int_equal(x.starts[0].chamber, 1);
    assert_false(x.starts[0].is_fixed);
    assert_int_equal(x.short_count, 0);
    /* without any other chamber it falls away, and so does what it was for */
    h.fills[1] = (struct plan_fill){0, 0};
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.start_count, 0);
    assert_int_equal(x.short_count, 1);
}

static void seed_that_expires_first_goes_first(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 1;
    h.p.seed_lot_count = 3;
    h.lots[0] = (struct plan_seed_lot){"late", 0, 15, 0, 50, 1, 1, 2, 20001};
    h.lots[1] = (struct plan_seed_lot){"soon", 0, 15, 0, 6, 1, 1, 2, 20002};
    h.lots[2] = (struct plan_seed_lot){"old", 0, 15, 0, 50, 1, 1, 2, 20000};
    struct plan_placed *x;
    const int counts[10] = {1, 0, 0, 0, 0, 1};
    assert_int_equal(placed_at(*state, &h, counts, 15, &x), 2);
    assert_int_equal(x[0].part_count, 1);
    assert_int_equal(x[0].parts[0].lot, 1);
    assert_int_equal(x[1].parts[0].lot, 2);
}

static void lots_are_mixed_as_little_as_can_be(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 4;
    h.p.seed_lot_count = 2;
    /* 64 kg for four chambers of 10 to 20: 28 is two of 14, 36 is two of 18 */
    h.lots[0] = (struct plan_seed_lot){"small", 0, 28, 0, 20, 1, 1, 2, 20001};
    h.lots[1] = (struct plan_seed_lot){"large", 0, 36, 0, 50, 1, 1, 2, 20002};
    struct plan_placed *x;
    const int counts[10] = {4};
    assert_int_equal(placed_at(*state, &h, counts, 16, &x), 4);
    double kg = 0;
    for (int i = 0; i < 4; i++) {
        assert_int_equal(x[i].part_count, 1);
        assert_true(x[i].seed_kg >= 10 - 1e-9 && x[i].seed_kg <= 20 + 1e-9);
        assert_close(x[i].packed_kg, 5 * x[i].seed_kg, 1e-9);
        kg += x[i].seed_kg;
    }
    assert_close(kg, 64, 1e-9);
    /* 25 kg can't fill whole chambers beside 39: one is mixed, no more */
    h.lots[0].kg = 25;
    h.lots[1].kg = 55;
    assert_int_equal(placed_at(*state, &h, counts, 20, &x), 4);
    int mixed = 0;
    for (int i = 0; i < 4; i++)
        mixed += x[i].part_count > 1;
    assert_int_equal(mixed, 1);
}

static void yields_are_the_lots_own(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 1;
    h.p.seed_lot_count = 2;
    h.lots[0] = (struct plan_seed_lot){"weak", 0, 6, 0, 20, 1, 0.8, 2, 20001};
    h.lots[1] = (struct plan_seed_lot){"strong", 0, 10, 0, 50, 1, 1, 2, 20002};
    struct plan_placed *x;
    const int counts[10] = {1};
    assert_int_equal(placed_at(*state, &h, counts, 16, &x), 1);
    assert_close(x[0].packed_kg, 5 * (0.8 * 6 + 10), 1e-9);
}

static void outages_split_chambers_into_pools(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 3;
    h.outage = (struct plan_outage){5, 6};
    h.chambers[1].outages = &h.outage;
    h.chambers[1].outage_count = 1;
    for (int d = 4; d < 10; d++)
        handmade_want(&h, d, 100);
    h.product.life_days = 1;
    struct improve_options options = solving(10, 0);
    struct plan_outcome x;
    plan_of(*state, &h.p, &options, &x);
    assert_int_equal(x.frame->pool_count, 2);
    /* chamber 1 can grow from day 0 to 4 and from day 7 on only; the check sees to it */
    feasible_check(&h.p, &x);
    assert_true(x.start_count >= 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(the_longest_idle_chamber_comes_first),
        EACH(a_taken_start_keeps_its_chamber),
        EACH(a_new_start_sends_as_few_taken_ones_on_as_can_be),
        EACH(a_taken_start_moves_when_its_chamber_is_gone),
        EACH(a_taken_start_that_cannot_be_is_replaced),
        EACH(seed_that_expires_first_goes_first),
        EACH(lots_are_mixed_as_little_as_can_be),
        EACH(yields_are_the_lots_own),
        EACH(outages_split_chambers_into_pools),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_place", tests, NULL, NULL);
}
