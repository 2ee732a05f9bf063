/* Who may settle what was told and not booked, besides whoever told it. */
#ifndef LEDGER_ASIDE_H
#define LEDGER_ASIDE_H

extern const char aside_roles[]; /* a comma list */

#endif
