/* Between the view_*.c files; nobody else includes this. */
#ifndef SERVICE_VIEW_INNER_H
#define SERVICE_VIEW_INNER_H

#include "base/words.h"
#include "ledger/clause.h"
#include "ledger/view.h"
#include "service/chamber.h"
#include "service/view.h"

/* A sentence of the catalogue in the reader's language. */
#define SAY(v, key, ...) WORDS((v)->arena, (v)->lang, (key), __VA_ARGS__)

/* Never NULL. */
json_t *view_int(bool known, int64_t value); /* null where it is not known */
json_t *view_text(const char *text);         /* null for NULL and "" */
json_t *view_list(const char *comma_list);   /* array of texts */
void view_put(json_t *object, const char *key, json_t *value);
void view_append(json_t *array, json_t *value);
/* Hands over what was filled, and frees it where that went wrong. -> r */
MUST_USE struct result view_hand_over(struct result r, json_t *value, json_t **out);

/* For sentences. */
const char *view_number(const struct view *v, int64_t value);
const char *view_minutes(const struct view *v, int64_t minutes); /* from two hours on with hours */
const char *view_mass(const struct view *v, int64_t mg); /* whole kg from 100 kg on, else 0.1 kg */
const char *view_clock(const struct view *v,
                       int64_t ms); /* "16:00", of another day with its date */
const char *view_hours(const struct view *v, int64_t ms);      /* "3 h", from two days on "4 d" */
const char *view_step(const struct view *v, const char *kind); /* the title of a step or act */

int32_t view_day(const struct view *v, int64_t ms); /* house day */
/* The moment a house day begins. */
MUST_USE struct result view_day_start(const struct view *v, int32_t day, int64_t *out_ms);
/* The number of the first entry booked at or after a moment; one behind the last: none. */
MUST_USE struct result view_entry_since(const struct view *v, int64_t ms, int64_t *out_seq);
/* The one number of the first row; otherwise when there is none. */
MUST_USE struct result view_first(struct statement *q, int64_t otherwise, int64_t *out);

/* {hold, kind, stops, needs, reason, placed_ms, by, lots, units, covered, lifted_ms} each. */
MUST_USE struct result view_holds_on(const struct view *v, int64_t lot, int64_t unit,
                                     json_t **out_array);

/* What may stand in the way of a release beside its clauses: holds that only wait for a laboratory
 * do not. */
bool view_hold_stops_release(const struct hold *hold);

/* What grows, as chamber_runs. */
struct chamber_ask view_chamber_ask(const struct view *v);
MUST_USE struct result view_runs(const struct view *v, struct chamber_run **out, size_t *out_count);

/* A chamber as the pages list it; out of service without a run. */
struct view_chamber {
    struct place place;
    const struct chamber_run *run; /* NULL: nothing grows in it */
    const struct crop *crop;       /* of the run; NULL: the profile does not know it */
    int64_t ready_ms;              /* 0: not known */
    int later_days;                /* than at the set point; below 0: sooner */
    struct chamber_yield yield;    /* once view_chamber_yield was asked */
    const char *state;             /* empty soaking growing ready to-clean out-of-service */
    int64_t emptied_ms;
};
/* By place, all without their yield. */
MUST_USE struct result view_chambers_read(const struct view *v, struct view_chamber **out,
                                          size_t *out_count);
/* What the batches of a crop gave: read from the history once for all its chambers. */
struct view_histories {
    const struct crop **crops;
    struct yield_history *list;
    size_t count;
};
struct view_histories view_histories_new(const struct view *v);
MUST_USE struct result view_chamber_yield(const struct view *v, struct view_histories *h,
                                          struct view_chamber *c);
MUST_USE struct result view_chamber_json(const struct view *v, const struct view_chamber *c,
                                         json_t **out);

#endif
