/* Do two germination tests of one lot, 400 seeds each, agree well enough to be averaged?
 *
 * Federal Seed Act tolerances as adopted in the Louisiana Administrative Code, title 7, XIII-139,
 * maximum tolerance values for comparing two 400-seed germination tests (published (seen)): wider
 * than chance alone, since laboratories differ. Add 2 points for 200 seeds of a mixture. The table
 * is entered with the average of both, to whole percent, a half rounded up. */
#ifndef CALC_GROWTH_TWO_TESTS_H
#define CALC_GROWTH_TWO_TESTS_H

#include "base/result.h"

struct two_tests_report {
    bool compatible; /* difference <= allowed */
    int average_pct;
    int difference; /* points */
    int allowed;    /* points */
};

/* Both in whole percent, 0 .. 100. of_200: 200 seeds of a mixture. FIELD_RANGE on first_pct,
 * second_pct. */
MUST_USE struct result two_tests(int64_t first_pct, int64_t second_pct, bool of_200,
                                 struct two_tests_report *out);

#endif
