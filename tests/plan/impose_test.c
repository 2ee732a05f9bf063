#include "instance.h"
#include "plan/impose.h"
#include "support.h"

/* Orders on days 4, 5 and 6; three chambers. */
static void scene_init(struct handmade *h)
{
    handmade_init(h);
    h->p.chamber_count = 3;
    h->p.change_cost = 3;
    handmade_want(h, 4, 100);
    handmade_want(h, 5, 60);
    handmade_want(h, 6, 100);
}

static void starts_given_stand_in_the_plan_and_the_rest_is_planned(void **state)
{
    struct handmade h;
    struct imposed x;
    struct plan_outcome o;
    scene_init(&h);
    const struct plan_taken starts[1] = {{0, 2, 0, 0, 13, PLAN_NONE}};
    assert_true(impose(*state, &h.p, starts, 1, &x));
    assert_int_equal(x.day, 0);
    assert_int_equal(plan_problem_check(x.p).code, CODE_OK);
    plan_of(*state, x.p, NULL, &o);
    impose_tell(*state, &x, &o);
    int tonight = 0;
    for (int i = 0; i < o.start_count; i++) {
        const struct plan_placed *s = &o.starts[i];
        if (s->day != 0) continue;
        tonight++;
        assert_int_equal(s->chamber, 2);
        assert_close(s->seed_kg, 13, 1e-9);
        assert_int_equal(s->taken, PLAN_NONE);
        assert_false(s->is_fixed);
    }
    assert_int_equal(tonight, 1);
    /* 65 of 100 on day 4; 60 on day 5 and 100 on day 6 by the other chambers */
    assert_int_equal(o.met_pieces[0], 65);
    assert_int_equal(o.met_pieces[1], 60);
    assert_int_equal(o.met_pieces[2], 100);
    /* three starts, 45 kg of seed at 2, 35 kg short at 10; a full chamber for day 5, of which 40 kg
     * are kept a day */
    assert_int_equal(o.start_count, 3);
    assert_close(o.improvement.cost, 30 + 90 + 350 + 4, 1e-6);
}

/* Given what the plan does by itself, it costs the same. */
static void the_plans_own_starts_cost_what_they_cost(void **state)
{
    struct handmade h;
    struct imposed x;
    struct plan_outcome free, given;
    scene_init(&h);
    plan_of(*state, &h.p, NULL, &free);
    struct plan_taken starts[6];
    int count = 0;
    for (int i = 0; i < free.start_count; i++)
        if (free.starts[i].day == 0)
            starts[count++] = (struct plan_taken){0, free.starts[i].chamber, 0,
                                                  0, free.starts[i].seed_kg, PLAN_NONE};
    assert_true(count > 0);
    assert_true(impose(*state, &h.p, starts, count, &x));
    plan_of(*state, x.p, NULL, &given);
    impose_tell(*state, &x, &given);
    assert_close(given.improvement.cost, free.improvement.cost, 1e-6);
    assert_int_equal(given.start_count, free.start_count);
}

static void starts_taken_before_keep_their_names(void **state)
{
    struct handmade h;
    struct imposed x;
    struct plan_outcome o;
    scene_init(&h);
    /* one of today that is not given again, one that is, in another chamber; one of tomorrow */
    h.taken[0] = (struct plan_taken){0, 0, 0, 0, 20, PLAN_NONE};
    h.taken[1] = (struct plan_taken){0, 1, 0, 0, 20, PLAN_NONE};
    h.taken[2] = (struct plan_taken){1, 2, 0, 0, 12, PLAN_NONE};
    h.p.taken_count = 3;
    const struct plan_taken starts[1] = {{0, 1, 0, 0, 20, PLAN_NONE}};
    assert_true(impose(*state, &h.p, starts, 1, &x));
    assert_int_equal(x.p->taken_count, 2);
    plan_of(*state, x.p, NULL, &o);
    double given = o.improvement.cost;
    impose_tell(*state, &x, &o);
    /* the start's 10 and 20 kg of seed at 2, and 3 for the one not kept */
    assert_close(o.improvement.cost, given + 10 + 40 + 3, 1e-9);
    int seen = 0;
    for (int i = 0; i < o.start_count; i++) {
        if (o.starts[i].taken == PLAN_NONE) continue;
        seen |= 1 << o.starts[i].taken;
        assert_int_equal(h.taken[o.starts[i].taken].day, o.starts[i].day);
    }
    assert_int_equal(seen, 1 << 1 | 1 << 2);
}

