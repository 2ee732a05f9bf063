/* Evidence of one packed lot with every clause met, built by hand: P-1 holds three batches, G-1 to
 * G-3, each of a load and a seed lot of its own, and is meant for the markets US and EU. A test
 * changes one thing and looks at what the clauses make of it. */
#ifndef TESTS_LEDGER_CLAUSE_WORLD_H
#define TESTS_LEDGER_CLAUSE_WORLD_H

#include "../support.h"

#include "ledger/clause.h"

#define HOURS(n) (INT64_C(3600000) * (n))
#define MINUTES(n) (INT64_C(60000) * (n))
#define BEGIN_MS INT64_C(1767225600000) /* 2026-01-01T00:00:00Z (computed here: 20454 days) */
#define PACK_MS (BEGIN_MS + HOURS(8 * 24 + 4)) /* P-1 is packed from then on, for an hour */

enum { DOER = 10, REVIEWER = 2, BATCHES = 3 };

struct clause_world {
    struct arena arena;
    struct profile *profile;
    struct evidence e;
    const char *markets;
    struct clause_list list;
    int64_t seq; /* entries so far */
};

void world_open(struct clause_world *w);
void world_close(struct clause_world *w);
/* Judges anew. */
void world_judge(struct clause_world *w);

/* Index of a lot by code; the test is over when there is none. */
size_t world_lot(const struct clause_world *w, const char *code);
/* A new entry of a kind by DOER, reviewed by REVIEWER. */
int64_t world_entry(struct clause_world *w, const char *kind);
void world_unreview(struct clause_world *w, int64_t entry);
struct evidence_finding *world_finding(struct clause_world *w, size_t sample, const char *organism,
                                       const char *state);
struct evidence_check *world_metal_check(struct clause_world *w, int64_t at_ms, bool ok);
/* Of the water of WASH. */
struct evidence_check *world_water_reading(struct clause_world *w, int64_t at_ms, bool ok);
struct evidence_clean *world_clean(struct clause_world *w, const char *place, int64_t end_ms);
struct evidence_contact *world_contact(struct clause_world *w, const char *lot, const char *place);
/* The first finding of a sample and organism. */
struct evidence_finding *world_first_finding(struct clause_world *w, size_t sample,
                                             const char *organism);

/* Judges; exactly the lines of that clause about that lot (and market or place, NULL: none said)
 * are unmet, with that code, and all other clauses are met. */
void world_only_unmet(struct clause_world *w, const char *clause, const char *lot,
                      const char *where, enum code code);
/* The same, where the clause "reviewed" may say more. */
void world_unmet(struct clause_world *w, const char *clause, const char *lot, const char *where,
                 enum code code);
void world_all_met(struct clause_world *w);

#endif
