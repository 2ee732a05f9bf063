/* Between view_house.c and the file that puts a profile's rules into words; nobody else includes
 * this. */
#ifndef SERVICE_VIEW_RULES_H
#define SERVICE_VIEW_RULES_H

#include "service/view_inner.h"

/* What the profile asks beside its limits, in the reader's language: [{rule (surface, recipe,
 * market, retest, zone, training, acceptance, clause), name, says, source, locator, word}]; word
 * "": the house's own choice. */
json_t *rules_json(const struct view *v);

#endif
