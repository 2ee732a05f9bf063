/* A delivery inspected by sample: so many sacks looked at, so many bad. More than the plan allows:
 * the delivery is not accepted and held; fewer looked at than the plan asks: nothing is decided,
 * and it is held until enough were. */
#include <string.h>

#include "ledger/acceptance.h"
#include "ledger/listed.h"
#include "ledger/view.h"

struct delivery {
    struct lot lot;
    struct acceptance_plan plan;
    int64_t size, inspected, bad;
    bool again; /* it was decided on before: that changes no inspection */
};

/* As it was delivered; *out_again: an inspection of it that counts is known. */
static struct result read_delivery(struct draft *d, struct delivery *v)
{
    struct statement *q = store_prepare(d->store, Q_ACCEPTANCE_DELIVERY);
    json_t *data = NULL;
    bool row;
    store_bind_int(q, 1, v->lot.id);
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL1(DELIVERY_NOT_INSPECTED, "lot", v->lot.code);
    }
    v->again = store_int(q, 1) != 0;
    struct result r = json_read_stored(store_text(q, 0), &data);
    while (row) {
        TRY(store_step(q, &row));
    }
    TRY(r);
    v->size = json_integer_value(json_object_get(data, "size"));
    json_decref(data);
    return RESULT_OK;
}

static struct result hold_it(struct draft *d, const struct delivery *v, const char *rule,
                             const char *reason, struct result failure)
{
    int64_t hold;
    const char *code =
        draft_hold(d, "supplier", "use,mix,pack,release,load", "decision", reason, 0, 0, 0, &hold);
    draft_hold_on(d, hold, v->lot.id, 0, "named");
    json_object_set_new(d->answer, "hold", json_string(code));
    return draft_deviation(d, rule, v->lot.id, NULL, 0, 0, failure);
}

static struct result judge(struct draft *d, const struct delivery *v, bool full, bool good)
{
    const char *samples = arena_printf(d->arena, "%lld", (long long)v->plan.samples);
    if (!full && good) {
        return hold_it(d, v, "delivery-sample-small", "too few of the delivery were looked at",
                       FAIL3(DELIVERY_SAMPLE_SMALL, "inspected", v->lot.code,
                             arena_printf(d->arena, "%lld", (long long)v->inspected), samples));
    }
    return good ? RESULT_OK
                : hold_it(d, v, "delivery-refused", "the delivery was not accepted by its sample",
                          FAIL3(DELIVERY_REFUSED, "bad", v->lot.code,
                                arena_printf(d->arena, "%lld", (long long)v->bad),
                                arena_printf(d->arena, "%lld", (long long)v->plan.accept)));
}

static struct result read_told(struct draft *d, struct delivery *v, const char **what)
{
    const json_t *o = d->cmd->body;
    TRY(lot_named(d, o, "lot", "lot", &v->lot));
    TRY(read_delivery(d, v));
    if (profile_acceptance(d->profile, "", v->lot.item) == NULL || v->lot.supplier == NULL) {
        return FAIL1(DELIVERY_NOT_INSPECTED, "lot", v->lot.code);
    }
    TRY(json_get_int(o, "inspected", "inspected", JSON_NEEDED, 1, v->size, &v->inspected));
    TRY(json_get_int(o, "bad", "bad", JSON_NEEDED, 0, v->inspected, &v->bad));
    return listed_words(o, "what", 500, v->bad > 0 ? JSON_NEEDED : JSON_OPTIONAL, what);
}

struct result decide_delivery_check(struct draft *d)
{
    static const char *const names[] = {"lot", "inspected", "bad", "what", NULL};
    struct delivery v = {0};
    const char *what = "";
    TRY(draft_only(d, "the inspection of a delivery", names));
    TRY(read_told(d, &v, &what));
    struct acceptance_series series = {.check = "", .from = v.lot.supplier, .item = v.lot.item};
    TRY(acceptance_plan(d->store, d->profile, &series, v.size, d->cmd->happened_ms, &v.plan, NULL));
    /* too many bad ones are too many however few were looked at */
    bool full = v.inspected >= v.plan.samples, good = v.bad <= v.plan.accept;
    noted_add(d, 0,
              &(struct noting){
                  .kind = "delivery-check",
                  .code = acceptance_code(d->arena, &series),
                  .lot = v.lot.id,
                  .ok = full && good,
                  .data = json_pack("{s:I,s:I,s:I,s:I,s:I,s:s,s:b,s:s}", "size", (json_int_t)v.size,
                                    "inspected", (json_int_t)v.inspected, "bad", (json_int_t)v.bad,
                                    "samples", (json_int_t)v.plan.samples, "accept",
                                    (json_int_t)v.plan.accept, "inspection",
                                    inspection_word(v.plan.inspection), "counts",
                                    (int)(!v.again && (full || !good)), "what", what)});
    json_object_set_new(d->answer, "lot", json_string(v.lot.code));
    json_object_set_new(d->answer, "inspection", json_string(inspection_word(v.plan.inspection)));
    json_object_set_new(d->answer, "accepted", json_boolean(full && good));
    return judge(d, &v, full, good);
}
