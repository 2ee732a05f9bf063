/* Packing: checks of the detector around every packed minute, and the label. */
#include <string.h>

#include "ledger/clause_inner.h"

/* Checks of the run, of the pack line, or of a detector that stands in it. */
static bool check_counts(const struct evidence *e, const struct evidence_check *check,
                         const struct evidence_contact *k)
{
    if (strcmp(check->kind, "metal-check") != 0) {
        return false;
    }
    if (check->run != 0 && check->run == k->run) {
        return true;
    }
    return check->place != NULL && evidence_place_within(e, check->place, k->place);
}

static int64_t before(const struct evidence_check *x, const struct evidence_check *y)
{
    return x->at_ms != y->at_ms ? x->at_ms - y->at_ms : x->entry - y->entry;
}

/* The checks of a contact, by time. */
static const struct evidence_check **checks_of(struct judging *j, const struct evidence_contact *k,
                                               size_t *out_count)
{
    const struct evidence *e = j->e;
    const struct evidence_check **list = NULL;
    *out_count = 0;
    for (size_t i = 0; i < e->check_count; i++) {
        if (!check_counts(e, &e->checks[i], k)) {
            continue;
        }
        evidence_grow(j->arena, &list, out_count, sizeof *list);
        size_t at = *out_count - 1;
        while (at > 0 && before(list[at - 1], &e->checks[i]) > 0) {
            list[at] = list[at - 1];
            at--;
        }
        list[at] = &e->checks[i];
    }
    return list;
}

/* The stretch from one check to the next holds product when it shares a minute with the packing;
 * packing told as one moment lies in every stretch that touches it. */
static bool holds_product(const struct evidence_contact *k, int64_t from_ms, int64_t to_ms)
{
    return k->from_ms == k->to_ms ? from_ms <= k->from_ms && k->to_ms <= to_ms
                                  : from_ms < k->to_ms && k->from_ms < to_ms;
}

static void check_stretch(struct judging *j, struct clause_line *line,
                          const struct evidence_contact *k, const struct evidence_check *from,
                          const struct evidence_check *to)
{
    if (!holds_product(k, from->at_ms, to->at_ms)) {
        return;
    }
    clause_entry(j, line, from->entry);
    clause_entry(j, line, to->entry);
    if (!from->ok || !to->ok) {
        clause_fail(line, FAIL3(CLAUSE_METAL_FAILED, "", k->place, line->lot_code,
                                time_text(j, from->ok ? to->at_ms : from->at_ms)));
    } else if (to->at_ms - from->at_ms > j->clause->within_ms) {
        clause_fail(line,
                    FAIL3(CLAUSE_METAL_GAP, "", k->place, span_text(j, to->at_ms - from->at_ms),
                          span_text(j, j->clause->within_ms)));
    }
}

static void judge_packing(struct judging *j, const struct evidence_contact *k)
{
    struct clause_line *line = clause_line_new(j, k->lot, k->place, NULL);
    clause_entry(j, line, k->entry);
    if (j->clause->within_ms <= 0) {
        clause_fail(line,
                    FAIL2(CLAUSE_PLAN, "", "how far metal checks may lie apart", "foreign-body"));
        return;
    }
    size_t count;
    const struct evidence_check **list = checks_of(j, k, &count);
    if (count == 0 || list[0]->at_ms > k->from_ms) {
        clause_fail(line, FAIL3(CLAUSE_METAL_BEFORE, "", k->place, line->lot_code,
                                time_text(j, k->from_ms)));
        return;
    }
    if (list[count - 1]->at_ms < k->to_ms) {
        clause_fail(
            line, FAIL3(CLAUSE_METAL_AFTER, "", k->place, line->lot_code, time_text(j, k->to_ms)));
    }
    for (size_t i = 1; i < count; i++) {
        check_stretch(j, line, k, list[i - 1], list[i]);
    }
    if (line->state == CLAUSE_MET && count == 1) { /* one moment, checked at that very moment */
        clause_entry(j, line, list[0]->entry);
        if (!list[0]->ok) {
            clause_fail(line, FAIL3(CLAUSE_METAL_FAILED, "", k->place, line->lot_code,
                                    time_text(j, list[0]->at_ms)));
        }
    }
}

void judge_foreign_body(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    bool any = false;
    for (size_t i = 0; i < e->contact_count; i++) {
        const struct evidence_contact *k = &e->contacts[i];
        if (k->lot == lot && k->place != NULL && strcmp(k->act, "pack") == 0) {
            judge_packing(j, k);
            any = true;
        }
    }
    if (!any) {
        struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
        clause_fail(line, FAIL1(CLAUSE_METAL_STEP, "", line->lot_code));
    }
}

void judge_label(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    const struct evidence_check *newest = NULL;
    for (size_t i = 0; i < e->check_count; i++) {
        const struct evidence_check *c = &e->checks[i];
        if (c->lot == lot && strcmp(c->kind, "label-check") == 0 &&
            (newest == NULL || before(newest, c) <= 0)) {
            newest = c;
        }
    }
    if (newest == NULL) {
        clause_fail(line, FAIL1(CLAUSE_LABEL_MISSING, "", line->lot_code));
        return;
    }
    clause_entry(j, line, newest->entry);
    if (!newest->ok) {
        clause_fail(line,
                    FAIL2(CLAUSE_LABEL_FAILED, "", line->lot_code, number_text(j, newest->entry)));
    }
}
