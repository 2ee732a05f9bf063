/* What a background job shows and gives to take in a hall that receives fruit. */
#include "hall.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <unistd.h>

#include "service/planning_received_job.h"

struct seen {
    int count;
    json_t *plan[WORDS_SPOKEN], *command;
};

static void forget(struct seen *s)
{
    for (int i = 0; i < WORDS_SPOKEN; i++) {
        json_decref(s->plan[i]);
    }
    json_decref(s->command);
}

static void show(void *self, json_t *plan[WORDS_SPOKEN], json_t *command)
{
    struct seen *s = self;
    forget(s);
    memcpy(s->plan, plan, sizeof s->plan);
    s->command = command;
    s->count++;
}

static struct planning_received_job job_of(struct house *h, struct seen *seen,
                                           const atomic_bool *stop)
{
    return (struct planning_received_job){.store = h->store,
                                          .profile = h->lg->profile,
                                          .now_ms = h->fixed.now_ms,
                                          .wish = {.keep = PLANNING_KEEP_BALANCE},
                                          .stop = stop,
                                          .langs = words_spoken,
                                          .lang_count = WORDS_SPOKEN,
                                          .show = show,
                                          .self = seen};
}

static void it_is_held_against_the_plan_taken(void **state)
{
    (void)state;
    struct house h;
    struct seen seen = {0};
    atomic_bool stop = false;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    struct planning_received_job job = job_of(&h, &seen, &stop);
    assert_ok(planning_received_work(&job, &h.arena));
    assert_int_equal(seen.count, 1);
    const json_t *differ = json_object_get(seen.plan[0], "difference");
    assert_true(json_array_size(json_object_get(differ, "flows")) > 0);
    assert_int_equal(
        json_integer_value(json_object_get(json_object_get(seen.plan[0], "before"), "booked_met")),
        0);
    assert_ok(house_send_json(&h, json_deep_copy(seen.command)));
    assert_ok(planning_received_work(&job, &h.arena)); /* nothing changed since */
    differ = json_object_get(seen.plan[0], "difference");
    assert_int_equal(json_array_size(json_object_get(differ, "lines")), 0);
    assert_int_equal(json_array_size(json_object_get(differ, "flows")), 0);
    assert_null(json_object_get(seen.plan[0], "base"));
    forget(&seen);
    house_close(&h);
}

static void a_stopped_one_keeps_its_first_plan(void **state)
{
    (void)state;
    struct house h;
    struct seen seen = {0};
    atomic_bool stop = true;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    struct planning_received_job job = job_of(&h, &seen, &stop);
    job.seconds = 60;
    job.is_trial = true;
    assert_ok(planning_received_work(&job, &h.arena));
    assert_int_equal(seen.count, 1);
    assert_true(json_is_object(json_object_get(seen.plan[0], "base")));
    assert_true(json_is_false(json_object_get(seen.plan[0], "by_solver")));
    forget(&seen);
    house_close(&h);
}

/* No file can be opened any more, so no solver either: the plan made at once, and why. */
static void without_a_solver_people_hear_why(void **state)
{
    (void)state;
    struct house h;
    struct seen seen = {0};
    atomic_bool stop = false;
    struct rlimit as_is, none;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    struct planning_received_job job = job_of(&h, &seen, &stop);
    job.seconds = 2;
    assert_int_equal(getrlimit(RLIMIT_NOFILE, &as_is), 0);
    int next = open("/dev/null", O_RDONLY | O_CLOEXEC);
    assert_true(next > 0);
    close(next);
    none = as_is;
    none.rlim_cur = (rlim_t)next;
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &none), 0);
    struct result r = planning_received_work(&job, &h.arena);
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &as_is), 0);
    assert_ok(r);
    const json_t *plan = seen.plan[0];
    assert_string_equal(json_string_value(json_object_get(plan, "solver")), "solver-start");
    assert_true(json_string_length(json_object_get(plan, "solver_says")) > 0);
    assert_true(json_array_size(json_object_get(plan, "flows")) > 0);
    forget(&seen);
    house_close(&h);
}

/* Nothing can go otherwise: what is met in one future is met in all, with or without a wish. */
static void a_share_that_is_asked_for_is_told(void **state)
{
    (void)state;
    struct house h;
    struct seen seen = {0};
    atomic_bool stop = false;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    struct planning_received_job job = job_of(&h, &seen, &stop);
    job.wish.has_service = true;
    job.wish.service = 0.98;
    assert_ok(planning_received_work(&job, &h.arena));
    const json_t *care = json_object_get(seen.plan[0], "care");
    assert_string_equal(
        json_string_value(json_object_get(care, "sentence")),
        "Asked to meet 98 % of what is wanted: over 400 futures 100 % of it is met. Nothing more "
        "is "
        "bought, sorted or packed than is expected to be needed: the record tells of nothing that "
        "can go otherwise.");
    forget(&seen);
    house_close(&h);
}

static void what_has_no_meaning_for_fruit_is_refused(void **state)
{
    (void)state;
    struct house h;
    struct seen seen = {0};
    atomic_bool stop = false;
    hall_open(&h);
    struct planning_received_job job = job_of(&h, &seen, &stop);
    job.wish.keep = PLANNING_KEEP_MOST;
    assert_code(planning_received_work(&job, &h.arena), FIELD_CHOICE);
    assert_int_equal(seen.count, 0);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_held_against_the_plan_taken),
        cmocka_unit_test(a_stopped_one_keeps_its_first_plan),
        cmocka_unit_test(without_a_solver_people_hear_why),
        cmocka_unit_test(a_share_that_is_asked_for_is_told),
        cmocka_unit_test(what_has_no_meaning_for_fruit_is_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
