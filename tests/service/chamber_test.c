/* When a chamber is harvested: whoever lists it says the day that a plan has it on. */
#include "plans.h"
#include "runs.h"

#include "base/civil.h"

#define HOUR_MS INT64_C(3600000)

static struct house h;
static struct profile with;
static struct closing shut;

static int set_up(void **state)
{
    house_open(&h);
    with = *h.lg->profile;
    with.planning.closings = &shut;
    with.planning.closing_count = 0;
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* -> the moment, as the one chamber that grows is due */
static int64_t due(struct chamber_run *out_run)
{
    struct chamber_run *runs;
    size_t count;
    int64_t due_ms;
    runs_of(&h, NULL, &runs, &count);
    assert_int_equal(count, 1);
    *out_run = runs[0];
    assert_ok(chamber_due(&with, profile_crop(&with, "MUNG"), out_run, h.fixed.now_ms, &due_ms));
    return due_ms;
}

static int64_t ready(const struct chamber_run *run)
{
    int64_t ready_ms;
    assert_ok(chamber_ready(profile_crop(&with, "MUNG"), &run->warmth, &ready_ms));
    return ready_ms;
}

static int32_t house_day_at(int64_t ms)
{
    return day_of_house(ms, 0, with.day_starts_min);
}

/* What is overdue is wanted today. */
static void same_day_as_the_plan(int64_t due_ms)
{
    struct planning_case c;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.running_count, 1);
    int32_t day = house_day_at(due_ms), today = house_day_at(h.fixed.now_ms);
    assert_int_equal(day > today ? day : today,
                     c.problem.first_day + c.problem.running[0].harvest_day);
}

/* The hour of harvest is six (the fixture's profile); ready 215.26 h after it was wet. */
static void ready_past_the_hour_counts_for_the_next_day(void **state)
{
    struct chamber_run run;
    house_grow(&h, "C2", "100 kg");
    house_wait(&h, "2 d"); /* its day is one of the plan's */
    int64_t due_ms = due(&run), ready_ms = ready(&run);
    assert_true(ready_ms % PLANS_DAY_MS > 6 * HOUR_MS);
    assert_int_equal(due_ms, (ready_ms / PLANS_DAY_MS + 1) * PLANS_DAY_MS + 6 * HOUR_MS);
    same_day_as_the_plan(due_ms);
    /* once it is ready the plan has it today */
    h.fixed.now_ms = ready_ms;
    assert_int_equal(due(&run), ready_ms);
    same_day_as_the_plan(ready_ms);
    h.fixed.now_ms = ready_ms + 3 * (int64_t)PLANS_DAY_MS;
    assert_int_equal(due(&run), ready_ms);
    same_day_as_the_plan(ready_ms);
}

static void ready_by_the_hour_counts_for_its_day(void **state)
{
    struct chamber_run run;
    house_wait(&h, "17 h"); /* it is half past five then */
    house_grow(&h, "C2", "100 kg");
    house_wait(&h, "2 d");
    int64_t due_ms = due(&run);
    assert_true(ready(&run) % PLANS_DAY_MS < 6 * HOUR_MS);
    assert_true(ready(&run) % PLANS_DAY_MS > with.day_starts_min * INT64_C(60000));
    assert_int_equal(due_ms, ready(&run));
    same_day_as_the_plan(due_ms);
}

static void every_hour_of_a_day_agrees_with_the_plan(void **state)
{
    struct chamber_run run;
    house_grow(&h, "C2", "100 kg");
    int64_t from_ms = h.fixed.now_ms;
    due(&run);
    for (int hour = 48; hour < 264; hour += 3) {
        h.fixed.now_ms = from_ms + hour * HOUR_MS;
        same_day_as_the_plan(due(&run));
    }
}

static void a_closed_day_waits_for_the_next_open_one(void **state)
{
    struct chamber_run run;
    house_grow(&h, "C2", "100 kg");
    house_wait(&h, "4 d");
    int64_t open_ms = due(&run);
    int32_t day = (int32_t)(open_ms / PLANS_DAY_MS);
    shut = (struct closing){day, day + 1, 127, CLOSES_PACK, "inventory"};
    with.planning.closing_count = 1;
    assert_int_equal(due(&run), open_ms + 2 * (int64_t)PLANS_DAY_MS);
    same_day_as_the_plan(due(&run));
    h.fixed.now_ms = open_ms; /* ready, and nobody there */
    assert_int_equal(due(&run), open_ms + 2 * (int64_t)PLANS_DAY_MS);
    same_day_as_the_plan(due(&run));
    shut.what = CLOSES_DISPATCH; /* chambers are emptied all the same */
    assert_int_equal(due(&run), ready(&run));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(ready_past_the_hour_counts_for_the_next_day),
        TEST(ready_by_the_hour_counts_for_its_day),
        TEST(every_hour_of_a_day_agrees_with_the_plan),
        TEST(a_closed_day_waits_for_the_next_open_one),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
