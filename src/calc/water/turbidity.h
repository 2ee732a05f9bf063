/* Do a month's turbidity readings keep the rule of the filter?
 *
 * At least 95 % of them at or below one limit, none above another: conventional and direct
 * filtration 0.3 and 1 NTU; slow sand, diatomaceous earth, cartridge and membrane 1 and 5 NTU.
 * 40 CFR 141 subparts H, P, T - from memory: the rule is kept all the same, to be verified. */
#ifndef CALC_WATER_TURBIDITY_H
#define CALC_WATER_TURBIDITY_H

#include "base/result.h"

enum turbidity_filter { TURBIDITY_CONVENTIONAL, TURBIDITY_SLOW };

enum turbidity_state {
    TURBIDITY_PASS,
    TURBIDITY_NO_DATA,
    TURBIDITY_SHARE, /* too many above the lower limit */
    TURBIDITY_PEAK   /* one above the upper limit */
};

struct turbidity_report {
    enum turbidity_state state;
    size_t within; /* readings at or below the lower limit */
    size_t above;
    double share_pct;
    int64_t highest_mntu;
    int64_t limit_mntu;
    int64_t peak_mntu;
};

/* Readings in thousandths of NTU, 0 .. 10 000 000. FIELD_RANGE on readings[i]. */
MUST_USE struct result turbidity_judge(enum turbidity_filter filter, const int64_t *readings_mntu,
                                       size_t count, struct turbidity_report *out);

/* "pass", "no-data", "share", "peak" */
const char *turbidity_state_word(enum turbidity_state state);

#endif
