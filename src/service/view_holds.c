#include "service/view_holds.h"

#include <string.h>

#include "base/check.h"
#include "service/view_inner.h"

static struct result put_covered(const struct view *v, int64_t hold, json_t *o)
{
    json_t *lots = json_array();
    int64_t units = 0, covered = 0;
    struct statement *q = store_prepare(v->store, Q_PAGE_HOLD_LOTS);
    store_bind_int(q, 1, hold);
    bool row;
    view_put(o, "lots", lots);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        view_append(lots, json_string(store_text(q, 0)));
        units += store_int(q, 1);
        covered += store_int(q, 2);
    }
    view_put(o, "units", json_integer(units));
    view_put(o, "covered", json_integer(covered));
    return RESULT_OK;
}

static struct result read_holds(const struct view *v, struct statement *q, json_t *list)
{
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t lifted_ms = store_int(q, 7);
        json_t *o =
            json_pack("{s:s,s:s,s:o,s:s,s:s,s:I,s:I,s:o}", "hold", store_text(q, 1), "kind",
                      store_text(q, 2), "stops", view_list(store_text(q, 3)), "needs",
                      store_text(q, 4), "reason", words_reason(v->arena, v->lang, store_text(q, 5)),
                      "placed_ms", (json_int_t)store_int(q, 6), "by", (json_int_t)store_int(q, 8),
                      "lifted_ms", view_int(lifted_ms != 0, lifted_ms));
        view_append(list, o);
        TRY(put_covered(v, store_int(q, 0), o));
    }
}

struct result view_holds_on(const struct view *v, int64_t lot, int64_t unit, json_t **out_array)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_HOLDS_ON);
    store_bind_int(q, 1, lot);
    store_bind_int(q, 2, unit);
    json_t *list = json_array();
    struct result r = read_holds(v, q, list);
    return view_hand_over(r, list, out_array);
}

struct result view_holds(struct view *v, bool only_open, json_t **out)
{
    struct statement *q = store_prepare(v->store, only_open ? Q_PAGE_HOLDS_OPEN : Q_PAGE_HOLDS_ALL);
    json_t *list = json_array();
    json_t *o = json_pack("{s:o}", "holds", list);
    CHECK(o != NULL);
    struct result r = read_holds(v, q, list);
    return view_hand_over(r, o, out);
}

bool view_hold_stops_release(const struct hold *hold)
{
    return strcmp(hold->kind, "laboratory") != 0 &&
           (list_has(hold->stops, "release") || list_has(hold->stops, "load"));
}
