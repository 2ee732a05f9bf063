#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/distribution.h"
#include "calc/heat/tolerance.h"

static void a_tolerance_factor_falls_towards_the_normal_point(void **state)
{
    (void)state;
    double last = INFINITY;
    for (size_t n = 2; n < 2000; n *= 3) {
        double k = tolerance_factor(n, 0.95, 0.95);
        assert_true(k < last && k > normal_quantile(0.95));
        last = k;
    }
    /* Two values: the noncentral t with one degree (classical tables, from memory: 26.260). */
    assert_true(fabs(tolerance_factor(2, 0.95, 0.95) - 26.260) < 0.001);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tolerance_factor_falls_towards_the_normal_point),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
