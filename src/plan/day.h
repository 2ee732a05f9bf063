/* The day by the minute: in which order the day's chambers and lots go through harvest, wash, trim,
 * cooling and packing, so that each truck's goods stand ready at its cut-off.
 *
 * Whoever holds the record fills struct day_problem; the files day_*.c only compute. All pointers
 * are borrowed and must outlive the sequence. A minute is counted from the beginning of the house
 * day, 0 ... DAY_MINUTES_MAX.
 *
 * Jobs pass the stages in their order, each as a whole; all stages take the jobs in one and the
 * same order (a permutation flow shop). At a stage a job takes one machine for minutes[stage]; 0
 * passes the stage by, at no time. Of several machines it takes the one on which it can begin
 * first. A stage without machines (0) has room for all: cooling in a cold room.
 *
 * Between the stages: a job begins no earlier than its `earliest`, and at a stage
 * - that stands apart (overlap_min DAY_APART): no earlier than wait_min after it has ended at the
 *   stage before;
 * - that overlaps (0 or more): no earlier than overlap_min after it began at the stage before, and
 *   it ends no earlier than overlap_min after it has ended there: product flows from one line to
 *   the next;
 * and it should begin no later than wait_max after it has ended at the stage before: it is begun
 * later from the first stage on until that holds. What can't be helped, because the stage before
 * has begun already, counts as over_min. "The stage before" is the last one the job did not pass
 * by.
 *
 * On a machine two jobs of different families need a change-over: first the clean, then the
 * change, both at once after the job before. A machine that was cleaned after its last job
 * (DAY_CLEANED) needs neither.
 *
 * People: at a staffed stage nothing begins or goes on in a pause (time when nobody works). Jobs,
 * cleans and change-overs that meet a pause go on after it. Cooling knows no pause.
 *
 * What has begun stays: a begun run keeps machine and start; one that goes on ends after its
 * minutes, but not before now_min. What has not begun begins at now_min at the earliest.
 *
 * A truck is ready load_min after the last of its jobs is through the last stage; what comes after
 * its cut_off is late. Wanted is, in this order: the least late minutes, each truck's times its
 * weight; the least over_min; the least minutes of cleans and change-overs; the earliest end;
 * trucks ready as early as can be, each one's minute times its weight. */
#ifndef PLAN_DAY_H
#define PLAN_DAY_H

#include "base/result.h"

enum {
    DAY_STAGES_MAX = 8,
    DAY_MACHINES_MAX = 8,
    DAY_JOBS_MAX = 512,
    DAY_FAMILIES_MAX = 64,
    DAY_TRUCKS_MAX = 128,
    DAY_PAUSES_MAX = 192,
    DAY_WEIGHT_MAX = 1000,
    DAY_MINUTES_MAX = 100000,
    DAY_APART = -1,
    DAY_NO_LIMIT = -1,
    DAY_NOT_BEGUN = -1,
    DAY_GOES_ON = -1,
    DAY_CLEANED = -1
};

struct day_span {
    int from, to;
};

struct day_change {
    int clean_min, change_min;
};

/* What stands on a machine after what has begun on it: a family or DAY_CLEANED; and from when on it
 * is free, as far as that is not the end of a begun run. */
struct day_machine {
    int family, free_from;
};

struct day_stage {
    const char *code;
    int machine_count;
    struct day_machine machines[DAY_MACHINES_MAX];
    bool is_staffed;
    int overlap_min;
    int wait_min, wait_max;           /* wait_max DAY_NO_LIMIT: none */
    const struct day_change *changes; /* [from * family_count + to]; NULL: none needed */
};

/* A begun run of a job at a stage. */
struct day_begun {
    int start; /* DAY_NOT_BEGUN */
    int end;   /* DAY_GOES_ON */
    int machine;
};

struct day_job {
    const char *code;
    int family;
    int earliest;
    int minutes[DAY_STAGES_MAX];
    struct day_begun begun[DAY_STAGES_MAX];
};

struct day_truck {
    const char *code;
    int cut_off, load_min;
    int weight; /* 1 ... DAY_WEIGHT_MAX */
};

/* Goods of the job go with the truck. */
struct day_need {
    int job, truck;
};

struct day_problem {
    int now_min;
    const struct day_stage *stages;
    const struct day_job *jobs;
    const struct day_truck *trucks;
    const struct day_need *needs;
    const struct day_span *pauses; /* by time, apart from each other */
    const int *blocks;             /* by family: its block; 0 first. NULL: families in any order */
    int stage_count, job_count, truck_count, need_count, pause_count, family_count;
};

/* PLAN_FIELD with the path of what is out of range. */
MUST_USE struct result day_check(const struct day_problem *p);
/* The first minute from at on that is no pause. */
int day_work_from(const struct day_problem *p, int at);
/* When work of so many minutes ends that begins at a minute that is no pause. */
int day_work_end(const struct day_problem *p, int start, int minutes);
/* Has any run of the job begun? */
bool day_has_begun(const struct day_problem *p, int job);
/* Must the one come before the other by the blocks? What has begun comes before all that has not.
 */
int day_block(const struct day_problem *p, int job);

#endif
