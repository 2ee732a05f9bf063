#include "service/dossier.h"

#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/dossier_inner.h"
#include "service/reading.h"

enum { CAUTIONS_MAX = 64, FACTS_MAX = 16 };

const char *told_number(const struct telling *t, int64_t n)
{
    return arena_printf(t->arena, "%lld", (long long)n);
}

void told_caution(struct telling *t, const char *text)
{
    if (t->caution_count < CAUTIONS_MAX) {
        t->cautions[t->caution_count++] = text;
    }
}

/* key: of the name. */
static void add_fact(struct telling *t, struct dossier_fact *facts, const char *key,
                     const char *value)
{
    if (value != NULL && value[0] != '\0') {
        facts[t->paper.fact_count++] =
            (struct dossier_fact){.name = TOLD_WORDS(t, key, NULL), .value = value};
    }
}

static const char *amount_text(const struct telling *t, int64_t mg, int64_t pieces)
{
    const char *mass = mass_text(t->arena, mg, 0);
    return pieces != 0 ? TOLD_WORDS(t, "dossier.amount", mass, told_number(t, pieces)) : mass;
}

static const char *open_clauses(const struct telling *t)
{
    return t->clauses.unmet == 0
               ? TOLD_WORDS(t, "dossier.no-open-clause", NULL)
               : TOLD_WORDS(t, "dossier.open-clauses", told_number(t, (int64_t)t->clauses.unmet),
                            told_number(t, (int64_t)t->clauses.line_count));
}

static void hold_cautions(struct telling *t, const struct hold *holds, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *stops = "", *at = holds[i].stops;
        char name[32];
        while (list_next(&at, name, sizeof name)) {
            stops = arena_printf(t->arena, "%s%s%s", stops, stops[0] != '\0' ? "," : "",
                                 words_name(t->arena, t->lang, "ui.stop.", name));
        }
        told_caution(t, TOLD_WORDS(t, "dossier.held", holds[i].code,
                                   words_name(t->arena, t->lang, "hold-kind.", holds[i].kind),
                                   stops, words_reason(t->arena, t->lang, holds[i].reason)));
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
    t->paper.title = TOLD_WORDS(t, "dossier.title", lot->code);
    t->paper.subtitle = found ? arena_printf(a, "%s (%s)", item.name, lot->item) : lot->item;
    add_fact(t, list, "dossier.fact.kind", words_name(a, t->lang, "ui.lot-kind.", lot->kind));
    add_fact(t, list, "dossier.fact.made", civil_short(a, lot->born_ms));
    add_fact(t, list, "dossier.fact.day", words_date(a, t->lang, lot->day));
    add_fact(t, list, "dossier.fact.best-before",
             lot->best_before != 0 ? words_date(a, t->lang, lot->best_before) : NULL);
    add_fact(t, list, "dossier.fact.place", lot->place);
    add_fact(t, list, "dossier.fact.supplier", lot->supplier);
    add_fact(t, list, "dossier.fact.supplier-lot", lot->supplier_code);
    add_fact(t, list, "dossier.fact.markets", lot->markets);
    add_fact(t, list, "dossier.fact.allergens", found ? item.allergens : NULL);
    add_fact(t, list, "dossier.fact.here", amount_text(t, mg, pieces));
    add_fact(t, list, "dossier.fact.clauses", open_clauses(t));
    hold_cautions(t, holds, hold_count);
    t->paper.facts = list;
    return RESULT_OK;
}

static const char *entries_text(const struct telling *t, const struct clause_line *line)
{
    enum { SHOWN = 12 };
    const char *text = "";
    for (size_t i = 0; i < line->entry_count && i < SHOWN; i++) {
        text =
            arena_printf(t->arena, "%s%s%lld", text, i > 0 ? " " : "", (long long)line->entries[i]);
    }
    if (line->entry_count > SHOWN) {
        return TOLD_WORDS(t, "dossier.entries-more", text,
                          told_number(t, (int64_t)(line->entry_count - SHOWN)));
    }
    return line->entry_count == 0   ? ""
           : line->entry_count == 1 ? TOLD_WORDS(t, "dossier.entry", text)
                                    : TOLD_WORDS(t, "dossier.entries", text);
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
            const char *name = words_name(t->arena, t->lang, "clause.", c->name);
            const char *word =
                words_name(t->arena, t->lang, "ui.word.", word_text(c->source->word));
            told_caution(t, TOLD_WORDS(t, "dossier.unverified", name, c->source->title, word));
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
            about = TOLD_WORDS(t, "say.for-market", about, line->market);
        }
        list[i] = (struct dossier_clause){
            .name = words_name(a, t->lang, "clause.", line->clause),
            .state = states[line->state],
            .reason =
                line->state == CLAUSE_MET
                    ? about
                    : arena_printf(a, "%s: %s", about, result_sentence_in(a, t->lang, &reason)),
            .evidence = entries_text(t, line)};
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
        struct dossier_balance *b = evidence_grow(a, &list, &count, sizeof *list);
        const char *unit = store_text(q, 2);
        const char *how = words_name(a, t->lang, "ui.how.", store_text(q, 4));
        *b = (struct dossier_balance){
            .account =
                TOLD_WORDS(t, "dossier.leg", words_name(a, t->lang, "kind.", store_text(q, 1)),
                           told_number(t, store_int(q, 0))),
            .wet = strcmp(unit, "mg") == 0 ? mass_text(a, store_int(q, 3), 0)
                                           : arena_printf(a, "%lld %s", (long long)store_int(q, 3),
                                                          words_name(a, t->lang, "unit.", unit)),
            .dry = "",
            .known = store_is_null(q, 5) ? arena_copy(a, how)
                                         : TOLD_WORDS(t, "balance.how-on", how, store_text(q, 5))};
    }
    int64_t mg;
    TRY(balance_of(t->store, t->lot.id, UNIT_MG, &mg));
    struct dossier_balance *b = evidence_grow(a, &list, &count, sizeof *list);
    *b = (struct dossier_balance){.account = TOLD_WORDS(t, "dossier.left", NULL),
                                  .wet = mass_text(a, mg, 0),
                                  .dry = "",
                                  .known = TOLD_WORDS(t, "dossier.sum", NULL),
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
    told_caution(t, TOLD_WORDS(t, "dossier.assist", NULL));
    t->paper.cautions = t->cautions;
    t->paper.caution_count = t->caution_count;
    t->paper.profile_digest = hex_text(t->arena, t->profile->digest.b, sizeof t->profile->digest.b);
    t->paper.lang = t->lang;
    t->paper.created_ms = now_ms;
    t->paper.created_offset_min = civil_offset_min(now_ms);
    return RESULT_OK;
}

struct result dossier_of_lot(struct plant *reader, const char *lot, const char *lang,
                             int64_t now_ms, struct arena *a, const uint8_t **out_pdf,
                             size_t *out_len)
{
    struct profile *profile;
    struct telling t = {.store = reader->store, .arena = a, .lang = words_language(lang)};
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
