#include <limits.h>

#include "instance.h"
#include "support.h"

static void what_is_fixed_is_gone_from_the_start(void **state)
{
    struct handmade h;
    handmade_init(&h);
    for (int d = 0; d < 10; d++)
        h.days[d] = (struct plan_day){50, 40, 500, 400, 300, 2, 2};
    h.p.frozen_days = 1;
    h.p.taken_count = 1;
    h.taken[0] = (struct plan_taken){0, 0, 0, 0, 15, PLAN_NONE};
    h.p.running_count = 1;
    h.running[0] = (struct plan_running){"lot", 1, 0,    4,    50,    1, h.ready_day, NULL, 0,
                                         0,     0, NULL, NULL, false, 0};
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct plan_slack *s = slack_new(*state, f);
    assert_int_equal(s->chambers[0], 0);
    assert_int_equal(s->chambers[5], 2);
    assert_int_equal(s->days[0].starts_max, 1);
    assert_close(s->days[0].treat_seed_kg, 35, 1e-12);
    assert_close(s->days[0].soak_seed_kg, 25, 1e-12);
    assert_int_equal(s->days[4].harvests_max, 0);
    assert_close(s->days[4].wash_bed_kg, 400, 0);
    assert_close(s->lot_kg[0], 985, 1e-9);
}

static void a_start_takes_and_blocks(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.chamber_count = 1;
    for (int d = 0; d < 10; d++)
        h.days[d] = (struct plan_day){30, INFINITY, INFINITY, 100, INFINITY, INT_MAX, INT_MAX};
    h.p.work_count = 1;
    h.work_per_kg = 0.5;
    h.work_limit[6] = 60;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct plan *plan = plan_new(*state, f);
    int o = 2;
    assert_int_equal(f->options[o].day, 2);
    plan->counts[o] = 1;
    plan->seed_kg[f->options[o].first_fill] = 16;
    handmade_want(&h, 6, 80);
    plan->end_kg[f->options[o].node] = 80;
    struct plan_slack *s = slack_of_plan(*state, plan);
    assert_int_equal(slack_start_blocks(s, 1, h.ways, 0, 10), 1u << PLAN_LIMIT_CHAMBERS);
    assert_int_equal(slack_start_blocks(s, 2, h.ways, 0, 15),
                     1u << PLAN_LIMIT_CHAMBERS | 1u << PLAN_LIMIT_TREATMENT);
    assert_int_equal(slack_start_blocks(s, 7, h.ways, 0, 15), 0);
    assert_close(s->days[2].treat_seed_kg, 14, 1e-12);
    assert_true(isinf(s->days[2].soak_seed_kg));
    assert_int_equal(s->days[2].starts_max, INT_MAX);
    /* 80 packed kg are 100 of bed */
    assert_close(s->days[6].wash_bed_kg, 0, 1e-9);
    assert_int_equal(slack_goods_blocks(s, 0, 6, 0), 1u << PLAN_LIMIT_WASHING);
    assert_close(slack_goods_kg(s, 0, 6, 0), 0, 1e-9);
    /* 80 packed kg are 40 hours of 60; on other days there is no limit */
    assert_close(s->works[6], 20, 1e-12);
    assert_true(isinf(s->works[7]));
    s->days[6].wash_bed_kg = 100;
    assert_close(slack_goods_kg(s, 0, 6, 0), 40, 1e-9);
    s->works[6] = 0;
    assert_int_equal(slack_goods_blocks(s, 0, 6, 0), 1u << PLAN_LIMIT_WORK);
    assert_close(slack_goods_kg(s, 0, 7, 0), 80, 1e-9);
    assert_close(s->lot_kg[0], 984, 1e-9);
    assert_int_equal(slack_seed_blocks(s, 2, 0, 984), 0);
    assert_int_equal(slack_seed_blocks(s, 2, 0, 985), 1u << PLAN_LIMIT_SEED);
}

static void seed_goes_by_last_day(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.seed_lot_count = 2;
    h.lots[0] = (struct plan_seed_lot){"late", 0, 30, 0, 50, 1, 1, 2, 1};
    h.lots[1] = (struct plan_seed_lot){"soon", 0, 10, 0, 4, 1, 1, 2, 2};
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct plan_slack *s = slack_new(*state, f);
    assert_close(slack_grade_kg(s, 0, 4), 40, 0);
    assert_close(slack_grade_kg(s, 0, 5), 30, 0);
    slack_take_seed(s, f->options[4].first_fill, 15);
    assert_close(s->lot_kg[1], 0, 0);
    assert_close(s->lot_kg[0], 25, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(what_is_fixed_is_gone_from_the_start),
        EACH(a_start_takes_and_blocks),
        EACH(seed_goes_by_last_day),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_slack", tests, NULL, NULL);
}
