/* What a strike takes out of the record, and what rests on that. A strike takes an entry, others
 * named with it, and all that the record itself had concluded from any of them. */
#ifndef LEDGER_STRIKE_H
#define LEDGER_STRIKE_H

#include "ledger/kin.h"
#include "ledger/ledger.h"

/* A thing with an id that a struck entry made and others may use. */
enum made_kind { MADE_LOT, MADE_UNIT, MADE_RUN, MADE_SAMPLE, MADE_OTHER };
struct made {
    enum made_kind kind;
    int64_t id;
    const char *code;            /* NULL for MADE_OTHER */
    const char *item, *lot_kind; /* of a lot; else NULL */
};

struct struck {
    struct entry entry;
    json_t *effects;
};

struct strike {
    struct struck *list; /* newest first */
    size_t count;
    struct id_set entries; /* their numbers */
    struct made *made;
    size_t made_count;
};

/* An entry that stands and uses what would be gone. */
struct dependant {
    int64_t entry;
    const char *kind; /* of the entry */
    const char
        *lot; /* code of what it uses: a lot, case, run or sample; of a changed row its name */
};
struct dependants {
    struct dependant *list; /* in ledger order, each entry once */
    size_t count;
};

/* May an entry be struck at all? ENTRY_STRUCK, STRIKE_KIND with what to do instead, STRIKE_CAUSE.
 */
MUST_USE struct result strike_takes(struct store *s, struct arena *a, const struct entry *e,
                                    const char *field);
/* Told by that person less than a shift ago: then no quality is needed. profile may be NULL. */
bool strike_is_own(const struct profile *p, const struct entry *e, int64_t person, int64_t now_ms);

/* Reads the entries and what they caused. ENTRY_UNKNOWN. Must be released, whatever it gave. */
MUST_USE struct result strike_read(struct store *s, struct arena *a, const int64_t *entries,
                                   size_t count, struct strike *out);
void strike_release(struct strike *k);
/* What an entry that stands already struck, read the same way. */
MUST_USE struct result strike_done(struct store *s, struct arena *a, int64_t strike,
                                   struct strike *out);

/* Who used what they made, all but what stands in again (ids made once more, NULL: none). */
MUST_USE struct result strike_used(struct store *s, struct arena *a, const struct strike *k,
                                   const struct id_set *again, struct dependants *out);
/* Who changed later the rows that they changed. */
MUST_USE struct result strike_overtaken(struct store *s, struct arena *a, const struct strike *k,
                                        struct dependants *out);
/* Both, for showing the list before anything is struck. */
MUST_USE struct result strike_dependants(struct store *s, struct arena *a, const int64_t *entries,
                                         size_t count, struct dependants *out);
/* "14 wash (MUNG26060-02), 15 pack (..) and 3 more", and the whole list as JSON; the caller owns
 * it. */
const char *dependants_text(struct arena *a, const struct dependants *d);
json_t *dependants_json(const struct dependants *d);

/* The row that a SET effect changes was made by one of the struck entries. */
bool strike_made_row(const struct strike *k, const json_t *set);
/* Lots whose balance falls below zero once they are struck, beyond what is shown as owed already.
 * Lots that are gone altogether are not among them. */
struct below {
    int64_t lot;
    const char *unit; /* mg, pc, mL */
    int64_t short_by;
};
/* What is shown as owed of a lot, but for what some entries had booked (NULL: none). */
MUST_USE struct result owed_open(struct store *s, int64_t lot, const char *unit,
                                 const struct id_set *but, int64_t *out);
/* What the struck entries moved of each lot and unit (in short_by, as it was booked). */
void strike_moved(struct arena *a, const struct strike *k, struct below **out, size_t *out_count);
MUST_USE struct result strike_below(struct store *s, struct arena *a, const struct strike *k,
                                    struct below **out, size_t *out_count);

#endif
