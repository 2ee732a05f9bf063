/* The clauses of release, judged by one pure function.
 *
 * A lot's list is its own clauses plus those of everything it can contain: a line a clause, lot
 * and, where a clause looks at several, place or market. Lines come in the order of the profile's
 * clauses, then of the evidence's lots. A line is met, unmet or not applicable, and the last only
 * where the profile says so with a source that may release. What is pending, presumptive, invalid
 * or missing is never negative, and what the profile or the evidence does not say is unmet.
 *
 * The ten clauses after the release predicate of the US rule on sprouts, 21 CFR 112.142-147 and
 * 112.161 (published, seen in part; the sections stand in the profile), with the scopes of clean of
 * the profile. */
#ifndef LEDGER_CLAUSE_H
#define LEDGER_CLAUSE_H

#include "base/json.h"
#include "ledger/evidence.h"
#include "ledger/profile.h"

enum clause_state { CLAUSE_MET, CLAUSE_UNMET, CLAUSE_NOT_APPLICABLE };

struct clause_line {
    const char *clause;
    size_t lot;                 /* in the evidence */
    const char *lot_code;       /* the lot it is about */
    const char *place, *market; /* NULL: of no one place, market */
    enum clause_state state;
    struct result reason; /* CODE_OK when met; else a code of codes.def with its values */
    int64_t *entries;     /* daybook lines behind it, rising */
    size_t entry_count;
    const char **way; /* codes from the lot asked about to this one, both included */
    size_t way_count;
};

struct clause_list {
    struct clause_line *lines;
    size_t line_count;
    size_t unmet; /* how many of them */
};

/* markets: comma list; "" leaves the clauses that depend on them unmet. */
void clauses_judge(const struct evidence *e, const struct profile *p, const char *markets,
                   struct arena *a, struct clause_list *out);
/* Collects and judges. markets "": the lot's own, or all of the profile's where it has none. */
MUST_USE struct result clauses_of_lot(struct store *s, const struct profile *p, int64_t lot,
                                      const char *markets, struct arena *a,
                                      struct clause_list *out);

/* The first unmet line, NULL: none. */
const struct clause_line *clauses_first_unmet(const struct clause_list *list);
/* Is every line of that clause met or not applicable, and is there one? */
bool clause_holds(const struct clause_list *list, const char *clause);
/* [{"clause","lot","place"?,"market"?,"state","code"?,"field"?,"values"?,"entries","way"}..];
 * the caller owns it. */
json_t *clauses_json(const struct clause_list *list);
const char *clause_state_text(enum clause_state state);

#endif
