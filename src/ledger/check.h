/* Checks: a look or reading held against a limit or the record. What was found is booked whether it
 * is asked or told; what failed is a deviation. A reading of an instrument past its calibration
 * does not count as good. */
#ifndef LEDGER_CHECK_H
#define LEDGER_CHECK_H

#include "ledger/inputs.h"

struct check {
    const char *name; /* the profile's check; the kind of the readings */
    struct place place;
    struct run run;         /* id 0: none named */
    struct lot lot;         /* id 0: none named */
    const char *instrument; /* NULL: none named */
    bool overdue;           /* past its calibration */
    bool counted;           /* pieces were counted (check_pieces.h) */
    bool refused;           /* what was counted does not let the lot pass */
    bool outside;           /* a value so far was outside its limit; then, at its place: */
    int64_t since_ms;       /* the earliest of the last good ones before; 0: there was none */
    int64_t until_ms;       /* the latest of the first good ones after; else when this was told */
    int64_t n;              /* readings so far */
    bool ok;                /* all readings so far are good */
};

/* One reading. value in 1/1000 of the unit; has_value false where a check only passes or fails.
 * data: an object, taken over; NULL: none. An overdue instrument makes it not good, and so do
 * pieces that do not let the lot pass. */
void check_reading(struct draft *d, struct check *c, const char *unit, bool has_value,
                   int64_t value_milli, bool good, json_t *data);
/* When the last good reading of this check and unit at its place was taken; 0: there is none. */
MUST_USE struct result check_last_good(struct draft *d, const struct check *c, const char *unit,
                                       int64_t *out_ms);

/* A value against a limit of the profile, named as a field of the answer. Outside: a deviation
 * since the last reading inside. A value without any limit in force is kept and is not good:
 * nothing says that it is. */
MUST_USE struct result check_against_limit(struct draft *d, struct check *c, const char *field,
                                           const char *name, const char *unit, int64_t value_milli);
/* The field "temp": -60 C to 120 C. */
MUST_USE struct result check_read_temp(struct draft *d, enum json_need need, int64_t *out_mc,
                                       bool *given);

/* The checks with files of their own. */
MUST_USE struct result check_metal(struct draft *d, struct check *c);
MUST_USE struct result check_water(struct draft *d, struct check *c);
MUST_USE struct result check_label(struct draft *d, struct check *c);

#endif
