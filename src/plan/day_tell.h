/* What a sequence means: how each truck stands, which stage its goods wait for, where lines stand
 * still. */
#ifndef PLAN_DAY_TELL_H
#define PLAN_DAY_TELL_H

#include "plan/day_walk.h"

/* The way that decides when a truck is ready, followed back from its last job over what each run
 * waited for to the beginning. */
struct day_truck_told {
    int ready;     /* -1: nothing goes with it */
    int slack;     /* cut-off - ready; below 0: late */
    int job;       /* the last of its jobs; -1: none */
    int stage;     /* that binds: on which the way spends most minutes; -1: nothing goes with it */
    int stage_min; /* so many */
    int setup_min; /* of the way: cleans and change-overs, at all stages */
    int first_min; /* where the way begins */
};

struct day_truck_told day_tell_truck(const struct day_sequence *s, int truck);

/* Minutes at a stage, its machines together. */
struct day_stage_told {
    int work, clean, change;
    int idle; /* neither of these between the first and the last that happens on a machine, pauses
                 left out where the stage is staffed */
};

struct day_stage_told day_tell_stage(const struct day_sequence *s, int stage);

#endif
