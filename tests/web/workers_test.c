#include "../support.h"

#include <stdatomic.h>

#include "web/workers.h"

static atomic_int begun, done;
static atomic_bool hold;

static void run(struct job *job)
{
    (void)job;
    begun++;
    while (hold) {
        usleep(1000);
    }
    done++;
}

static void before(struct job *job)
{
    job->run = run;
}

static void what_is_taken_is_done_and_the_rest_refused(void **state)
{
    (void)state;
    struct job jobs[8];
    struct workers *w = workers_start(2, 3);
    hold = true;
    for (int i = 0; i < 2; i++) {
        assert_true(workers_offer(w, &jobs[i], before));
    }
    while (begun < 2) {
        usleep(1000);
    }
    for (int i = 2; i < 5; i++) {
        assert_true(workers_offer(w, &jobs[i], before));
    }
    assert_false(workers_offer(w, &jobs[5], before)); /* two at work, three wait */
    hold = false;
    workers_stop(w);
    assert_int_equal(done, 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_taken_is_done_and_the_rest_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
