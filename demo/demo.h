/* The invented plant: played through the same requests and files that a real house would send.
 * Everything in it is made up; names are plant parts and numbers. Also the load generator:
 * chambers, weeks and seed are arguments.
 *
 * What goes wrong in it, each once when there are eight weeks or more: a heat treatment whose hold
 * is too short, a laboratory result that comes late, a positive, a warm cold room, an order that
 * can't be filled, a harvest told the next day, a mistake put right after release, wash water below
 * its limit, a scale that is off, somebody unwell, a swab with Listeria in a drain, a test that has
 * to be made again, and three complaints alike. On the last day a chamber is cut in part, a second
 * test and a delivery of seed are awaited, and one of trays did not come. */
#ifndef DEMO_DEMO_H
#define DEMO_DEMO_H

#include "base/result.h"

struct demo_settings {
    const char *folder;  /* plant in folder, files in folder/files */
    const char *profile; /* path of the profile */
    int chambers;        /* 4 .. 400 */
    int weeks;           /* 2 .. 120 */
    uint64_t seed;
    int32_t last_day; /* the last day played; the clock of the record ends there */
    /* Called about once a simulated day. */
    void (*progress)(void *self, int64_t day, int64_t days);
    void *self;
};

struct demo_made {
    int64_t entries, batches, lots_released, cases_shipped, refusals, deviations;
    const char *positive_lot, *late_lot, *corrected_lot,
        *failed_load;          /* NULL when the history is too short for it */
    const char *last_released; /* a packed lot that was released and shipped */
    const char *last_case;     /* a case of it that has left */
    int64_t last_entry;
};

MUST_USE struct result demo_make(const struct demo_settings *s, struct arena *a,
                                 struct demo_made *out);

enum {
    DEMO_MANAGER = 1,
    DEMO_QUALITY = 2,
    DEMO_QUALITY_2 = 3,
    DEMO_GROWER = 4,
    DEMO_LINE = 6,
    DEMO_PLANNER = 8,
    DEMO_INTAKE = 9,
    DEMO_HYGIENE = 10,
    DEMO_DISPATCH = 11,
    DEMO_MAINTENANCE = 12
};
#define DEMO_PASSWORD "radicle-and-plumule"

#endif
