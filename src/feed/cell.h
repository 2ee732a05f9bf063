/* What a cell says, by the rules of its mapping. */
#ifndef FEED_CELL_H
#define FEED_CELL_H

#include "ledger/mapping.h"

/* Blanks at both ends are off. */
struct cell {
    const char *text; /* until the next row */
    size_t len;
    int64_t line, column;
    const char *header; /* the column's, or the field's name where the mapping fixes it */
    bool missing;
    bool mapped; /* false: neither column nor fixed; then missing too */
};

/* The fields a date or time of day was written with. */
struct stamp {
    int32_t day;
    int64_t day_ms; /* since midnight on the clock */
    bool has_time;
    bool has_offset;
    int offset_min;
};

/* A number in 10^-scale units. Digits finer than the scale: CELL_EXACT refuses them, CELL_ROUNDED
 * rounds to the nearest (halves away from zero) and says so. FIELD_RANGE (not a number, too large),
 * with position. */
enum cell_rounding { CELL_EXACT, CELL_ROUNDED };
MUST_USE struct result cell_number(const struct mapping *m, const struct cell *c, int scale,
                                   enum cell_rounding rounding, int64_t *out, bool *out_rounded);
/* A whole number from low to high. */
MUST_USE struct result cell_count(const struct mapping *m, const struct cell *c, int64_t low,
                                  int64_t high, int64_t *out);
/* A day; midnight may stand behind it, as programs write it. FEED_DATE. */
MUST_USE struct result cell_day(const struct mapping *m, const struct cell *c, int32_t *out);
/* A day, and mostly a time with or without an offset. FEED_DATE. */
MUST_USE struct result cell_stamp(const struct mapping *m, const struct cell *c, struct stamp *out);
/* A time of day alone. FEED_DATE. */
MUST_USE struct result cell_clock(const struct mapping *m, const struct cell *c, struct stamp *out);
/* Our word for what the cell says: FEED_CODE when the mapping has words for the field, but not this
 * one. In the arena. */
MUST_USE struct result cell_word(struct arena *a, const struct mapping *m, int field,
                                 const struct cell *c, const char **out);
/* "pieces is missing", with position. */
struct result cell_missing(const struct cell *c);
/* r with the cell's position. */
struct result cell_at(const struct cell *c, struct result r);

#endif
