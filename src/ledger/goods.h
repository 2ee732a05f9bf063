/* Parts of lots that are moved, shipped, taken back, destroyed, split or worked again: cases by
 * number, pieces, or a mass. What stands in cases is named by its cases. */
#ifndef LEDGER_GOODS_H
#define LEDGER_GOODS_H

#include "ledger/inputs.h"

enum { GOODS_UNITS_MAX = 2000, GOODS_LOTS_MAX = 200 };

struct goods {
    struct lot lot;
    const char *path;   /* of the field that names it, "units" or "lot" */
    int64_t pieces;     /* 0: it is not counted in pieces */
    struct amount mass; /* what leaves with it */
    struct unit *units; /* the cases named, or all that are here when the whole lot is meant */
    size_t unit_count;
    bool whole; /* all that was left */
};

/* Reads "units", or "lot" with "pieces", a mass, or nothing for all that is left; one goods a lot,
 * in order of first appearance. path: of the object, "" for the command. A case that is not here
 * any more: a broken rule (UNIT_GONE). Errors: LOT_UNKNOWN, UNIT_UNKNOWN, RANGE_BAD, UNITS_WANTED
 * where a lot stands in cases and pieces or a mass are asked for, FIELD_RANGE. */
MUST_USE struct result goods_read(struct draft *d, const json_t *object, const char *path,
                                  struct goods **out, size_t *out_count);
/* Was it ever counted in pieces? */
MUST_USE struct result lot_counted(struct draft *d, int64_t lot, bool *out);
/* Takes mass and pieces out of the lot. */
MUST_USE struct result goods_take(struct draft *d, const struct goods *g);
/* Into the lot: what was taken out of another, or came out of an account. */
MUST_USE struct result goods_put(struct draft *d, const struct goods *g);
/* Into an account, or with sign -1 out of it. */
void goods_to_account(struct draft *d, const struct goods *g, const char *account, int sign);
/* The cases are somewhere else now; place and shipment may be NULL and 0. */
void goods_set_units(struct draft *d, const struct goods *g, const char *state, const char *place,
                     int64_t shipment);
/* Mass that goes with pieces of a lot as the books stand in this draft: pieces times the mean net
 * that the lot was packed with, never more than there is; the last pieces take the rest. */
MUST_USE struct result mass_of_pieces(struct draft *d, int64_t lot, int64_t pieces,
                                      struct amount *out);
/* The mean net that a lot was packed with, mg; 0 where it was not packed here. */
MUST_USE struct result packed_mean(struct draft *d, int64_t lot, int64_t *out_mg);
/* The cases of a lot that are here. */
MUST_USE struct result units_here(struct draft *d, int64_t lot, struct unit **out,
                                  size_t *out_count);
/* Growing and supplier lots are never cut or joined (LOT_KIND); kinds in the comma list apart break
 * a rule: seed is tested and approved delivery by delivery, a load is treated as one filling. */
MUST_USE struct result goods_may_cut(struct draft *d, const struct goods *g, const char *apart);
/* The cases go over into another lot, with the holds that name them. */
MUST_USE struct result goods_units_into(struct draft *d, const struct goods *g, int64_t lot);
/* The array "inputs" of objects as goods_read takes them, a lot once. */
MUST_USE struct result goods_read_inputs(struct draft *d, struct goods **out, size_t *out_count);
/* As inputs of one moment, with the rules of each lot and of mixing checked; stops: see
 * lot_not_held. */
MUST_USE struct result goods_as_inputs(struct draft *d, const struct goods *goods, size_t count,
                                       const char *stops, struct input **out);
/* The end of a step from goods to one new lot at the moment the command happened: puts into it what
 * was taken out of them, with edges, step and answer, and closes those that are empty. place may be
 * NULL. */
MUST_USE struct result goods_made(struct draft *d, const struct goods *goods, size_t count,
                                  const struct input *inputs, const char *place,
                                  const struct goods *made);
/* lot, pieces and mass into the answer. */
void goods_answer(struct draft *d, const struct goods *made);
/* "3.5 kg" or "40 pieces": for sentences. */
const char *goods_text(struct draft *d, const struct goods *g);

#endif
