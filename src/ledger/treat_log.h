/* The log of a heat treatment, from the command itself or from sealed pieces of a logger's series.
 */
#ifndef LEDGER_TREAT_LOG_H
#define LEDGER_TREAT_LOG_H

#include "calc/heat/heat_log.h"
#include "ledger/draft.h"

struct treat_log {
    struct heat_log_mc mc;
    size_t lost;  /* points at which some probe had no reading */
    bool overdue; /* a probe was past its calibration: such a log never meets a recipe */
};

/* {"log":{"probes":["T1",..],"points":[[ms after start, mC, mC..]..]}} or
 * {"series":{"name":..,"from":..,"to":..},"probes":["T1",..]} with a channel a probe, in order.
 * A point at which a probe has no reading is left out, so that it counts as a gap.
 * INSTRUMENT_UNKNOWN, LOG_MISSING, errors of series.h and heat_log.h. */
MUST_USE struct result treat_log_read(struct draft *d, struct treat_log *out);

#endif
