/* Between view_today.c and the files that look for what needs somebody; nobody else includes this.
 */
#ifndef SERVICE_TODAY_H
#define SERVICE_TODAY_H

#include "service/view_inner.h"

enum what {
    TODAY_POSITIVE,
    TODAY_RECALL,
    TODAY_STOP,
    TODAY_ASIDE,
    TODAY_ENVIRONMENT,
    TODAY_PRESUMPTIVE,
    TODAY_TWICE,
    TODAY_HARVEST,
    TODAY_TRUCK,
    TODAY_WATER,
    TODAY_CHANGE,
    TODAY_SAMPLE,
    TODAY_START,
    TODAY_SHORT,
    TODAY_AGREED,
    TODAY_SHIP,
    TODAY_CLOSED,
    TODAY_RELEASE,
    TODAY_DECIDE,
    TODAY_CLEAN,
    TODAY_TASK,
    TODAY_CALIBRATE,
    TODAY_BACKUP,
    TODAY_OWED,
    TODAY_BLOCKED,
    TODAY_DUTY,
    TODAY_INSTRUMENT,
    TODAY_WORK,
    TODAY_CERTIFICATE,
    TODAY_TRAINING,
    TODAY_FITNESS,
    TODAY_DELIVERY,
    TODAY_RETAINED,
    TODAY_DEVIATION,
    TODAY_VERIFY,
    TODAY_REVIEW,
    TODAY_RESULT,
    TODAY_CLAUSE,
    TODAY_WHATS
};

struct today_line {
    enum what what;
    const char *about; /* makes the key stable: a chamber, lot, sample */
    const char *sentence;
    const char *lot, *place; /* NULL: none */
    const char *tone;        /* NULL: as the kind has it */
    int64_t by_ms;           /* 0: none */
    json_t *with;            /* taken over; NULL: nothing */
    const char *page, *form; /* NULL: as the kind has it */
    const char *verb;        /* NULL: as the kind has it */
    const char *role;        /* comma list of whom it is for; NULL: those of the kind */
    int64_t person;          /* whom it is about and told to whatever the role; 0: nobody */
    int rank;                /* filled in by today_add */
};

struct today {
    struct view *v;
    int32_t day, now_day;
    int64_t day_ms, next_ms; /* its beginning and that of the next */
    struct today_line *lines;
    size_t count;
};

/* Is the kind any business of the role that asks? */
bool today_wants(const struct today *t, enum what what);
/* Takes over line->with; a line that is no business of the role is dropped. */
void today_add(struct today *t, const struct today_line *line);
json_t *today_with(const char *key, const char *value);

MUST_USE struct result today_chambers(struct today *t);
MUST_USE struct result today_plan(struct today *t);
MUST_USE struct result today_samples(struct today *t);
MUST_USE struct result today_house(struct today *t); /* instruments, environment, tasks */
MUST_USE struct result today_positives(struct today *t);
MUST_USE struct result today_results(struct today *t);
MUST_USE struct result today_decisions(struct today *t);
MUST_USE struct result today_releases(struct today *t);
MUST_USE struct result today_safety(struct today *t); /* duties, work orders, deviations */
MUST_USE struct result today_ends(struct today *t); /* what ends soon: papers, trainings, samples */
void today_closed(struct today *t);
MUST_USE struct result today_orders(struct today *t);
MUST_USE struct result today_agreed(struct today *t); /* deliveries agreed that did not come */
MUST_USE struct result today_lines(struct today *t);  /* trucks that will be late */
MUST_USE struct result today_water(struct today *t);  /* stopped, to be changed */
MUST_USE struct result today_asides(struct today *t); /* told and not booked */
MUST_USE struct result today_twice(struct today *t);  /* two devices about one chamber */

#endif
