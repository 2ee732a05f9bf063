/* What the planning tests share: an arena for each test, the solver's path, cmocka in one place. */
#ifndef TESTS_PLAN_SUPPORT_H
#define TESTS_PLAN_SUPPORT_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "plan/make.h"

/* |x - y| within tolerance times the larger of 1 and |y|. */
#define assert_close(x, y, tolerance)                          \
    do {                                                       \
        double x_ = (x), y_ = (y);                             \
        if (!(fabs(x_ - y_) <= (tolerance)*fmax(1, fabs(y_)))) \
            fail_msg("%s is %.12g, not %.12g", #x, x_, y_);    \
    } while (0)

#define EACH(name) cmocka_unit_test_setup_teardown(name, arena_setup, arena_teardown)

static inline int arena_setup(void **state)
{
    static struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    *state = &a;
    return 0;
}

static inline int arena_teardown(void **state)
{
    arena_release(*state);
    return 0;
}

/* SOLVE_PATH comes from meson.build. */
static inline struct improve_options solving(double seconds, double gap)
{
    return (struct improve_options){.solver = {.path = SOLVE_PATH, .seconds = seconds, .gap = gap},
                                    .seed = 1};
}

static inline void plan_of(struct arena *a, const struct plan_problem *p,
                           const struct improve_options *options, struct plan_outcome *out)
{
    struct result r = plan_make(a, p, options, out);
    if (r.code != CODE_OK) fail_msg("%s", result_sentence(a, &r));
}

#endif
