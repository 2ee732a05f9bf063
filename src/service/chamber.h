/* What grows in the chambers now: since when, when it is ready, what it will give. Planning and the
 * pages ask here.
 *
 * Heat is counted from the lead of the profile on: as the chamber's own logger measured it, else at
 * the crop's set point (warmth.h). Of a batch that is over it is counted at the set point alone. */
#ifndef SERVICE_CHAMBER_H
#define SERVICE_CHAMBER_H

#include "ledger/profile.h"
#include "plan/yield.h"
#include "service/warmth.h"

struct chamber_run {
    int64_t lot;
    const char *code, *place, *item, *markets;
    int64_t start_ms, seed_mg;
    int64_t shares_ppm; /* harvested already */
    int64_t held;       /* open holds on it that do not only wait for a laboratory */
    int off_days;       /* after its own day (below 0: before) that the plan in force harvests it */
    struct warmth warmth; /* of a crop that the profile knows */
};
struct chamber_ask {
    struct store *store;
    struct warmth_kept *kept; /* NULL: nothing is kept of the logs */
    const struct profile *profile;
    int64_t now_ms;
    struct arena *arena;
};
/* By place, as the logs have it up to now. Texts live in the arena. Errors of the store and of
 * warmth.h. */
MUST_USE struct result chamber_runs(const struct chamber_ask *ask, struct chamber_run **out,
                                    size_t *out_count);
/* To ask for the warmth of one of them by itself. */
struct warmth_ask chamber_warmth_ask(const struct chamber_ask *ask, const struct crop *crop,
                                     const struct chamber_run *run);
/* Of a start whose log is not known, or not asked for. */
struct warmth chamber_no_log(const struct profile *p, int64_t start_ms);

struct heat_sum_crop chamber_crop(const struct crop *crop);
/* Degree-hours in thousandths by now, 0 .. 1e8: at the set point from the last reading on. */
int64_t chamber_heat(const struct crop *crop, const struct warmth *w, int64_t now_ms);
/* The moment the goal is or was reached; 0: never at that set point. FIELD_RANGE from the crop. */
MUST_USE struct result chamber_ready(const struct crop *crop, const struct warmth *w,
                                     int64_t *out_ms);
/* The lot's own day: the first house day on which it is ready by the hour of harvest; INT32_MIN:
 * never. FIELD_RANGE from the crop. */
MUST_USE struct result chamber_own_day(const struct profile *p, const struct crop *crop,
                                       const struct warmth *w, int32_t *out_day);
/* Days by which its own day is later than at the set point; below 0: sooner. 0 where either is
 * never. FIELD_RANGE from the crop. */
MUST_USE struct result chamber_later_days(const struct profile *p, const struct crop *crop,
                                          const struct chamber_run *run, int *out);
/* The hour of harvest in minutes after midnight of a house day's date: 0..2880. */
int64_t chamber_harvest_min(const struct profile *p);
/* The moment it is harvested as the plan has it, 0: never. It is the one it is ready, so many days
 * before or after as the plan in force says; past the hour of harvest that hour of the next day,
 * unless it is ready by now; that hour of the first open day where the house is closed. FIELD_RANGE
 * from the crop. */
MUST_USE struct result chamber_due(const struct profile *p, const struct crop *crop,
                                   const struct chamber_run *run, int64_t now_ms, int64_t *out_ms);
/* off_days of what a plan noted of a start or a lot; "": 0. */
MUST_USE struct result chamber_off_days(const char *noted, int *out);

/* Of what an item bears on the day it is ready, so many days after it (below 0: before), as the
 * profile says; 0 where it says nothing of them. */
double chamber_off_yield(const struct profile *p, const char *item, int off_days);
/* Days from the own day of a batch that is over, at the set point, to the first harvest of it.
 * Ready is ready: what is harvested the evening before the hour of its own day is not early.
 * FIELD_RANGE from the crop. */
MUST_USE struct result chamber_days_off(const struct profile *p, const struct crop *crop,
                                        int64_t start_ms, int64_t harvest_ms, int *out);

/* What the last sixty batches of the crop gave, against the standard; those that were cut early or
 * late, as if on their own day. It is the day of their first harvest that says so, whatever a plan
 * had meant. */
MUST_USE struct result chamber_history(struct store *s, const struct profile *p,
                                       const struct crop *crop, struct yield_history *out);
/* What its tests, in 1/1000 per cent, let a seed lot give, over the lots behind the standards
 * (purity 99 %, germination 96 %). 0 where a test is missing. FIELD_RANGE. */
MUST_USE struct result chamber_seed_factor(int64_t purity_milli, int64_t germination_milli,
                                           double *out);
/* The seed lot a growing lot was filled with; 0 where they are several, or its tests are missing.
 */
MUST_USE struct result chamber_seed_of(struct store *s, int64_t growing, int64_t *out_lot,
                                       double *out_factor);
/* What seed lots added to the last 180 batches, beyond what their tests promised; batches of
 * several lots are left out. What it is told from lives in the arena. */
MUST_USE struct result chamber_seed_lots(struct store *s, struct arena *a, const struct profile *p,
                                         const struct crop *crop, struct yield_lots *out);

/* What is still to be harvested of it: the mean of the house's own batches, and one standard
 * deviation to either side; where the plan in force cuts it on another day, or it is overdue, what
 * the profile says of that day. FIELD_RANGE from the crop. */
struct chamber_yield {
    int64_t low_mg, mg, high_mg;
};
MUST_USE struct result chamber_yield(const struct profile *p, const struct chamber_run *run,
                                     const struct crop *crop, const struct yield_history *history,
                                     int64_t now_ms, struct chamber_yield *out);

#endif
