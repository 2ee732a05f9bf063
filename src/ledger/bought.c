#include "ledger/bought.h"

#include <string.h>

#include "ledger/view.h"

struct result bought_item(struct draft *d, const char *code, struct item *out)
{
    bool found;
    TRY(item_by_code(d->store, d->arena, code, out, &found));
    if (!found) {
        return FAIL1(ITEM_UNKNOWN, "item", code);
    }
    return list_has("seed,ingredient,packaging", out->kind)
               ? RESULT_OK
               : FAIL2(FIELD_CHOICE, "item", code,
                       "seed, ingredients and packaging; other lots are made here");
}

struct result bought_pieces(struct draft *d, const struct item *item, int64_t *out_pieces,
                            int64_t *out_mg)
{
    const json_t *o = d->cmd->body;
    *out_pieces = *out_mg = 0;
    TRY(json_get_int(o, "pieces", "pieces", JSON_OPTIONAL, 1, 100000000, out_pieces));
    if (*out_pieces == 0) {
        return RESULT_OK;
    }
    if (json_object_get(o, "mass") != NULL || json_object_get(o, "gross") != NULL) {
        return FAIL2(FIELD_RANGE, "pieces", "beside a mass", "alone, or left out");
    }
    if (strcmp(item->kind, "seed") == 0) {
        return FAIL2(FIELD_CHOICE, "item", item->code,
                     "an ingredient or packaging: seed is weighed");
    }
    if (item->net_mg <= 0) {
        return FAIL1(PIECE_UNWEIGHED, "pieces", item->code);
    }
    if (__builtin_mul_overflow(*out_pieces, item->net_mg, out_mg) || *out_mg > MASS_MAX_MG) {
        return FAIL2(FIELD_RANGE, "pieces", "more", "more than nothing, at most a million tonnes");
    }
    return RESULT_OK;
}
