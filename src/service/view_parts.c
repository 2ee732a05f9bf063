#include "service/view_parts.h"

#include "base/check.h"
#include "service/view_inner.h"

static struct result add_cases(struct view *v, int64_t lot, json_t *cases, int64_t *out_more)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_LOT_CASES);
    store_bind_int(q, 1, lot);
    *out_more = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (json_array_size(cases) >= VIEW_PARTS_CASES_MAX) {
            ++*out_more;
            continue;
        }
        view_append(cases,
                    json_pack("{s:s,s:I,s:s,s:o,s:b}", "code", store_text(q, 0), "pieces",
                              (json_int_t)store_int(q, 1), "state", store_text(q, 2), "place",
                              view_text(store_text(q, 3)), "held", (int)(store_int(q, 4) != 0)));
    }
}

static struct result add_runs(struct view *v, int64_t lot, json_t *runs)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_LOT_RUNS);
    store_bind_int(q, 1, lot);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(runs,
                    json_pack("{s:s,s:s,s:I,s:o,s:I,s:I}", "run", store_text(q, 0), "place",
                              store_text(q, 1), "start_ms", (json_int_t)store_int(q, 2), "end_ms",
                              view_int(!store_is_null(q, 3), store_int(q, 3)), "from_ms",
                              (json_int_t)store_int(q, 4), "to_ms", (json_int_t)store_int(q, 5)));
    }
}

struct result view_parts(struct view *v, const char *code, json_t **out)
{
    struct lot lot;
    bool found;
    int64_t more;
    TRY(lot_by_code(v->store, v->arena, code, &lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    json_t *cases = json_array(), *runs = json_array();
    json_t *o = json_pack("{s:s,s:o,s:o}", "lot", lot.code, "cases", cases, "runs", runs);
    CHECK(o != NULL);
    struct result r = add_cases(v, lot.id, cases, &more);
    if (r.code == CODE_OK) {
        view_put(o, "more", json_integer((json_int_t)more));
        r = add_runs(v, lot.id, runs);
    }
    return view_hand_over(r, o, out);
}
