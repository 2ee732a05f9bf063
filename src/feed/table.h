/* The rows of one file by the columns of its mapping.
 *
 * The header is the first of the first 100 rows that has all mapped columns. Rows before it are the
 * preamble. Each row must have as many cells as the header, but empty cells behind the last column
 * are no matter.
 *
 * Errors, with line and column: those of csv.h, FEED_EMPTY, FEED_COLUMN, FEED_COLUMN_TWICE,
 * FEED_WIDTH, FEED_TRUNCATED, FEED_TRAILER, FEED_PREAMBLE, FEED_SAYS. */
#ifndef FEED_TABLE_H
#define FEED_TABLE_H

#include "feed/cell.h"

/* A file as it came. */
struct feed_file {
    const char *name;
    const void *bytes;
    size_t len;
};

struct table {
    struct arena *arena; /* headers and what the caller keeps */
    const struct mapping *m;
    const struct feed_file *file;
    struct csv_bytes bytes;
    struct csv_input input;
    struct csv *csv;
    size_t width;
    int64_t header_line;
    int at[MAPPING_FIELDS_MAX]; /* index of the field's column, -1 */
    int whole_from_at, whole_to_at;
    struct mapping_pair *preamble; /* as found: first two cells */
    size_t preamble_count;
    struct csv_row row; /* the row at hand */
    char *trimmed;      /* its cells without the blanks around them */
    size_t trimmed_size;
    struct cell *cells;
    size_t rows;   /* behind the header, so far */
    bool open_end; /* the file ended without a line end */
    bool at_trailer;
};

/* Must be closed when it gave no error. */
MUST_USE struct result table_open(struct arena *a, const struct mapping *m,
                                  const struct feed_file *file, struct table *out);
MUST_USE struct result table_next(struct table *t, bool *out_has);
void table_close(struct table *t);

/* The field in the row at hand. */
struct cell table_cell(const struct table *t, int field);
/* The same; FIELD_MISSING when it has no value. */
MUST_USE struct result table_needed(const struct table *t, int field, struct cell *out);
/* The cell of any column of the row at hand, by index. */
struct cell table_cell_at(const struct table *t, int index);
/* The second cell of a row before the header whose first is label; NULL when there is none. */
const char *table_preamble(const struct table *t, const char *label);
/* True when all cells of the row are those of an earlier one is the caller's to find; this is a key
 * for it: a copy of the row's cells in the arena, parted by 1F. */
const char *table_row_text(const struct table *t);

#endif
