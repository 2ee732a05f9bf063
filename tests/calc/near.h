/* Numbers within a tolerance relative to the wanted one (and 1e-300, so that zero means zero). */
#ifndef TESTS_CALC_NEAR_H
#define TESTS_CALC_NEAR_H

#include <math.h>

static inline void assert_near_at(double got, double wanted, double relative, const char *file,
                                  int line)
{
    if (!(fabs(got - wanted) <= fabs(wanted) * relative + 1e-300)) {
        print_error("wanted %.17g, got %.17g\n", wanted, got);
        _fail(file, line);
    }
}
#define assert_near(got, wanted, relative) \
    assert_near_at((got), (wanted), (relative), __FILE__, __LINE__)

#endif
