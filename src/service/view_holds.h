/* Holds as a page and the command "hold list" show them. */
#ifndef SERVICE_VIEW_HOLDS_H
#define SERVICE_VIEW_HOLDS_H

#include "service/view.h"

/* {"holds":[Hold]}: open ones, oldest first, or the newest five hundred with the lifted ones. Hold:
 * {hold, kind, stops:[..], needs, reason, placed_ms, by, lots:[..], units, covered, lifted_ms}.
 * units: cases and pallets by number; covered: lots and units. Errors of the store. */
MUST_USE struct result view_holds(struct view *v, bool only_open, json_t **out);

#endif
