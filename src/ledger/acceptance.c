#include "ledger/acceptance.h"

#include <string.h>

#include "base/check.h"
#include "calc/microbe/sampling_plan.h"
#include "ledger/listed.h"

enum { RESUMED = 2 }; /* of the histories: whoever is responsible has acted */

static bool of_packs(const struct acceptance_series *series)
{
    return series->check[0] != '\0';
}

const char *acceptance_code(struct arena *a, const struct acceptance_series *series)
{
    return of_packs(series) ? arena_printf(a, "%s/%s/%s", series->check, series->from, series->item)
                            : arena_printf(a, "%s/%s", series->from, series->item);
}

static struct result take(struct switching *s, int64_t ok, const char *stored)
{
    json_t *data = NULL;
    if (ok == RESUMED) {
        switching_resume(s);
        return RESULT_OK;
    }
    TRY(json_read_stored(stored, &data));
    struct switching_lot lot = {
        .accepted = ok != 0,
        .resubmitted = !json_is_true(json_object_get(data, "counts")),
        .accept = json_integer_value(json_object_get(data, "accept")),
    };
    json_decref(data);
    switching_take(s, &lot);
    return RESULT_OK;
}

static struct result history(struct store *s, const struct acceptance_series *series, int64_t at_ms,
                             struct switching *out)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct statement *q =
        store_prepare(s, of_packs(series) ? Q_ACCEPTANCE_PACKS : Q_ACCEPTANCE_HISTORY);
    store_bind_text(q, 1, acceptance_code(&a, series));
    store_bind_text(q, 2, series->from);
    store_bind_int(q, 3, at_ms);
    struct result r = RESULT_OK;
    *out = (struct switching){0};
    for (bool row = true; row && r.code == CODE_OK;) {
        r = store_step(q, &row);
        if (row && r.code == CODE_OK) {
            r = take(out, store_int(q, 2), store_text(q, 3));
        }
    }
    arena_release(&a);
    return r;
}

struct result acceptance_plan(struct store *s, const struct profile *p,
                              const struct acceptance_series *series, int64_t size, int64_t at_ms,
                              struct acceptance_plan *out, struct switching *out_switching)
{
    const struct acceptance *asked = profile_acceptance(p, series->check, series->item);
    struct switching switching;
    struct sampling_plan plan = {.plan = {.samples = 1}};
    enum sampling_level level;
    CHECK(asked != NULL && sampling_level_read(asked->level, &level));
    TRY(history(s, series, at_ms, &switching));
    if (size > 1) { /* a single one is looked at */
        TRY(sampling_plan(size, level, asked->aql_hundredths,
                          switching.inspection != INSPECTION_NORMAL, &plan));
    }
    *out = (struct acceptance_plan){.inspection = switching.inspection,
                                    .samples = plan.plan.samples < size ? plan.plan.samples : size,
                                    .accept = plan.plan.accept,
                                    .recalled = plan.recalled};
    if (out_switching != NULL) {
        *out_switching = switching;
    }
    return RESULT_OK;
}

struct result acceptance_deliver(struct draft *d, int64_t lot, const char *supplier,
                                 const char *item, int64_t size)
{
    struct acceptance_series series = {.check = "", .from = supplier, .item = item};
    struct acceptance_plan plan;
    int64_t hold;
    if (size == 0 || profile_acceptance(d->profile, "", item) == NULL) {
        return RESULT_OK;
    }
    TRY(acceptance_plan(d->store, d->profile, &series, size, d->cmd->happened_ms, &plan, NULL));
    const char *word = inspection_word(plan.inspection);
    noted_add(
        d, 0,
        &(struct noting){.kind = "delivery",
                         .code = acceptance_code(d->arena, &series),
                         .lot = lot,
                         .ok = plan.inspection != INSPECTION_NONE,
                         .data = json_pack("{s:I,s:s,s:I,s:I}", "size", (json_int_t)size,
                                           "inspection", word, "samples", (json_int_t)plan.samples,
                                           "accept", (json_int_t)plan.accept)});
    json_object_set_new(d->answer, "inspection", json_string(word));
    json_object_set_new(d->answer, "inspect", json_integer(plan.samples));
    if (plan.inspection != INSPECTION_NONE) {
        return RESULT_OK;
    }
    TRY(draft_break(d, "inspection-discontinued", lot, NULL, 0, 0,
                    FAIL2(INSPECTION_DISCONTINUED, "supplier", supplier, item)));
    const char *code =
        draft_hold(d, "supplier", "use,mix,pack,release,load", "decision",
                   "five deliveries were not accepted on tightened inspection", 0, 0, 0, &hold);
    draft_hold_on(d, hold, lot, 0, "named");
    json_object_set_new(d->answer, "hold", json_string(code));
    return RESULT_OK;
}

struct result acceptance_done(struct draft *d, int64_t lot, const char *code)
{
    struct statement *q = store_prepare(d->store, Q_ACCEPTANCE_OF_LOT);
    bool row, accepted;
    store_bind_int(q, 1, lot);
    TRY(store_step(q, &row));
    accepted = !row || store_int(q, 0) != 0; /* no row: none was asked for */
    while (row) {
        TRY(store_step(q, &row));
    }
    return accepted ? RESULT_OK
                    : draft_break(d, "delivery-not-accepted", lot, NULL, 0, 0,
                                  FAIL1(DELIVERY_NOT_ACCEPTED, "lot", code));
}
