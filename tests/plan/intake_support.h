/* What the tests of received fruit share: a hall made up from a seed, a small house made by hand,
 * and a checker that reads the problem's own text and nothing of the planner. */
#ifndef TESTS_PLAN_INTAKE_SUPPORT_H
#define TESTS_PLAN_INTAKE_SUPPORT_H

#include "plan/intake_make.h"

enum { HALL_DAYS = 14, HALL_LINES = 400 };

/* Two suppliers' fruit, sorted into grades; packs, bottled juice, concentrate, powder, feed. */
enum hall_good {
    HALL_NORTH,
    HALL_SOUTH,
    HALL_FIRST,
    HALL_SECOND,
    HALL_JUICING,
    HALL_FEED,
    HALL_RAW,
    HALL_JUICE,
    HALL_CONCENTRATE,
    HALL_POWDER,
    HALL_BOX,
    HALL_NET,
    HALL_BOTTLE,
    HALL_GOODS
};
enum hall_store { HALL_COLD, HALL_TANKS, HALL_DRY, HALL_STORES };
enum hall_machine {
    HALL_SORT,
    HALL_PACK,
    HALL_PRESS,
    HALL_HEAT,
    HALL_EVAPORATE,
    HALL_DRYER,
    HALL_MACHINES
};

struct hall {
    struct intake_problem p;
    struct intake_store stores[HALL_STORES];
    double limits[HALL_STORES][HALL_DAYS];
    struct intake_good goods[HALL_GOODS];
    struct intake_machine machines[HALL_MACHINES];
    double hours[HALL_MACHINES][HALL_DAYS];
    struct intake_use uses[16];
    struct intake_part parts[16][4];
    struct intake_need needs[16][2];
    struct intake_lot lots[8];
    struct intake_delivery deliveries[32];
    struct intake_offer offers[2];
    struct intake_product products[5];
    struct plan_group groups[2];
    struct plan_line lines[HALL_LINES];
};

/* Pointers lead into h: it must not be copied. */
void hall_init(struct hall *h, uint64_t seed);

/* One fruit, packed as it is: a day's fruit, a pack that is as old as it, one room. */
struct small {
    struct intake_problem p;
    struct intake_store store;
    double limit[8], hours[8];
    struct intake_good goods[2];
    struct intake_machine machine;
    struct intake_use use;
    struct intake_part part;
    struct intake_need need;
    struct intake_lot lots[2];
    struct intake_delivery deliveries[8];
    struct intake_offer offer;
    struct intake_product product;
    struct plan_group group;
    struct plan_line lines[8];
};
/* Days 0 ... day_count - 1; no fruit, nothing wanted, no limits. */
void small_init(struct small *s, int day_count);

/* Fails the test where the plan breaks anything that intake.h says, or tells another cost. */
void intake_feasible(const struct intake_problem *p, const struct intake_frame *f,
                     const struct intake_plan *plan);
/* kg that came in or were added, less kg that are sold, have left, are lost or stand: 0. */
double intake_unexplained(const struct intake_problem *p, const struct intake_frame *f,
                          const struct intake_plan *plan);

#endif
