/* Lifting a hold: one by one, each by evidence of the kind that its own reason asks for. */
#include <string.h>

#include "ledger/hold.h"

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

struct lift {
    struct draft *d;
    struct hold_row hold;
    struct id_set lots;  /* what it covers, as lots */
    struct id_set units; /* or as units of lots */
    struct id_set kin;   /* those lots with what they came from */
    int64_t evidence;
};

/* One row of a need's query: does it speak of what is held? */
struct bearing {
    int64_t lot, run;
    const char *place;
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

static struct result any_was_there(const struct lift *l, const struct bearing *b, bool *out)
{
    *out = b->run != 0 && b->run == l->hold.run;
    for (size_t i = 0; i < l->kin.count && !*out; i++) {
        struct statement *q =
            store_prepare(l->d->store, b->run != 0 ? Q_LOT_ON_RUN : Q_LOT_AT_PLACE);
        store_bind_int(q, 1, l->kin.id[i]);
        if (b->run != 0) {
            store_bind_int(q, 2, b->run);
        } else {
            store_bind_text(q, 2, b->place);
        }
        TRY(has_row(q, out));
    }
    return RESULT_OK;
}

static struct result bears(const struct lift *l, const struct bearing *b, bool *out)
{
    if (b->lot != 0) {
        *out = id_set_has(&l->kin, b->lot);
        return RESULT_OK;
    }
    if (b->run != 0 || b->place != NULL) {
        return any_was_there(l, b, out);
    }
    *out = true; /* bound to nothing, such as the calibration of an instrument: who lifts answers
                    for it */
    return RESULT_OK;
}

static struct result brings(const struct lift *l, const struct need *need, bool *out)
{
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
            const char *place = store_text(q, 1);
            found[count++] =
                (struct bearing){.lot = store_int(q, 0),
                                 .run = store_int(q, 2),
                                 .place = place != NULL ? arena_copy(l->d->arena, place) : NULL};
        }
    }
    *out = false;
    for (size_t i = 0; i < count && !*out; i++) {
        TRY(bears(l, &found[i], out));
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
    return RESULT_OK;
}

static struct result no_evidence(const struct lift *l, const char *sentence)
{
    const char *entry = arena_printf(l->d->arena, "%lld", (long long)l->evidence);
    return FAIL3(HOLD_EVIDENCE, "evidence", l->hold.code, entry, sentence);
}

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
    for (size_t i = 0; i < l->units.count; i++) {
        struct statement *q = store_prepare(l->d->store, Q_UNIT_STATE_OF);
        store_bind_int(q, 1, l->units.id[i]);
        bool row;
        TRY(store_step(q, &row));
        bool here = row && (strcmp(store_text(q, 0), "here") == 0 ||
                            strcmp(store_text(q, 0), "returned") == 0);
        int64_t lot = row ? store_int(q, 1) : 0;
        while (row) {
            TRY(store_step(q, &row));
        }
        if (here) {
            return still_here(l, lot);
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
        TRY(brings(l, need_find(ways[i]), &brought));
    }
    return brought ? RESULT_OK
                   : no_evidence(
                         l, "a treatment, a passed check, a paper or a counting negative result");
}

static struct result lift_by_need(struct lift *l, const char *name)
{
    const struct need *need = need_find(name);
    bool brought;
    if (need == NULL) {
        return no_evidence(l, name); /* placed by the record itself for something only it can see */
    }
    if (strcmp(name, "treatment") == 0) {
        TRY(kin_onward(l->d->store, &l->kin));
    }
    bool each = strcmp(name, "re-passed") == 0 || strcmp(name, "decision") == 0;
    TRY(each ? each_brought(l, need, &brought) : brings(l, need, &brought));
    if (!brought) {
        return no_evidence(l, need->sentence);
    }
    return strcmp(name, "disposition") == 0 ? nothing_left(l) : RESULT_OK;
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
    return l->evidence > l->hold.entry ? RESULT_OK
                                       : FAIL2(HOLD_EVIDENCE_OLD, "evidence", code, number);
}

struct result decide_lift(struct draft *d)
{
    struct lift l = {.d = d,
                     .lots = id_set_new(d->arena),
                     .units = id_set_new(d->arena),
                     .kin = id_set_new(d->arena)};
    bool seed_route = false;
    TRY(read_lift(&l, &seed_route));
    TRY(hold_covers(d->store, l.hold.id, &l.lots, &l.units));
    for (size_t i = 0; i < l.lots.count; i++) {
        id_set_add(&l.kin, l.lots.id[i]);
    }
    TRY(kin_back(d->store, &l.kin));
    if (strcmp(l.hold.kind, "positive") != 0) {
        TRY(lift_by_need(&l, l.hold.needs));
    } else if (seed_route) {
        TRY(lift_seed(&l));
    } else {
        bool disposed;
        TRY(brings(&l, need_find("disposition"), &disposed));
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
