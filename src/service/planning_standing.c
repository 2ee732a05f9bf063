/* Standing orders in a planning problem: each asks for its pieces on its days, less what its
 * customer has ordered of the item for that day; a cancelled order line says that nothing is wanted
 * then. */
#include <string.h>

#include "base/civil.h"
#include "ledger/closing.h"
#include "service/planning_inner.h"
#include "service/standing_asked.h"

enum { STANDING_MAX = 20000 };

static void ask(struct reading *r, struct demand_input *in, struct demand_past *past,
                struct demand_standing *out, const struct standing *x, const int of[2],
                int32_t wanted, int64_t pieces)
{
    if (wanted < r->first_day) {
        int32_t day = closing_leaves(r->profile, wanted, in->history_from);
        if (day <= in->history_to && in->past_count < PLANNING_LINES_MAX) {
            past[in->past_count++] = (struct demand_past){
                .product = of[0], .group = of[1], .day = day, .pieces = pieces};
        }
        return;
    }
    int32_t day = closing_leaves(r->profile, wanted, r->first_day);
    if (day < r->first_day + in->day_count && in->standing_count < STANDING_MAX) {
        out[in->standing_count++] = (struct demand_standing){
            .key = arena_printf(r->arena, "standing:%s:%s", x->code, day_text(r->arena, wanted)),
            .code = x->code,
            .product = of[0],
            .group = of[1],
            .day = day,
            .pieces = pieces,
            .moved_days = wanted - day};
    }
}

static struct result group_of(struct reading *r, const char *customer, int *out)
{
    struct statement *q = store_prepare(r->store, Q_PARTNER_ALL);
    *out = PLAN_NONE;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (strcmp(store_text(q, 0), customer) == 0 && strcmp(store_text(q, 1), "customer") == 0) {
            *out = planning_group_of(r, store_text(q, 2), store_text(q, 3));
        }
    }
}

struct result planning_read_standing(struct reading *r, struct demand_input *in,
                                     struct demand_past *past)
{
    struct standing_ask *asks;
    size_t count;
    const struct standing *last = NULL;
    int of[2] = {PLAN_NONE, PLAN_NONE};
    TRY(standing_asked(r->store, r->arena, in->history_from,
                       r->first_day + in->day_count - 1 + CLOSING_BACK_DAYS, &asks, &count));
    struct demand_standing *out =
        ARENA_ARRAY(r->arena, struct demand_standing, count > 0 ? STANDING_MAX : 1);
    for (size_t i = 0; i < count; i++) {
        if (asks[i].of != last) {
            last = asks[i].of;
            of[0] = planning_product_of(r, last->item);
            TRY(group_of(r, last->customer, &of[1]));
        }
        if (of[0] >= 0 && of[1] >= 0) {
            ask(r, in, past, out, last, of, asks[i].day, asks[i].pieces);
        }
    }
    in->past = past;
    in->standing = out;
    return RESULT_OK;
}
