/* Comma-separated text as real programs export it, read a row at a time in bounded memory.
 *
 * The form is RFC 4180 (Shafranovich 2005, "Common Format and MIME Type for CSV Files", section 2):
 * from memory. Beyond it, as exports do: delimiter ; or tab, LF or CR alone as line end, blank
 * lines (skipped), a UTF-8 byte order mark, a first line "sep=;", a quote inside an unquoted cell
 * (kept as it stands). Spaces are kept. How many cells a row must have is the caller's rule.
 *
 * Text comes out as valid UTF-8 without control of the caller: a file is UTF-8, or from its first
 * byte that cannot be UTF-8 it is Windows-1252. When both kinds are found the file is refused.
 * Bytes are read in chunks; a file or line over a limit is refused as soon as the limit is passed,
 * whatever follows.
 *
 * Errors, with line and column (in characters, 1-based): CSV_BINARY, CSV_ENCODING, CSV_QUOTE,
 * CSV_TRUNCATED, CSV_LINE_LONG, CSV_CELL_LONG, CSV_COLUMNS, CSV_ROWS, INPUT_LARGE, FILE_READ. After
 * an error the reader can only be closed. */
#ifndef BASE_CSV_H
#define BASE_CSV_H

#include <sys/types.h>

#include "base/result.h"

enum csv_encoding { CSV_AUTO, CSV_UTF8, CSV_WINDOWS_1252 };

/* Zero stands for the default. */
struct csv_options {
    char delimiter; /* ; , or tab; 0: detected from the first line that has one (the most frequent;
                       on a tie ; then tab) */
    enum csv_encoding encoding;
    size_t file_bytes; /* 256 MiB */
    size_t line_bytes; /* 1 MiB, quoted line ends included */
    size_t cell_bytes; /* 64 KiB */
    size_t columns;    /* 1024 */
    size_t rows;       /* 10 million */
};

/* Where bytes come from. read gives 1..len bytes, 0 at the end, -1 with errno on failure. */
struct csv_input {
    ssize_t (*read)(void *self, void *out, size_t len);
    void *self;
};

struct csv_cell {
    const char *text; /* UTF-8, zero-ended, no zero inside */
    size_t len;
    int64_t line;
    int64_t column;
    bool quoted;
};

struct csv_row {
    const struct csv_cell *cells; /* borrowed until the next csv_next or csv_close */
    size_t count;
    int64_t line;
    bool open_end; /* the file ended without a line end after this row */
};

struct csv;

/* name: for messages. *out is set on success only and must be closed. */
MUST_USE struct result csv_open(const struct csv_input *input, const char *name,
                                const struct csv_options *options, struct csv **out);
/* *out_has false at the end. */
MUST_USE struct result csv_next(struct csv *c, struct csv_row *out_row, bool *out_has);
void csv_close(struct csv *c);
char csv_delimiter(const struct csv *c);
/* What the text read so far was: CSV_AUTO while all of it is ASCII. */
enum csv_encoding csv_encoding_found(const struct csv *c);

/* Bytes in memory and files as input. The struct stays with the caller for as long as the reader is
 * open. */
struct csv_bytes {
    const void *bytes;
    size_t len;
    size_t at;
};
struct csv_input csv_input_bytes(struct csv_bytes *self);
struct csv_input csv_input_fd(int *fd);

#endif
