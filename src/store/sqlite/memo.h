/* Answers of queries that a writer asks at every entry (who is this person, what is this place),
 * kept until a table is written on which they rest. Which queries and which tables stands in the
 * query files ("-- kept:"). Only the writing connection keeps them: nobody else writes its record.
 */
#ifndef STORE_SQLITE_MEMO_H
#define STORE_SQLITE_MEMO_H

#include "store/sqlite/connection.h"

/* The use of a kept query between two store_prepare. */
struct memo_use;

/* For a query whose answers may be kept, on a connection that may keep them; else NULL. */
struct memo_use *memo_use_new(struct store *s, enum query query);
void memo_use_free(struct memo_use *u);
/* Forgets what was bound and read. */
void memo_begin(struct memo_use *u);
void memo_bind_int(struct memo_use *u, int at, int64_t value);
void memo_bind_text(struct memo_use *u, int at, const char *text);
void memo_bind_null(struct memo_use *u, int at);
/* *out_served true: *out_row is the answer's next row, read by the calls below. False: the answer
 * is too long to keep; the statement is bound and is to be stepped itself. */
MUST_USE struct result memo_step(struct memo_use *u, struct sqlite3_stmt *compiled,
                                 bool *out_served, bool *out_row);
/* Does a served row stand? */
bool memo_on_row(const struct memo_use *u);
int64_t memo_int(const struct memo_use *u, int column);
const char *memo_text(const struct memo_use *u, int column);
bool memo_is_null(const struct memo_use *u, int column);

/* A statement is about to write the table (embedded_query.writes). */
void memo_written(struct store *s, int table);
/* What was written is gone again, or tables were changed. */
void memo_forget(struct store *s);
void memo_free(struct store *s);

#endif
