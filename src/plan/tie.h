/* Swaps across crops over a frame. */
#ifndef PLAN_TIE_H
#define PLAN_TIE_H

#include "plan/frame.h"

/* Crops whose goods are shared out together: one is given in place of the other. Their units are
 * such that a unit given stands for a unit ordered. */
void plan_ties_make(struct plan_frame *f);
/* What a piece weighs, in units of its crop. */
double plan_piece_units(const struct plan_frame *f, int product);

#endif
