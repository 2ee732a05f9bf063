/* What is refused as a day, and the clock with pauses. */
#include "support.h"

#include "plan/day.h"

static struct day_stage stages[2];
static struct day_job jobs[2];
static struct day_truck trucks[1];
static struct day_need needs[1];
static struct day_span pauses[2];
static struct day_change changes[4];
static int blocks[2];

static struct day_problem sound(void)
{
    for (int k = 0; k < 2; k++) {
        stages[k] = (struct day_stage){.code = "wash",
                                       .machine_count = 1,
                                       .is_staffed = true,
                                       .overlap_min = DAY_APART,
                                       .wait_max = DAY_NO_LIMIT,
                                       .changes = changes};
    }
    for (int j = 0; j < 2; j++) {
        jobs[j] = (struct day_job){.code = "C-1", .family = j, .minutes = {10, 20}};
        jobs[j].begun[0].start = jobs[j].begun[1].start = DAY_NOT_BEGUN;
    }
    changes[1] = (struct day_change){25, 10};
    trucks[0] = (struct day_truck){"first", 300, 30, 1};
    needs[0] = (struct day_need){1, 0};
    pauses[0] = (struct day_span){100, 120};
    pauses[1] = (struct day_span){200, 230};
    blocks[0] = blocks[1] = 0;
    return (struct day_problem){.stages = stages,
                                .jobs = jobs,
                                .trucks = trucks,
                                .needs = needs,
                                .pauses = pauses,
                                .blocks = blocks,
                                .stage_count = 2,
                                .job_count = 2,
                                .truck_count = 1,
                                .need_count = 1,
                                .pause_count = 2,
                                .family_count = 2};
}

static void refused(const struct day_problem *p, const char *field)
{
    struct result r = day_check(p);
    assert_int_equal(r.code, CODE_PLAN_FIELD);
    assert_string_equal(r.field, field);
}

static void a_sound_day_is_taken(void **state)
{
    (void)state;
    struct day_problem p = sound();
    assert_int_equal(day_check(&p).code, CODE_OK);
    p.stage_count = 0;
    refused(&p, "stages");
}

static void what_is_out_of_range_is_named(void **state)
{
    (void)state;
    struct day_problem p = sound();
    stages[1].machine_count = 9;
    refused(&p, "stages[1].machine_count");
    p = sound();
    stages[0].wait_min = 20;
    stages[0].wait_max = 10;
    refused(&p, "stages[0].wait_max");
    p = sound();
    changes[1].clean_min = -1;
    refused(&p, "stages[0].changes");
    p = sound();
    stages[0].machines[0].family = 2;
    refused(&p, "stages[0].machines");
    p = sound();
    jobs[1].family = 2;
    refused(&p, "jobs[1].family");
    p = sound();
    jobs[0].minutes[1] = -5;
    refused(&p, "jobs[0].minutes");
    p = sound();
    jobs[0].begun[0] = (struct day_begun){.start = 50, .end = DAY_GOES_ON};
    refused(&p, "jobs[0].begun"); /* it is minute 0 */
    p = sound();
    trucks[0].weight = 0;
    refused(&p, "trucks[0].cut_off");
    p = sound();
    needs[0].truck = 1;
    refused(&p, "needs[0].job");
    p = sound();
    pauses[1].from = 110;
    refused(&p, "pauses[1].from");
    p = sound();
    blocks[1] = -1;
    refused(&p, "blocks[1].");
}

static void work_goes_on_after_a_pause(void **state)
{
    (void)state;
    struct day_problem p = sound();
    assert_int_equal(day_work_from(&p, 99), 99);
    assert_int_equal(day_work_from(&p, 100), 120);
    assert_int_equal(day_work_from(&p, 119), 120);
    assert_int_equal(day_work_end(&p, 80, 20), 100); /* done as the pause begins */
    assert_int_equal(day_work_end(&p, 80, 21), 121);
    assert_int_equal(day_work_end(&p, 80, 101), 231); /* over both */
}

static void what_has_begun_comes_first(void **state)
{
    (void)state;
    struct day_problem p = sound();
    blocks[1] = 3;
    assert_int_equal(day_block(&p, 0), 0);
    assert_int_equal(day_block(&p, 1), 3);
    jobs[1].begun[0].start = 0;
    jobs[1].begun[0].end = DAY_GOES_ON;
    assert_true(day_has_begun(&p, 1));
    assert_int_equal(day_block(&p, 1), -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sound_day_is_taken),
        cmocka_unit_test(what_is_out_of_range_is_named),
        cmocka_unit_test(work_goes_on_after_a_pause),
        cmocka_unit_test(what_has_begun_comes_first),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