static void what_was_frozen_before_and_dropped_is_still_told(void **state)
{
    struct handmade h;
    struct imposed x;
    struct plan_outcome o;
    scene_init(&h);
    h.p.frozen_days = 1;
    h.running[0] = (struct plan_running){"lot-r", 1, 0,    2,    50,    1, h.ready_day, NULL, 0,
                                         0,       0, NULL, NULL, false, 0};
    h.p.running_count = 1;
    h.taken[0] = (struct plan_taken){1, 0, 0, 0, 20, PLAN_NONE};
    h.taken[1] = (struct plan_taken){0, 1, 0, 0, 20, PLAN_NONE}; /* its chamber is not free */
    h.taken[2] = (struct plan_taken){0, 2, 0, 0, 15, PLAN_NONE};
    h.p.taken_count = 3;
    for (int c = 0; c < 3; c++)
        h.chambers[c].class_index = c == 1;
    h.p.class_count = 2;
    assert_true(impose(*state, &h.p, NULL, 0, &x));
    assert_int_equal(x.day, 1);
    plan_of(*state, x.p, NULL, &o);
    impose_tell(*state, &x, &o);
    assert_int_equal(o.frame->drop_count, 1);
    assert_int_equal(o.frame->drops[0].taken, 1);
    for (int i = 0; i < o.start_count; i++) {
        assert_int_not_equal(o.starts[i].day, 1);
        assert_int_equal(o.starts[i].is_fixed, o.starts[i].taken == 2);
    }
}

/* People can still start more on the evening: what is short is not called too late for it. */
static void the_evening_given_is_open_to_what_is_short(void **state)
{
    struct handmade h;
    struct imposed x;
    struct plan_outcome o;
    scene_init(&h);
    handmade_want(&h, 3, 10);
    assert_true(impose(*state, &h.p, NULL, 0, &x));
    plan_of(*state, x.p, NULL, &o);
    impose_tell(*state, &x, &o);
    assert_int_equal(o.short_count, 2);
    assert_int_equal(o.shorts[0].line, 0);
    assert_int_equal(o.shorts[0].pieces, 100);
    assert_int_not_equal(o.shorts[0].limit, PLAN_LIMIT_TOO_LATE);
    assert_int_equal(o.shorts[1].line, 3);
    assert_int_equal(o.shorts[1].limit, PLAN_LIMIT_TOO_LATE);
    assert_int_equal(o.shorts[1].from_day, 4);
}

static void what_cannot_be_made_is_refused(void **state)
{
    struct handmade h;
    struct imposed x;
    scene_init(&h);
    const struct plan_taken two[2] = {{0, 0, 0, 0, 20, PLAN_NONE}, {0, 1, 0, 0, 20, PLAN_NONE}};
    h.days[0].starts_max = 1;
    assert_false(impose(*state, &h.p, two, 2, &x));
    assert_ptr_equal(x.p, &h.p);
    assert_int_equal(x.day, PLAN_NONE);
    h.days[0].starts_max = 2;
    h.days[0].soak_seed_kg = 39;
    assert_false(impose(*state, &h.p, two, 2, &x));
    h.days[0].soak_seed_kg = 40;
    assert_true(impose(*state, &h.p, two, 2, &x));
    h.lots[0].kg = 30;
    assert_false(impose(*state, &h.p, two, 2, &x));
    h.lots[0].kg = 1000;
    h.running[0] = (struct plan_running){"lot-r", 0, 0,    2,    50,    1, h.ready_day, NULL, 0,
                                         0,       0, NULL, NULL, false, 0};
    h.running[1] = (struct plan_running){"lot-s", 1, 0,    2,    50,    1, h.ready_day, NULL, 0,
                                         0,       0, NULL, NULL, false, 0};
    h.p.running_count = 2;
    assert_false(impose(*state, &h.p, two, 2, &x));
    h.p.running_count = 0;
    h.p.frozen_days = h.p.day_count;
    assert_false(impose(*state, &h.p, two, 2, &x));
    /* nothing was made of it: an outcome stays as it is */
    struct plan_outcome o = {.improvement = {.cost = 5}};
    impose_tell(*state, &x, &o);
    assert_close(o.improvement.cost, 5, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(starts_given_stand_in_the_plan_and_the_rest_is_planned),
        EACH(the_plans_own_starts_cost_what_they_cost),
        EACH(starts_taken_before_keep_their_names),
        EACH(the_evening_given_is_open_to_what_is_short),
        EACH(what_was_frozen_before_and_dropped_is_still_told),
        EACH(what_cannot_be_made_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
