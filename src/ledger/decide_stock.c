/* Stock that is destroyed, and stock that is counted or weighed against the books. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/goods.h"
#include "ledger/kin.h"

static struct result not_growing(const struct goods *g)
{
    return list_has("growing,supplier", g->lot.kind)
               ? FAIL3(LOT_KIND, g->path, g->lot.code, g->lot.kind, "all but growing and supplier")
               : RESULT_OK;
}

struct result decide_destroy(struct draft *d)
{
    static const char *const names[] = {"lot", "units",      "pieces", "mass", "how",
                                        "to",  "instrument", "gross",  "tare", NULL};
    const char *to = NULL;
    struct goods *goods;
    size_t count;
    int64_t at_ms = d->cmd->happened_ms, mg = 0, pieces = 0;
    TRY(draft_only(d, "a destruction", names));
    TRY(json_get_text(d->cmd->body, "to", "to", JSON_NEEDED, &to));
    if (!list_has("waste,compost,feed", to)) {
        return FAIL2(FIELD_CHOICE, "to", to, "waste, compost, feed");
    }
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say why it is destroyed.");
    }
    TRY(goods_read(d, d->cmd->body, "", &goods, &count));
    int64_t step = draft_step(d, NULL, 0, at_ms, at_ms, count == 1 ? goods[0].lot.id : 0, to);
    for (size_t i = 0; i < count; i++) {
        const struct goods *g = &goods[i];
        TRY(not_growing(g));
        TRY(lot_fits(d, &g->lot, g->path));
        TRY(goods_take(d, g));
        goods_to_account(d, g, to, 1);
        goods_set_units(d, g, "destroyed", NULL, 0);
        draft_step_lot(d, step, g->lot.id, "in", g->mass.value, at_ms, at_ms);
        TRY(lot_close_when_empty(d, &g->lot));
        mg += g->mass.value;
        pieces += g->pieces;
    }
    json_object_set_new(d->answer, "pieces", json_integer(pieces));
    json_object_set_new(d->answer, "mass", json_string(mass_text(d->arena, mg, 0)));
    return RESULT_OK;
}

struct counting {
    struct lot lot;
    struct unit *found, *here; /* named; here by the books */
    size_t found_count, here_count;
    bool by_units, by_pieces, by_mass;
    int64_t pieces;
    struct amount mass;
};

static struct result read_counting(struct draft *d, struct counting *c)
{
    const json_t *o = d->cmd->body;
    TRY(lot_named(d, o, "lot", "lot", &c->lot));
    struct goods g = {.lot = c->lot, .path = "lot"};
    TRY(not_growing(&g));
    TRY(units_here(d, c->lot.id, &c->here, &c->here_count));
    json_t *units = NULL;
    TRY(json_get_array(o, "units", "units", JSON_OPTIONAL, &units));
    c->by_units = units != NULL;
    if (json_array_size(units) > 0) { /* an empty list: none of its cases was found */
        TRY(units_named(d, o, "units", JSON_NEEDED, &c->found, &c->found_count));
    }
    if (c->found_count > GOODS_UNITS_MAX) {
        return FAIL2(FIELD_RANGE, "units", "too many", "at most 2000 cases in one command");
    }
    c->pieces = -1;
    TRY(json_get_int(o, "pieces", "pieces", JSON_OPTIONAL, 0, 100000000, &c->pieces));
    c->by_pieces = c->pieces >= 0 || c->by_units;
    TRY(draft_read_mass(d, o, "", JSON_OPTIONAL, HOW_WEIGHED, &c->mass, &c->by_mass));
    if (c->by_mass && c->mass.how != HOW_WEIGHED && c->mass.how != HOW_COUNTED) {
        return FAIL2(FIELD_CHOICE, "how", "standard or difference", "weighed, counted");
    }
    if (!c->by_pieces && !c->by_mass) {
        return FAIL1(FIELD_MISSING, "mass", "Give a mass, pieces or the cases found.");
    }
    bool counted;
    TRY(lot_counted(d, c->lot.id, &counted));
    if (c->by_pieces && !counted) {
        return FAIL1(FIELD_MISSING, "mass", "This lot has no pieces; give a mass alone.");
    }
    return c->here_count > 0 && c->by_pieces && !c->by_units
               ? FAIL1(UNITS_WANTED, "pieces", c->lot.code)
               : RESULT_OK;
}

/* What the books had at the moment of the count: what moved since is known, whenever the count is
 * told. */
