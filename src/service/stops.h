/* What is stopped in the house now, in words that anybody may read: no person stands in it. */
#ifndef SERVICE_STOPS_H
#define SERVICE_STOPS_H

#include "service/view.h"

/* [{"place", "of": "water" or "line", "why", "since_ms"}], newest first: water that is stopped, and
 * lines whose detector found one metal twice and whose stop nobody has said to be done. Errors of
 * the store. */
MUST_USE struct result stops_json(const struct view *v, json_t **out);

#endif
