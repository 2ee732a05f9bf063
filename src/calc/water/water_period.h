/* Was the water under control for a whole period? The clause on water rests on this.
 *
 * Readings in the record's whole numbers, in order of time, are held against limits; where a chain
 * of tanks is given, each reading also says what that chain was worth at that moment (its decimals
 * of Giardia and viruses: calc/water/ct_credit.h, the reading taken at the end of every segment).
 *
 * A reading is good when each limit that is set is met. A quantity that a limit asks for and that
 * was not read makes the reading unknown, never good. Between two good readings that are no further
 * apart than interval_max_ms the water counts as good; so it does up to interval_max_ms before the
 * first and after the last reading of the period. Everything else is a stretch to hold: what was
 * washed or watered in it is on hold. A stretch reaches from the last good reading before to the
 * first good one after. */
#ifndef CALC_WATER_WATER_PERIOD_H
#define CALC_WATER_WATER_PERIOD_H

#include "calc/water/ct_credit.h"

/* Not read, or no limit. */
#define WATER_NONE INT64_MIN

enum water_quantity {
    WATER_DISINFECTANT_UG_L, /* ug/L, thousandths of mg/L */
    WATER_PH_MILLI,          /* thousandths */
    WATER_TEMP_MC,           /* thousandths of a degree Celsius */
    WATER_TURBIDITY_MNTU,    /* thousandths of NTU */
    WATER_ORP_MV,            /* mV */
    WATER_FLOW_ML_MIN,       /* mL/min */
    WATER_QUANTITIES
};

struct water_reading {
    int64_t time_ms;
    int64_t value[WATER_QUANTITIES]; /* WATER_NONE: not read */
};

struct water_limits {
    int64_t low[WATER_QUANTITIES];  /* WATER_NONE: no limit; the limit itself is good */
    int64_t high[WATER_QUANTITIES]; /* likewise */
    int64_t interval_max_ms;        /* 1 .. 7 days */
};

/* volume_l and baffling as in struct ct_segment; baffling from a tracer test. */
struct water_segment {
    double volume_l;
    double baffling;
};

/* A reading at which nothing flows is not judged by it. */
struct water_chain {
    const struct water_segment *segments;
    size_t count;              /* 0: contact time is not judged; up to CT_SEGMENTS_MAX */
    double giardia_log_needed; /* 0 .. 3 */
    double virus_log_needed;   /* 0 .. 4 */
};

enum water_state {
    WATER_GOOD,
    WATER_NO_DATA,
    WATER_UNKNOWN, /* nothing bad was read, but something was not read: for review */
    WATER_BAD
};

struct water_stretch {
    int64_t from_ms; /* last good reading before, or the begin of the period */
    int64_t to_ms;   /* first good reading after, or its end */
    bool bad;        /* a limit was broken in it; otherwise it is only unknown */
};

enum { WATER_STRETCHES_MAX = 64 };

struct water_period {
    enum water_state state;
    size_t good; /* readings */
    size_t bad;
    size_t unknown;
    size_t broken[WATER_QUANTITIES]; /* readings that broke that quantity's limits */
    size_t unread[WATER_QUANTITIES]; /* readings that lack it though it is asked for */
    size_t ct_low;                   /* readings at which the chain was worth too little */
    int64_t longest_ms;              /* longest silence, ends of the period included */
    bool has_ct;                     /* the chain could be judged at one reading at least */
    double giardia_log_lowest;
    double virus_log_lowest;
    size_t stretches; /* to hold; more than WATER_STRETCHES_MAX are joined to the last */
    struct water_stretch stretch[WATER_STRETCHES_MAX];
};

/* begin_ms <= end_ms; readings within them, ascending (equal times allowed). Values: disinfectant 0
 * .. 1e9, pH 0 .. 14000, temperature -5000 .. 100000, turbidity 0 .. 1e7, ORP -2000 .. 2000, flow
 * 0 .. 1e12. NUMBER_BAD, FIELD_RANGE on interval_max_ms, begin_ms, readings[i].time,
 * readings[i].ph and so on, segments, segments[i].volume_l, segments[i].baffling,
 * giardia_log_needed, virus_log_needed; LOG_BACKWARDS. */
MUST_USE struct result water_period(const struct water_reading *readings, size_t count,
                                    int64_t begin_ms, int64_t end_ms,
                                    const struct water_limits *limits,
                                    const struct water_chain *chain, struct water_period *out);

/* Limits of which none is set, with the interval. */
struct water_limits water_limits_none(int64_t interval_max_ms);
/* A reading of which nothing was read. */
struct water_reading water_reading_none(int64_t time_ms);
/* "disinfectant", "ph", "temp", "turbidity", "orp", "flow" */
const char *water_quantity_word(enum water_quantity quantity);
/* "good", "no-data", "unknown", "bad" */
const char *water_state_word(enum water_state state);

#endif
