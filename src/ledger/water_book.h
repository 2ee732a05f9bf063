/* All that the record says of one water over a stretch of time: how it goes round, the tanks in
 * which its disinfectant works, when it was let run again after a stop, and what was read of it.
 * Clauses, alarms and pages judge by the same book (water_credit.h, water_balance.h).
 *
 * Kept lists (ledger/listed.h): "water-loop" of a place, data {rule?, measure?, volume_ml,
 * fresh_milli, decay_milli, change_ms}; "water-segment" of a place, data {volume_ml, flow_ml_min,
 * baffling_milli}; "stop" of a place, active while it stands, data {why, told, reading_ms}. */
#ifndef LEDGER_WATER_BOOK_H
#define LEDGER_WATER_BOOK_H

#include "ledger/profile.h"
#include "store/store.h"

/* What is read of water. */
enum water_meter {
    METER_CHLORINE,
    METER_PH,
    METER_TEMP,
    METER_TURBIDITY,
    METER_FLOW,
    METER_SOLIDS,
    METER_CONDUCTIVITY,
    METER_MAKE_UP,
    METER_BLOW_DOWN,
    METER_ORP,
    METERS
};

struct water_meter_row {
    const char *field; /* of the command */
    const char *unit;  /* of the reading kept */
    const char *told;  /* the unit as it is told */
    const char *limit; /* of the profile, where it has it; NULL: none */
    int64_t high;      /* 1/1000 of the unit */
    const char *range;
};
extern const struct water_meter_row water_meters[METERS];
/* METERS: none has this unit. */
enum water_meter water_meter_of(const char *unit);
/* METERS: none has this field. */
enum water_meter water_meter_named(const char *field);

struct water_read {
    enum water_meter meter;
    int64_t value; /* 1/1000 of the unit */
    int64_t at_ms, entry;
    bool ok;
};

struct water_tank {
    const char *code;
    int64_t volume_ml, flow_ml_min, baffling_milli;
    int64_t from_ms, entry;
    bool active;
};

struct water_loop {
    const char *rule;         /* NULL: that of its kind of place */
    enum water_meter measure; /* METERS: what gathers in it is not followed */
    int64_t volume_ml, fresh_milli, decay_milli, change_ms; /* change_ms 0: none is planned */
    int64_t from_ms, entry;
    bool active;
};

struct water_book {
    const char *place;
    struct water_loop *loops; /* versions in ledger order */
    size_t loop_count;
    struct water_tank *tanks; /* by code, versions in ledger order */
    size_t tank_count;
    int64_t *restarts; /* a new period begins */
    size_t restart_count;
    struct water_read *reads; /* in order of time */
    size_t read_count;
};

/* With the readings between two moments, both included. */
MUST_USE struct result water_book_read(struct store *s, struct arena *a, const char *place,
                                       int64_t from_ms, int64_t to_ms, struct water_book *out);
/* How it went round at a moment; NULL: it did not. */
const struct water_loop *water_loop_at(const struct water_book *b, int64_t at_ms);
/* The rule of a place: its loop's, else that of its kind; NULL: the profile has none. */
const struct water_rule *water_rule_of(const struct profile *p, const struct water_loop *loop,
                                       const char *place_kind);
/* When the water was last changed or its place cleaned, at a moment or before; 0: never. */
MUST_USE struct result water_changed(struct store *s, const char *place, int64_t at_ms,
                                     int64_t *out_ms);

#endif
