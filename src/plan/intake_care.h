/* A plan of received fruit with care: made as if uses gave less, deliveries brought less and
 * forecasts came to more than is expected, so that somewhat more is bought, sorted and packed. How
 * much less is chosen on drawn futures (intake_chance.h), the same for each: of a few levels the
 * one whose plan costs least there, shorts and waste and all.
 *
 * A level is a number of standard deviations. At a level
 * - a part of a use counts for what is expected less so many deviations of a day of work, the
 *   uncertain mean among them,
 * - a delivery for the mean share of those that were due, less so many of their deviations,
 * - a forecast for its pieces and so many of its deviations.
 * What is not known from the record counts as told. Levels are tried on plans made at once. In the
 * futures nothing is planned anew, so that what is in excess on one day is never bought less on the
 * next: the level chosen is rather too low.
 *
 * Where a service level is asked for, a share of the kg wanted, the level is the cheapest of those
 * whose plan meets that share on average in the futures: the least care that does, and no less than
 * costs least anyway. Where none does it is the one that meets most. */
#ifndef PLAN_INTAKE_CARE_H
#define PLAN_INTAKE_CARE_H

#include "plan/intake_chance.h"
#include "plan/intake_make.h"

enum { INTAKE_CARE_LEVELS = 7, INTAKE_CARE_FUTURES = 100 };
/* A part never counts for less of what is expected: a plan for nothing buys without end. common
 * practice */
#define INTAKE_CARE_LEAST 0.2

/* Rising; below 0: everything as told. common practice */
extern const double intake_care_levels[INTAKE_CARE_LEVELS];

/* The problem as counted at a level, which is not below 0; births and cells are those of p.
 * Everything in the arena. */
const struct intake_problem *intake_careful(struct arena *a, const struct intake_problem *p,
                                            const struct intake_luck *luck, double level);
/* What a plan of intake_careful is expected to give in p itself: its amounts as far as goods, hours
 * and rooms go. */
struct intake_plan *intake_expected(struct arena *a, const struct intake_problem *p,
                                    const struct intake_plan *careful);
/* Whether anything of the problem can go otherwise. */
bool intake_varies(const struct intake_problem *p, const struct intake_luck *luck);
/* Share of the kg wanted that is met in the futures; 1 where nothing is wanted. */
double intake_share(const struct intake_chance *x);
/* Whether a plan with these chances is to be taken before the other. service: the share that is
 * asked for, 0 ... 1; 0: the least cost alone. */
bool intake_care_better(const struct intake_chance *x, const struct intake_chance *other,
                        double service);
/* The level; costs NULL or by level: the mean in the futures. p passed intake_check. */
double intake_care_level(struct arena *a, const struct intake_problem *p,
                         const struct intake_luck *luck, double service,
                         double costs[INTAKE_CARE_LEVELS]);

struct intake_care {
    double level;                      /* below 0: no care, the plan is that of p as told */
    double service;                    /* asked for; 0: the least cost */
    bool is_chosen;                    /* false: nothing can go otherwise, so nothing was tried */
    int futures;                       /* that both were held against each other on */
    struct intake_chance chance, told; /* of the plan, and of the one without care */
    double saved, saved_error;         /* mean cost less, by pairs of futures, and its error */
};

/* intake_make with care. Of the careful plan and the one without, both with a solver if there is
 * one, out is the one that is better in all of luck's futures; where it meets less than service
 * there, plans made at once with more care are tried until one meets it. The bound is of plans of p
 * where everything goes as expected. PLAN_FIELD. */
MUST_USE struct result intake_make_careful(struct arena *a, const struct intake_problem *p,
                                           const struct intake_luck *luck, double service,
                                           const struct improve_options *options,
                                           struct intake_outcome *out, struct intake_care *care);

#endif
