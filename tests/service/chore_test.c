#include "service/chore.h"

#include <stdatomic.h>
#include <unistd.h>

#include "../support.h"

static atomic_int looks;

static struct result count_looks(void *self, struct arena *a)
{
    atomic_int *wanted = self;
    arena_printf(a, "dropped after the look");
    looks++;
    return looks == *wanted ? FAIL0(STORE_FULL, "") : RESULT_OK;
}

static void it_looks_at_once_and_again(void **state)
{
    (void)state;
    atomic_int fails_at = 1;
    looks = 0;
    struct chore *c = chore_start(1, count_looks, &fails_at, "the first look failed");
    for (int i = 0; i < 500 && looks < 2; i++) {
        usleep(10000);
    }
    chore_stop(c);
    assert_true(looks >= 2); /* a failure is no end */
    int then = looks;
    usleep(1200000);
    assert_int_equal(looks, then);
}

static void a_stop_waits_for_no_second(void **state)
{
    (void)state;
    atomic_int never = -1;
    looks = 0;
    struct chore *c = chore_start(3600, count_looks, &never, "");
    chore_stop(c);
    assert_true(looks <= 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_looks_at_once_and_again),
        cmocka_unit_test(a_stop_waits_for_no_second),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
