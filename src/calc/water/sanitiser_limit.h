/* The most of a sanitiser that may touch produce or surfaces, and what a product of peracetic acid
 * brings along: its peroxide and its stabiliser have limits of their own in a wash.
 *
 *   peroxide = target * peroxide % / peracid %      most peracid = min over the limits
 *
 * Limits and their sources: constants/water.csv. */
#ifndef CALC_WATER_SANITISER_LIMIT_H
#define CALC_WATER_SANITISER_LIMIT_H

#include "base/result.h"

enum sanitiser { SANITISER_CHLORINE, SANITISER_PERACID, SANITISER_IODINE, SANITISER_QUAT };
enum sanitiser_use {
    SANITISER_WASH,   /* fruit and vegetables that are no raw commodity: cut, sprouted */
    SANITISER_RAW,    /* raw commodities */
    SANITISER_SURFACE /* food-contact surface, not rinsed */
};

struct sanitiser_limit {
    bool known; /* there is a limit for this use; otherwise it must not be used so */
    double limit_mg_l;
    const char *constant; /* its name in calc/constants.h */
};

struct sanitiser_limit sanitiser_limit(enum sanitiser sanitiser, enum sanitiser_use use);

struct peracid_product {
    double peracid_pct;  /* above 0, to 100 */
    double peroxide_pct; /* 0 .. 100 */
    double hedp_pct;     /* stabiliser, 0 .. 100; 0 where the label names none */
};

struct peracid_check {
    double peroxide_mg_l;
    double hedp_mg_l;
    double peracid_max_mg_l; /* with which no limit is passed */
    bool within;
};

/* In a wash all three limits hold; on raw commodities and surfaces that of the peracid alone.
 * NUMBER_BAD, FIELD_RANGE on peracid_pct, peroxide_pct, hedp_pct, target_mg_l (0 .. 1e6). */
MUST_USE struct result peracid_check(const struct peracid_product *product, double target_mg_l,
                                     enum sanitiser_use use, struct peracid_check *out);

#endif
