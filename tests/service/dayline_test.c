/* A planned day in sequence, against figures worked out by hand from the profile: 800 kg out of a
 * chamber of mung (100 kg of seed, eightfold), 600 kg of soy; 40 kg a minute are harvested and
 * washed, 36 trimmed, 33 sorted, 21 packed; the house day begins at 4:00, harvests at 6:00. */
#include "dayline_support.h"

static int minute(int hour, int min)
{
    return (hour - 4) * 60 + min;
}

static void mung_before_soy_with_a_clean_between(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_of(&h, AHEAD, &d);
    assert_int_equal(d.job_count, 3);
    assert_false(d.is_today);
    assert_int_equal(d.sequence->order[2], dayline_job_at(&d, "C1"));
    const struct day_run *first = dayline_run(&d, d.jobs[d.sequence->order[0]].chamber, "harvest");
    assert_int_equal(first->start, minute(6, 0));
    assert_int_equal(first->end, minute(6, 20));
    /* washed 6:20 to 6:40 and 6:40 to 7:00; soy is not trimmed; a clean of 30 and a change of 5 */
    const struct day_run *wash = dayline_run(&d, "C1", "wash");
    assert_int_equal(wash->setup_start, minute(7, 0));
    assert_int_equal(wash->clean_end, minute(7, 30));
    assert_int_equal(wash->start, minute(7, 35));
    assert_int_equal(wash->end, minute(7, 50));
    assert_int_equal(dayline_run(&d, "C1", "trim")->start, DAY_NOT_BEGUN);
    /* 800 kg at 33 a minute are 25 min, 20 in the cold, then packed 39 min (both rounded up):
     * trimmed until 7:03, sorted until 7:28, cold until 7:48 */
    const struct day_run *pack = dayline_run(&d, d.jobs[d.sequence->order[0]].chamber, "pack");
    assert_int_equal(pack->start, minute(7, 48));
    assert_int_equal(pack->end, minute(8, 27));
    assert_int_equal(d.problem.blocks[d.problem.jobs[dayline_job_at(&d, "C2")].family], 0);
    assert_int_equal(d.problem.blocks[d.problem.jobs[dayline_job_at(&d, "C1")].family], 1);
    assert_false(d.has_free);
    house_close(&h);
}

/* Soy for the first truck, mung for a later one: in blocks the first is late. */
static void what_another_order_of_families_would_save_is_known(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "PLUMULA", "SOY300", AHEAD + 1, 500);
    dayline_of(&h, AHEAD, &d);
    assert_true(d.sequence->score.late > 0);
    assert_true(d.has_free);
    assert_true(d.free_score.late < d.sequence->score.late);
    house_close(&h);
}

static void minutes_count_from_the_beginning_of_the_day(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    house_wait(&h, "90 min");
    dayline_of(&h, 0, &d);
    assert_true(d.is_today);
    assert_int_equal(d.start_ms, HOUSE_START_MS);
    assert_int_equal(d.end_ms, HOUSE_START_MS + DAY_MS);
    assert_int_equal(d.problem.now_min, 90);
    assert_int_equal(dayline_ms(&d, 90), h.fixed.now_ms);
    assert_int_equal(d.job_count, 0);
    assert_int_equal(d.sequence->score.end_min, 0);
    house_close(&h);
}

static void a_profile_without_lines_gives_no_sequence(void **state)
{
    (void)state;
    struct house h;
    struct dayline d;
    dayline_open(&h);
    struct profile p = *h.lg->profile;
    struct view v = view_as(&h, 9, "planner");
    p.lines = (struct lines){.given = false};
    v.profile = &p;
    assert_ok(dayline_read(&v, (int32_t)house_day(&h), &d));
    assert_null(d.sequence);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mung_before_soy_with_a_clean_between),
        cmocka_unit_test(what_another_order_of_families_would_save_is_known),
        cmocka_unit_test(minutes_count_from_the_beginning_of_the_day),
        cmocka_unit_test(a_profile_without_lines_gives_no_sequence),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
