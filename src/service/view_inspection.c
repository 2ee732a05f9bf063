#include "service/view_inspection.h"

#include <string.h>

#include "base/check.h"
#include "ledger/check_pieces.h"
#include "service/view_inner.h"

struct found {
    bool asked; /* the profile asks a sample of such lots, and it is known of whose */
    const char *from, *item;
    int64_t size; /* 0: not known yet */
    struct acceptance_plan plan;
    bool again;
};

static struct result plan_of(struct view *v, const char *from, const char *item, int64_t size,
                             struct found *f)
{
    struct acceptance_series series = {.check = "", .from = from, .item = item};
    *f = (struct found){.asked = profile_acceptance(v->profile, "", item) != NULL,
                        .from = from,
                        .item = item,
                        .size = size};
    return f->asked ? acceptance_plan(v->store, v->profile, &series, size > 0 ? size : 1, v->now_ms,
                                      &f->plan, NULL)
                    : RESULT_OK;
}

/* As it was received. */
static struct result of_delivery(struct view *v, const struct lot *lot, struct found *f)
{
    struct statement *q = store_prepare(v->store, Q_ACCEPTANCE_DELIVERY);
    json_t *data = NULL;
    bool row, again = false;
    struct result r = RESULT_OK;
    store_bind_int(q, 1, lot->id);
    TRY(store_step(q, &row));
    if (row) {
        again = store_int(q, 1) != 0;
        r = json_read_stored(store_text(q, 0), &data);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    TRY(r);
    int64_t size = json_integer_value(json_object_get(data, "size"));
    json_decref(data);
    if (size == 0 || lot->supplier == NULL) {
        return RESULT_OK;
    }
    TRY(plan_of(v, lot->supplier, lot->item, size, f));
    f->again = again;
    return RESULT_OK;
}

static struct result of_packs(struct view *v, const char *check, const struct lot *lot,
                              struct found *f)
{
    struct check_pieces p;
    TRY(check_pieces_of(v->store, v->arena, v->profile, check, lot, v->now_ms, &p, &f->asked));
    f->from = p.series.from;
    f->item = lot->item;
    f->size = p.size;
    f->plan = p.plan;
    f->again = p.again;
    return RESULT_OK;
}

static struct result find(struct view *v, const struct view_inspection_asked *a, struct found *f)
{
    const struct profile_step *step = profile_step(v->profile, a->form);
    struct lot lot;
    bool is_lot = false;
    if (step != NULL && strcmp(step->act, "receive") == 0) {
        return a->supplier != NULL && a->item != NULL
                   ? plan_of(v, a->supplier, a->item, a->sacks, f)
                   : RESULT_OK;
    }
    if (a->lot != NULL) {
        TRY(lot_by_code(v->store, v->arena, a->lot, &lot, &is_lot));
    }
    if (!is_lot) {
        return RESULT_OK;
    }
    if (strcmp(a->form, "delivery-check") == 0) {
        return of_delivery(v, &lot, f);
    }
    return step != NULL && strcmp(step->act, "check") == 0 ? of_packs(v, step->check, &lot, f)
                                                           : RESULT_OK;
}

struct result view_inspection(struct view *v, const struct view_inspection_asked *asked,
                              json_t **out)
{
    struct found f = {.asked = false};
    if (v->profile != NULL) {
        TRY(find(v, asked, &f));
    }
    bool sized = f.asked && f.size > 0;
    *out = json_pack("{s:s?,s:o,s:o,s:o,s:o,s:o,s:o,s:b,s:b}", "inspection",
                     f.asked ? inspection_word(f.plan.inspection) : NULL, "from",
                     view_text(f.asked ? f.from : NULL), "item", view_text(f.asked ? f.item : NULL),
                     "size", view_int(sized, f.size), "samples", view_int(sized, f.plan.samples),
                     "accept", view_int(sized, f.plan.accept), "reject",
                     view_int(sized, f.plan.accept + 1), "again", (int)f.again, "recalled",
                     (int)(sized && f.plan.recalled));
    CHECK(*out != NULL);
    return RESULT_OK;
}
