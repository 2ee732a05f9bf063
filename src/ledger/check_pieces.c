#include "ledger/check_pieces.h"

#include <string.h>

#include "ledger/listed.h"

struct result check_pieces_of(struct store *s, struct arena *a, const struct profile *p,
                              const char *check, const struct lot *lot, int64_t at_ms,
                              struct check_pieces *out, bool *out_asked)
{
    struct statement *q = store_prepare(s, Q_ACCEPTANCE_PACKED);
    bool row;
    *out = (struct check_pieces){.series = {.check = check, .item = lot->item}, .what = ""};
    store_bind_int(q, 1, lot->id);
    store_bind_text(q, 2, check);
    TRY(store_step(q, &row));
    if (row) {
        const char *line = store_text(q, 1);
        out->size = store_int(q, 0);
        out->series.from = line != NULL ? arena_copy(a, line) : NULL;
        out->again = store_int(q, 2) != 0;
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    *out_asked = out->series.from != NULL && profile_acceptance(p, check, lot->item) != NULL;
    return *out_asked
               ? acceptance_plan(s, p, &out->series, out->size, at_ms, &out->plan, &out->after)
               : RESULT_OK;
}

static bool is_full(const struct check_pieces *p)
{
    return p->inspected >= p->plan.samples;
}

/* Too many bad ones are too many however few were looked at. */
static bool is_good(const struct check_pieces *p)
{
    return p->bad <= p->plan.accept;
}

static bool counts(const struct check_pieces *p)
{
    return !p->again && (is_full(p) || !is_good(p));
}

static bool is_given(const json_t *o, const char *key)
{
    const json_t *value = json_object_get(o, key);
    return value != NULL && !json_is_null(value);
}

struct result check_pieces_read(struct draft *d, struct check *c, struct check_pieces *out)
{
    const json_t *o = d->cmd->body;
    bool asked = false;
    *out = (struct check_pieces){.what = ""};
    if (!is_given(o, "inspected") && !is_given(o, "bad")) {
        return RESULT_OK;
    }
    if (c->lot.id != 0) {
        TRY(check_pieces_of(d->store, d->arena, d->profile, c->name, &c->lot, d->cmd->happened_ms,
                            out, &asked));
    }
    if (!asked) {
        return FAIL2(PACKS_NOT_INSPECTED, "inspected", c->lot.id != 0 ? c->lot.code : "", c->name);
    }
    TRY(json_get_int(o, "inspected", "inspected", JSON_NEEDED, 1, out->size, &out->inspected));
    TRY(json_get_int(o, "bad", "bad", JSON_NEEDED, 0, out->inspected, &out->bad));
    TRY(listed_words(o, "what", 500, out->bad > 0 ? JSON_NEEDED : JSON_OPTIONAL, &out->what));
    c->counted = true;
    if (counts(out)) {
        switching_take(&out->after,
                       &(struct switching_lot){.accepted = is_full(out) && is_good(out),
                                               .accept = out->plan.accept});
    }
    c->refused = !is_full(out) || !is_good(out) || out->plan.inspection == INSPECTION_NONE;
    return RESULT_OK;
}

static void note(struct draft *d, const struct check *c, const struct check_pieces *p)
{
    const char *word = inspection_word(p->plan.inspection);
    noted_add(d, 0,
              &(struct noting){.kind = "pack-check",
                               .code = acceptance_code(d->arena, &p->series),
                               .place = p->series.from,
                               .lot = c->lot.id,
                               .ok = is_full(p) && is_good(p),
                               .data = json_pack(
                                   "{s:I,s:I,s:I,s:I,s:I,s:s,s:b,s:s}", "size", (json_int_t)p->size,
                                   "inspected", (json_int_t)p->inspected, "bad", (json_int_t)p->bad,
                                   "samples", (json_int_t)p->plan.samples, "accept",
                                   (json_int_t)p->plan.accept, "inspection", word, "counts",
                                   (int)counts(p), "what", p->what)});
    json_object_set_new(d->answer, "inspection", json_string(word));
    json_object_set_new(d->answer, "accepted", json_boolean(!c->refused));
}

/* Once, with the lot that ends it: closing that deviation takes inspection up again. */
static struct result discontinue(struct draft *d, const struct check *c,
                                 const struct check_pieces *p)
{
    struct statement *q = store_prepare(d->store, Q_ACCEPTANCE_PACKS_OPEN);
    bool row, open;
    store_bind_text(q, 1, acceptance_code(d->arena, &p->series));
    TRY(store_step(q, &row));
    open = row;
    while (row) {
        TRY(store_step(q, &row));
    }
    return open ? RESULT_OK
                : draft_deviation(
                      d, "packs-discontinued", c->lot.id, p->series.from, 0, 0,
                      FAIL3(PACKS_DISCONTINUED, "lot", p->series.from, p->series.item, c->name));
}

static struct result failure_of(struct draft *d, const struct check *c,
                                const struct check_pieces *p, const char **out_rule,
                                const char **out_reason)
{
    *out_rule = "packs-refused";
    *out_reason = "the lot was not accepted by its sample";
    if (!is_good(p)) {
        return FAIL3(PACKS_REFUSED, "bad", c->lot.code,
                     arena_printf(d->arena, "%lld", (long long)p->bad),
                     arena_printf(d->arena, "%lld", (long long)p->plan.accept));
    }
    if (!is_full(p)) {
        *out_rule = "packs-sample-small";
        *out_reason = "too few of the lot were looked at";
        return FAIL3(PACKS_SAMPLE_SMALL, "inspected", c->lot.code,
                     arena_printf(d->arena, "%lld", (long long)p->inspected),
                     arena_printf(d->arena, "%lld", (long long)p->plan.samples));
    }
    *out_reason = "inspection by sample is discontinued";
    return FAIL3(PACKS_DISCONTINUED, "lot", p->series.from, p->series.item, c->name);
}

struct result check_pieces_book(struct draft *d, struct check *c, const struct check_pieces *p)
{
    const char *rule, *reason;
    int64_t hold;
    if (!c->counted) {
        return RESULT_OK;
    }
    note(d, c, p);
    if (c->refused) {
        struct result failure = failure_of(d, c, p, &rule, &reason);
        const char *code =
            draft_hold(d, "quality", "release,load", "check",
                       arena_printf(d->arena, "%s: %s", c->name, reason), 0, 0, 0, &hold);
        draft_hold_on(d, hold, c->lot.id, 0, "named");
        json_object_set_new(d->answer, "hold", json_string(code));
        TRY(draft_deviation(d, rule, c->lot.id, p->series.from, 0, 0, failure));
    }
    return p->after.inspection == INSPECTION_NONE ? discontinue(d, c, p) : RESULT_OK;
}
