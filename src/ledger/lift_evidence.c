/* What an entry brings, and whether that speaks of what is held. */
#include <string.h>

#include "base/check.h"
#include "ledger/clause.h"
#include "ledger/finding.h"
#include "ledger/lift_inner.h"
#include "ledger/sample.h"

struct need {
    const char *name;
    enum query query;
    const char *sentence;
};

static const struct need needs[] = {
#define NEED(name, NAME, sentence) {#name, Q_NEED_##NAME, sentence},
#include "ledger/needs.def"
#undef NEED
};

static const struct need *need_find(const char *name)
{
    for (size_t i = 0; i < sizeof needs / sizeof needs[0]; i++) {
        if (strcmp(needs[i].name, name) == 0) {
            return &needs[i];
        }
    }
    return NULL;
}

const char *need_sentence(const char *name)
{
    const struct need *need = need_find(name);
    return need != NULL ? need->sentence : NULL;
}

struct result lift_no_evidence(const struct lift *l, const char *sentence)
{
    const char *entry = arena_printf(l->d->arena, "%lld", (long long)l->evidence);
    return FAIL3(HOLD_EVIDENCE, "evidence", l->hold.code, entry, sentence);
}

/* One row of a need's query: does it speak of what is held? */
struct bearing {
    int64_t lot, run;
    const char *place;
    int64_t sample; /* of a laboratory result; else 0 */
    const char *sample_code, *organism;
};

static struct result has_row(struct statement *q, bool *out)
{
    bool row;
    TRY(store_step(q, &row));
    *out = row;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result any_was_there(const struct lift *l, const struct id_set *kin,
                                   const struct bearing *b, bool *out)
{
    *out = b->run != 0 && b->run == l->hold.run;
    for (size_t i = 0; i < kin->count && !*out; i++) {
        struct statement *q =
            store_prepare(l->d->store, b->run != 0 ? Q_LOT_ON_RUN : Q_LOT_AT_PLACE);
        store_bind_int(q, 1, kin->id[i]);
        if (b->run != 0) {
            store_bind_int(q, 2, b->run);
        } else {
            store_bind_text(q, 2, b->place);
        }
        TRY(has_row(q, out));
    }
    return RESULT_OK;
}

/* A negative that was told after a presumptive or beside a positive is none. */
static struct result stands_negative(const struct lift *l, const struct bearing *b, bool *out)
{
    struct evidence e;
    TRY(evidence_of_sample(l->d->store, l->d->arena, b->sample, b->sample_code, &e));
    const char *confirms = confirming_methods(l->d->profile, b->organism, l->d->arena);
    *out = finding_standing(&e, 0, b->organism, confirms).stand == STAND_NEGATIVE;
    return RESULT_OK;
}

static struct result bears(const struct lift *l, const struct id_set *kin, const struct bearing *b,
                           bool *out)
{
    if (b->lot != 0) {
        *out = id_set_has(kin, b->lot);
        return RESULT_OK;
    }
    if (b->run != 0 || b->place != NULL) {
        return any_was_there(l, kin, b, out);
    }
    *out = true; /* bound to nothing, such as the calibration of an instrument: who lifts answers
                    for it */
    return RESULT_OK;
}

static struct result any_bears(const struct lift *l, const struct id_set *kin,
                               const struct bearing *found, size_t count, bool *out)
{
    *out = false;
    for (size_t i = 0; i < count && !*out; i++) {
        TRY(bears(l, kin, &found[i], out));
        if (*out && found[i].sample != 0) {
            TRY(stands_negative(l, &found[i], out));
        }
    }
    return RESULT_OK;
}

static struct result bears_on_cases(const struct lift *l, const struct bearing *found, size_t count,
                                    bool *out)
{
    const struct id_set *lots = l->here.count > 0 ? &l->here : &l->cases;
    *out = true;
    for (size_t i = 0; i < lots->count && *out; i++) {
        struct id_set kin = id_set_new(l->d->arena);
        id_set_add(&kin, lots->id[i]);
        TRY(kin_back(l->d->store, &kin));
        TRY(any_bears(l, &kin, found, count, out));
    }
    return RESULT_OK;
}

/* Some needs are met lot by lot: all that is held and still here must be in what the entry brings.
 */
static struct result each_brought(const struct lift *l, const struct need *need, bool *out)
{
    struct id_set lots = id_set_new(l->d->arena);
    struct statement *q = store_prepare(l->d->store, need->query);
    store_bind_int(q, 1, l->evidence);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        id_set_add(&lots, store_int(q, 0));
    }
    *out = lots.count > 0;
    for (size_t i = 0; i < l->lots.count && *out; i++) {
        bool here;
        TRY(lot_is_here(l->d->store, l->lots.id[i], &here));
        *out = !here || id_set_has(&lots, l->lots.id[i]);
    }
    for (size_t i = 0; i < l->here.count && *out; i++) {
        *out = id_set_has(&lots, l->here.id[i]);
    }
    return RESULT_OK;
}

