/* Signed heads kept beside the record, in plant.heads (a JSON line each), as one of the places that
 * a head leaves the house for. A record that is shorter than a head it once signed was put back
 * from an older copy: it takes nothing but the "restored" entry that names that head. */
#ifndef SERVICE_WITNESS_H
#define SERVICE_WITNESS_H

#include "service/plant.h"

/* Appends a head, as answered by {"do":"sign"}, and syncs. Called after the head's transaction is
 * durable. FILE_WRITE. */
MUST_USE struct result witness_put(const char *folder, const json_t *head);
/* The head that the record is shorter than, as an object for {"kind":"restored","head":...} (owned
 * by the caller); NULL: none, or a restored entry names it already. */
MUST_USE struct result witness_missing(struct plant *plant, struct arena *a, json_t **out_head);
/* All kept heads, oldest first, an array owned by the caller. A half-written last line is left out.
 */
MUST_USE struct result witness_all(const char *folder, struct arena *a, json_t **out);

/* The kept heads of at most so many entries, held against the record: its tree must begin with the
 * leaves they were signed over. One that was signed over entries that a "restored" entry tells to
 * be gone, before they went, does not fit and is no damage. */
struct witness_report {
    int64_t kept;
    int64_t gone;  /* of these: their entries are told to be gone */
    int64_t wrong; /* of these: do not fit, and nothing tells why */
};
MUST_USE struct result witness_compare(struct plant *plant, int64_t entries, struct arena *a,
                                       struct witness_report *out);

#endif
