/* Decisions judged again: after a strike, a result that changes something, an instrument found
 * wrong, a changed limit or profile, a seed lot no longer approved, an action on the environment,
 * and whatever is told of a time before a decision. The answer has three lists: unchanged; now open
 * and still here (held); now open and gone (to be recalled). */
#include <string.h>

#include "base/check.h"
#include "ledger/consequence.h"
#include "ledger/judge_subject.h"

struct booking {
    struct draft *d;
    json_t *unchanged, *held, *recall;
};

static json_t *line_of(const struct judged *j)
{
    json_t *o = json_pack("{s:s,s:I,s:s}", "lot", j->code, "release", (json_int_t)j->was.release,
                          "markets", j->was.markets);
    CHECK(o != NULL);
    if (!j->met) {
        json_object_set(o, "open", j->open);
    }
    return o;
}

static void book_gone(struct booking *b, const struct judged *j, const char *why)
{
    json_t *line = line_of(j), *customers = json_array();
    for (size_t i = 0; i < j->gone_count; i++) {
        const struct gone *g = &j->gone[i];
        draft_add(b->d, EFFECT_SCOPE, "itttii", j->was.lot, why, "recall", g->customer, g->pieces,
                  g->mg);
        json_array_append_new(customers,
                              json_pack("{s:s,s:I,s:I}", "customer", g->customer, "pieces",
                                        (json_int_t)g->pieces, "mg", (json_int_t)g->mg));
    }
    json_object_set_new(line, "customers", customers);
    json_array_append_new(b->recall, line);
    draft_task(b->d, "recall-decision", j->code, j->was.lot, NULL, b->d->cmd->recorded_ms);
}

/* A lot is held once, however many of its releases are open, and listed once as gone. */
static void book(struct booking *b, const struct judged *j, struct id_set *seen)
{
    if (j->met) {
        json_array_append_new(b->unchanged, line_of(j));
        return;
    }
    draft_add(b->d, EFFECT_RELEASE_REVOKED, "iin", j->was.release, b->d->cmd->recorded_ms);
    bool first = id_set_add(seen, j->was.lot);
    if (first && j->code[0] != '\0') {
        int64_t hold;
        const char *reason =
            arena_printf(b->d->arena, "judged again: release of entry %lld no longer stands",
                         (long long)j->was.release);
        const char *code =
            draft_hold(b->d, "judged-again", "release,load", j->needs, reason, 0, 0, 0, &hold);
        draft_hold_on(b->d, hold, j->was.lot, 0, "judged-again");
        if (j->here || j->gone_count == 0) {
            json_t *line = line_of(j);
            json_object_set_new(line, "hold", json_string(code));
            json_array_append_new(b->held, line);
        }
    }
    if (first && j->gone_count > 0) {
        book_gone(b, j, "judged-again");
    }
}

static struct result book_all(struct consequence *c, const struct judged *list, size_t count)
{
    struct command cmd;
    struct draft d;
    struct id_set seen = id_set_new(c->arena);
    consequence_begin(c, "judged-again", &cmd, &d);
    struct booking b = {
        .d = &d, .unchanged = json_array(), .held = json_array(), .recall = json_array()};
    json_object_set_new(d.answer, "because", json_integer(c->cause_seq));
    json_object_set_new(d.answer, "unchanged", b.unchanged);
    json_object_set_new(d.answer, "held", b.held);
    json_object_set_new(d.answer, "recall", b.recall);
    for (size_t i = 0; i < count; i++) {
        book(&b, &list[i], &seen);
    }
    return consequence_take(c, &d);
}

/* What left although it was held or not released: to whom all of that lot went, at once. */
static struct result scope_of_shipment(struct consequence *c)
{
    struct id_set lots = id_set_new(c->arena);
    struct statement *q = store_prepare(c->lg->store, Q_JUDGE_LEFT);
    store_bind_int(q, 1, c->cause_seq);
    TRY(judge_column(q, &lots));
    if (lots.count == 0) {
        return RESULT_OK;
    }
    struct command cmd;
    struct draft d;
    consequence_begin(c, "scope", &cmd, &d);
    struct booking b = {.d = &d, .recall = json_array()};
    json_object_set_new(d.answer, "because", json_integer(c->cause_seq));
    json_object_set_new(d.answer, "recall", b.recall);
    struct result r = RESULT_OK;
    for (size_t i = 0; i < lots.count && r.code == CODE_OK; i++) {
        struct lot lot;
        bool found = false;
        struct judged j = {.was.lot = lots.id[i], .was.markets = "", .met = true};
        r = lot_by_id(c->lg->store, c->arena, lots.id[i], &lot, &found);
        if (r.code == CODE_OK) {
            r = gone_of(c->lg->store, c->arena, lots.id[i], &j.gone, &j.gone_count);
        }
        j.code = found ? lot.code : "";
        if (r.code == CODE_OK && found) {
            book_gone(&b, &j, "left-without-release");
        }
    }
    if (r.code != CODE_OK) {
        draft_release(&d);
        return r;
    }
    return consequence_take(c, &d);
}

struct result consequence_judge(struct consequence *c)
{
    struct judge_subject subject;
    struct resting *list = NULL;
    struct judged *judged = NULL;
    size_t count = 0;
    if (strcmp(c->cause->act, "ship") == 0) {
        TRY(scope_of_shipment(c));
    }
    if (c->nested || c->lg->profile == NULL) {
        return RESULT_OK;
    }
    TRY(judge_subject_of(c, &subject));
    const struct profile *p = subject.profile != NULL ? subject.profile : c->lg->profile;
    struct result r =
        releases_of(c->lg->store, c->arena, &subject.lots, subject.after_ms, &list, &count);
    if (r.code == CODE_OK && count > 0) {
        r = judge_again(c->lg->store, p, c->arena, list, count,
                        subject.void_entries.count > 0 ? &subject.void_entries : NULL,
                        &subject.void_reason, &judged);
        if (r.code == CODE_OK) {
            r = book_all(c, judged, count);
            judged_release(judged, count);
        }
    }
    profile_free(subject.profile);
    return r;
}
