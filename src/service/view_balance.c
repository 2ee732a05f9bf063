#include "service/view_balance.h"

#include "base/check.h"
#include "service/view_inner.h"

static struct result put_steps(struct view *v, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_BALANCE_STEPS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const struct profile_step *step =
            v->profile != NULL ? profile_step(v->profile, store_text(q, 0)) : NULL;
        int64_t tolerance_ppm = step != NULL ? step->tolerance_ppm : 0;
        view_append(list,
                    json_pack("{s:s,s:I,s:I,s:I,s:o}", "step", store_text(q, 0), "entries",
                              (json_int_t)store_int(q, 1), "in_mg", (json_int_t)store_int(q, 2),
                              "out_mg", (json_int_t)store_int(q, 3), "tolerance_ppm",
                              view_int(tolerance_ppm > 0, tolerance_ppm)));
    }
}

static struct result put_accounts(struct view *v, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_BALANCE_ACCOUNTS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(list, json_pack("{s:s,s:s,s:I}", "account", store_text(q, 0), "unit",
                                    store_text(q, 1), "amount", (json_int_t)store_int(q, 2)));
    }
}

static struct result put_owed(struct view *v, json_t *list)
{
    struct statement *q = store_prepare(v->store, Q_OWED_LIST_OPEN);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(list,
                    json_pack("{s:s,s:s,s:I,s:I,s:I}", "lot", store_text(q, 0), "unit",
                              store_text(q, 1), "amount", (json_int_t)store_int(q, 2), "entry",
                              (json_int_t)store_int(q, 3), "at_ms", (json_int_t)store_int(q, 4)));
    }
}

struct result view_owed(struct view *v, json_t **out_array)
{
    json_t *list = json_array();
    CHECK(list != NULL);
    struct result r = put_owed(v, list);
    return view_hand_over(r, list, out_array);
}

struct result view_balance(struct view *v, json_t **out)
{
    json_t *steps = json_array(), *accounts = json_array(), *owed = json_array();
    json_t *o = json_pack("{s:o,s:o,s:o}", "steps", steps, "accounts", accounts, "owed", owed);
    CHECK(o != NULL);
    struct result r = put_steps(v, steps);
    r = r.code == CODE_OK ? put_accounts(v, accounts) : r;
    r = r.code == CODE_OK ? put_owed(v, owed) : r;
    return view_hand_over(r, o, out);
}
