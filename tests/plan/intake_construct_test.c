#include "plan/intake_construct.h"

#include <time.h>

#include "intake_support.h"
#include "support.h"

static void make_tanks(struct hall *h, uint64_t seed)
{
    h->stores[HALL_TANKS].tank_size = 400;
    h->stores[HALL_TANKS].tank_count = 2 + (int)(seed % 4);
    h->stores[HALL_TANKS].cleaned_next_day = seed % 2 == 0;
}

static void made_up_halls_keep_every_limit(void **state)
{
    int served = 0, bought = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        static struct hall h;
        hall_init(&h, seed);
        if (seed % 2) make_tanks(&h, seed / 2);
        assert_int_equal(intake_check(&h.p).code, CODE_OK);
        struct intake_frame *f = intake_frame_make(*state, &h.p);
        struct intake_plan *plan = intake_construct(*state, f), *idle = intake_plan_new(*state, f);
        intake_feasible(&h.p, f, plan);
        assert_close(intake_unexplained(&h.p, f, plan), 0, 1e-6);
        assert_close(intake_breach(*state, plan), 0, 1e-9);
        double *met = intake_met_kg(*state, plan), sum = 0, all = 0;
        for (int c = 0; c < f->cell_count; c++) {
            sum += met[c];
            all += f->cells[c].kg;
        }
        served += sum > all / 4;
        for (int i = 0; i < h.p.offer_count * HALL_DAYS; i++)
            bought += plan->buy_kg[i] > 1;
        assert_true(intake_cost(*state, plan) < intake_cost(*state, idle));
        arena_clear(*state);
    }
    assert_true(served >= 30);
    assert_true(bought > 40);
}

static void the_oldest_that_will_do_goes_first(void **state)
{
    struct small s;
    small_init(&s, 3);
    s.lots[0] = (struct intake_lot){"young", 0, 0, 10};
    s.lots[1] = (struct intake_lot){"old", 0, -1, 10};
    s.p.lot_count = 2;
    s.lines[0] = (struct plan_line){.key = "1", .day = 1, .pieces = 12, .shortage_cost_per_kg = 3};
    s.p.line_count = 1;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_construct(*state, f);
    assert_close(plan->sale_kg[intake_birth(f, -1)], 10, 1e-9);
    assert_close(plan->sale_kg[intake_birth(f, 0)], 2, 1e-9);
    /* packed on the day it is wanted */
    assert_close(plan->use_kg[intake_birth(f, -1) * 3 + 1], 10, 1e-9);
    intake_feasible(&s.p, f, plan);
}

static void what_costs_more_than_it_brings_is_not_bought(void **state)
{
    struct small s;
    small_init(&s, 3);
    s.offer = (struct intake_offer){
        .good = 0, .lead_days = 1, .kg_a_day = 8, .kg_in_all = 100, .price_per_kg = 1.5};
    s.p.offer_count = 1;
    s.part.share = 0.5; /* a pack's kg takes two of fruit: 3 a kg */
    for (int d = 0; d < 3; d++)
        s.lines[d] = (struct plan_line){
            .key = "1", .day = d, .pieces = 5, .shortage_cost_per_kg = d == 1 ? 3.1 : 2.9};
    s.p.line_count = 3;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_construct(*state, f);
    assert_close(plan->buy_kg[1], 8, 1e-9); /* as much as a day offers, on the first day it can */
    assert_close(plan->buy_kg[0] + plan->buy_kg[2], 0, 0);
    assert_close(intake_met_kg(*state, plan)[f->cell_of_line[1]], 4, 1e-9);
    intake_feasible(&s.p, f, plan);
}

/* 10 kg wanted on day 2 of fruit that comes on day 0: the room of two evenings bounds it. */
static void room_bounds_what_waits(void **state)
{
    struct small s;
    small_init(&s, 3);
    s.deliveries[0] = (struct intake_delivery){.good = 0, .kg = 20, .turn_cost_per_kg = 0.05};
    s.p.delivery_count = 1;
    s.limit[1] = 7;
    s.lines[0] = (struct plan_line){.key = "1", .day = 2, .pieces = 10, .shortage_cost_per_kg = 3};
    s.p.line_count = 1;
    struct intake_frame *f = intake_frame_make(*state, &s.p);
    struct intake_plan *plan = intake_construct(*state, f);
    assert_close(intake_met_kg(*state, plan)[0], 7, 1e-9);
    assert_close(plan->turn_kg[0], 13, 1e-9); /* cheaper than to let it go */
    intake_feasible(&s.p, f, plan);
}

static void a_big_hall_is_planned_at_once(void **state)
{
    static struct hall h;
    hall_init(&h, 3);
    struct timespec from, to;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
    struct intake_frame *f = intake_frame_make(*state, &h.p);
    intake_construct(*state, f);
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &to);
    /* tens of milliseconds; the bound is for sanitizers and loaded machines */
    assert_true(to.tv_sec - from.tv_sec < 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(made_up_halls_keep_every_limit),
        EACH(the_oldest_that_will_do_goes_first),
        EACH(what_costs_more_than_it_brings_is_not_bought),
        EACH(room_bounds_what_waits),
        EACH(a_big_hall_is_planned_at_once),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
