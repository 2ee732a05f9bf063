/* Lists of markets as lots carry them: names joined by commas, sorted, each once. */
#ifndef LEDGER_MARKETS_H
#define LEDGER_MARKETS_H

#include "ledger/draft.h"

/* The array "markets", of names that the profile has; "" when none is given. FIELD_CHOICE,
 * FIELD_RANGE, FIELD_MISSING, PROFILE_MISSING. */
MUST_USE struct result markets_read(struct draft *d, enum json_need need, const char **out);
/* Those in both lists. A list without any name binds nothing: the other one counts. */
const char *markets_common(struct arena *a, const char *one, const char *other);

#endif
