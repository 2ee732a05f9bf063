/* Who orders, and what can be ordered: packed goods and by-products. */
#ifndef LEDGER_SOLD_H
#define LEDGER_SOLD_H

#include "ledger/draft.h"

/* customer and item stand at path: "" or "lines[2].". What is only called off (wanted false) need
 * not be sold any more. PARTNER_UNKNOWN, ITEM_UNKNOWN, FIELD_CHOICE for what is not sold. */
MUST_USE struct result sold_names(struct draft *d, const char *path, const char *customer,
                                  const char *code, bool wanted);

#endif
