/* What a form offers out of the house's own lists. */
#ifndef SERVICE_FORM_LISTS_H
#define SERVICE_FORM_LISTS_H

#include "service/view.h"

/* Adds {value, label} to an array for each row of a list as it stands: "@duties" (those that are
 * told), "@sites", "@registers", "@chemicals", "@work-orders", "@retained", "@deviations" (the
 * newest that are open), "@tasks" (open, the next due first). *out_is false: it names no such list.
 */
MUST_USE struct result form_list(struct view *v, const char *name, json_t *list, bool *out_is);

#endif
