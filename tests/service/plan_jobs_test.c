#include "fixture.h"

#include "base/file.h"
#include "service/plan_jobs.h"

static const char *wait_for_end(struct plan_jobs *jobs, struct site *s, const char *id)
{
    for (int i = 0; i < 2000; i++) {
        json_t *job;
        assert_ok(plan_jobs_get(jobs, &s->arena, "en", id, &job));
        const char *state = arena_copy(&s->arena, text_in(job, "state"));
        json_decref(job);
        if (strcmp(state, "working") != 0) {
            return state;
        }
        usleep(10000);
    }
    return "working";
}

static void one_is_worked_out_at_a_time(void **state)
{
    (void)state;
    struct site s;
    struct plan_jobs *jobs;
    const char *first, *second;
    json_t *job, *command;
    site_open(&s);
    site_house(&s, NULL);
    assert_ok(plan_jobs_open(PLANT, s.world, &jobs));
    assert_ok(plan_jobs_get(jobs, &s.arena, "en", NULL, &job));
    assert_true(json_is_null(job));
    assert_code(plan_jobs_get(jobs, &s.arena, "en", "moult", &job), JOB_UNKNOWN);
    assert_code(plan_jobs_stop(jobs, "moult"), JOB_UNKNOWN);
    assert_ok(plan_jobs_begin(jobs, &s.arena, 0, NULL, &first));
    assert_string_not_equal(wait_for_end(jobs, &s, first), "working");
    assert_ok(plan_jobs_begin(jobs, &s.arena, 0, NULL, &second));
    assert_string_not_equal(first, second);
    assert_code(plan_jobs_command(jobs, first, &command), JOB_UNKNOWN);
    const char *ended = wait_for_end(jobs, &s, second);
    assert_ok(plan_jobs_get(jobs, &s.arena, "en", NULL, &job));
    assert_string_equal(text_in(job, "id"), second);
    if (strcmp(ended, "done") == 0) {
        assert_true(json_is_object(json_object_get(job, "plan")));
        assert_ok(plan_jobs_command(jobs, second, &command));
        assert_string_equal(text_in(command, "kind"), "plan-take");
        json_decref(command);
    } else { /* a house without chambers has nothing to plan: it says so */
        assert_string_equal(ended, "failed");
        assert_true(json_is_object(json_object_get(job, "problem")));
        assert_code(plan_jobs_command(jobs, second, &command), JOB_EMPTY);
    }
    json_decref(job);
    plan_jobs_close(jobs);
    site_close(&s);
}

/* A trial stands beside the plan: it can't be taken, and it leaves the other where it is. */
static void a_trial_stands_beside_the_plan(void **state)
{
    (void)state;
    struct site s;
    struct plan_jobs *jobs;
    const char *plan, *trial;
    json_t *job, *command,
        *wish = json_pack("{s:b,s:s,s:i}", "trial", true, "keep", "most", "service_ppm", 980000);
    site_open(&s);
    site_house(&s, NULL);
    assert_ok(plan_jobs_open(PLANT, s.world, &jobs));
    assert_ok(plan_jobs_begin(jobs, &s.arena, 0, NULL, &plan));
    assert_ok(plan_jobs_begin(jobs, &s.arena, 0, wish, &trial));
    assert_string_not_equal(plan, trial);
    wait_for_end(jobs, &s, plan);
    wait_for_end(jobs, &s, trial);
    assert_ok(plan_jobs_get(jobs, &s.arena, "en", NULL, &job));
    assert_string_equal(text_in(job, "id"), plan); /* the newest that can be taken */
    assert_true(json_is_false(json_object_get(job, "trial")));
    assert_string_equal(text_in(job, "keep"), "balance");
    assert_int_equal(json_integer_value(json_object_get(job, "service_ppm")), 0);
    json_decref(job);
    assert_ok(plan_jobs_get(jobs, &s.arena, "es", trial, &job));
    assert_true(json_is_true(json_object_get(job, "trial")));
    assert_string_equal(text_in(job, "keep"), "most");
    assert_int_equal(json_integer_value(json_object_get(job, "service_ppm")), 980000);
    assert_true(json_is_false(json_object_get(job, "service_of_profile")));
    json_decref(job);
    assert_code(plan_jobs_command(jobs, trial, &command), JOB_TRIAL);
    json_object_set_new(wish, "keep", json_string("nothing"));
    assert_code(plan_jobs_begin(jobs, &s.arena, 0, wish, &trial), FIELD_CHOICE);
    plan_jobs_taken(jobs, plan);
    assert_ok(plan_jobs_get(jobs, &s.arena, "en", NULL, &job));
    assert_true(json_is_null(job)); /* it stands in the record now */
    json_decref(wish);
    plan_jobs_close(jobs);
    site_close(&s);
}

/* A house whose profile asks for 98.5 %. */
static void start_asking(struct site *s)
{
    static const char plain[] = "\"caution\":";
    struct house_start start = {.profile = "asking.json",
                                .zone = "UTC",
                                .manager = 1,
                                .name = "Hilum 1",
                                .password = PASSWORD};
    struct house_made made;
    char *text;
    size_t len;
    assert_ok(file_read(&s->arena, PROFILE_FILE, 1 << 22, &text, &len));
    const char *at = strstr(text, plain);
    assert_non_null(at);
    text = arena_printf(&s->arena, "%.*s\"service\": \"98.5 %%\", %s", (int)(at - text), text, at);
    assert_ok(file_write("asking.json", text, strlen(text), 0644));
    assert_ok(house_start(PLANT, s->world, &start, &s->arena, &made));
}

/* The profile's share holds until somebody asks otherwise, were it for none. */
static void a_job_says_which_share_holds_and_whose_it_is(void **state)
{
    (void)state;
    static const struct {
        int asked, holds;
        bool of_profile;
    } cases[] = {{-1, 985000, true}, {0, 0, false}, {900000, 900000, false}};
    struct site s;
    struct plan_jobs *jobs;
    site_open(&s);
    start_asking(&s);
    assert_ok(plan_jobs_open(PLANT, s.world, &jobs));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *id;
        json_t *job, *wish = json_object();
        if (cases[i].asked >= 0) {
            json_object_set_new(wish, "service_ppm", json_integer(cases[i].asked));
        }
        assert_ok(plan_jobs_begin(jobs, &s.arena, 0, wish, &id));
        wait_for_end(jobs, &s, id);
        assert_ok(plan_jobs_get(jobs, &s.arena, "en", id, &job));
        assert_int_equal(number_in(job, "service_ppm"), cases[i].holds);
        assert_int_equal(json_is_true(json_object_get(job, "service_of_profile")),
                         cases[i].of_profile);
        json_decref(job);
        json_decref(wish);
    }
    plan_jobs_close(jobs);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(one_is_worked_out_at_a_time, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_trial_stands_beside_the_plan, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_job_says_which_share_holds_and_whose_it_is, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
