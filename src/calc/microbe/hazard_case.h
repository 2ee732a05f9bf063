/* The plan that ICMSF's cases call for: how bad the hazard is, and what happens to the food until
 * it is eaten.
 *
 * ICMSF 1986, Microorganisms in Foods 2, as tabulated in the sources seen (published (seen)). m and
 * M are limits of the product, not of the case. */
#ifndef CALC_MICROBE_HAZARD_CASE_H
#define CALC_MICROBE_HAZARD_CASE_H

#include "calc/microbe/attribute_plan.h"

enum hazard_concern {
    HAZARD_UTILITY,
    HAZARD_INDICATOR,
    HAZARD_MODERATE, /* direct, limited spread */
    HAZARD_SERIOUS,  /* or of potentially extensive spread */
    HAZARD_SEVERE
};

enum hazard_handling { HAZARD_REDUCED, HAZARD_UNCHANGED, HAZARD_INCREASED };

struct hazard_case {
    int number;  /* 1 .. 15 */
    int classes; /* 2 or 3 */
    struct attribute_plan plan;
};

struct hazard_case hazard_case(enum hazard_concern concern, enum hazard_handling handling);

#endif
