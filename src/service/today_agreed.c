/* Deliveries agreed with suppliers that should have come: the plan does not count on them, so that
 * somebody asks the supplier for another day or takes them back. */
#include "base/civil.h"
#include "ledger/agreed.h"
#include "service/today.h"

struct result today_agreed(struct today *t)
{
    struct view *v = t->v;
    struct agreed *list;
    size_t count;
    if (!today_wants(t, TODAY_AGREED)) {
        return RESULT_OK;
    }
    TRY(agreed_awaited(v->store, v->arena, t->now_day, &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct agreed *x = &list[i];
        if (!agreed_late(x, t->now_day)) {
            continue;
        }
        int64_t by_ms, pieces = agreed_left_pieces(x);
        const char *left = pieces > 0 ? SAY(v, "plan.pieces", view_number(v, pieces))
                                      : view_mass(v, agreed_left_mg(x));
        TRY(view_day_start(v, x->day + 1, &by_ms));
        today_add(t, &(struct today_line){.what = TODAY_AGREED,
                                          .about = x->code,
                                          .by_ms = by_ms,
                                          .sentence = SAY(v, "today.agreed-late", x->code, left,
                                                          x->item, x->supplier,
                                                          words_date(v->arena, v->lang, x->day))});
    }
    return RESULT_OK;
}
