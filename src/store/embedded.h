/* The SQL that tools/embed_sql.c put into the program; only this room sees it. The schema texts
 * still hold the words @int64,
 * @bytes, @text and @strict, which the driver replaces. */
#ifndef STORE_EMBEDDED_H
#define STORE_EMBEDDED_H

#include "store/query_names.h"

struct embedded_query {
    const char *name;
    const char *text;
    int writes;   /* the number of the table it writes, where a kept query reads that; else -1 */
    int kept;     /* how many tables its answer rests on, if that may be kept; 0: it may not */
    int rests[4]; /* their numbers, below KEPT_TABLES_MAX */
};

extern const struct embedded_query embedded_queries[QUERY_COUNT];
extern const char *const embedded_schemas[];
extern const int embedded_schema_count;

#endif
