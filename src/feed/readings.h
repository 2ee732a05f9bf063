/* The way of logger and checkweigher rows to a series, in three steps: the cells are read
 * (readings.c), each row gets its instant, its place among the others or none (readings_time.c),
 * and what is kept becomes samples and gaps (readings_series.c). */
#ifndef FEED_READINGS_H
#define FEED_READINGS_H

#include "feed/feed_inner.h"

enum { READINGS_ROWS_MAX = 4000000, READINGS_GAPS_MAX = 100000 };

/* Why a channel of a row has no value. */
enum reading_state {
    READING_VALUE,
    READING_ABSENT, /* by nature: the other channel of a checkweigher */
    READING_MISSING,
    READING_UNREADABLE,
    READING_RANGE,
    READING_CONFLICT
};

enum reading_time {
    TIME_BAD,      /* not to be read: the row is a gap */
    TIME_LOCAL,    /* ms is the clock's time as if it were UTC */
    TIME_REPEATED, /* the same, in an hour that the clock change repeats */
    TIME_SETTLED,  /* ms is the instant */
    TIME_KEPT,     /* and the row is a sample of the series */
    TIME_DROPPED   /* and it is not: a duplicate, or one of two that differ */
};

struct reading_row {
    int64_t ms;
    int64_t n;
    int32_t line, column; /* of the time's cell */
    uint8_t time;         /* enum reading_time */
};

struct readings {
    const struct mapping *m;
    const char *file;
    struct arena *arena; /* for texts */
    size_t channels;
    bool has_n;
    struct reading_row *row;
    int32_t *value; /* [row * channels + channel] */
    uint8_t *state; /* enum reading_state, likewise */
    size_t count, room;
    size_t conflicts, repeated, rounded;
};

/* For how long readings may be apart: twice the interval (thermal process practice, gap limit of
 * twice the nominal logging interval: common practice). Without an interval a minute is taken,
 * which only tells the two passes of a repeated hour apart. */
int64_t readings_gap_ms(const struct mapping *m);

struct result readings_settle(struct readings *r, struct feed_report *report);
struct result readings_series(struct readings *r, struct feed_content *out);

/* A date and time as the file's clock showed it, for messages. */
const char *readings_clock_text(struct arena *a, int64_t local_ms);
bool readings_same(const struct readings *r, size_t x, size_t y);

#endif
