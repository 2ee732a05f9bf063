/* What the record concludes from a confirmed positive: of a lot, its whole scope, held in the same
 * transaction; of a swab, an action on the environment; of water, that it is put right. */
#include <string.h>

#include "base/check.h"
#include "ledger/consequence.h"
#include "ledger/environment.h"
#include "ledger/evidence.h"
#include "ledger/hold.h"
#include "ledger/ladder.h"
#include "ledger/scope.h"
#include "ledger/water_stop.h"

#define HOUR_MS INT64_C(3600000)
static const char stops_all[] = "use,mix,pack,release,load";

struct positive {
    int64_t sample, lot, taken_ms; /* lot 0: of a place */
    const char *code, *place, *what, *organism, *location;
};

static struct result positives_told(struct consequence *c, struct positive **out, size_t *out_count)
{
    struct statement *q = store_prepare(c->lg->store, Q_POSITIVE_NEWEST);
    bool row;
    TRY(store_step(q, &row));
    CHECK(row);
    int64_t newest = store_int(q, 0);
    store_done(q);
    if (newest < c->cause_seq) {
        return RESULT_OK; /* most entries tell of none, and asking what they told takes longer */
    }
    q = store_prepare(c->lg->store, Q_SCOPE_POSITIVES);
    store_bind_int(q, 1, c->cause_seq);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *place = store_text(q, 3);
        struct positive *p = evidence_grow(c->arena, out, out_count, sizeof *p);
        *p = (struct positive){.sample = store_int(q, 0),
                               .code = arena_copy(c->arena, store_text(q, 1)),
                               .lot = store_int(q, 2),
                               .place = place != NULL ? arena_copy(c->arena, place) : NULL,
                               .what = arena_copy(c->arena, store_text(q, 4)),
                               .taken_ms = store_int(q, 5),
                               .organism = arena_copy(c->arena, store_text(q, 6)),
                               .location = arena_copy(c->arena, store_text(q, 7))};
    }
}

struct recording {
    struct draft *d;
    const struct positive *positive;
    const struct scope_lots *scope;
    struct id_set written; /* lots that have their rows */
    json_t *lots;          /* of the answer */
    bool recall;           /* something has left */
};

static void add_row(struct recording *r, const struct lot *lot, enum scope_why why,
                    const char *state, const char *customer, int64_t pieces, int64_t mg)
{
    draft_add(r->d, EFFECT_SCOPE, "itttii", lot->id, scope_why_text(why), state, customer, pieces,
              mg);
    json_t *o = json_pack("{s:s,s:s,s:s,s:I,s:I}", "lot", lot->code, "why", scope_why_text(why),
                          "state", state, "pieces", (json_int_t)pieces, "mg", (json_int_t)mg);
    CHECK(o != NULL);
    if (customer[0] != '\0') {
        json_object_set_new(o, "customer", json_string(customer));
    }
    json_array_append_new(r->lots, o);
}

/* What is here is held, what left stands by customer, what was used up is named as such. */
static struct result add_rows(struct recording *r, const struct lot *lot, enum scope_why why)
{
    bool here, row, left = false;
    int64_t pieces, mg;
    struct statement *q = store_prepare(r->d->store, Q_SCOPE_CUSTOMERS);
    store_bind_int(q, 1, lot->id);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        left = r->recall = true;
        add_row(r, lot, why, "recall", store_text(q, 0), store_int(q, 1), store_int(q, 2));
    }
    TRY(lot_is_here(r->d->store, lot->id, &here));
    TRY(balance_of(r->d->store, lot->id, UNIT_PIECES, &pieces));
    TRY(balance_of(r->d->store, lot->id, UNIT_MG, &mg));
    if (here) {
        add_row(r, lot, why, "held", "", pieces > 0 ? pieces : 0, mg > 0 ? mg : 0);
    } else if (!left) {
        add_row(r, lot, why, "used", "", 0, 0);
    }
    return RESULT_OK;
}

