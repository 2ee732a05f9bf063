#include "ledger/sold.h"

#include <string.h>

#include "ledger/view.h"

struct result sold_names(struct draft *d, const char *path, const char *customer, const char *code,
                         bool wanted)
{
    struct partner partner;
    struct item item;
    bool found;
    TRY(partner_by_code(d->store, d->arena, customer, &partner, &found));
    if (!found || strcmp(partner.role, "customer") != 0) {
        return FAIL2(PARTNER_UNKNOWN, arena_printf(d->arena, "%scustomer", path), customer,
                     "customer");
    }
    const char *field = arena_printf(d->arena, "%sitem", path);
    TRY(item_by_code(d->store, d->arena, code, &item, &found));
    if (!found) {
        return FAIL1(ITEM_UNKNOWN, field, code);
    }
    return !wanted || list_has("packed,by-product", item.kind)
               ? RESULT_OK
               : FAIL2(FIELD_CHOICE, field, code,
                       "packed goods and by-products; nothing else is sold");
}
