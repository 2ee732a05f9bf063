/* What the readers of this room share. */
#ifndef FEED_FEED_INNER_H
#define FEED_FEED_INNER_H

#include "feed/feed.h"

struct result orders_read(struct table *t, struct feed_content *out);
struct result seed_read(struct table *t, struct feed_content *out);
struct result results_read(struct table *t, struct feed_content *out);
/* loggers and checkweighers */
struct result readings_read(struct table *t, struct feed_content *out);

struct result orders_plan(struct arena *a, const struct mapping *m,
                          const struct feed_content *content, const struct feed_known *known,
                          struct feed_report *report, json_t *commands);
struct result rows_plan(struct arena *a, const struct feed_content *content,
                        const struct feed_known *known, struct feed_report *report,
                        json_t *commands);
struct result series_plan(struct arena *a, const struct mapping *m,
                          const struct feed_content *content, const struct feed_known *known,
                          struct feed_report *report, json_t *commands);

/* Counts a mark, and notes it as long as there is room. */
void feed_note(struct arena *a, struct feed_report *report, enum feed_mark mark, int64_t line,
               const char *what);
/* The same of a gap, which must live as long as the report. from: its time, on the file's clock. */
void feed_gap_note(struct arena *a, struct feed_report *report, const struct series_gap *gap,
                   const char *from);
/* Of the command that comes next in commands. places has room for all of the file's rows. */
void feed_place(struct feed_report *report, size_t command, size_t part, int64_t line);
void feed_caution(struct feed_report *report, struct result caution);

/* {"kind":...,"device":"import SOURCE"} */
json_t *feed_command(struct arena *a, const struct mapping *m, const char *kind);
void feed_set_text(json_t *object, const char *name, const char *text);
/* A version 8 UUID (Davis, Peabody, Leach 2024, "Universally Unique IDentifiers (UUIDs)", RFC 9562
 * section 5.8: from memory) of the source, the command as it stands and one more text. */
const char *feed_uuid(struct arena *a, const struct mapping *m, const json_t *command,
                      const char *more);

/* Rows that must differ in key, or be equal. */
struct feed_keyed {
    const char *key, *content;
    int64_t line;
    bool duplicate; /* set when an earlier row is the same */
};
/* FEED_TWICE for the first row whose key stands before it with other content. field: the key's
 * name. */
struct result feed_unique(struct arena *a, struct feed_keyed *rows, size_t count,
                          const char *field);

/* Rows that become commands of their own. row_begin adds one to the content, row_command a command
 * to it (-> borrowed), row_when reads the cell of its day or time (it may be missing; *out tells
 * one moment from another), and row_end gives the commands their uuid. A row whose key stands
 * before must be the same in all, else rows_end refuses it. */
struct feed_row *row_begin(struct table *t, struct feed_content *content);
json_t *row_command(struct table *t, struct feed_row *row, const char *kind);
struct result row_when(struct table *t, struct feed_row *row, const struct cell *when,
                       const char **out);
void row_end(struct table *t, struct feed_content *content, const char *key, const char *moment);
struct result rows_end(struct table *t, struct feed_content *content, const char *key_name);

/* Where a date and time of the file lie, in the zone in use. */
struct result stamp_to_ms(const struct stamp *s, const struct cell *c, int64_t *out_ms);

#endif
