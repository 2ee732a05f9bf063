/* What one more unit of the limit behind a shortage would give.
 *
 * A finite difference: the problem is planned twice at once (construct.h), as it is and with one
 * step more of that one limit, and what is met is compared; where the limit alone gives nothing and
 * others of the same days bind with it, also with a step of all of them. It is honest about whole
 * chambers, which a price from a relaxed program is not, and as rough as a plan made at once: a
 * plan that was improved may use the step better. No gain means that the limit alone does not help.
 *
 * steps: one chamber for all days; seed, one least filling (of a crop in parts a full one); one
 * start or harvest a day, one hour of treating, soaking, harvesting, washing or packing a day, each
 * on the days where the limit binds; of a work 1, 10, 100 ... of its units a day, a hundredth to a
 * tenth of what the day has, and 1 at least: an hour of people, 100 kg of trimming; an ingredient:
 * what the short lines lack of it, in whole kg; a laboratory answer one day sooner; one day less of
 * life asked by the group; approval of the seed that is here. */
#ifndef PLAN_MARGIN_H
#define PLAN_MARGIN_H

#include "plan/explain.h"

enum { MARGINS_MAX = 12 };

struct plan_margin {
    enum plan_limit limit;
    int crop;             /* seed, approval: whose seed */
    int market, group;    /* approval, laboratory: market; shelf life: group; else PLAN_NONE */
    int ingredient;       /* or PLAN_NONE */
    int from_day, to_day; /* where the step is given; PLAN_NONE: everywhere */
    double step;          /* chambers; kg of seed or of an ingredient; starts or harvests a day; kg
                             or a work's unit a day; days */
    double units;         /* what the step is counted in: chamber-days, kg of seed, hours, a work's
                             units ... */
    double gained_kg;     /* packed kg met more, of all lines; 0 or more */
    uint32_t also;        /* bits 1 << enum plan_limit: of a day, binding in all these lines too */
    double
        together_kg; /* gained where the limit alone gives nothing, with a step of each of also */
};

struct plan_short_margin {
    int margin;     /* PLAN_NONE: nothing can be added (too late, no chamber, not worth it), or one
                       limit too many */
    int64_t pieces; /* of the short line itself, met more; 0 to what it is short of */
};

/* One of for each short. hours_a_day: how long a day's limit in kg is worked, above 0. -> margins
 */
int plan_margins(struct arena *a, const struct plan_problem *p, const struct plan_short *shorts,
                 int short_count, double hours_a_day, struct plan_margin **out,
                 struct plan_short_margin **of);
/* "One more chamber would give 120 more pieces of it, ..." in a language of base/words.h. */
const char *plan_margin_sentence(struct arena *a, const char *lang, const struct plan_problem *p,
                                 const struct plan_margin *m, int64_t pieces);

/* When what is short of an order could be had: the first later day on which the rest is met in
 * whole beside everything that the plan made at once meets, tried day by day. */
struct plan_promise {
    int line;
    int64_t pieces; /* of the rest */
    int day;        /* PLAN_NONE: not within the days tried */
};
enum { PROMISES_MAX = 12, PROMISE_DAYS = 10 };
/* For the first PROMISES_MAX short orders (not forecasts). -> count */
int plan_promises(struct arena *a, const struct plan_problem *p, const struct plan_short *shorts,
                  int short_count, struct plan_promise **out);

#endif
