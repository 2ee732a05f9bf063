/* Making again what a struck entry had made: under the same ids and codes, as it stands by what was
 * told since. */
#ifndef LEDGER_REMAKE_H
#define LEDGER_REMAKE_H

#include "ledger/draft.h"
#include "ledger/strike.h"

/* Before the replacement is decided: its lots may take the ids and codes of the struck ones. */
void remake_offer(struct draft *d, const struct strike *k);
/* After it was decided: cases, runs and samples take theirs, and rows of things made again carry
 * what later entries changed. out_again: the ids of all that is made again. strike: the entry that
 * struck them. */
MUST_USE struct result remake_settle(struct draft *d, const struct strike *k, int64_t strike,
                                     struct id_set *out_again);
/* What is taken out onward of a lot that is made again smaller is owed; what comes into its history
 * anew reaches what was made from it. */
MUST_USE struct result remake_follow(struct draft *d, const struct strike *k);

#endif
