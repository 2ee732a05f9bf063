/* Chambers that are alike, and how the day on which a running lot is harvested changes what is free
 * of them. */
#ifndef PLAN_POOL_H
#define PLAN_POOL_H

#include "plan/frame.h"

/* Into the frame: its pools, and each chamber's. */
void plan_pools_make(struct plan_frame *f);

/* Choices are those of the frame. The days *from ... *to - 1 on which the lot's chamber is free by
 * the choice and not as told (1), or the other way (-1). */
int plan_choice_frees(const struct plan_frame *f, int choice, int *from, int *to);
/* Is its chamber in service on the day? */
bool plan_choice_counts(const struct plan_frame *f, int choice, int day);
bool plan_choice_is_told(const struct plan_frame *f, int choice);
/* The one told of a running lot that has other days. */
int plan_choice_told(const struct plan_frame *f, int running);

#endif