static struct result revoke_releases(struct draft *d, int64_t lot)
{
    struct statement *q = store_prepare(d->store, Q_SCOPE_RELEASES);
    store_bind_int(q, 1, lot);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        draft_add(d, EFFECT_RELEASE_REVOKED, "iin", store_int(q, 0), d->cmd->happened_ms);
    }
}

static struct result block_seed(struct draft *d, const struct lot *lot)
{
    draft_add(d, EFFECT_SEED_STATE, "itti", lot->id, "blocked", "", d->cmd->happened_ms);
    if (strcmp(lot->kind, "supplier") == 0) {
        const char *what =
            arena_printf(d->arena, "%s: %s", lot->supplier != NULL ? lot->supplier : "",
                         lot->supplier_code != NULL ? lot->supplier_code : lot->code);
        draft_task(d, "report-to-supplier", what, lot->id, NULL,
                   d->cmd->recorded_ms + 24 * HOUR_MS);
    }
    return RESULT_OK;
}

/* One hold a reason: each asks for its own way out. */
static struct result record_why(struct recording *r, enum scope_why why, json_t *holds)
{
    const struct id_set *lots = &r->scope->lots[why];
    struct draft *d = r->d;
    if (lots->count == 0) {
        return RESULT_OK;
    }
    const char *reason = arena_printf(d->arena, "%s: %s positive in sample %s", scope_why_text(why),
                                      r->positive->organism, r->positive->code);
    int64_t hold;
    const char *code = draft_hold(d, "positive", stops_all, "disposition", reason, 0, 0, 0, &hold);
    json_array_append_new(holds, json_string(code));
    for (size_t i = 0; i < lots->count; i++) {
        struct lot lot;
        bool found;
        TRY(lot_by_id(d->store, d->arena, lots->id[i], &lot, &found));
        if (!found) {
            continue;
        }
        draft_hold_on(d, hold, lot.id, 0, scope_why_text(why));
        if (why == WHY_SEED) {
            TRY(block_seed(d, &lot));
        }
        if (id_set_add(&r->written, lot.id)) {
            TRY(add_rows(r, &lot, why));
            TRY(revoke_releases(d, lot.id));
        }
    }
    return RESULT_OK;
}

static bool is_affected(const struct scope_lots *scope, const char *place)
{
    for (size_t i = 0; i < scope->place_count; i++) {
        if (strcmp(scope->places[i], place) == 0) {
            return true;
        }
    }
    return false;
}

/* Affected surfaces, and those that stand around them (112.148(c), published (seen)). */
static struct result cleaning_tasks(struct consequence *c, struct recording *r)
{
    struct evidence_place *places = NULL;
    size_t count = 0;
    struct draft *d = r->d;
    struct statement *q = store_prepare(d->store, Q_PLACE_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const char *parent = store_text(q, 4);
        struct evidence_place *p = evidence_grow(c->arena, &places, &count, sizeof *p);
        *p =
            (struct evidence_place){.code = arena_copy(c->arena, store_text(q, 0)),
                                    .kind = arena_copy(c->arena, store_text(q, 2)),
                                    .parent = parent != NULL ? arena_copy(c->arena, parent) : NULL};
    }
    for (size_t i = 0; i < count; i++) {
        bool affected = is_affected(r->scope, places[i].code), beside = false;
        for (size_t k = 0; k < count && places[i].parent != NULL; k++) {
            beside = beside ||
                     (places[k].parent != NULL && strcmp(places[k].parent, places[i].parent) == 0 &&
                      is_affected(r->scope, places[k].code));
        }
        bool surface = profile_surface(d->profile, places[i].kind) != NULL;
        if (affected || (beside && surface)) {
            draft_task(d, affected ? "clean-affected" : "clean-surrounding", r->positive->code,
                       r->positive->lot, places[i].code, d->cmd->recorded_ms + 24 * HOUR_MS);
        }
    }
    return RESULT_OK;
}

