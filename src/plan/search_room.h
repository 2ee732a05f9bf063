/* What the search's starts and running lots leave of chambers, of a day's counts and of the seed
 * for least fillings: what holds at every moment. */
#ifndef PLAN_SEARCH_ROOM_H
#define PLAN_SEARCH_ROOM_H

#include "plan/search.h"

/* Nothing started, running lots as told. */
void search_room_make(struct search *s, struct arena *a);
/* One chamber of the option more (1) or less (-1). */
void search_book(struct search *s, int option, int sign);
/* After search_book: is everything still within its limits where the option counts? */
bool search_holds(const struct search *s, int option);
/* A running lot's choice of the frame is taken (1) or left (-1): of one lot both, in a move. */
void search_book_choice(struct search *s, int choice, int sign);
/* After both: is everything still within its limits where the lot counts? */
bool search_choice_holds(const struct search *s, int left, int taken);

#endif
