#include "service/dossier.h"

#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/dossier_inner.h"
#include "service/reading.h"

enum { CAUTIONS_MAX = 64, FACTS_MAX = 16 };

void told_caution(struct telling *t, const char *text)
{
    if (t->caution_count < CAUTIONS_MAX) {
        t->cautions[t->caution_count++] = text;
    }
}

static void add_fact(struct telling *t, struct dossier_fact *facts, const char *name,
                     const char *value)
{
    if (value != NULL && value[0] != '\0') {
        facts[t->paper.fact_count++] = (struct dossier_fact){.name = name, .value = value};
    }
}

static struct result facts(struct telling *t)
{
    struct arena *a = t->arena;
    const struct lot *lot = &t->lot;
    struct dossier_fact *list = ARENA_ARRAY(a, struct dossier_fact, FACTS_MAX);
    struct item item;
    struct hold *holds;
    size_t hold_count;
    int64_t mg, pieces;
    bool found;
    TRY(item_by_code(t->store, a, lot->item, &item, &found));
    TRY(balance_of(t->store, lot->id, UNIT_MG, &mg));
    TRY(balance_of(t->store, lot->id, UNIT_PIECES, &pieces));
    TRY(holds_on(t->store, a, lot->id, 0, "", &holds, &hold_count));
    t->paper.title = arena_printf(a, "Lot %s", lot->code);
    t->paper.subtitle = found ? arena_printf(a, "%s (%s)", item.name, lot->item) : lot->item;
    add_fact(t, list, "Kind", lot->kind);
    add_fact(t, list, "Made", civil_short(a, lot->born_ms));
    add_fact(t, list, "House day", words_date(a, "en", lot->day));
    add_fact(t, list, "Best before",
             lot->best_before != 0 ? words_date(a, "en", lot->best_before) : NULL);
    add_fact(t, list, "Place", lot->place);
    add_fact(t, list, "Supplier", lot->supplier);
    add_fact(t, list, "Supplier's lot", lot->supplier_code);
    add_fact(t, list, "Markets", lot->markets);
    add_fact(t, list, "Allergens", found ? item.allergens : NULL);
    add_fact(t, list, "Here now",
             pieces != 0
                 ? arena_printf(a, "%s, %lld pieces", mass_text(a, mg, 0), (long long)pieces)
                 : mass_text(a, mg, 0));
    add_fact(t, list, "Clauses",
             t->clauses.unmet == 0 ? "none is open"
                                   : arena_printf(a, "%zu of %zu lines are NOT MET",
                                                  t->clauses.unmet, t->clauses.line_count));
    for (size_t i = 0; i < hold_count; i++) {
        told_caution(t, arena_printf(a, "Held by %s (%s) against %s: %s", holds[i].code,
                                     holds[i].kind, holds[i].stops, holds[i].reason));
    }
    t->paper.facts = list;
    return RESULT_OK;
}

static const char *entries_text(struct arena *a, const struct clause_line *line)
{
    enum { SHOWN = 12 };
    const char *text = line->entry_count == 0 ? "" : line->entry_count == 1 ? "entry" : "entries";
    for (size_t i = 0; i < line->entry_count && i < SHOWN; i++) {
        text = arena_printf(a, "%s %lld", text, (long long)line->entries[i]);
    }
    return line->entry_count > SHOWN
               ? arena_printf(a, "%s and %zu more", text, line->entry_count - SHOWN)
               : text;
}

/* What a clause rests on is said where it is no published text that was seen. */
static void source_cautions(struct telling *t)
{
    for (size_t i = 0; i < t->profile->clause_count; i++) {
        const struct clause *c = &t->profile->clauses[i];
        bool asked = false;
        for (size_t k = 0; k < t->clauses.line_count && !asked; k++) {
            asked = strcmp(t->clauses.lines[k].clause, c->name) == 0;
        }
        if (asked && !source_may_release(c->source)) {
            told_caution(t,
                         arena_printf(t->arena, "The clause %s follows: %s (%s). To be verified.",
                                      c->name, c->source->title, word_text(c->source->word)));
        }
    }
}

