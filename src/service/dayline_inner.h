/* Between the files that read a day; nobody else includes this. */
#ifndef SERVICE_DAYLINE_INNER_H
#define SERVICE_DAYLINE_INNER_H

#include "service/dayline.h"

struct dayline_reading {
    struct view *v;
    struct dayline *out;
    struct day_stage *stages;
    struct day_job *jobs;
    struct day_truck *trucks;
    struct day_need *needs;
    struct order_notes *notes; /* by truck */
};

/* Minutes from the beginning of the house day, 0 at least. */
int dayline_minute(const struct dayline *d, int64_t ms);
/* Of a wall clock of a house day, as profile_shift.start_min, counted from the beginning of d's. */
int dayline_wall(const struct dayline *d, int32_t day, int64_t minutes_from_midnight);
/* Rounded up. */
int dayline_span(int64_t ms);

MUST_USE struct result dayline_read_lines(struct dayline_reading *r); /* stages, pauses */
MUST_USE struct result dayline_read_jobs(struct dayline_reading *r);  /* jobs, families */
/* What stands on the lines now, and what lies between families: after the jobs. */
MUST_USE struct result dayline_read_changes(struct dayline_reading *r);
MUST_USE struct result dayline_read_trucks(struct dayline_reading *r); /* after the jobs */
/* The family of an item, added when it is new; -1: the record has no such item. */
MUST_USE struct result dayline_family_of(struct dayline_reading *r, const char *item, int *out);
int dayline_family_add(struct dayline_reading *r, const char *family, const char *allergens);

#endif