static struct result had_then(struct draft *d, int64_t lot, enum amount_unit unit, int64_t *out)
{
    struct statement *q = store_prepare(d->store, Q_MOVED_SINCE);
    store_bind_int(q, 1, lot);
    store_bind_text(q, 2, unit == UNIT_MG ? "mg" : "pc");
    store_bind_int(q, 3, d->cmd->happened_ms);
    bool row;
    TRY(store_step(q, &row));
    int64_t since = store_int(q, 0);
    while (row) {
        TRY(store_step(q, &row));
    }
    TRY(draft_balance(d, lot, unit, out));
    *out -= since;
    return RESULT_OK;
}

/* Cases that the books have and nobody found are missing; found ones are here, whatever the books
 * said. */
static struct result count_cases(struct draft *d, struct counting *c, const char *place)
{
    int64_t pieces = 0, then, now;
    TRY(had_then(d, c->lot.id, UNIT_PIECES, &then));
    TRY(draft_balance(d, c->lot.id, UNIT_PIECES, &now));
    if (then != now) {
        return FAIL2(COUNT_LATE, "units", c->lot.code, civil_short(d->arena, d->cmd->happened_ms));
    }
    for (size_t i = 0; i < c->found_count; i++) {
        const struct unit *u = &c->found[i];
        if (u->lot != c->lot.id) {
            return FAIL2(FIELD_RANGE, "units", u->code,
                         arena_printf(d->arena, "cases of %s", c->lot.code));
        }
        pieces += u->pieces;
        if (!list_has("here,returned", u->state)) {
            TRY(draft_deviation(d, "case-found", u->lot, place, 0, 0,
                                FAIL2(UNIT_FOUND, "units", u->code, u->state)));
            draft_add(d, EFFECT_UNIT_STATE, "ittoottoo", u->id, "here", place, (int64_t)0,
                      (int64_t)0, u->state, u->place, u->shipment, u->parent);
        }
    }
    for (size_t i = 0; i < c->here_count; i++) {
        const struct unit *u = &c->here[i];
        bool found = false;
        for (size_t k = 0; k < c->found_count && !found; k++) {
            found = c->found[k].id == u->id;
        }
        if (!found) {
            draft_add(d, EFFECT_UNIT_STATE, "ittoottoo", u->id, "missing", u->place, u->shipment,
                      u->parent, u->state, u->place, u->shipment, u->parent);
        }
    }
    if (c->pieces >= 0 && c->pieces != pieces) {
        return FAIL2(FIELD_RANGE, "pieces", arena_printf(d->arena, "%lld", (long long)c->pieces),
                     arena_printf(d->arena, "%lld, what the cases hold", (long long)pieces));
    }
    c->pieces = pieces;
    return RESULT_OK;
}

/* The mass that goes with counted pieces where nothing was weighed. */
static struct result mass_counted(struct draft *d, struct counting *c, int64_t had_pieces)
{
    struct amount gone;
    int64_t mean_mg, had_mg;
    c->mass = (struct amount){.unit = UNIT_MG, .how = HOW_COUNTED};
    c->by_mass = true;
    TRY(had_then(d, c->lot.id, UNIT_MG, &had_mg));
    if (c->pieces < had_pieces) {
        TRY(mass_of_pieces(d, c->lot.id, had_pieces - c->pieces, &gone));
        c->mass.value = had_mg - gone.value;
    } else {
        TRY(packed_mean(d, c->lot.id, &mean_mg));
        c->mass.value = had_mg + (c->pieces - had_pieces) * mean_mg;
    }
    c->mass.value = c->mass.value > 0 ? c->mass.value : 0;
    return RESULT_OK;
}

/* Brings the books to what was counted; the difference is explained by nothing. */
static struct result settle(struct draft *d, const struct counting *c, const struct amount *counted,
                            const char *word)
{
    int64_t had;
    TRY(had_then(d, c->lot.id, counted->unit, &had));
    struct amount difference = *counted;
    difference.value = counted->value > had ? counted->value - had : had - counted->value;
    int sign = counted->value > had ? 1 : -1;
    TRY(draft_move_lot(d, c->lot.id, c->lot.code, sign, &difference));
    draft_move_account(d, "unexplained", -sign, &difference);
    json_object_set_new(d->answer, word,
                        json_pack("{s:I,s:I,s:I}", "books", (json_int_t)had, "counted",
                                  (json_int_t)counted->value, "difference",
                                  (json_int_t)(counted->value - had)));
    return RESULT_OK;
}

