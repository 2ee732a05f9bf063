/* Planning in the background: a plan at once, the search, its end, a wish to stop. */
#include "fixture.h"

#include "service/plan_job.h"

#include <unistd.h>

static const char house_lines[] =
    "{'kind':'place','code':'STORE','place_kind':'store'}\n"
    "{'kind':'place','code':'C1','place_kind':'chamber'}\n"
    "{'kind':'place','code':'C2','place_kind':'chamber'}\n"
    "{'kind':'item','code':'MUNGSEED','item_kind':'seed','family':'mung'}\n"
    "{'kind':'item','code':'MUNG','item_kind':'growing','family':'mung'}\n"
    "{'kind':'item','code':'MUNG250','item_kind':'packed','family':'mung','net':'250 g',"
    "'pieces_per_case':40,'life_days':8,'source_item':'MUNG'}\n"
    "{'kind':'partner','code':'COTYLEDON','role':'customer','market':'US'}\n"
    "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON','item':"
    "'MUNG250','day':'2026-03-14','pieces':400}]}\n";

static struct site s;
static struct plan_jobs *jobs;

static int set_up(void **state)
{
    folder_enter(state);
    site_open(&s);
    site_house(&s, house_lines);
    assert_ok(plan_jobs_start(PLANT, s.world, &jobs));
    return 0;
}

static int tear_down(void **state)
{
    plan_jobs_stop(jobs);
    site_close(&s);
    return folder_leave(state);
}

static json_t *seen(const char *id)
{
    json_t *out = NULL;
    assert_ok(plan_job_json(jobs, id, "en", &out));
    return out;
}

/* The job when it is over. */
static json_t *ended(const char *id)
{
    for (int i = 0; i < 3000; i++) {
        json_t *o = seen(id);
        if (strcmp(text_in(o, "state"), "working") != 0) {
            return o;
        }
        json_decref(o);
        usleep(10000);
    }
    fail_msg("%s goes on for ever", id);
    return NULL;
}

static void a_plan_without_the_solver(void **state)
{
    (void)state;
    const char *id;
    json_t *newest = plan_jobs_newest(jobs);
    assert_true(json_is_null(newest));
    json_decref(newest);
    assert_ok(plan_job_begin(jobs, 0, &s.arena, &id));
    json_t *o = ended(id);
    assert_string_equal(text_in(o, "state"), "done");
    assert_int_equal(number_in(o, "share_ppm"), 1000000);
    assert_true(json_is_null(json_object_get(o, "problem")));
    const json_t *plan = json_object_get(o, "plan");
    const json_t *day = json_array_get(json_object_get(plan, "supply"), 0);
    assert_string_equal(text_in(day, "day"), "2026-03-14");
    assert_string_equal(text_in(day, "item"), "MUNG250");
    assert_int_equal(number_in(day, "booked"), 400);
    assert_int_equal(number_in(day, "short"), 400); /* there is no seed */
    assert_int_equal(number_in(day, "stock") + number_in(day, "pieces"), 0);
    const json_t *capacity = json_array_get(json_object_get(plan, "capacity"), 0);
    assert_int_equal(number_in(json_object_get(capacity, "chambers"), "limit"), 2);
    assert_int_equal(number_in(json_object_get(capacity, "chambers"), "used"), 0);
    assert_int_equal(number_in(json_object_get(capacity, "treat"), "limit_g"), 700000);
    json_decref(o);
    json_t *command = NULL;
    assert_ok(plan_job_take(jobs, id, &command));
    assert_string_equal(text_in(command, "kind"), "plan-take");
    assert_true(json_is_array(json_object_get(command, "starts")));
    json_decref(command);
    newest = plan_jobs_newest(jobs);
    assert_string_equal(text_in(newest, "id"), id);
    json_decref(newest);
}

static void a_search_that_is_stopped(void **state)
{
    (void)state;
    const char *first, *second;
    assert_ok(plan_job_begin(jobs, 3600, &s.arena, &first));
    assert_ok(plan_job_begin(jobs, 3600, &s.arena, &second));
    assert_ok(plan_job_stop(jobs, second)); /* it may not have begun */
    assert_ok(plan_job_stop(jobs, first));
    json_t *o = ended(second);
    assert_string_equal(text_in(o, "state"), "stopped");
    json_decref(o);
    o = ended(first);
    /* a small search may have ended by itself before the wish was seen */
    assert_true(list_has("stopped,done", text_in(o, "state")));
    json_decref(o);
    assert_ok(plan_job_stop(jobs, first)); /* it is over already */
}

static void a_job_that_fails_says_why(void **state)
{
    (void)state;
    struct plan_jobs *nowhere;
    const char *id;
    assert_ok(plan_jobs_start("no-such-folder", s.world, &nowhere));
    assert_ok(plan_job_begin(nowhere, 0, &s.arena, &id));
    json_t *o = NULL;
    for (int i = 0; i < 3000; i++) {
        json_decref(o);
        assert_ok(plan_job_json(nowhere, id, "en", &o));
        if (strcmp(text_in(o, "state"), "working") != 0) {
            break;
        }
        usleep(10000);
    }
    assert_string_equal(text_in(o, "state"), "failed");
    assert_true(strlen(text_in(json_object_get(o, "problem"), "sentence")) > 10);
    assert_true(json_is_null(json_object_get(o, "plan")));
    json_decref(o);
    json_t *command;
    assert_code(plan_job_take(nowhere, id, &command), PLAN_STOPPED);
    plan_jobs_stop(nowhere);
}

static void what_is_asked_wrongly(void **state)
{
    (void)state;
    const char *id;
    json_t *o;
    assert_code(plan_job_begin(jobs, -1, &s.arena, &id), FIELD_RANGE);
    assert_code(plan_job_begin(jobs, 3601, &s.arena, &id), FIELD_RANGE);
    assert_code(plan_job_json(jobs, "plan-7", "en", &o), JOB_UNKNOWN);
    assert_code(plan_job_json(jobs, "plan-0", "en", &o), JOB_UNKNOWN);
    assert_code(plan_job_stop(jobs, "x"), JOB_UNKNOWN);
    assert_code(plan_job_take(jobs, "plan-7", &o), JOB_UNKNOWN);
}

/* The places of jobs that are over are used again; the oldest is forgotten. */
static void only_the_newest_are_kept(void **state)
{
    (void)state;
    const char *first = NULL, *id = NULL;
    for (int i = 0; i <= PLAN_JOBS_MAX; i++) {
        assert_ok(plan_job_begin(jobs, 0, &s.arena, &id));
        first = first != NULL ? first : id;
        json_decref(ended(id));
    }
    json_t *o;
    assert_code(plan_job_json(jobs, first, "en", &o), JOB_UNKNOWN);
    json_decref(seen(id));
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_plan_without_the_solver), TEST(a_search_that_is_stopped),
        TEST(a_job_that_fails_says_why), TEST(what_is_asked_wrongly),
        TEST(only_the_newest_are_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
