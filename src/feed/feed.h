/* Files in: bytes and a mapping to commands, and before that to a report of what they would do.
 *
 * feed_read reads a file whole and refuses it whole: with line, column and reason. feed_plan lays
 * it beside what is booked already and gives the commands that are left to send, in order, and the
 * report; nothing is sent here. Without sending them the two are a dry run. All commands of a file
 * belong together: book all or none.
 *
 * A command has kind, uuid, device ("import SOURCE") and its own fields; the caller adds person,
 * and reason where rows may be told late. The uuid is derived from what the row says, so that a row
 * that comes again in a later file is known by it. The file as it came is kept as an attachment:
 * the caller's part; results name its SHA-256 as their report.
 *
 * feed_read changes the zone in use (civil_zone_use) while it runs: no other thread may work with
 * civil time meanwhile. */
#ifndef FEED_FEED_H
#define FEED_FEED_H

#include "base/digest.h"
#include "feed/table.h"
#include "ledger/order_book.h"
#include "ledger/series.h"

enum { FEED_FILE_BYTES_MAX = 16 << 20, FEED_NOTES_MAX = 2000 };

struct series_gap;
struct feed_place;

/* What is worth a line in the report. */
enum feed_mark {
    FEED_MARK_NEW,
    FEED_MARK_CHANGED,
    FEED_MARK_CANCELLED,
    FEED_MARK_SHIPPED,   /* would change, but has left */
    FEED_MARK_KNOWN,     /* booked already, as it stands here: only counted */
    FEED_MARK_DUPLICATE, /* the same as a row before */
    FEED_MARK_GAP,
    FEED_MARKS
};
struct feed_note {
    enum feed_mark mark;
    int64_t line;                 /* 0: not in the file */
    const char *what;             /* names and values only, no sentence: "C1/4711/10 240 -> 260" */
    const struct series_gap *gap; /* of FEED_MARK_GAP: what holds only the time it begins at */
};

struct feed_report {
    enum feed_kind kind;
    const char *source;
    const char *file;
    struct hash sha256;
    char delimiter;
    enum csv_encoding encoding;
    size_t rows;
    size_t count[FEED_MARKS]; /* rows; for series: samples, and gaps */
    size_t pieces;            /* series: pieces that would be sealed */
    int64_t from_ms, to_ms;   /* series: first and last time in the file */
    bool whole_book;          /* orders */
    int32_t from_day, to_day; /* orders: the dates of the book, else the first and last day found */
    struct feed_note *notes;  /* the first FEED_NOTES_MAX */
    size_t note_count;
    struct result cautions[4]; /* FEED_OPEN_END, FEED_ROUNDED, FEED_HOUR_TWICE; REASON_MISSING */
    size_t caution_count;
    struct feed_place *places; /* orders, seed, results: where the planned commands come from */
    size_t place_count;
};

/* Where in the file a planned command stands; of orders, one of its lines. */
struct feed_place {
    size_t command, part; /* from 0; part: index in the command's lines */
    int64_t line;
};

/* A row of a seed or results file: its commands, each with uuid, still without the time where only
 * a day is given. */
struct feed_row {
    int64_t line;
    const char *uuid; /* of the first command: tells whether the row is booked */
    const char *what; /* for notes */
    bool has_day;     /* a day without a time */
    int32_t day;
    bool duplicate; /* of a row before: nothing to send */
    json_t *commands[5];
    size_t command_count;
};

enum series_gap_reason {
    GAP_MISSING,    /* a missing mark, an empty cell */
    GAP_UNREADABLE, /* not a number, not a time */
    GAP_RANGE,      /* outside the mapping's range */
    GAP_JUMP,       /* further from the reading before than the mapping's jump */
    GAP_SILENCE,    /* no reading for longer than twice the interval */
    GAP_CONFLICT,   /* two rows of one time or number that differ */
    GAP_LOST,       /* numbers left out */
    GAP_REASONS
};
struct series_gap {
    enum series_gap_reason reason;
    int channel; /* 1..; 0: all */
    int64_t from_ms, to_ms;
    int64_t line;  /* of its first row */
    size_t count;  /* rows or numbers; 0 for silence */
    size_t sample; /* index of the sample it is at or before; the series' count behind the last */
};

struct feed_keyed;

/* A file as read. */
struct feed_content {
    struct feed_report report;
    /* orders */
    struct order_line *orders;
    size_t order_count;
    /* seed, results */
    struct feed_row *rows;
    struct feed_keyed *row_keys; /* of each row, while reading */
    size_t row_count, row_room;
    /* logger, checkweigher */
    struct series series;
    int64_t *lines; /* of each sample */
    struct series_gap *gaps;
    size_t gap_count;
};

/* Must be released, whatever it gave. file->bytes must live as long as content. Errors: those of
 * table.h and cell.h, ZONE_UNKNOWN, TIME_GAP, TIME_TWICE, FEED_TWICE, FEED_BOOK_DAY,
 * FEED_CLOCK_BACK, FEED_NUMBER_BACK, FEED_UNREADABLE; all with line and column. */
MUST_USE struct result feed_read(struct arena *a, const struct mapping *m,
                                 const struct feed_file *file, struct feed_content *out);
void feed_release(struct feed_content *content);

/* What is booked already. Which part is asked for depends on the mapping's kind; the rest may be
 * zero. */
struct feed_known {
    const struct order_line *orders; /* orders: the newest version of every line */
    size_t order_count;
    const char *const *uuids; /* seed, results: those of feed_row.uuid that the daybook has */
    size_t uuid_count;
    const struct series_piece
        *pieces; /* series: those in force that touch from_ms..to_ms of the report */
    size_t piece_count;
    int day_starts_min; /* of the house: a delivery with a day but no time is told at its beginning
                         */
};

/* commands: an array, to be released by the caller (json_decref) when there was no error. Errors:
 * FEED_SEALED, TIME_*. */
MUST_USE struct result feed_plan(struct arena *a, const struct mapping *m,
                                 const struct feed_content *content, const struct feed_known *known,
                                 struct feed_report *out_report, json_t **out_commands);

/* {"file":...,"new":12,...,"notes":[{"mark":"new","line":3,"what":...}],"cautions":[...]}; owned by
 * the caller. What is in words is said in lang. */
json_t *feed_report_json(struct arena *a, const char *lang, const struct feed_report *report);
/* What a note says: of a gap why, in which channel, from when and how often. */
const char *feed_note_words(struct arena *a, const char *lang, const struct feed_note *note);
const char *feed_mark_text(enum feed_mark mark);
const char *series_gap_text(enum series_gap_reason reason);

#endif
