#include "plan/intake_explain.h"

#include "intake_support.h"
#include "support.h"

/* 20 kg wanted on day 2; fruit comes on day 1. */
static void make(struct small *s, double fruit_kg)
{
    small_init(s, 3);
    s->deliveries[0] =
        (struct intake_delivery){.good = 0, .day = 1, .kg = fruit_kg, .turn_cost_per_kg = 0.01};
    s->p.delivery_count = 1;
    s->lines[0] = (struct plan_line){.key = "1", .day = 2, .pieces = 20, .shortage_cost_per_kg = 3};
    s->p.line_count = 1;
}

static struct intake_outcome short_of(struct arena *a, const struct small *s, bool by_solver)
{
    struct improve_options options = solving(20, 0);
    struct intake_outcome x;
    assert_int_equal(intake_make(a, &s->p, by_solver ? &options : NULL, &x).code, CODE_OK);
    intake_feasible(&s->p, x.frame, x.plan);
    return x;
}

static const struct intake_gain *gain_of(const struct intake_outcome *x, enum intake_limit limit)
{
    for (int i = 0; i < x->gain_count; i++)
        if (x->gains[i].bar.limit == limit) return &x->gains[i];
    fail_msg("no gain of %s", intake_limit_id(limit));
    return NULL;
}

static void each_limit_is_named_and_weighed(void **state)
{
    for (int by_solver = 0; by_solver < 2; by_solver++) {
        struct small s;
        make(&s, 30);
        assert_int_equal(short_of(*state, &s, by_solver).short_count, 0);
        make(&s, 12);
        struct intake_outcome x = short_of(*state, &s, by_solver);
        assert_int_equal(x.short_count, 1);
        assert_int_equal(x.shorts[0].pieces, 8);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_FRUIT);
        assert_int_equal(x.shorts[0].bar.index, 0);
        assert_int_equal(x.gain_count, 1);
        assert_close(x.gains[0].step, 100, 0);
        assert_close(x.gains[0].met_kg, 8, 1e-6); /* no more than is wanted */
        make(&s, 30);
        s.limit[1] = 13;
        x = short_of(*state, &s, by_solver);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_STORE);
        const struct intake_gain *gain = gain_of(&x, INTAKE_STORE);
        assert_close(gain->met_kg, 7, 1e-6);
        assert_close(gain->saved_cost, 7 * 3 + 17 * 0.01, 1e-6); /* none is turned away */
        make(&s, 30);
        s.hours[0] = s.hours[1] = 0;
        s.hours[2] = 15;
        x = short_of(*state, &s, by_solver);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_MACHINE);
        gain = gain_of(&x, INTAKE_MACHINE);
        assert_close(gain->step, 1, 0);
        assert_close(gain->met_kg, 1,
                     1e-6); /* a kg an hour, on day 2 alone: day 1 is one of rest */
        s.hours[1] = 1;
        s.hours[2] = 14;
        x = short_of(*state, &s, by_solver);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_MACHINE);
        assert_close(gain_of(&x, INTAKE_MACHINE)->met_kg, 2, 1e-6); /* on days 1 and 2 */
    }
}

static void tanks_are_added_whole(void **state)
{
    for (int by_solver = 0; by_solver < 2; by_solver++) {
        struct small s;
        make(&s, 30);
        s.store.tank_size = 4;
        s.store.tank_count = 3;
        struct intake_outcome x = short_of(*state, &s, by_solver);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_STORE);
        const struct intake_gain *gain = gain_of(&x, INTAKE_STORE);
        assert_close(gain->step, 4, 0);
        assert_close(gain->met_kg, 4, 1e-5);
    }
}

/* A line that gives a kg an hour in 12 h, and of fruit no more than 12 kg. */
static void several_that_bind_together_are_all_named(void **state)
{
    for (int by_solver = 0; by_solver < 2; by_solver++) {
        struct small s;
        make(&s, 12);
        s.hours[0] = s.hours[1] = 0;
        s.hours[2] = 12;
        s.limit[1] = 14;
        struct intake_outcome x = short_of(*state, &s, by_solver);
        assert_int_equal(x.shorts[0].pieces, 8);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_FRUIT);
        assert_int_equal(x.shorts[0].also,
                         1 << intake_bar_bit(&s.p, (struct intake_bar){INTAKE_MACHINE, 0}));
        assert_int_equal(x.gain_count, 2);
        /* either alone gives nothing */
        assert_close(x.gains[0].met_kg, 0, 1e-6);
        assert_close(x.gains[1].met_kg, 0, 1e-6);
        assert_int_equal(intake_bar_of_bit(&s.p, 0).limit, INTAKE_FRUIT);
        assert_int_equal(intake_bar_of_bit(&s.p, 2).limit, INTAKE_STORE);
        assert_int_equal(intake_bar_of_bit(&s.p, 3).limit, INTAKE_MACHINE);
    }
}

static void life_and_worth_are_told_apart(void **state)
{
    for (int by_solver = 0; by_solver < 2; by_solver++) {
        struct small s;
        make(&s, 30);
        s.group.remaining_days = 3; /* packs live two days */
        struct intake_outcome x = short_of(*state, &s, by_solver);
        assert_int_equal(x.short_count, 1);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_LIFE);
        assert_int_equal(x.gain_count, 0);
        make(&s, 30);
        s.use.cost_per_kg = 4;
        x = short_of(*state, &s, by_solver);
        assert_int_equal(x.short_count, 1);
        assert_int_equal(x.shorts[0].bar.limit, INTAKE_WORTH);
    }
}

static void half_a_piece_is_no_limit(void **state)
{
    struct small s;
    make(&s, 30);
    s.hours[0] = s.hours[1] = 0;
    s.product.net_kg = 0.8;
    s.hours[2] = 16; /* all of 20 pieces */
    assert_int_equal(short_of(*state, &s, true).short_count, 0);
    assert_string_equal(intake_limit_id(INTAKE_WHOLE), "whole");
    assert_string_equal(intake_limit_id(INTAKE_FRUIT), "fruit");
}

/* A hall: every short line has a reason, and every limit named is weighed. */
static void a_hall_is_explained(void **state)
{
    static struct hall h;
    hall_init(&h, 3);
    struct improve_options options = solving(60, 0);
    struct intake_outcome x;
    assert_int_equal(intake_make(*state, &h.p, &options, &x).code, CODE_OK);
    assert_true(x.short_count > 0);
    uint64_t named = 0, weighed = 0;
    for (int i = 0; i < x.short_count; i++) {
        named |= x.shorts[i].also;
        if (x.shorts[i].bar.limit <= INTAKE_MACHINE)
            named |= UINT64_C(1) << intake_bar_bit(&h.p, x.shorts[i].bar);
    }
    for (int i = 0; i < x.gain_count; i++) {
        weighed |= UINT64_C(1) << intake_bar_bit(&h.p, x.gains[i].bar);
        assert_true(x.gains[i].saved_cost >= 0);
    }
    assert_true(named != 0);
    assert_true(named == weighed);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(each_limit_is_named_and_weighed),
        EACH(tanks_are_added_whole),
        EACH(several_that_bind_together_are_all_named),
        EACH(life_and_worth_are_told_apart),
        EACH(half_a_piece_is_no_limit),
        EACH(a_hall_is_explained),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
