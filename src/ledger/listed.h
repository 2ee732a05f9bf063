/* What the house keeps lists of (duties, sites, suppliers' approvals, chemicals, counted things,
 * work orders), and what was noted about them. Each kind says in its decide_*.c what its data
 * holds. */
#ifndef LEDGER_LISTED_H
#define LEDGER_LISTED_H

#include "base/json.h"
#include "ledger/draft.h"

struct listed {
    const char *code, *place, *about; /* place, about: may be NULL */
    int64_t until_ms;                 /* 0: no end */
    bool active;
    int64_t at_ms, entry;
    json_t *data; /* the caller's: listed_free */
};

/* The version of a code that stands, active or not. */
MUST_USE struct result listed_one(struct store *s, struct arena *a, const char *kind,
                                  const char *code, struct listed *out, bool *out_found);
/* All that are active, by code. */
MUST_USE struct result listed_all(struct store *s, struct arena *a, const char *kind,
                                  struct listed **out, size_t *out_count);
void listed_free(struct listed *list, size_t count);
/* A text or number of the data; NULL and 0 where there is none. */
const char *listed_text(const struct listed *l, const char *key);
int64_t listed_int(const struct listed *l, const char *key);

/* Adds a version; data is taken over. until_ms 0: none. at: when it was told to be so. */
void listed_add(struct draft *d, const char *kind, const char *code, const char *place,
                const char *about, int64_t until_ms, bool active, json_t *data);

struct noting {
    const char *kind, *code, *place; /* place NULL: none */
    int64_t lot, person;             /* 0: none */
    bool ok;
    int64_t until_ms; /* 0: none */
    json_t *data;     /* taken over; NULL: {} */
};
/* n: the how many-eth of this entry, from 0. */
void noted_add(struct draft *d, int64_t n, const struct noting *what);

/* When it was last noted as good, at a moment or before; 0: never. */
MUST_USE struct result noted_good(struct store *s, const char *kind, const char *code,
                                  int64_t before_ms, int64_t *out_ms);

/* Reading a field: where it is not given, *out stays as it was. */

/* A code as it stands on labels and sheets: 1 to 20 letters, digits, hyphens, points, underscores.
 */
MUST_USE struct result listed_code(const json_t *o, const char *key, enum json_need need,
                                   const char **out);
/* A text of 1 to most bytes. */
MUST_USE struct result listed_words(const json_t *o, const char *key, size_t most,
                                    enum json_need need, const char **out);
/* One of a comma list. */
MUST_USE struct result listed_choice(const json_t *o, const char *key, const char *choices,
                                     enum json_need need, const char **out);
/* A moment later than now; 0 where none is given. */
MUST_USE struct result listed_until(struct draft *d, const char *key, enum json_need need,
                                    int64_t *out_ms);

#endif
