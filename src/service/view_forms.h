/* The recording forms for a page, from the table of forms.def, the profile and the house. */
#ifndef SERVICE_VIEW_FORMS_H
#define SERVICE_VIEW_FORMS_H

#include "service/view.h"

/* {forms:[{kind, act, title, mode, roles, reviewed, moves_mass, confirm, signs, group,
 * fields:[{name, label, kind, required, either, choices, of, unit, help, default, only_with}]}]}:
 * every step of the profile in its order, then what the house tells and decides.
 *
 * either: names of fields of which any may stand in this one's place; null. default: what the house
 * leaves no choice of, and the instrument that was used last at the place. */
MUST_USE struct result view_forms(struct view *v, json_t **out);

#endif
