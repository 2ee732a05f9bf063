/* A log that is coarse, silent or without a reading says so by itself. */
#include "head.h"

#include "seed.h"

/* 80 C for 100 s with a reading every step_s; silent from_s to to_s; probe 1 gives nothing at
 * lost_s (0: never). */
static void treat(int step_s, int from_s, int to_s, int lost_s)
{
    const char *seed = seed_receive(&h, "A7", "300 kg"), *points = "";
    seed_passes(&h, seed);
    seed_say(&h, seed, "approved");
    for (int s = 0; s <= 240; s += step_s) {
        if (s > from_s && s < to_s) {
            continue;
        }
        const char *reading = lost_s != 0 && s == lost_s ? "null" : "82000";
        points = arena_printf(&h.arena, "%s%s[%d,%s,82000]", points, s > 0 ? "," : "", s * 1000,
                              reading);
    }
    house_wait(&h, "10 min");
    house_take(
        &h,
        "{'kind':'heat-treat','inputs':[{'lot':'%s','mass':'100 kg'}],'place':'TREAT','recipe':"
        "'hot-water-80','start':'%s','end':'%s','cool_start':'%s','log':{'probes':['PROBE-1',"
        "'PROBE-2'],'points':[%s]},'person':4}",
        seed, house_time(&h, -10), house_time(&h, -6), house_time(&h, -6), points);
}

static void a_fine_log_has_nothing_to_say(void **state)
{
    treat(5, 0, 0, 0);
    assert_false(house_deviates(&h, "log-coarse"));
    assert_false(house_deviates(&h, "log-gap"));
    assert_false(house_deviates(&h, "probe-lost"));
}

/* A fifth of 100 s is 20 s: common practice. */
static void a_log_coarser_than_a_fifth_of_the_hold(void **state)
{
    treat(20, 0, 0, 0);
    assert_false(house_deviates(&h, "log-coarse"));
    treat(24, 0, 0, 0);
    assert_true(house_deviates(&h, "log-coarse"));
}

static void a_silence_is_named_with_its_window(void **state)
{
    treat(5, 100, 130, 0);
    assert_true(house_deviates(&h, "log-gap"));
    assert_string_equal(house_answer(&h, "treatment.hold_state"), "met"); /* 100 s before it */
}

static void a_probe_without_a_reading(void **state)
{
    treat(5, 0, 0, 60);
    assert_true(house_deviates(&h, "probe-lost"));
    assert_int_equal(house_number(&h, "treatment.lost_points"), 1);
    assert_true(house_deviates(&h, "log-gap")); /* the point is left out for both */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_fine_log_has_nothing_to_say),
        T(a_log_coarser_than_a_fifth_of_the_hold),
        T(a_silence_is_named_with_its_window),
        T(a_probe_without_a_reading),
    };
    RUN(tests);
}
