/* The day by the minute from the record: what of a house day has begun on the lines, what is still
 * to be harvested, which trucks take what of it; and its sequence (plan/day.h).
 *
 * A chamber belongs to the day on whose hour of harvesting (planning.harvest_at) it is ready for
 * the first time; to today also what is ready now. Of the plan taken, what is not soaked yet
 * belongs to the day it says. Trucks take what is ordered for ahead_days later, as far as it is not
 * there already: orders of earlier days take of the stock first. */
#ifndef SERVICE_DAYLINE_H
#define SERVICE_DAYLINE_H

#include "plan/day_search.h"
#include "plan/day_tell.h"
#include "service/view.h"

struct dayline_job {
    const char *chamber, *lot, *item; /* lot NULL: not started yet */
    int64_t lot_id;
    int64_t mg; /* out of the chamber: harvested, else expected */
    bool is_harvested;
    double packed_kg; /* not given to a truck yet; 0 where it is held */
    bool is_held;
};

/* pieces */
struct dayline_truck {
    const struct truck *truck;
    int64_t wanted, stock, lacking;
    int64_t early;     /* of wanted: for a later day, on which no truck leaves */
    const char *notes; /* sentences, each after a blank: what goes in place of something else, and
                          standing orders without an order; "" none */
};

struct dayline_family {
    const char *family, *allergens;
    int64_t colour;
};

struct dayline {
    int32_t day;
    int64_t start_ms, end_ms; /* of the house day */
    bool is_today;
    struct day_problem problem;
    struct day_sequence *sequence; /* NULL where the profile has no lines */
    const char *(
        *places)[DAY_MACHINES_MAX]; /* by stage and machine; NULL: no place of the record */
    struct dayline_job *jobs;
    size_t job_count;
    struct dayline_truck *trucks;
    struct dayline_family *families;
    /* what would be late and how long the cleans would take if families came in any order; known
     * only where blocks are kept and something is late */
    bool has_free;
    struct day_score free_score;
};

/* Everything lives in the view's arena. PLAN_FIELD where the profile's lines and the record make no
 * day; errors of the store and of chamber_ready. */
MUST_USE struct result dayline_read(struct view *v, int32_t day, struct dayline *out);
int64_t dayline_ms(const struct dayline *d, int minute);

#endif
