/* The append-only file: entries as leaves of the tree. */
#ifndef LEDGER_DAYBOOK_H
#define LEDGER_DAYBOOK_H

#include "ledger/command.h"

/* Appends the entry that lg->next_seq stands for and moves the tree's edge on. body is canonical
 * JSON. */
MUST_USE struct result daybook_append(struct ledger *lg, struct arena *a, const struct command *cmd,
                                      int64_t cause, const char *body);
/* Reads the profile in force now, where it is another than before. */
MUST_USE struct result ledger_profile_load(struct ledger *lg);
/* The entry under a uuid; *out_found false when there is none. */
MUST_USE struct result entry_by_uuid(struct store *s, struct arena *a, const uint8_t uuid[16],
                                     struct entry *out, bool *out_found);
/* The answer a command got, with the answers of the entries it caused under "consequences". The
 * caller owns it. */
MUST_USE struct result answer_compose(struct store *s, struct arena *a, int64_t seq, json_t **out);
/* Reads the row a daybook query stands on (columns in table order). */
void entry_read_row(struct statement *q, struct arena *a, struct entry *out);

#endif
