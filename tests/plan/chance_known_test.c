/* What is known of lots that grow leaves less to chance. */
#include "calc/distribution.h"
#include "chance_scene.h"

/* What is in doubt of the crop's next seed is not in doubt of a lot that is known. */
static void what_grows_has_the_doubt_of_its_own_seed(void **state)
{
    struct scene s;
    scene_init(&s);
    s.crop = (struct chance_crop){.yield_mean = 1, .mean_relative = 0.4};
    s.h.running[0] = (struct plan_running){"lot", 0, 0,    2,    100,   1,  s.h.ready_day, NULL, 0,
                                           0,     0, NULL, NULL, false, 0.2};
    s.h.p.running_count = 1;
    handmade_want(&s.h, 2, 90);
    play(*state, &s);
    double variance = log(1.04);
    assert_share(s.chance.lines[0].met, normal_below((-log(0.9) - variance / 2) / sqrt(variance)));
    s.h.running[0].seed_relative = 0;
    play(*state, &s);
    variance = log(1.16);
    assert_share(s.chance.lines[0].met, normal_below((-log(0.9) - variance / 2) / sqrt(variance)));
}

/* Two lots that grow, one in four late as the record has it: of one the warmth says the day. */
static void a_day_that_is_known_is_met(void **state)
{
    static const int shifts[4] = {0, 0, 0, 1}, once[1] = {0};
    struct scene s;
    scene_init(&s);
    s.h.running[0] =
        (struct plan_running){"known", 0, 0, 1, 50, 1, once, NULL, 0, 0, 0, NULL, NULL, true, 0};
    s.h.running[1] =
        (struct plan_running){"guessed", 1, 0, 2, 50, 1, once, NULL, 0, 0, 0, NULL, NULL, false, 0};
    s.h.p.running_count = 2;
    s.crop.shift_days = shifts;
    s.crop.shift_count = 4;
    handmade_want(&s.h, 1, 50);
    handmade_want(&s.h, 2, 50);
    play(*state, &s);
    assert_true(s.chance.lines[0].met == 1);
    assert_share(s.chance.lines[1].met, 0.75);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(what_grows_has_the_doubt_of_its_own_seed),
        EACH(a_day_that_is_known_is_met),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
