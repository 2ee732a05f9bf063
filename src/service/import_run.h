/* A file read by the program in a process of its own: reading one changes the zone in use
 * (base/civil.h), which a program that serves must not do. The child finds the record's writer by
 * the local socket, as every command does. */
#ifndef SERVICE_IMPORT_RUN_H
#define SERVICE_IMPORT_RUN_H

#include "base/json.h"

enum { IMPORT_RUN_S = 110 }; /* longest time; below what a client waits for an answer */

struct import_run_ask {
    const char *program; /* NULL: the one that runs */
    const char *folder;  /* of the plant */
    const char *lang;
    int64_t person;
    const char *kind, *source; /* as in the command import */
    const char *name;          /* of the file */
    const char *reason;        /* NULL: none */
    bool only_try;
    const void *bytes;
    size_t len;
    int asker; /* the socket of whoever asked: once it is closed the child is stopped; -1: none */
};

/* *out: the report of feed.h with booked and commands, owned by the caller. IMPORT_PROCESS when the
 * child does not start, end in time or answer, or nobody waits for it any more; else what
 * import_file refuses, with line and column.
 */
MUST_USE struct result import_run(struct arena *a, const struct import_run_ask *ask, json_t **out);

#endif
