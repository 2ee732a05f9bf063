/* Release asks by nature: without its clauses it is refused, whoever sends it and however. */
#include <string.h>

#include "ledger/clause.h"
#include "ledger/hold.h"

static struct result read_markets(struct draft *d, const struct lot *lot, const char **out)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "markets", "markets", JSON_NEEDED, &list));
    const char *known = "";
    for (size_t i = 0; i < d->profile->market_count; i++) {
        const char *comma = i > 0 ? "," : "";
        known = arena_printf(d->arena, "%s%s%s", known, comma, d->profile->markets[i].name);
    }
    *out = "";
    for (size_t i = 0; i < json_array_size(list); i++) {
        const char *path = arena_printf(d->arena, "markets[%zu]", i);
        const char *market = json_string_value(json_array_get(list, i));
        if (market == NULL || profile_market(d->profile, market) == NULL) {
            return FAIL2(MARKET_UNKNOWN, path, market != NULL ? market : "", known);
        }
        if (lot->markets[0] != '\0' && !list_has(lot->markets, market)) {
            return FAIL3(RELEASE_MARKET, path, lot->code, lot->markets, market);
        }
        if (!list_has(*out, market)) {
            *out = (*out)[0] == '\0' ? market : arena_printf(d->arena, "%s,%s", *out, market);
        }
    }
    return (*out)[0] != '\0'
               ? RESULT_OK
               : FAIL1(FIELD_MISSING, "markets", "Name the markets it is released for.");
}

static struct result refuse(struct draft *d, const struct lot *lot, const struct clause_list *list)
{
    const struct clause_line *first = clauses_first_unmet(list);
    const char *unmet = arena_printf(d->arena, "%zu", list->unmet);
    const char *what = arena_printf(d->arena, "%s of lot %s", first->clause, first->lot_code);
    return FAIL3(RELEASE_UNMET, "lot", lot->code, unmet, what);
}

/* A laboratory hold is lifted as a whole, so every batch under it must have passed here. */
static struct result lift_laboratory(struct draft *d, const struct lot *lot,
                                     const struct evidence *e, const struct hold *hold)
{
    struct id_set lots = id_set_new(d->arena), units = id_set_new(d->arena);
    TRY(hold_covers(d->store, hold->id, &lots, &units));
    for (size_t i = 0; i < lots.count; i++) {
        struct lot other;
        bool found, passed = false;
        TRY(lot_by_id(d->store, d->arena, lots.id[i], &other, &found));
        for (size_t k = 0; k < e->lot_count && !passed; k++) {
            passed = e->lots[k].id == lots.id[i];
        }
        if (found && !passed && strcmp(other.kind, "growing") == 0) {
            return FAIL3(RELEASE_HOLD_WIDE, "lot", lot->code, hold->code, other.code);
        }
    }
    draft_add(d, EFFECT_HOLD_LIFTED, "iin", hold->id, d->cmd->happened_ms);
    json_array_append_new(json_object_get(d->answer, "lifted"), json_string(hold->code));
    return RESULT_OK;
}

static struct result settle_holds(struct draft *d, const struct lot *lot, const struct evidence *e,
                                  const struct clause_list *list)
{
    struct hold *holds;
    size_t count;
    bool laboratory = clause_holds(list, "sampled") && clause_holds(list, "negative");
    json_object_set_new(d->answer, "lifted", json_array());
    TRY(holds_on(d->store, d->arena, lot->id, 0, "", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        const struct hold *h = &holds[i];
        if (!list_has(h->stops, "release") && !list_has(h->stops, "load")) {
            continue;
        }
        if (strcmp(h->kind, "laboratory") != 0 || !laboratory) {
            return FAIL3(HELD, "lot", lot->code, h->code, h->kind);
        }
        TRY(lift_laboratory(d, lot, e, h));
    }
    return RESULT_OK;
}

struct result decide_release(struct draft *d)
{
    static const char *const names[] = {"lot", "markets", NULL};
    struct lot lot;
    struct evidence e;
    struct clause_list list;
    const char *markets;
    TRY(draft_only(d, "a release", names));
    if (d->profile == NULL) {
        return FAIL0(PROFILE_MISSING, "");
    }
    TRY(lot_named(d, d->cmd->body, "lot", "lot", &lot));
    TRY(read_markets(d, &lot, &markets));
    TRY(evidence_collect(d->store, d->arena, lot.id, &e));
    clauses_judge(&e, d->profile, markets, d->arena, &list);
    if (list.unmet > 0) {
        return refuse(d, &lot, &list);
    }
    TRY(settle_holds(d, &lot, &e, &list));
    json_t *clauses = clauses_json(&list);
    const char *text = json_canonical(d->arena, clauses);
    json_object_set_new(d->answer, "clauses", clauses);
    draft_add(d, EFFECT_RELEASE, "itibtn", lot.id, markets, (int64_t)d->lg->tree.size,
              &d->profile->digest, text);
    json_object_set_new(d->answer, "lot", json_string(lot.code));
    json_object_set_new(d->answer, "markets", json_string(markets));
    json_object_set_new(d->answer, "tree_size", json_integer((json_int_t)d->lg->tree.size));
    return RESULT_OK;
}
