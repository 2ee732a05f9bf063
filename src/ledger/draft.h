/* A draft: what a decide function wants the entry to do. Building one writes nothing.
 *
 * Amount legs must sum to zero for each unit before the draft is taken (checked). */
#ifndef LEDGER_DRAFT_H
#define LEDGER_DRAFT_H

#include "ledger/command.h"

enum effect {
#define ROW(name, NAME, fields) EFFECT_##NAME,
#define SET(name, NAME, values) EFFECT_##NAME,
#include "ledger/effects.def"
#undef ROW
#undef SET
    EFFECT_STRIKE,
    EFFECT_COUNT
};

struct draft_delta {
    int64_t lot;
    char unit; /* m mg, p pieces, l mL */
    int64_t amount;
};

/* A lot that a struck entry made and the replacement may make again under its id and code. */
struct draft_reuse {
    int64_t id;
    const char *code, *item, *kind;
    bool used;
};

struct draft {
    struct ledger *lg;
    struct store *store;
    struct arena *arena;
    const struct command *cmd;
    const struct profile *profile;
    int64_t seq;
    int ids;  /* used so far */
    int legs; /* movement legs so far */
    json_t *effects;
    json_t *answer;
    json_t *deviations; /* sentences for the answer */
    int64_t sum_mg, sum_pieces, sum_ml;
    struct draft_delta *delta; /* what this draft has already moved, per lot and unit */
    size_t delta_count, delta_room;
    struct draft_reuse *reuse;
    size_t reuse_count;
    struct draft_blob *blobs;      /* bytes that go in with the entry, by digest */
    struct draft_made *made;       /* lots made by this draft */
    struct draft_covered *covered; /* (hold, lot) pairs already written by this draft */
};

/* A new id of any table. */
int64_t draft_id(struct draft *d);
/* Adds an effect. format has a letter per field: i int64_t, o int64_t where 0 means null,
 * t const char * (NULL: null), b struct hash *, n null (takes no argument).
 * The arguments are the effect's fields in order, without the entry itself. Integers must be passed
 * as int64_t. */
void draft_add(struct draft *d, enum effect effect, const char *format, ...);

/* A rule is broken. Asked: returns the failure. Told: books a deviation (rule, lot or 0, place or
 * NULL, window or 0) whose sentence is the failure's, and returns OK. */
MUST_USE struct result draft_break(struct draft *d, const char *rule, int64_t lot,
                                   const char *place, int64_t from_ms, int64_t to_ms,
                                   struct result failure);

/* The same for what was found rather than done (a check that failed, a clean that doesn't count):
 * booked whether asked or told. COMMAND_LONG when one entry would hold too many. */
MUST_USE struct result draft_deviation(struct draft *d, const char *rule, int64_t lot,
                                       const char *place, int64_t from_ms, int64_t to_ms,
                                       struct result failure);

/* No single mass is larger than a million tonnes; sums of the legs of an entry then stay within 63
 * bits. */
#define MASS_MAX_MG INT64_C(1000000000000000)

enum amount_unit { UNIT_MG, UNIT_PIECES, UNIT_ML };
enum amount_how { HOW_WEIGHED, HOW_COUNTED, HOW_STANDARD, HOW_DIFFERENCE };

struct amount {
    enum amount_unit unit;
    int64_t value; /* never negative where a command gives it */
    enum amount_how how;
    const char *instrument; /* NULL: none named */
    int64_t gross, tare;    /* mg; 0 unless weighed with both */
    int64_t uncertainty;    /* standard uncertainty, same unit; 0: not known */
};

/* Reads mass, how, instrument, gross, tare of an object. path "" or "outputs[0]". UNIT, RANGE
 * errors (up to MASS_MAX_MG); the instrument must be known (INSTRUMENT_UNKNOWN) and in calibration
 * (told: a deviation; asked: refused). default_how when none is given. *out_given false when there
 * is no mass and need is JSON_OPTIONAL. */