static struct result fill_scope(struct consequence *c, struct recording *r)
{
    struct draft *d = r->d;
    json_t *holds = json_array();
    CHECK(holds != NULL);
    json_object_set_new(d->answer, "holds", holds);
    json_object_set_new(d->answer, "sample", json_string(r->positive->code));
    json_object_set_new(d->answer, "organism", json_string(r->positive->organism));
    json_object_set_new(d->answer, "lots", r->lots);
    for (int why = 0; why < WHY_COUNT; why++) {
        TRY(record_why(r, (enum scope_why)why, holds));
    }
    TRY(cleaning_tasks(c, r));
    draft_task(d, "root-cause", r->positive->code, r->positive->lot, NULL,
               d->cmd->recorded_ms + 7 * 24 * HOUR_MS);
    if (r->recall) {
        draft_task(d, "recall-decision", r->positive->code, r->positive->lot, NULL,
                   d->cmd->recorded_ms);
    }
    json_object_set_new(d->answer, "recall", json_boolean(r->recall));
    return RESULT_OK;
}

static struct result draw_scope(struct consequence *c, const struct positive *p)
{
    struct scope_lots scope;
    struct command cmd;
    struct draft d;
    TRY(scope_find(c->lg->store, c->lg->profile, c->arena, p->lot, &scope));
    consequence_begin(c, "scope", &cmd, &d);
    struct recording r = {.d = &d,
                          .positive = p,
                          .scope = &scope,
                          .written = id_set_new(c->arena),
                          .lots = json_array()};
    CHECK(r.lots != NULL);
    struct result filled = fill_scope(c, &r);
    if (filled.code != CODE_OK) {
        draft_release(&d);
        return filled;
    }
    return consequence_take(c, &d);
}

static struct result open_environment(struct consequence *c, const struct positive *p)
{
    struct rung rung;
    TRY(ladder_rung(c->lg->store, c->arena, c->lg->profile, p->place, p->location, p->organism,
                    p->taken_ms, &rung));
    struct environment_opening opening = {.place = p->place,
                                          .product_hold = rung.holds,
                                          .from_ms = rung.from_ms,
                                          .organism = p->organism,
                                          .sample = p->code,
                                          .site = rung.site,
                                          .zone = rung.zone,
                                          .clear = rung.clear,
                                          .repeated = rung.repeated};
    struct command cmd;
    struct draft d;
    consequence_begin(c, "environment", &cmd, &d);
    environment_open(&d, &opening);
    draft_task(&d, "decide-product-hold", p->code, 0, p->place, cmd.recorded_ms);
    return consequence_take(c, &d);
}

/* 21 CFR 112.45 (from memory): water that fails is not used until it was put right and shown so. */
static struct result correct_water(struct consequence *c, const struct positive *p)
{
    struct command cmd;
    struct draft d;
    struct place place;
    bool found;
    TRY(place_by_code(c->lg->store, c->arena, p->place, &place, &found));
    CHECK(found);
    consequence_begin(c, "water-failed", &cmd, &d);
    draft_task(&d, "water-stop", p->code, 0, p->place, cmd.recorded_ms);
    draft_task(&d, "water-correct", p->code, 0, p->place, cmd.recorded_ms + 24 * HOUR_MS);
    json_object_set_new(d.answer, "place", json_string(p->place));
    json_object_set_new(d.answer, "sample", json_string(p->code));
    struct result r = water_stop_put(&d, p->place, place.kind, "result");
    if (r.code != CODE_OK) {
        draft_release(&d);
        return r;
    }
    return consequence_take(c, &d);
}

struct result consequence_positive(struct consequence *c)
{
    struct positive *told = NULL;
    size_t count = 0;
    if (c->lg->profile == NULL) {
        return RESULT_OK; /* before the first profile there are no steps, so no results either */
    }
    TRY(positives_told(c, &told, &count));
    for (size_t i = 0; i < count; i++) {
        if (told[i].lot != 0) {
            TRY(draw_scope(c, &told[i]));
        } else if (strcmp(told[i].what, "water") == 0) {
            TRY(correct_water(c, &told[i]));
        } else {
            TRY(open_environment(c, &told[i]));
        }
    }
    return RESULT_OK;
}
