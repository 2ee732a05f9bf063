#include "calc/microbe/hazard_case.h"

#include "base/check.h"

enum { HANDLINGS = 3, CONCERNS = 5 };

/* n and c. */
static const signed char plans[CONCERNS][HANDLINGS][2] = {
    {{5, 3}, {5, 2}, {5, 1}},   {{5, 3}, {5, 2}, {5, 1}},    {{5, 2}, {5, 1}, {10, 1}},
    {{5, 0}, {10, 0}, {20, 0}}, {{15, 0}, {30, 0}, {60, 0}},
};

struct hazard_case hazard_case(enum hazard_concern concern, enum hazard_handling handling)
{
    CHECK(concern <= HAZARD_SEVERE && handling <= HAZARD_INCREASED);
    const signed char *plan = plans[concern][handling];
    return (struct hazard_case){
        .number = (int)concern * HANDLINGS + (int)handling + 1,
        .classes = concern >= HAZARD_SERIOUS ? 2 : 3,
        .plan = {.samples = plan[0], .accept = plan[1]},
    };
}
