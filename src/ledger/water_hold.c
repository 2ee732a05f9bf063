#include "ledger/water_hold.h"

#include "base/check.h"
#include "ledger/window.h"

struct result water_hold(struct draft *d, const char *place, int64_t from_ms, int64_t to_ms,
                         const char *reason)
{
    struct id_set watered = id_set_new(d->arena);
    struct window w = {.place = place,
                       .from_ms = from_ms,
                       .to_ms = to_ms,
                       .kind = "quality",
                       .needs = "decision",
                       .reason = reason,
                       .holds = json_array(),
                       .lots = json_array()};
    CHECK(w.holds != NULL && w.lots != NULL);
    json_object_set_new(d->answer, "holds", w.holds);
    json_object_set_new(d->answer, "lots", w.lots);
    TRY(window_hold(d, &w));
    struct statement *q = store_prepare(d->store, Q_WATERED_BETWEEN);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return watered.count > 0 ? window_hold_lots(d, &w, &watered) : RESULT_OK;
        }
        id_set_add(&watered, store_int(q, 0));
    }
}
