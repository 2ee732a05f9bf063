/* Everything that came off a place in a stretch of time, held: what went through between two good
 * checks when one between them failed. */
#ifndef LEDGER_WINDOW_H
#define LEDGER_WINDOW_H

#include "base/json.h"
#include "ledger/draft.h"
#include "ledger/kin.h"

struct window {
    const char *place;
    int64_t from_ms, to_ms;            /* from 0: from the beginning */
    const char *kind, *needs, *reason; /* of the holds */
    json_t *holds, *lots;              /* codes are added to these lists */
};

/* One hold a run, so that what is told later of its window is held as well; one more for what came
 * out of no run. With everything made of it since. */
MUST_USE struct result window_hold(struct draft *d, const struct window *w);
/* The lots named, whenever they were there; place and times are not looked at. */
MUST_USE struct result window_hold_lots(struct draft *d, const struct window *w,
                                        struct id_set *lots);

#endif
