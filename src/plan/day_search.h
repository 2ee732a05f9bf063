/* A good sequence for the day: which job first.
 *
 * Begun with the earliest cut-offs first, block by block, and with what Nawaz, Enscore and Ham
 * (1983) made of it: job after job is put in where it does least harm. Both are then improved by
 * putting single jobs elsewhere and changing two for each other until neither helps; then a few
 * jobs are taken out by chance and put in again, as often as `rounds` says (Ruiz and Stuetzle 2007,
 * iterated greedy: from memory), keeping the best. The chance is seeded: the same day gives the
 * same sequence. */
#ifndef PLAN_DAY_SEARCH_H
#define PLAN_DAY_SEARCH_H

#include "plan/day_walk.h"

enum { DAY_ROUNDS = 200, DAY_ROUNDS_MAX = 1000000 };

/* The problem must have passed day_check. rounds 0 ... DAY_ROUNDS_MAX: fewer where there are many
 * jobs, so that it stays a matter of a second. */
struct day_sequence *day_search(struct arena *a, const struct day_problem *p, int rounds);
/* Only put in one by one, without what follows. */
struct day_sequence *day_insert(struct arena *a, const struct day_problem *p);
/* Do the first count jobs of an order keep the blocks? */
bool day_in_blocks(const struct day_problem *p, const int *order, int count);
/* No sequence of these jobs ends before this minute: at each stage all its work must be done, after
 * the least way to it and before the least way from it (Taillard 1993, published (seen) as bounds
 * of his instances), and each job must go its own way. Change-overs and pauses are left out. */
int day_end_bound(const struct day_problem *p);

#endif