static void clauses(struct telling *t)
{
    static const enum dossier_state states[] = {[CLAUSE_MET] = DOSSIER_MET,
                                                [CLAUSE_UNMET] = DOSSIER_UNMET,
                                                [CLAUSE_NOT_APPLICABLE] = DOSSIER_NOT_APPLICABLE};
    struct arena *a = t->arena;
    size_t count = t->clauses.line_count;
    struct dossier_clause *list = ARENA_ARRAY(a, struct dossier_clause, count);
    for (size_t i = 0; i < count; i++) {
        const struct clause_line *line = &t->clauses.lines[i];
        struct result reason = line->reason;
        const char *about = line->lot_code;
        if (line->place != NULL) {
            about = arena_printf(a, "%s, %s", about, line->place);
        }
        if (line->market != NULL) {
            about = arena_printf(a, "%s, market %s", about, line->market);
        }
        list[i] = (struct dossier_clause){
            .name = line->clause,
            .state = states[line->state],
            .reason = line->state == CLAUSE_MET
                          ? about
                          : arena_printf(a, "%s: %s", about, result_sentence(a, &reason)),
            .evidence = entries_text(a, line)};
    }
    t->paper.clauses = list;
    t->paper.clause_count = count;
    source_cautions(t);
}

static struct result balance(struct telling *t)
{
    struct arena *a = t->arena;
    struct dossier_balance *list = NULL;
    size_t count = 0;
    struct statement *q = store_prepare(t->store, Q_BALANCE_LEGS);
    store_bind_int(q, 1, t->lot.id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const char *unit = store_text(q, 2);
        struct dossier_balance *b = evidence_grow(a, &list, &count, sizeof *list);
        *b = (struct dossier_balance){
            .account =
                arena_printf(a, "%s, entry %lld", store_text(q, 1), (long long)store_int(q, 0)),
            .wet = strcmp(unit, "mg") == 0
                       ? mass_text(a, store_int(q, 3), 0)
                       : arena_printf(a, "%lld %s", (long long)store_int(q, 3), unit),
            .dry = "",
            .known = store_is_null(q, 5)
                         ? arena_copy(a, store_text(q, 4))
                         : arena_printf(a, "%s on %s", store_text(q, 4), store_text(q, 5))};
    }
    int64_t mg;
    TRY(balance_of(t->store, t->lot.id, UNIT_MG, &mg));
    struct dossier_balance *b = evidence_grow(a, &list, &count, sizeof *list);
    *b = (struct dossier_balance){.account = "left",
                                  .wet = mass_text(a, mg, 0),
                                  .dry = "",
                                  .known = "sum of the above",
                                  .total = true};
    t->paper.balance = list;
    t->paper.balance_count = count;
    return RESULT_OK;
}

static struct result fill(struct telling *t, const char *code, int64_t now_ms)
{
    struct told *told;
    size_t count;
    bool found;
    TRY(lot_by_code(t->store, t->arena, code, &t->lot, &found));
    if (!found) {
        return FAIL1(LOT_UNKNOWN, "lot", code);
    }
    TRY(clauses_of_lot(t->store, t->profile, t->lot.id, "", t->arena, &t->clauses));
    TRY(facts(t));
    clauses(t);
    TRY(told_collect(t->store, t->arena, t->lot.id, &t->clauses, &told, &count));
    TRY(told_print(t, told, count));
    TRY(balance(t));
    TRY(told_sign(t, told, count));
    TRY(told_prove(t));
    told_caution(t, "Results assist. They do not replace a process authority, a laboratory or "
                    "local law.");
    t->paper.cautions = t->cautions;
    t->paper.caution_count = t->caution_count;
    t->paper.profile_digest = hex_text(t->arena, t->profile->digest.b, sizeof t->profile->digest.b);
    t->paper.created_ms = now_ms;
    t->paper.created_offset_min = civil_offset_min(now_ms);
    return RESULT_OK;
}

struct result dossier_of_lot(struct plant *reader, const char *lot, int64_t now_ms, struct arena *a,
                             const uint8_t **out_pdf, size_t *out_len)
{
    struct profile *profile;
    struct telling t = {.store = reader->store, .arena = a};
    t.cautions = ARENA_ARRAY(a, const char *, CAUTIONS_MAX);
    TRY(store_begin(reader->store)); /* one state of the record for the whole paper */
    struct result r = profile_now(reader, &profile);
    if (r.code == CODE_OK) {
        t.profile = profile;
        r = fill(&t, lot, now_ms);
        r = r.code == CODE_OK ? dossier_pdf(a, &t.paper, out_pdf, out_len) : r;
        profile_free(profile);
    }
    store_rollback(reader->store);
    return r;
}
