/* Reading rows about many lots: a query that takes a range of ids (?1 .. ?2) and gives rows in the
 * order of its first column, the id. Ids that lie near each other share one range, so that a
 * handful of lots are looked up one by one and a large part of the record is read in long pieces.
 */
#ifndef TRACE_LOT_ROWS_H
#define TRACE_LOT_ROWS_H

#include "base/arena.h"
#include "base/result.h"
#include "store/store.h"

struct lot_rows {
    struct store *store;
    enum query query;
    const int64_t *ids; /* ascending, each once */
    size_t count;
    int64_t gap_max;             /* ids further apart go in ranges of their own */
    size_t at;                   /* of the row now read: ids[at] is its first column */
    size_t end;                  /* of the range now read */
    struct statement *statement; /* NULL between ranges */
};

/* Lot ids come in steps of 4096 an entry; this reads over the lots of a few entries. */
struct lot_rows lot_rows_begin(struct store *s, enum query query, const int64_t *ids, size_t count);
/* The same for ids of entries. */
struct lot_rows entry_rows_begin(struct store *s, enum query query, const int64_t *entries,
                                 size_t count);
/* The next row that belongs to one of the ids; read it from rows->statement. */
MUST_USE struct result lot_rows_next(struct lot_rows *rows, bool *out_row);

/* Sorts and drops repeats; -> how many are left. */
size_t ids_sort(int64_t *ids, size_t count);
/* A list in an arena with room for one more element; list is NULL and *room 0 at first. */
void *list_grow(struct arena *a, void *list, size_t count, size_t *room, size_t size);
/* Index of id in ids (ascending), or count. */
size_t ids_index(const int64_t *ids, size_t count, int64_t id);

#endif
