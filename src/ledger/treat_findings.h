/* What is wrong with the log of a treatment itself, whatever it says of the heat: each a deviation
 * of its own, since the next log will have it too. */
#ifndef LEDGER_TREAT_FINDINGS_H
#define LEDGER_TREAT_FINDINGS_H

#include "ledger/treat_log.h"

/* Books: a log coarser than a fifth of the hold (hold_ms 0: not asked), silences longer than
 * gap_max_ms (0: twice the usual interval), points at which a probe gave no reading. */
MUST_USE struct result treat_findings(struct draft *d, int64_t load, const char *load_code,
                                      const char *place, const struct treat_log *log,
                                      int64_t hold_ms, int64_t gap_max_ms);

#endif
