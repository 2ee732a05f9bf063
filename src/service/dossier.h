/* The printed history of one lot, filled from the record: what it is, the clauses of its release,
 * the entries behind it and behind what went into it, its balance, who signed, and the proof that
 * the signed entries stand in the daybook. */
#ifndef SERVICE_DOSSIER_H
#define SERVICE_DOSSIER_H

#include "service/plant.h"

/* Has the record grown since its last signed head (or was none signed yet)? Then a head signed
 * first, by the request {"do":"sign","why":"dossier"}, lets the dossier prove all of it. */
MUST_USE struct result dossier_head_behind(struct plant *reader, bool *out);

/* A4 as PDF in the reader's language (base/words.h), proved by the last signed head; what that does
 * not cover yet is said on the paper. Reads in a transaction of its own. LOT_UNKNOWN,
 * PROFILE_MISSING, STORE_DAMAGED when the daybook does not give the root that was signed; the
 * errors of paper/dossier.h. */
MUST_USE struct result dossier_of_lot(struct plant *reader, const char *lot, const char *lang,
                                      int64_t now_ms, struct arena *a, const uint8_t **out_pdf,
                                      size_t *out_len);

#endif
