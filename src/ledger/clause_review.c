/* Reviewed: what must be reviewed before release was, by somebody else than who told it
 * (21 CFR 112.161(b), published (seen)). */
#include <string.h>

#include "ledger/clause_inner.h"

static const struct evidence_entry *entry_of(const struct evidence *e, int64_t seq)
{
    for (size_t i = 0; i < e->entry_count; i++) {
        if (e->entries[i].seq == seq) {
            return &e->entries[i];
        }
    }
    return NULL;
}

bool entry_reviewed(const struct evidence *e, int64_t seq, int64_t *out_entry)
{
    const struct evidence_entry *entry = entry_of(e, seq);
    for (size_t i = 0; entry != NULL && i < e->review_count; i++) {
        if (e->reviews[i].of_entry == seq && e->reviews[i].person != entry->person) {
            *out_entry = e->reviews[i].entry;
            return true;
        }
    }
    return false;
}

static bool needs_review(const struct profile *p, const char *kind)
{
    const struct profile_step *step = profile_step(p, kind);
    return step != NULL && step->reviewed;
}

static void check_entry(struct judging *j, struct clause_line *line, int64_t seq)
{
    const struct evidence_entry *entry = entry_of(j->e, seq);
    int64_t review;
    if (entry == NULL) {
        clause_fail(line, FAIL2(CLAUSE_REVIEW_MISSING, "", number_text(j, seq), "not in evidence"));
        return;
    }
    if (!needs_review(j->p, entry->kind)) {
        return;
    }
    clause_entry(j, line, seq);
    if (entry_reviewed(j->e, seq, &review)) {
        clause_entry(j, line, review);
    } else {
        clause_fail(line, FAIL3(CLAUSE_REVIEW_MISSING, "", number_text(j, seq), entry->kind,
                                number_text(j, entry->person)));
    }
}

/* The nearest lot on the way to the one asked about of which the clause is asked; that itself where
 * none is. */
static size_t speaks_for(const struct judging *j, size_t lot)
{
    size_t at = lot;
    while (!list_has(j->clause->kinds, j->e->lots[at].kind) && j->e->lots[at].via != at) {
        at = j->e->lots[at].via;
    }
    return at;
}

static bool has_line(const struct judging *j, size_t lot)
{
    return list_has(j->clause->kinds, j->e->lots[lot].kind) || lot == 0;
}

static bool taken_out(struct judging *j, size_t lot)
{
    const struct clause *c = j->clause;
    return list_has(c->na_items, j->e->lots[lot].item) && c->na_source != NULL &&
           source_may_release(c->na_source);
}

static void judge_lot(struct judging *j, size_t lot, size_t others)
{
    if (taken_out(j, lot)) {
        struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
        line->state = CLAUSE_NOT_APPLICABLE;
        line->reason = FAIL3(CLAUSE_NOT_APPLICABLE, "", j->clause->name, j->e->lots[lot].item,
                             j->clause->na_source->title);
        return;
    }
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    for (size_t i = 0; i < others; i++) {
        const struct clause_line *behind = &j->out->lines[i];
        for (size_t k = 0; speaks_for(j, behind->lot) == lot && k < behind->entry_count; k++) {
            check_entry(j, line, behind->entries[k]);
        }
    }
    for (size_t i = 0; i < j->e->contact_count; i++) {
        if (speaks_for(j, j->e->contacts[i].lot) == lot) {
            check_entry(j, line, j->e->contacts[i].entry);
        }
    }
}

void judge_reviewed(struct judging *j)
{
    size_t others = j->out->line_count;
    for (size_t i = 0; i < j->e->lot_count; i++) {
        if (has_line(j, i) && !same_goods(j->e, i)) {
            judge_lot(j, i, others);
        }
    }
}
