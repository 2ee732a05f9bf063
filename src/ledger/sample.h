/* Samples as commands name them. */
#ifndef LEDGER_SAMPLE_H
#define LEDGER_SAMPLE_H

#include "ledger/evidence.h"
#include "ledger/view.h"

struct sample {
    int64_t id, lot;                            /* lot 0: of a place */
    const char *code, *place, *location, *what; /* place may be NULL */
    int64_t taken_ms, entry;
};
MUST_USE struct result sample_by_code(struct store *s, struct arena *a, const char *code,
                                      struct sample *out, bool *out_found);
/* The sample that the command's field "sample" names: SAMPLE_UNKNOWN. */
MUST_USE struct result sample_named(struct draft *d, struct sample *out);
/* Methods of any market whose confirmation clears a presumptive of the organism, as a comma list.
 */
const char *confirming_methods(const struct profile *p, const char *organism, struct arena *a);
/* "1 L", "1000 mL" -> mL. */
MUST_USE struct result volume_read(const char *text, const char *field, int64_t *out_ml);

#endif