static struct result ids_of(struct draft *d, enum query query, int64_t lot, const char *unit,
                            struct id_set *out)
{
    *out = id_set_new(d->arena);
    struct statement *q = store_prepare(d->store, query);
    store_bind_int(q, 1, lot);
    if (unit != NULL) {
        store_bind_text(q, 2, unit);
    }
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        id_set_add(out, store_int(q, 0));
    }
}

/* What the lot owed in that unit is explained: the count says what there is. */
static struct result close_owed(struct draft *d, const struct counting *c, const char *unit,
                                size_t *closed)
{
    struct id_set owed;
    TRY(ids_of(d, Q_OWED_OPEN, c->lot.id, unit, &owed));
    for (size_t i = 0; i < owed.count; i++) {
        draft_add(d, EFFECT_OWED_CLOSED, "iin", owed.id[i], d->cmd->happened_ms);
    }
    *closed += owed.count;
    return RESULT_OK;
}

static struct result close_tasks(struct draft *d, const struct counting *c)
{
    struct id_set mg, pieces, tasks;
    TRY(ids_of(d, Q_OWED_OPEN, c->lot.id, "mg", &mg));
    TRY(ids_of(d, Q_OWED_OPEN, c->lot.id, "pc", &pieces));
    if ((mg.count > 0 && !c->by_mass) || (pieces.count > 0 && !c->by_pieces)) {
        return RESULT_OK; /* something is still owed in the unit that was not counted */
    }
    TRY(ids_of(d, Q_OWED_TASKS_OPEN, c->lot.id, NULL, &tasks));
    for (size_t i = 0; i < tasks.count; i++) {
        draft_add(d, EFFECT_TASK_DONE, "iin", tasks.id[i], d->cmd->happened_ms);
    }
    return RESULT_OK;
}

static struct result open_or_close(struct draft *d, const struct lot *lot)
{
    int64_t mg, pieces;
    TRY(draft_balance(d, lot->id, UNIT_MG, &mg));
    TRY(draft_balance(d, lot->id, UNIT_PIECES, &pieces));
    if (lot->closed_ms != 0 && (mg > 0 || pieces > 0)) {
        draft_add(d, EFFECT_LOT_CLOSED, "ini", lot->id, lot->closed_ms);
    }
    return lot_close_when_empty(d, lot);
}

struct result decide_count(struct draft *d)
{
    static const char *const names[] = {"lot",        "units", "pieces", "mass",  "how",
                                        "instrument", "gross", "tare",   "place", NULL};
    struct counting c = {0};
    struct place place;
    size_t closed = 0;
    int64_t had_pieces, at_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "a count", names));
    TRY(read_counting(d, &c));
    TRY(place_named(d, "place", JSON_OPTIONAL, &place));
    const char *where = place.code != NULL ? place.code : c.lot.place;
    if (c.by_units) {
        TRY(count_cases(d, &c, where));
    }
    if (c.by_pieces) {
        struct amount pieces = {.unit = UNIT_PIECES, .value = c.pieces, .how = HOW_COUNTED};
        TRY(had_then(d, c.lot.id, UNIT_PIECES, &had_pieces));
        if (!c.by_mass) {
            TRY(mass_counted(d, &c, had_pieces));
        }
        TRY(settle(d, &c, &pieces, "pieces"));
        TRY(close_owed(d, &c, "pc", &closed));
    }
    if (c.by_mass) {
        TRY(settle(d, &c, &c.mass, "mg"));
        TRY(close_owed(d, &c, "mg", &closed));
    }
    TRY(close_tasks(d, &c));
    TRY(open_or_close(d, &c.lot));
    if (place.code != NULL && (c.lot.place == NULL || strcmp(c.lot.place, place.code) != 0)) {
        draft_add(d, EFFECT_LOT_PLACE, "itt", c.lot.id, place.code, c.lot.place);
    }
    int64_t step = draft_step(d, where, 0, at_ms, at_ms, c.lot.id, "");
    draft_step_lot(d, step, c.lot.id, "in", c.by_mass ? c.mass.value : 0, at_ms, at_ms);
    json_object_set_new(d->answer, "lot", json_string(c.lot.code));
    json_object_set_new(d->answer, "owed_closed", json_integer((json_int_t)closed));
    return RESULT_OK;
}
