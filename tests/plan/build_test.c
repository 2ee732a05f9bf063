#include "instance.h"
#include "plan/build.h"
#include "support.h"

static void a_start_takes_its_room_and_its_seed(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 80);
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct builder *b = builder_new(*state, f);
    int option = PLAN_NONE, starts = 0;
    for (int o = 0; o < f->option_count; o++)
        if (f->options[o].harvest_day == 6) option = o;
    assert_true(option != PLAN_NONE);
    while (builder_may_start(b, option)) {
        builder_start(b, option);
        starts++;
    }
    assert_int_equal(starts, 2);
    assert_close(plan_option_seed_kg(b->plan, option), 20, 1e-9);
    builder_serve_from_made(b, 0);
    /* 100 kg made of which 80 are wanted */
    assert_close(b->open_kg[0], 0, 1e-9);
    assert_close(b->left_kg[f->options[option].node], 20, 1e-9);
}

static void filling_goes_as_far_as_wanted(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 80);
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct builder *b = builder_new(*state, f);
    for (int o = 0; o < f->option_count; o++)
        if (f->options[o].harvest_day == 6) builder_start(b, o);
    builder_serve_from_made(b, 0);
    builder_fill_started(b, 0);
    assert_close(b->open_kg[0], 0, 1e-9);
    double seed_kg = 0;
    for (int i = 0; i < f->fill_count; i++)
        seed_kg += b->plan->seed_kg[i];
    assert_close(seed_kg, 16, 1e-9);
}

static void beginning_anew_forgets_everything(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, instance_make(*state, 5, &instance_small));
    struct builder *b = builder_new(*state, f), *fresh = builder_new(*state, f);
    for (int o = 0; o < f->option_count; o++)
        if (builder_may_start(b, o)) builder_start(b, o);
    for (int c = 0; c < f->cell_count; c++)
        builder_serve_from_made(b, c);
    assert_true(b->plan->flow_count > 0);
    builder_reset(b);
    assert_int_equal(b->plan->flow_count, 0);
    assert_memory_equal(b->left_kg, fresh->left_kg, (size_t)f->node_count * sizeof(double));
    assert_memory_equal(b->open_kg, fresh->open_kg, (size_t)f->cell_count * sizeof(double));
    assert_memory_equal(b->slack->lot_kg, fresh->slack->lot_kg,
                        (size_t)f->p->seed_lot_count * sizeof(double));
    assert_memory_equal(b->slack->chambers, fresh->slack->chambers,
                        (size_t)(f->pool_count * f->span_days) * sizeof(int));
    assert_close(plan_cost(*state, b->plan), plan_cost(*state, fresh->plan), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_start_takes_its_room_and_its_seed),
        EACH(filling_goes_as_far_as_wanted),
        EACH(beginning_anew_forgets_everything),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_build", tests, NULL, NULL);
}
