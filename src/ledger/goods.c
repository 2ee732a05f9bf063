#include "ledger/goods.h"

#include <string.h>

#include "base/decimal.h"

static bool is_here(const struct unit *u)
{
    return strcmp(u->state, "here") == 0 || strcmp(u->state, "returned") == 0;
}

/* Arrays of cases double when their number is a power of two. */
static struct unit *grown(struct draft *d, struct unit *units, size_t count)
{
    if ((count & (count - 1)) != 0) {
        return units;
    }
    struct unit *more = ARENA_ARRAY(d->arena, struct unit, count > 0 ? count * 2 : 1);
    if (count > 0) {
        memcpy(more, units, count * sizeof *more);
    }
    return more;
}

struct result units_here(struct draft *d, int64_t lot, struct unit **out, size_t *out_count)
{
    *out = NULL;
    *out_count = 0;
    struct statement *q = store_prepare(d->store, Q_UNITS_HERE);
    store_bind_int(q, 1, lot);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        *out = grown(d, *out, *out_count);
        (*out)[(*out_count)++] = unit_row(q, d->arena);
    }
}

struct result packed_mean(struct draft *d, int64_t lot, int64_t *out_mg)
{
    struct statement *q = store_prepare(d->store, Q_PACK_MEAN);
    store_bind_int(q, 1, lot);
    bool row;
    TRY(store_step(q, &row));
    *out_mg = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result mass_of_pieces(struct draft *d, int64_t lot, int64_t pieces, struct amount *out)
{
    int64_t mean_mg, has_mg, has_pieces;
    *out = (struct amount){.unit = UNIT_MG, .how = HOW_COUNTED};
    TRY(packed_mean(d, lot, &mean_mg));
    TRY(draft_balance(d, lot, UNIT_MG, &has_mg));
    TRY(draft_balance(d, lot, UNIT_PIECES, &has_pieces));
    has_mg = has_mg > 0 ? has_mg : 0;
    has_pieces = has_pieces > 0 ? has_pieces : 0;
    if (pieces >= has_pieces) { /* pieces that the books don't have weigh what others weighed */
        out->value = has_mg + (pieces - has_pieces) * mean_mg;
        return RESULT_OK;
    }
    int64_t mg = mean_mg > 0 ? pieces * mean_mg : (int64_t)((__int128)has_mg * pieces / has_pieces);
    out->value = mg < has_mg ? mg : has_mg;
    return RESULT_OK;
}

static struct result add_unit(struct draft *d, const struct unit *unit, const char *path,
                              struct goods *list, size_t *count)
{
    size_t at = 0;
    while (at < *count && list[at].lot.id != unit->lot) {
        at++;
    }
    struct goods *g = &list[at];
    if (at == *count) {
        bool found;
        if (at == GOODS_LOTS_MAX) {
            return FAIL2(FIELD_RANGE, path, "cases of too many lots", "of at most 200 lots");
        }
        *g = (struct goods){.path = path};
        TRY(lot_by_id(d->store, d->arena, unit->lot, &g->lot, &found));
        if (!found) {
            return FAIL1(UNIT_UNKNOWN, path, unit->code);
        }
        (*count)++;
    }
    g->units = grown(d, g->units, g->unit_count);
    g->units[g->unit_count++] = *unit;
    g->pieces += unit->pieces;
    return RESULT_OK;
}

/* Cases that are gone stay in the list: what is told is booked, and the lot owes them. */
static struct result read_units(struct draft *d, const json_t *o, const char *path,
                                struct goods *list, size_t *count)
{
    struct unit *units;
    size_t unit_count;
    TRY(units_named(d, o, "units", JSON_OPTIONAL, &units, &unit_count));
    if (unit_count > GOODS_UNITS_MAX) {
        return FAIL2(FIELD_RANGE, path, "too many", "at most 2000 cases in one command");
    }
    bool back = strcmp(d->cmd->act, "return") == 0;
    for (size_t i = 0; i < unit_count; i++) {
        if (!is_here(&units[i]) && !back) {
            TRY(draft_break(d, "unit-gone", units[i].lot, NULL, 0, 0,
                            FAIL2(UNIT_GONE, path, units[i].code, units[i].state)));
        }
        TRY(add_unit(d, &units[i], path, list, count));
    }
    for (size_t i = 0; i < *count && !back; i++) {
        TRY(mass_of_pieces(d, list[i].lot.id, list[i].pieces, &list[i].mass));
    }
    return RESULT_OK;
}

/* All that is left of a lot, with its cases. */
static struct result whole_lot(struct draft *d, struct goods *g)
{
    g->whole = true;
    TRY(all_of_lot(d, g->lot.id, &g->mass));
    TRY(draft_balance(d, g->lot.id, UNIT_PIECES, &g->pieces));
    g->pieces = g->pieces > 0 ? g->pieces : 0;
    return units_here(d, g->lot.id, &g->units, &g->unit_count);
}

struct result lot_counted(struct draft *d, int64_t lot, bool *out)
{
    struct statement *q = store_prepare(d->store, Q_LOT_COUNTED);
    store_bind_int(q, 1, lot);
    TRY(store_step(q, out));
    for (bool row = *out; row;) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* What is counted leaves by the piece, what is weighed by its mass. */
static struct result piece_or_mass(struct draft *d, const struct goods *g, const char *path,
                                   int64_t pieces)
{
    bool counted;
    TRY(lot_counted(d, g->lot.id, &counted));
    const char *field = arena_printf(d->arena, "%s%s%s", path, path[0] != '\0' ? "." : "",
                                     counted ? "pieces" : "mass");
    if (counted && pieces == 0) {
        return FAIL1(FIELD_MISSING, field, "This lot is counted in pieces; say how many.");
    }
    if (!counted && pieces > 0) {
        return FAIL1(FIELD_MISSING, field, "This lot has no pieces; give a mass alone.");
    }
    return RESULT_OK;
}

static struct result read_lot(struct draft *d, const json_t *o, const char *path, struct goods *g)
{
    const char *dot = path[0] != '\0' ? "." : "";
    const char *field = arena_printf(d->arena, "%s%slot", path, dot);
    struct unit *units;
    size_t unit_count;
    int64_t pieces = 0;
    bool by_mass;
    *g = (struct goods){.path = field};
    TRY(lot_named(d, o, "lot", field, &g->lot));
    TRY(json_get_int(o, "pieces", arena_printf(d->arena, "%s%spieces", path, dot), JSON_OPTIONAL, 1,
                     100000000, &pieces));
    TRY(draft_read_mass(d, o, path, JSON_OPTIONAL, HOW_WEIGHED, &g->mass, &by_mass));
    bool back = strcmp(d->cmd->act, "return") == 0;
    if (pieces == 0 && !by_mass) {
        return back ? FAIL1(FIELD_MISSING, arena_printf(d->arena, "%s%spieces", path, dot),
                            "Say how much came back.")
                    : whole_lot(d, g);
    }
    TRY(units_here(d, g->lot.id, &units, &unit_count));
    if (unit_count > 0 && !back) {
        return FAIL1(UNITS_WANTED, field, g->lot.code);
    }
    TRY(piece_or_mass(d, g, path, pieces));
    g->pieces = pieces;
    return pieces > 0 && !by_mass && !back ? mass_of_pieces(d, g->lot.id, pieces, &g->mass)
                                           : RESULT_OK;
}

struct result goods_read(struct draft *d, const json_t *object, const char *path,
                         struct goods **out, size_t *out_count)
{
    const char *dot = path[0] != '\0' ? "." : "";
    *out = ARENA_ARRAY(d->arena, struct goods, GOODS_LOTS_MAX + 1);
    *out_count = 0;
    bool by_units = json_object_get(object, "units") != NULL;
    if (by_units) {
        TRY(read_units(d, object, arena_printf(d->arena, "%s%sunits", path, dot), *out, out_count));
    }
    if (!by_units || json_object_get(object, "lot") != NULL) {
        struct goods *g = &(*out)[*out_count];
        TRY(read_lot(d, object, path, g));
        for (size_t i = 0; i < *out_count; i++) {
            if ((*out)[i].lot.id == g->lot.id) {
                return FAIL2(FIELD_RANGE, g->path, g->lot.code, "a lot of which no case is named");
            }
        }
        (*out_count)++;
    }
    return RESULT_OK;
}

struct result goods_take(struct draft *d, const struct goods *g)
{
    struct amount pieces = {.unit = UNIT_PIECES, .value = g->pieces, .how = HOW_COUNTED};
    TRY(draft_move_lot(d, g->lot.id, g->lot.code, -1, &pieces));
    return draft_move_lot(d, g->lot.id, g->lot.code, -1, &g->mass);
}

struct result goods_put(struct draft *d, const struct goods *g)
{
    struct amount pieces = {.unit = UNIT_PIECES, .value = g->pieces, .how = HOW_COUNTED};
    TRY(draft_move_lot(d, g->lot.id, g->lot.code, 1, &pieces));
    return draft_move_lot(d, g->lot.id, g->lot.code, 1, &g->mass);
}

void goods_to_account(struct draft *d, const struct goods *g, const char *account, int sign)
{
    struct amount pieces = {.unit = UNIT_PIECES, .value = g->pieces, .how = HOW_COUNTED};
    draft_move_account(d, account, sign, &pieces);
    draft_move_account(d, account, sign, &g->mass);
}

void goods_set_units(struct draft *d, const struct goods *g, const char *state, const char *place,
                     int64_t shipment)
{
    for (size_t i = 0; i < g->unit_count; i++) {
        const struct unit *u = &g->units[i];
        draft_add(d, EFFECT_UNIT_STATE, "ittoottoo", u->id, state, place, shipment, (int64_t)0,
                  u->state, u->place, u->shipment, u->parent);
    }
}

struct result lot_close_when_empty(struct draft *d, const struct lot *lot)
{
    int64_t mg, pieces, ml;
    if (lot->closed_ms != 0 || list_has("growing,supplier", lot->kind)) {
        return RESULT_OK;
    }
    TRY(draft_balance(d, lot->id, UNIT_MG, &mg));
    TRY(draft_balance(d, lot->id, UNIT_PIECES, &pieces));
    TRY(draft_balance(d, lot->id, UNIT_ML, &ml));
    if (mg == 0 && pieces == 0 && ml == 0) {
        draft_add(d, EFFECT_LOT_CLOSED, "iin", lot->id, d->cmd->happened_ms);
    }
    return RESULT_OK;
}

const char *goods_text(struct draft *d, const struct goods *g)
{
    return g->pieces > 0 ? arena_printf(d->arena, "%lld pieces", (long long)g->pieces)
                         : mass_text(d->arena, g->mass.value, 0);
}
