#include "plan/pool.h"

#include "instance.h"
#include "support.h"

/* Of three chambers the first has a lot for day 3, which may be harvested on day 1 or 5. */
static void early(struct handmade *h)
{
    handmade_init(h);
    h->p.chamber_count = 3;
    h->p.running_count = 1;
    h->others[0][0] = (struct plan_other){1, 0.8, -2};
    h->others[0][1] = (struct plan_other){5, 1.1, 2};
    h->running[0] = (struct plan_running){.lot = "lot",
                                          .harvest_day = 3,
                                          .packed_kg = 50,
                                          .markets = 1,
                                          .ready_day = h->ready_day,
                                          .others = h->others[0],
                                          .other_count = 2};
}

static void chambers_are_free_as_told_and_at_most(void **state)
{
    struct handmade h;
    early(&h);
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    assert_int_equal(f->pool_count, 1);
    for (int d = 0; d < 8; d++) {
        assert_int_equal(f->pools[0].usable[d], d < 4 ? 2 : 3);
        assert_int_equal(f->pools[0].most[d], d < 2 ? 2 : 3);
    }
    h.running[0].told = 2;
    f = plan_frame_make(*state, &h.p);
    for (int d = 0; d < 8; d++) {
        assert_int_equal(f->pools[0].usable[d], d < 6 ? 2 : 3);
        assert_int_equal(f->pools[0].most[d], d < 2 ? 2 : 3);
    }
}

/* An outage that only an early harvest meets keeps the chamber apart from the others. */
static void an_outage_after_the_soonest_harvest_is_a_pool_of_its_own(void **state)
{
    struct handmade h;
    early(&h);
    h.outage = (struct plan_outage){3, 7};
    h.chambers[0].outages = &h.outage;
    h.chambers[0].outage_count = 1;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    assert_int_equal(f->pool_count, 2);
    int pool = f->pool_of_chamber[0];
    for (int d = 0; d < 10; d++) {
        assert_int_equal(f->pools[pool].usable[d], d > 7);
        assert_int_equal(f->pools[pool].most[d], d == 2 || d > 7);
    }
    /* as it was, the lot stood in it until the outage had begun */
    h.running[0].other_count = 0;
    f = plan_frame_make(*state, &h.p);
    assert_int_equal(f->pool_count, 1);
}

static void a_choice_frees_its_chamber_or_holds_it(void **state)
{
    struct handmade h;
    int from, to;
    early(&h);
    h.outage = (struct plan_outage){5, 5};
    h.chambers[0].outages = &h.outage;
    h.chambers[0].outage_count = 1;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    assert_int_equal(f->choice_count, 3);
    assert_int_equal(plan_choice_told(f, 0), 0);
    assert_true(plan_choice_is_told(f, 0));
    assert_false(plan_choice_is_told(f, 1));
    assert_int_equal(plan_choice_frees(f, 1, &from, &to), 1);
    assert_int_equal(from, 2);
    assert_int_equal(to, 4);
    assert_int_equal(plan_choice_frees(f, 2, &from, &to), -1);
    assert_int_equal(from, 4);
    assert_int_equal(to, 6);
    assert_true(plan_choice_counts(f, 2, 4));
    assert_false(plan_choice_counts(f, 2, 5));
    assert_close(f->choices[1].packed_kg, 40, 1e-12);
    assert_int_equal(f->nodes[f->choices[1].node].harvest_day, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(chambers_are_free_as_told_and_at_most),
        EACH(an_outage_after_the_soonest_harvest_is_a_pool_of_its_own),
        EACH(a_choice_frees_its_chamber_or_holds_it),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_pool", tests, NULL, NULL);
}
