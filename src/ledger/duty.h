/* The schedule of what comes round: cleaning, swabs, checks, calibrations, inspections, yearly and
 * monthly duties. A duty is done when somebody tells it, or by the record itself: a valid clean of
 * its place, a swab at its site, a check, a calibration.
 *
 * Past its day it is due; a tenth of its interval later it is late; half an interval later it is
 * overdue, and a duty that blocks then stops what starts at its place (common practice). One never
 * done counts from when it was put on the list. */
#ifndef LEDGER_DUTY_H
#define LEDGER_DUTY_H

#include "ledger/listed.h"

enum duty_state { DUTY_DONE, DUTY_DUE, DUTY_LATE, DUTY_OVERDUE };

struct duty {
    const char *code, *title, *kind, *by, *role, *source;
    const char *place,
        *about; /* about: instrument, site, register or check it speaks of; may be NULL */
    int64_t every_ms, last_ms, due_ms; /* last_ms 0: never */
    bool blocks;
    enum duty_state state;
};

enum duty_state duty_state_at(int64_t due_ms, int64_t every_ms, int64_t now_ms);
const char *duty_state_text(enum duty_state state);

/* All on the list, as they stand at a moment, by code. */
MUST_USE struct result duties_at(struct store *s, struct arena *a, int64_t now_ms,
                                 struct duty **out, size_t *out_count);
/* Notes every duty that this record fulfils. by: "clean", "swab", "check", "calibrate",
 * "instrument-check", "register-count". place, about: NULL where there is none. */
MUST_USE struct result duties_met(struct draft *d, const char *by, const char *place,
                                  const char *about);
/* The first duty that blocks what starts at a place, or at one it stands in; *out_found false:
 * none. */
MUST_USE struct result duty_blocking(struct draft *d, const char *place, struct duty *out,
                                     bool *out_found);

#endif
