/* What results a plan waits for, and which of them are tested again. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/words.h"
#include "ledger/clause.h"
#include "ledger/evidence.h"
#include "service/planning_inner.h"

/* Is a second test waited for: does some newest result of the lot's samples leave it open? */
static struct result asks_again(struct reading *r, int64_t lot, bool *out)
{
    struct statement *q = store_prepare(r->store, Q_PLANNING_OPEN_RESULT);
    store_bind_int(q, 1, lot);
    bool row;
    TRY(store_step(q, &row));
    *out = store_int(q, 0) != 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* Overdue: not before tomorrow. */
static int tested_day(const struct reading *r, int market, int start_day, bool again)
{
    int day = plan_ready_day_tested(&r->out->problem, market, start_day, again);
    return day > 0 ? day : 1;
}

/* The markets of the lot whose result moves from one day to another stand together. */
static void remember(struct reading *r, const struct planning_tested *t, int market, int start_day)
{
    const struct plan_problem *o = &r->out->problem;
    const struct planning_retest x = {.lot = t->lot,
                                      .markets = r->markets[market].code,
                                      .harvest_day = t->harvest_day,
                                      .from_day =
                                          plan_ready_day_tested(o, market, start_day, false),
                                      .to_day = tested_day(r, market, start_day, true),
                                      .is_known = r->markets[market].retest_h > 0};
    for (size_t i = 0; i < r->retest_count; i++) {
        struct planning_retest *y = &r->retests[i];
        if (strcmp(y->lot, x.lot) != 0) {
            continue;
        }
        if (list_has(y->markets, x.markets)) {
            return; /* told by other goods of the lot */
        }
        if (y->from_day == x.from_day && y->to_day == x.to_day && y->is_known == x.is_known) {
            y->markets = arena_printf(r->arena, "%s,%s", y->markets, x.markets);
            return;
        }
    }
    *(struct planning_retest *)evidence_grow(r->arena, &r->retests, &r->retest_count,
                                             sizeof *r->retests) = x;
    r->out->retests = r->retests;
    r->out->retest_count = (int)r->retest_count;
}

struct result planning_tested(struct reading *r, int64_t lot, int start_day, int soonest,
                              struct planning_tested *out)
{
    int count = r->out->problem.market_count;
    int *once = ARENA_ARRAY(r->arena, int, (size_t)count),
        *again = ARENA_ARRAY(r->arena, int, (size_t)count);
    bool asked;
    TRY(asks_again(r, lot, &asked));
    out->is_open = true;
    for (int m = 0; m < count; m++) {
        struct clause_list list;
        TRY(clauses_of_lot(r->store, r->profile, lot, r->markets[m].code, r->arena, &list));
        once[m] = again[m] = soonest;
        bool is_ours = (out->markets >> m & 1) != 0;
        if (clause_holds(&list, "sampled") && clause_holds(&list, "negative")) {
            out->is_open = out->is_open && !is_ours;
            continue;
        }
        once[m] = tested_day(r, m, start_day, asked);
        again[m] = tested_day(r, m, start_day, true);
        if (asked && is_ours) {
            remember(r, out, m, start_day);
        }
    }
    out->once_day = once;
    out->again_day = again;
    out->ready_day = r->out->problem.retest_planned ? again : once;
    return RESULT_OK;
}

static const char *spaced(struct arena *a, const char *comma_list)
{
    const char *text = "";
    char word[64];
    for (const char *at = comma_list; list_next(&at, word, sizeof word);) {
        text = text[0] == '\0' ? arena_copy(a, word) : arena_printf(a, "%s, %s", text, word);
    }
    return text;
}

static const char *sentence(const struct planning_case *c, const struct planning_retest *x,
                            struct arena *a, const char *lang)
{
    const char *markets = spaced(a, x->markets);
    int least = x->harvest_day > 0 ? x->harvest_day : 0;
    int from = x->from_day > x->harvest_day ? x->from_day : x->harvest_day,
        to = x->to_day > least ? x->to_day : least;
    const char *before = words_day(a, lang, c->problem.first_day + from),
               *then = words_day(a, lang, c->problem.first_day + to);
    const char *due = words_day(a, lang, c->problem.first_day + x->to_day);
    if (!x->is_known) {
        return WORDS(a, lang, "plan.retest.unknown", x->lot, markets, then);
    }
    return from == to ? WORDS(a, lang, "plan.retest.before", x->lot, markets, due)
                      : WORDS(a, lang, "plan.retest", x->lot, markets, before, then);
}

json_t *planning_retests_json(const struct planning_case *c, struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int i = 0; i < c->retest_count; i++) {
        const struct planning_retest *x = &c->retests[i];
        const char *to = day_text(a, c->problem.first_day + x->to_day);
        json_t *o =
            json_pack("{s:s,s:s,s:s,s:s?,s:s}", "lot", x->lot, "markets", spaced(a, x->markets),
                      "from", day_text(a, c->problem.first_day + x->from_day), "to",
                      x->is_known ? to : NULL, "sentence", sentence(c, x, a, lang));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}
