/* Seed: approved and not blocked; treated in one of three ways. */
#include <string.h>

#include "ledger/clause_inner.h"

/* An approval counts as long as nothing else was said of the lot, or of the supplier's lot, that
 * was told later or happened later: the cautious reading of both orders. */
static bool approval_stands(const struct evidence *e, const struct evidence_seed_state *approval)
{
    for (size_t i = 0; i < e->seed_state_count; i++) {
        const struct evidence_seed_state *s = &e->seed_states[i];
        if (s->lot != approval->lot || strcmp(s->state, "approved") == 0 ||
            strcmp(s->state, "received") == 0) {
            continue;
        }
        if (s->entry > approval->entry || s->at_ms > approval->at_ms) {
            return false;
        }
    }
    return true;
}

/* The newest state that is worse than approved; NULL: none. */
static const struct evidence_seed_state *worst_state(const struct evidence *e, size_t lot)
{
    const struct evidence_seed_state *found = NULL;
    for (size_t i = 0; i < e->seed_state_count; i++) {
        const struct evidence_seed_state *s = &e->seed_states[i];
        if (s->lot == lot && strcmp(s->state, "approved") != 0 &&
            strcmp(s->state, "received") != 0) {
            found = s;
        }
    }
    return found;
}

static void check_seed_markets(struct judging *j, struct clause_line *line,
                               const struct evidence_seed_state *approval)
{
    for (size_t i = 0; i < j->p->market_count && approval->markets[0] != '\0'; i++) {
        const char *market = j->p->markets[i].name;
        if (list_has(j->markets, market) && !list_has(approval->markets, market)) {
            clause_fail(line,
                        FAIL3(CLAUSE_SEED_MARKET, "", line->lot_code, approval->markets, market));
        }
    }
}

void judge_seed_approved(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    const struct evidence_seed_state *approval = NULL;
    for (size_t i = 0; i < e->seed_state_count; i++) {
        const struct evidence_seed_state *s = &e->seed_states[i];
        if (s->lot == lot && !s->of_supplier_lot && strcmp(s->state, "approved") == 0) {
            approval = s;
        }
    }
    const struct evidence_seed_state *worst = worst_state(e, lot);
    if (approval != NULL) {
        clause_entry(j, line, approval->entry);
    }
    if (worst != NULL) {
        clause_entry(j, line, worst->entry);
    }
    if (approval != NULL && approval_stands(e, approval)) {
        check_seed_markets(j, line, approval);
    } else if (worst != NULL) {
        clause_fail(line, FAIL3(CLAUSE_SEED_BLOCKED, "", line->lot_code, worst->state,
                                time_text(j, worst->at_ms)));
    } else {
        clause_fail(line, FAIL1(CLAUSE_SEED_STATE, "", line->lot_code));
    }
}

/* The seed items that went into the load, checked against what the recipe is for. */
static bool recipe_fits(const struct judging *j, size_t load, const struct recipe *recipe)
{
    for (size_t i = 0; i < j->e->edge_count; i++) {
        const struct evidence_edge *edge = &j->e->edges[i];
        if (edge->child == load && !list_has(recipe->items, j->e->lots[edge->parent].item)) {
            return false;
        }
    }
    return true;
}

static struct result by_recipe(struct judging *j, const struct evidence_treatment *t,
                               const char *load)
{
    const struct recipe *recipe = profile_recipe(j->p, t->recipe);
    if (recipe == NULL || !recipe_fits(j, t->lot, recipe)) {
        return FAIL2(CLAUSE_TREATMENT_RECIPE, "", load, t->recipe);
    }
    if (!source_may_release(recipe->source)) {
        return FAIL3(CLAUSE_TREATMENT_SOURCE, "", load, t->recipe, recipe->source->title);
    }
    return list_has(t->papers, "validation")
               ? RESULT_OK
               : FAIL2(CLAUSE_TREATMENT_PAPERS, "", load, "validation document");
}

static struct result treatment_holds(struct judging *j, const struct evidence_treatment *t)
{
    const char *load = j->e->lots[t->lot].code;
    int64_t review;
    if (!t->met) {
        return FAIL2(CLAUSE_TREATMENT_FAILED, "", load, t->reason);
    }
    if (strcmp(t->way, "recipe") == 0) {
        TRY(by_recipe(j, t, load));
    } else if (strcmp(t->way, "constants") == 0) {
        if (!t->constants_signed) {
            return FAIL2(CLAUSE_TREATMENT_PAPERS, "", load, "signed constants");
        }
    } else if (strcmp(t->way, "supplier") != 0 || !list_has(t->papers, "certificate")) {
        return FAIL2(CLAUSE_TREATMENT_PAPERS, "", load, "certificate of the supplier");
    }
    return entry_reviewed(j->e, t->entry, &review)
               ? RESULT_OK
               : FAIL2(CLAUSE_TREATMENT_REVIEW, "", load, number_text(j, t->entry));
}

/* Treated once in one of the ways is enough; without, the last treatment says what is missing. */
void judge_seed_treated(struct judging *j, size_t lot)
{
    const struct evidence *e = j->e;
    struct clause_line *line = clause_line_new(j, lot, NULL, NULL);
    struct result last = FAIL1(CLAUSE_TREATMENT_MISSING, "", line->lot_code);
    for (size_t i = 0; i < e->treatment_count && last.code != CODE_OK; i++) {
        const struct evidence_treatment *t = &e->treatments[i];
        if (t->lot != lot) {
            continue;
        }
        int64_t review;
        last = treatment_holds(j, t);
        clause_entry(j, line, t->entry);
        if (entry_reviewed(e, t->entry, &review)) {
            clause_entry(j, line, review);
        }
    }
    if (last.code != CODE_OK) {
        clause_fail(line, last);
    }
}
