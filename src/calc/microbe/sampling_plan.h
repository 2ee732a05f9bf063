/* Single sampling plans for lot-by-lot inspection by attributes, normal and tightened.
 *
 * ISO 2859-1: code letter from lot size and level, then sample size and acceptance number from
 * letter and acceptance quality limit (AQL). An arrow in the table leads to the first plan above or
 * below it, whose sample size then holds. Code letters, normal plans A to Q and tightened plans B
 * to L: tables seen in copies (published (seen)); the other rows and the sizes of reduced
 * inspection from memory. Acceptance numbers of reduced inspection are not held here. */
#ifndef CALC_MICROBE_SAMPLING_PLAN_H
#define CALC_MICROBE_SAMPLING_PLAN_H

#include "calc/microbe/attribute_plan.h"

enum { SAMPLING_AQLS = 6 };
enum sampling_level {
    SAMPLING_S1,
    SAMPLING_S2,
    SAMPLING_S3,
    SAMPLING_S4,
    SAMPLING_I,
    SAMPLING_II,
    SAMPLING_III
};

/* "S-1" .. "III"; false: none of them. */
bool sampling_level_read(const char *text, enum sampling_level *out);

struct sampling_plan {
    char code;                  /* letter of the lot size */
    char letter;                /* letter of the plan, after arrows */
    struct attribute_plan plan; /* rejected from accept + 1 on */
    bool inspect_all;           /* the sample is as large as the lot */
    bool recalled;              /* the way to the plan leads over a row from memory */
    int64_t reduced_samples;    /* size on reduced inspection, 0 where not known */
};

/* lot_size 2 .. 1e9; aql_hundredths: 65, 100, 150, 250, 400 or 650 (percent times 100). FIELD_RANGE
 * on lot_size, FIELD_CHOICE on aql. */
MUST_USE struct result sampling_plan(int64_t lot_size, enum sampling_level level,
                                     int64_t aql_hundredths, bool is_tightened,
                                     struct sampling_plan *out);

#endif
