/* What stands of the house's waters: stops, and those that go round. */
#ifndef SERVICE_VIEW_WATERS_H
#define SERVICE_VIEW_WATERS_H

#include "service/view_inner.h"

struct water_stopped {
    const char *place, *why; /* reading, contact, result */
    const char *told;        /* comma list of roles */
    int64_t since_ms, entry;
    int64_t heard_ms, heard_by; /* 0: nobody said so yet */
};

/* Stops that stand, by place. */
MUST_USE struct result waters_stopped(const struct view *v, struct water_stopped **out,
                                      size_t *out_count);
/* Places that have, or had, a loop, by code. */
MUST_USE struct result water_loop_places(const struct view *v, const char ***out,
                                         size_t *out_count);
/* Why a water is stopped, in words. */
#define SAY_WHY(v, why) words_of((v)->arena, (v)->lang, "stop-why.", (why), (why))

/* Puts into the answer of view_waters what goes round: "stops" [{place, why, since_ms, entry,
 * heard_ms, heard_by}], "loops" [{place, rule, contact, periods, balance}] and "duties" [{code,
 * title, place, due_ms, state}]. A loop's contact is of the period that holds at_ms, its periods
 * are those between two moments, its balance is as known at at_ms. */
MUST_USE struct result view_water_loops(const struct view *v, int64_t from_ms, int64_t at_ms,
                                        json_t *out);

#endif
