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

#endif
