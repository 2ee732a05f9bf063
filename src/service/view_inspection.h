/* How the lot that a form is about is inspected by sample, before anybody counts. */
#ifndef SERVICE_VIEW_INSPECTION_H
#define SERVICE_VIEW_INSPECTION_H

#include "service/view.h"

/* What is typed so far; NULL: not yet. */
struct view_inspection_asked {
    const char *form;            /* a kind as it is told: a step that receives or checks, or
                                    "delivery-check" */
    const char *supplier, *item; /* of what is received */
    int64_t sacks;               /* 0: not yet */
    const char *lot;             /* that is inspected */
};

/* {"inspection", "from", "item", "size", "samples", "accept", "reject", "again", "recalled"}: the
 * inspection of the supplier's or line's next lot of the item (normal, tightened, discontinued);
 * inspection null where none is asked, or where what is typed says not yet which. samples, accept
 * and reject null without a size. again: the lot was decided on before. recalled: the plan's row is
 * from memory, to be verified with the standard. Errors of the store. */
MUST_USE struct result view_inspection(struct view *v, const struct view_inspection_asked *asked,
                                       json_t **out);

#endif
