/* Which move the search looks at next: by chance, those that may help more often than others. */
#ifndef PLAN_SEARCH_PICK_H
#define PLAN_SEARCH_PICK_H

#include "plan/search.h"

/* One chamber taken from an option, or added to one, or both; a running lot's choice (of the
 * frame) for another. */
struct search_move {
    int from, to;       /* options; PLAN_NONE */
    int leaves, enters; /* choices; both PLAN_NONE */
};

#define SEARCH_NO_MOVE ((struct search_move){PLAN_NONE, PLAN_NONE, PLAN_NONE, PLAN_NONE})

/* There must be an option or a lot that has a choice. */
struct search_move search_pick_move(struct search *s);
/* Chambers of two crops that are packed together and harvested about together: one more of each,
 * one less, both moved by as many days, or each on the other's place; what one of them brings alone
 * says nothing where the other is missing. There must be a dish. -> moves: 2, or 1 where none goes
 * with it */
int search_pick_pair(struct search *s, struct search_move pair[2]);

#endif
