#include "service/standing_asked.h"

#include <string.h>

#include "ledger/evidence.h"

/* Pieces booked of a customer and item, by day. */
struct asking {
    int32_t first_day;
    int day_count;
    int64_t *booked; /* not yet eaten up by an earlier standing order of the same */
};

static struct result read_booked(struct store *s, const struct standing *x, struct asking *out)
{
    struct statement *q = store_prepare(s, Q_PLANNING_BOOKED);
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

struct result standing_asked(struct store *s, struct arena *a, int32_t from, int32_t to,
                             struct standing_ask **out, size_t *out_count)
{
    struct standing *list;
    size_t count;
    *out = NULL;
    *out_count = 0;
    TRY(standing_all(s, a, &list, &count));
    struct asking asking = {.first_day = from, .day_count = to - from + 1};
    asking.booked = ARENA_ARRAY(a, int64_t, (size_t)asking.day_count);
    for (size_t i = 0; i < count; i++) {
        TRY(read_booked(s, &list[i], &asking));
        for (int32_t day = from; day <= to; day++) {
            int64_t pieces =
                standing_on(&list[i], day) ? rest_of(list, i, day, asking.booked[day - from]) : 0;
            if (pieces > 0) {
                struct standing_ask *x = evidence_grow(a, out, out_count, sizeof **out);
                *x = (struct standing_ask){&list[i], day, pieces};
            }
        }
    }
    return RESULT_OK;
}
