/* When each job of a sequence is at each stage: the rules of plan/day.h played through once. */
#ifndef PLAN_DAY_WALK_H
#define PLAN_DAY_WALK_H

#include "base/arena.h"
#include "plan/day.h"

/* What a run waited for. */
enum day_cause {
    DAY_BY_EARLIEST, /* the job itself is not there before, or it is not before now */
    DAY_BY_STAGE,    /* the stage before */
    DAY_BY_MACHINE,  /* the job before on the machine, and what lies between */
    DAY_BY_HOLDING   /* held back so that it does not wait too long later on */
};

struct day_run {
    int start, end,
        machine; /* start DAY_NOT_BEGUN: the job passes the stage by; machine -1: room */
    int setup_start, clean_end, setup_end; /* before it, all equal where none was needed */
    int before;                            /* the job before on the machine; -1: none of today */
    int after_stage;                       /* the stage the job came from; -1: none */
    enum day_cause cause;
    bool is_begun;
};

/* What is to be small, first things first. */
struct day_score {
    int64_t late; /* minutes times weight, over trucks */
    int over_min, setup_min, end_min;
    int64_t ready; /* as late, of the minutes at which they are ready */
};

struct day_sequence {
    const struct day_problem *p;
    int *order;           /* jobs */
    struct day_run *runs; /* job * stage_count + stage */
    int *ready;           /* by truck; -1: nothing goes with it */
    struct day_score score;
};

struct day_sequence *day_sequence_new(struct arena *a, const struct day_problem *p);
/* Fills runs, ready and score for the first count jobs of order; the others are not there. */
void day_walk(struct day_sequence *s, int count);
/* < 0: x is better. */
int day_compare(const struct day_score *x, const struct day_score *y);

#endif
