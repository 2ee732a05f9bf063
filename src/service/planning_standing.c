/* Standing orders in a planning problem: each asks for its pieces on its days, less what its
 * customer has ordered of the item for that day; a cancelled order line says that nothing is wanted
 * then. */
#include <string.h>

#include "base/civil.h"
#include "ledger/closing.h"
#include "ledger/standing.h"
#include "service/planning_inner.h"

enum { STANDING_MAX = 20000 };

/* Pieces that standing orders ask for of a customer and item, by day from first_day on. */
struct asking {
    int32_t first_day;
    int day_count;
    int64_t *booked; /* not yet eaten up by an earlier standing order of the same */
};

static struct result read_booked(struct reading *r, const struct standing *x, struct asking *out)
{
    struct statement *q = store_prepare(r->store, Q_PLANNING_BOOKED);
    store_bind_text(q, 1, x->customer);
    store_bind_text(q, 2, x->item);
    store_bind_int(q, 3, out->first_day);
    store_bind_int(q, 4, out->first_day + out->day_count - 1);
    memset(out->booked, 0, (size_t)out->day_count * sizeof *out->booked);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        bool is_off = store_int(q, 2) > 0;
        out->booked[store_int(q, 0) - out->first_day] = is_off ? INT64_MAX : store_int(q, 1);
    }
}

static bool is_same(const struct standing *x, const struct standing *y)
{
    return strcmp(x->customer, y->customer) == 0 && strcmp(x->item, y->item) == 0;
}

/* What the standing orders before it leave of the booked pieces. */
static int64_t rest_of(const struct standing *list, size_t at, int32_t day, int64_t booked)
{
    for (size_t i = 0; i < at; i++) {
        if (is_same(&list[i], &list[at]) && standing_on(&list[i], day)) {
            booked -= booked < list[i].pieces ? booked : list[i].pieces;
        }
    }
    return list[at].pieces - (booked < list[at].pieces ? booked : list[at].pieces);
}

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
    struct standing *list;
    size_t count;
    TRY(standing_all(r->store, r->arena, &list, &count));
    int32_t last = r->first_day + in->day_count - 1 + CLOSING_BACK_DAYS;
    struct asking asking = {.first_day = in->history_from,
                            .day_count = last - in->history_from + 1};
    asking.booked = ARENA_ARRAY(r->arena, int64_t, (size_t)asking.day_count);
    struct demand_standing *out =
        ARENA_ARRAY(r->arena, struct demand_standing, count > 0 ? STANDING_MAX : 1);
    for (size_t i = 0; i < count; i++) {
        int of[2] = {planning_product_of(r, list[i].item), PLAN_NONE};
        TRY(group_of(r, list[i].customer, &of[1]));
        if (of[0] < 0 || of[1] < 0) {
            continue;
        }
        TRY(read_booked(r, &list[i], &asking));
        for (int32_t day = asking.first_day; day <= last; day++) {
            int64_t booked = asking.booked[day - asking.first_day];
            int64_t pieces = standing_on(&list[i], day) ? rest_of(list, i, day, booked) : 0;
            if (pieces > 0) {
                ask(r, in, past, out, &list[i], of, day, pieces);
            }
        }
    }
    in->past = past;
    in->standing = out;
    return RESULT_OK;
}
