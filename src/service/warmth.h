/* The warmth a chamber has had, in degree-hours of what grows in it: what its own logger measured,
 * as far as that goes, and its set point elsewhere.
 *
 * Read are the sealed pieces in force of the series that bears the chamber's name (view_log.h), the
 * mean of its channels, as a straight line from one reading to the next. At the set point stand the
 * time before the first reading, a silence longer than two hours (heat_sum_gap_h), and what comes
 * after the last reading. A reading below -5 C or above 50 C is none that a chamber can have: it is
 * left out as if it were missing (common practice), and so is a piece that can't be read. */
#ifndef SERVICE_WARMTH_H
#define SERVICE_WARMTH_H

#include "calc/growth/heat_sum.h"
#include "store/store.h"

enum { WARMTH_LOW_MC = -5000, WARMTH_HIGH_MC = 50000 };

struct warmth {
    int64_t heat_mc_h; /* collected by until_ms */
    int64_t until_ms;  /* the last reading, or when the goal was reached; no log: the end of the
                          lead */
    int64_t log_ms;    /* the last reading; 0: no log */
    int left_out;      /* pieces (an hour at most) with readings left out */
};

struct warmth_kept;

struct warmth_ask {
    struct store *store;
    struct arena *arena;
    struct warmth_kept *kept; /* NULL: nothing is kept */
    int64_t struck; /* the newest entry that struck or dropped others, as warmth_struck says */
    int64_t lot;    /* what grows: names what is kept */
    const char *place;
    int64_t from_ms, now_ms; /* the end of the lead; pieces that begin later than now are left */
    struct heat_sum_crop crop;
    int32_t set_point_mc;
};

/* The newest entry of the record that struck or dropped others; 0: none did. */
MUST_USE struct result warmth_struck(struct store *s, int64_t *out);

/* FIELD_RANGE from the crop, errors of the store. */
MUST_USE struct result warmth_read(const struct warmth_ask *ask, struct warmth *out);

/* Degree-hours by a moment; between two of them they grow evenly. */
struct warmth_knot {
    int64_t at_ms;
    double heat_mc_h;
};
/* The same, with the way there from from_ms to the last reading: one knot or more, ascending, in
 * the arena. It goes on where the goal is reached. */
MUST_USE struct result warmth_trace(const struct warmth_ask *ask, struct warmth *out,
                                    struct warmth_knot **out_knots, size_t *out_count);
/* From what the day of something is reckoned that grows, so many days later than at the set point
 * (below 0: sooner): "reckoned by its log up to 16:00, 2 days later than at the set point". */
const char *warmth_says(struct arena *a, const char *lang, const struct warmth *w, int later_days,
                        int64_t now_ms);
/* Thousandths of a degree-hour an hour at the set point; 0 or more. */
int64_t warmth_rate(const struct heat_sum_crop *crop, int32_t set_point_mc);

#endif
