/* Lifting a hold: one by one, each by evidence of the kind that its own reason asks for. */
#include <string.h>

#include "ledger/lift_inner.h"

static struct result still_here(const struct lift *l, int64_t lot_id)
{
    struct lot lot;
    bool found;
    TRY(lot_by_id(l->d->store, l->d->arena, lot_id, &lot, &found));
    return FAIL2(HOLD_STOCK, "hold", l->hold.code, found ? lot.code : "?");
}

/* Destroyed or diverted counts when nothing of it is left, not when the first case went. */
static struct result nothing_left(const struct lift *l)
{
    for (size_t i = 0; i < l->lots.count; i++) {
        bool here;
        TRY(lot_is_here(l->d->store, l->lots.id[i], &here));
        if (here) {
            return still_here(l, l->lots.id[i]);
        }
    }
    return l->here.count == 0 ? RESULT_OK : still_here(l, l->here.id[0]);
}

/* The lots of the cases that it covers, and of which of them one still stands here. */
static struct result find_cases(struct lift *l)
{
    for (size_t i = 0; i < l->units.count; i++) {
        struct statement *q = store_prepare(l->d->store, Q_UNIT_STATE_OF);
        store_bind_int(q, 1, l->units.id[i]);
        bool row;
        TRY(store_step(q, &row));
        if (row) {
            id_set_add(&l->cases, store_int(q, 1));
        }
        if (row && list_has("here,returned", store_text(q, 0))) {
            id_set_add(&l->here, store_int(q, 1));
        }
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    return RESULT_OK;
}

/* US 21 CFR 112.142(c) (from memory): a seed lot under suspicion by a test alone may be used again
 * when it is treated by a process reasonably certain to destroy the pathogen, or when follow-up
 * reasonably shows that it is not the source. A manager says so, with reason and evidence; sprouts
 * grown from it are not lifted this way. */
static struct result lift_seed(struct lift *l)
{
    static const char *const ways[] = {"treatment", "negative", "check", "paper"};
    const char *role;
    bool active, found, brought = false;
    TRY(person_role(l->d->store, l->d->arena, l->d->cmd->person, &role, &active, &found));
    if (!found || strcmp(role, "manager") != 0) {
        const char *number = arena_printf(l->d->arena, "%lld", (long long)l->d->cmd->person);
        return FAIL3(ROLE_MISSING, "person", number, found ? role : "", "manager");
    }
    if (l->d->cmd->reason == NULL || l->d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say why this seed may be used again.");
    }
    for (size_t i = 0; i < l->lots.count; i++) {
        struct lot lot;
        TRY(lot_by_id(l->d->store, l->d->arena, l->lots.id[i], &lot, &found));
        if (found && strcmp(lot.kind, "seed") != 0 && strcmp(lot.kind, "supplier") != 0) {
            bool here;
            TRY(lot_is_here(l->d->store, lot.id, &here));
            if (here) {
                return FAIL2(HOLD_STOCK, "hold", l->hold.code, lot.code);
            }
        }
    }
    TRY(kin_onward(l->d->store, &l->kin)); /* the seed is held, its load is what was treated */
    for (size_t i = 0; i < sizeof ways / sizeof ways[0] && !brought; i++) {
        TRY(lift_brings(l, ways[i], &brought));
    }
    return brought ? RESULT_OK
                   : lift_no_evidence(
                         l, "a treatment, a passed check, a paper or a counting negative result");
}

static struct result lift_by_need(struct lift *l, const char *name)
{
    const char *sentence = need_sentence(name);
    bool brought;
    if (sentence == NULL) {
        return lift_no_evidence(
            l, name); /* placed by the record itself for something only it can see */
    }
    if (strcmp(name, "treatment") == 0) {
        TRY(kin_onward(l->d->store, &l->kin));
    }
    if (strcmp(name, "check") == 0 && l->evidence_ms < l->hold.placed_ms) {
        const char *entry = arena_printf(l->d->arena, "%lld", (long long)l->evidence);
        return FAIL2(HOLD_EVIDENCE_OLD, "evidence", l->hold.code, entry); /* only told later */
    }
    TRY(lift_brings(l, name, &brought));
    if (!brought) {
        return lift_no_evidence(l, sentence);
    }
    return strcmp(name, "disposition") == 0 ? nothing_left(l) : RESULT_OK;
}

/* A hold that the record placed names clauses; one placed by a person names what kind of evidence
 * would do. */
static struct result lift_by_needs(struct lift *l)
{
    char word[32];
    const char *clauses = "";
    bool by_record = list_has("laboratory,judged-again", l->hold.kind);
    for (const char *at = l->hold.needs; list_next(&at, word, sizeof word);) {
        if (by_record && l->d->profile != NULL && profile_clause(l->d->profile, word) != NULL) {
            clauses =
                arena_printf(l->d->arena, "%s%s%s", clauses, clauses[0] != '\0' ? "," : "", word);
        } else {
            TRY(lift_by_need(l, arena_copy(l->d->arena, word)));
        }
    }
    return clauses[0] != '\0' ? lift_by_clauses(l, clauses) : RESULT_OK;
}

static struct result read_lift(struct lift *l, bool *out_seed_route)
{
    static const char *const names[] = {"hold", "evidence", "seed_route", NULL};
    const json_t *o = l->d->cmd->body;
    const char *code = NULL;
    struct entry entry;
    bool found;
    int64_t striker;
    TRY(draft_only(l->d, "lifting a hold", names));
    TRY(json_get_text(o, "hold", "hold", JSON_NEEDED, &code));
    TRY(json_get_int(o, "evidence", "evidence", JSON_NEEDED, 1, INT64_C(1) << 50, &l->evidence));
    TRY(json_get_bool(o, "seed_route", "seed_route", JSON_OPTIONAL, out_seed_route));
    TRY(hold_by_code(l->d->store, l->d->arena, code, &l->hold, &found));
    if (!found) {
        return FAIL1(HOLD_UNKNOWN, "hold", code);
    }
    if (l->hold.lifted_ms != 0) {
        return FAIL1(HOLD_LIFTED, "hold", code);
    }
    const char *number = arena_printf(l->d->arena, "%lld", (long long)l->evidence);
    TRY(entry_by_seq(l->d->store, l->d->arena, l->evidence, &entry, &found));
    if (!found) {
        return FAIL1(ENTRY_UNKNOWN, "evidence", number);
    }
    TRY(struck_by(l->d->store, l->evidence, &striker));
    if (striker != 0) {
        return FAIL2(ENTRY_STRUCK, "evidence", number,
                     arena_printf(l->d->arena, "%lld", (long long)striker));
    }
    l->evidence_ms = entry.happened_ms;
    return l->evidence > l->hold.entry ? RESULT_OK
                                       : FAIL2(HOLD_EVIDENCE_OLD, "evidence", code, number);
}

struct result decide_lift(struct draft *d)
{
    struct lift l = {.d = d,
                     .lots = id_set_new(d->arena),
                     .units = id_set_new(d->arena),
                     .kin = id_set_new(d->arena),
                     .cases = id_set_new(d->arena),
                     .here = id_set_new(d->arena)};
    bool seed_route = false;
    TRY(read_lift(&l, &seed_route));
    TRY(hold_covers(d->store, l.hold.id, &l.lots, &l.units));
    for (size_t i = 0; i < l.lots.count; i++) {
        id_set_add(&l.kin, l.lots.id[i]);
    }
    TRY(kin_back(d->store, &l.kin));
    TRY(find_cases(&l));
    if (strcmp(l.hold.kind, "positive") != 0) {
        TRY(lift_by_needs(&l));
    } else if (seed_route) {
        TRY(lift_seed(&l));
    } else {
        bool disposed;
        TRY(lift_brings(&l, "disposition", &disposed));
        if (!disposed) {
            return FAIL1(HOLD_POSITIVE, "evidence", l.hold.code);
        }
        TRY(nothing_left(&l));
    }
    draft_add(d, EFFECT_HOLD_LIFTED, "iin", l.hold.id, d->cmd->happened_ms);
    json_object_set_new(d->answer, "hold", json_string(l.hold.code));
    json_object_set_new(d->answer, "evidence", json_integer(l.evidence));
    return RESULT_OK;
}
