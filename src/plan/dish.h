/* Dishes of several crops over a frame.
 *
 * dish    wants of one such product that are served alike, on one day; its own cell counts kg of
 * its own crop, as any cell does, and there is one more cell for each crop with it, wanted as much
 * as the own crop is met and not for itself
 *
 * Where it is taken late there is a dish for each later day on which something is dispatched. They
 * share what is wanted: the cells of the line's own day hold it, and each cell of a later day
 * counts there (want). Everything in a piece leaves on the day of its dish.
 *
 * What holds: until the end of each day, at least as much of each crop with it has been harvested
 * for the dish as its own crop packed by then asks for, and in all exactly as much. Packs of the
 * dish that are made already take nothing.
 *
 * A tally of a dish is kg by slot (0 its own crop, then each with it) and day of packing or
 * harvest: slot * day_count + day, PLAN_DISH_SLOTS slots. */
#ifndef PLAN_DISH_H
#define PLAN_DISH_H

#include "plan/frame.h"

enum { PLAN_DISH_SLOTS = 1 + PLAN_WITH_MAX };

/* Days on which a line of such a product may leave, 1 for its own or more. */
int plan_dish_days(const struct plan_problem *p, const struct plan_line *line);
/* After the cells: dishes, and the cells of what is in them beside their own crop. */
void plan_dishes_make(struct plan_frame *f);
/* Of one of its cells. */
int plan_dish_slot(const struct plan_frame *f, int cell);
/* Most kg of its own crop that may be packed more on the day for what the tally has of the others;
 * 0 or more. */
double plan_dish_room_kg(const struct plan_frame *f, int dish, const double *tally, int day);
/* What the tally has of a slot in all. */
double plan_dish_kg(const struct plan_frame *f, const double *tally, int slot);

#endif
