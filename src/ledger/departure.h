/* Reasons for a start that went otherwise than planned, and how they are noted: code is the
 * chamber, data {"day", "what"|null, "why"}. */
#ifndef LEDGER_DEPARTURE_H
#define LEDGER_DEPARTURE_H

#define DEPARTURE_NOTED "departure"
#define DEPARTURE_REASONS "seed-short,chamber-not-ready,people-short,decided-otherwise"

#endif