MUST_USE struct result draft_read_mass(struct draft *d, const json_t *object, const char *path,
                                       enum json_need need, enum amount_how default_how,
                                       struct amount *out, bool *out_given);

/* One leg: amount.value > 0 goes into the lot or account, sign < 0 takes out. A lot that would fall
 * below zero: asked refused (STOCK_SHORT), told booked and shown as owed with a task to explain it.
 */
MUST_USE struct result draft_move_lot(struct draft *d, int64_t lot, const char *lot_code, int sign,
                                      const struct amount *amount);
/* Accounts: supplier water air drain waste feed compost sample customer unexplained made. */
void draft_move_account(struct draft *d, const char *account, int sign,
                        const struct amount *amount);
/* The lot's balance in the view plus what this draft has moved. */
MUST_USE struct result draft_balance(struct draft *d, int64_t lot, enum amount_unit unit,
                                     int64_t *out);

struct new_lot {
    const char *code; /* NULL: made from item and house day */
    const char *item, *kind, *place;
    int64_t born_ms;
    int32_t day;
    const char *supplier, *supplier_code;
    int64_t supplier_lot;
    int32_t best_before; /* 0: none */
    const char *markets; /* comma list, sorted; "" none */
};
/* LOT_EXISTS (asked or told: a told lot code that exists can't be placed). FIELD_RANGE for a code
 * that can't stand on a label or in a range of cases. */
MUST_USE struct result draft_lot(struct draft *d, const struct new_lot *lot, int64_t *out_id,
                                 const char **out_code);
/* Parent into child, with the holds of the parent that are open: what is made from held goods is
 * born held. */
MUST_USE struct result draft_edge(struct draft *d, int64_t parent, int64_t child, int64_t mg,
                                  const char *basis);
/* A step row; -> its id. */
int64_t draft_step(struct draft *d, const char *place, int64_t run, int64_t start_ms,
                   int64_t end_ms, int64_t lot, const char *note);
void draft_step_lot(struct draft *d, int64_t step, int64_t lot, const char *side, int64_t mg,
                    int64_t from_ms, int64_t to_ms);
void draft_task(struct draft *d, const char *kind, const char *what, int64_t lot, const char *place,
                int64_t due_ms);
/* A hold on lots (units 0) or units; stops "use,mix,pack,release,load"; -> its code. */
const char *draft_hold(struct draft *d, const char *kind, const char *stops, const char *needs,
                       const char *reason, int64_t run, int64_t from_ms, int64_t to_ms,
                       int64_t *out_id);
void draft_hold_on(struct draft *d, int64_t hold, int64_t lot, int64_t unit, const char *via);

/* Bytes kept by their SHA-256 beside the entry (an attachment, a sealed piece, a profile's text).
 */
struct hash draft_blob(struct draft *d, const char *kind, const char *name, const void *bytes,
                       size_t len);

/* start/end of the command: fields start and end, each defaulting to the moment it happened.
 * END_BEFORE_START. */
MUST_USE struct result draft_read_span(struct draft *d, int64_t *out_start_ms, int64_t *out_end_ms);

void draft_init(struct draft *d, struct ledger *lg, struct arena *a, const struct command *cmd);
void draft_release(struct draft *d);
/* Checks sums, appends the entry and folds it; the draft's answer gets "entry". cause 0: none. */
MUST_USE struct result draft_take(struct draft *d, int64_t cause);

/* FIELD_UNKNOWN for a field that is neither of the envelope nor in names (NULL-ended). Every decide
 * function calls it first. */
MUST_USE struct result draft_only(struct draft *d, const char *what, const char *const *names);

/* A decide function reads the command and the view and fills the draft; it writes nothing. Its act
 * stands in acts.def. */
typedef struct result decide_fn(struct draft *d);
struct act {
    const char *name;
    decide_fn *decide;
    const char *roles; /* comma list for house kinds; NULL: an act that only the profile's steps
                          use, with their own roles */
};
const struct act *act_find(const char *name);
#define ACT(name, function, roles) decide_fn function;
#include "ledger/acts.def"
#undef ACT

#endif