static struct bearing read_bearing(const struct lift *l, struct statement *q, bool finding)
{
    const char *place = store_text(q, 1);
    struct bearing b = {.lot = store_int(q, 0),
                        .run = store_int(q, 2),
                        .place = place != NULL ? arena_copy(l->d->arena, place) : NULL};
    if (finding) {
        b.sample = store_int(q, 3);
        b.sample_code = arena_copy(l->d->arena, store_text(q, 4));
        b.organism = arena_copy(l->d->arena, store_text(q, 5));
    }
    return b;
}

struct result lift_brings(const struct lift *l, const char *name, bool *out)
{
    const struct need *need = need_find(name);
    CHECK(need != NULL);
    if (strcmp(name, "re-passed") == 0 || strcmp(name, "decision") == 0) {
        return each_brought(l, need, out);
    }
    enum { BEARINGS_MAX = 5000 }; /* an entry makes fewer ids than that */
    struct bearing *found = ARENA_ARRAY(l->d->arena, struct bearing, BEARINGS_MAX);
    size_t count = 0;
    struct statement *q = store_prepare(l->d->store, need->query);
    store_bind_int(q, 1, l->evidence);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (count < BEARINGS_MAX) {
            found[count++] = read_bearing(l, q, strcmp(name, "negative") == 0);
        }
    }
    return l->cases.count > 0 ? bears_on_cases(l, found, count, out)
                              : any_bears(l, &l->kin, found, count, out);
}

/* The clauses of a lot for the markets it was last released for, else for its own. */
static struct result clauses_again(struct lift *l, int64_t lot, struct clause_list *out)
{
    struct statement *q = store_prepare(l->d->store, Q_LIFT_MARKETS);
    store_bind_int(q, 1, lot);
    bool row;
    TRY(store_step(q, &row));
    const char *markets = row ? arena_copy(l->d->arena, store_text(q, 0)) : "";
    while (row) {
        TRY(store_step(q, &row));
    }
    return clauses_of_lot(l->d->store, l->d->profile, lot, markets, l->d->arena, out);
}

static bool stands_behind(const struct clause_list *list, const char *clause, int64_t entry)
{
    for (size_t i = 0; i < list->line_count; i++) {
        const struct clause_line *line = &list->lines[i];
        for (size_t k = 0; strcmp(line->clause, clause) == 0 && k < line->entry_count; k++) {
            if (line->entries[k] == entry) {
                return true;
            }
        }
    }
    return false;
}

struct result lift_by_clauses(struct lift *l, const char *words)
{
    bool brought = false;
    if (l->d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    for (size_t i = 0; i < l->lots.count; i++) {
        struct lot lot;
        struct clause_list list;
        bool found;
        char word[32];
        TRY(lot_by_id(l->d->store, l->d->arena, l->lots.id[i], &lot, &found));
        if (!found) {
            continue;
        }
        TRY(clauses_again(l, lot.id, &list));
        for (const char *at = words; list_next(&at, word, sizeof word);) {
            if (!clause_holds(&list, word)) {
                return lift_no_evidence(l, arena_printf(l->d->arena,
                                                        "what closes the clause %s of lot %s", word,
                                                        lot.code));
            }
            brought = brought || stands_behind(&list, word, l->evidence);
        }
    }
    return brought ? RESULT_OK
                   : lift_no_evidence(
                         l, arena_printf(l->d->arena, "an entry behind the clauses %s", words));
}
