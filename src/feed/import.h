/* A file into the record: read by the mapping its source has, laid beside what is booked, and,
 * unless only tried, booked whole with the file as it came attached. */
#ifndef FEED_IMPORT_H
#define FEED_IMPORT_H

#include "feed/feed.h"
#include "service/socket.h"

struct import_ask {
    const char *source;
    const char *kind; /* orders, seed, results, logger, checkweigher */
    const char *name; /* of the file */
    const void *bytes;
    size_t len;
    int64_t person;
    const char *reason; /* for rows that are told late; NULL: none */
    bool only_try; /* a dry run: says what would happen, and refuses what would be refused; that a
                      reason is wanted is a caution */
    struct world world; /* uuid of the attachment, now */
};

struct import_done {
    struct feed_report report;
    size_t commands;                 /* sent, or that would be */
    int64_t first_entry, last_entry; /* 0, 0: nothing was booked */
};

/* door: NULL where nobody may write and the file is only tried: then only the file's own faults
 * are found. reader: a store open for reading, or the writer's own while nobody else uses it.
 * MAPPING_MISSING, all of feed.h, and what the record refuses, with the line of the row. */
MUST_USE struct result import_file(struct door *door, struct store *reader,
                                   const struct profile *profile, struct arena *a,
                                   const struct import_ask *ask, struct import_done *out);

#endif
