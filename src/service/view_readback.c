#include "service/view_readback.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "ledger/view.h"
#include "service/forms.h"
#include "service/sentence.h"

struct reading_back {
    struct view *v;
    const json_t *command;
    const char *kind;
    const struct profile_step *step; /* NULL: a kind of the house */
    struct form form;
    json_t *warnings;
    int64_t in_mg; /* of all inputs */
    bool in_known; /* the mass of each is */
};

#define WARN(b, key, ...)                \
    json_array_append_new((b)->warnings, \
                          json_string(WORDS((b)->v->arena, (b)->v->lang, key, __VA_ARGS__)))

static const char *text_in(const json_t *o, const char *name)
{
    return json_string_value(json_object_get(o, name));
}

/* Of "mass", or gross less tare; what cannot be read is not there: the ledger says what is wrong
 * with it. */
static bool mass_in(const json_t *o, int64_t *out)
{
    const char *mass = text_in(o, "mass"), *gross = text_in(o, "gross"), *tare = text_in(o, "tare");
    int64_t tare_mg;
    if (mass != NULL) {
        return mass_read(mass, "", out).code == CODE_OK;
    }
    if (gross == NULL || tare == NULL || mass_read(gross, "", out).code != CODE_OK ||
        mass_read(tare, "", &tare_mg).code != CODE_OK) {
        return false;
    }
    *out -= tare_mg;
    return true;
}

/* ---- lots */

static struct result warn_of_holds(struct reading_back *b, const struct lot *lot)
{
    struct hold *holds;
    size_t count;
    TRY(holds_on(b->v->store, b->v->arena, lot->id, 0, "", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        WARN(b, "warn.held", lot->code, sentence_choice(b->v->arena, b->v->lang, "", holds[i].kind),
             words_reason(b->v->arena, b->v->lang, holds[i].reason));
    }
    return RESULT_OK;
}

static struct result warn_of_lot(struct reading_back *b, const struct lot *lot)
{
    const char *kinds = b->step != NULL ? b->step->in_kinds : "";
    if (kinds[0] != '\0' && !list_has(kinds, lot->kind)) {
        WARN(b, "warn.kind", lot->code, lot->kind, kinds);
    }
    /* people complain of what is long gone */
    if (lot->closed_ms != 0 && strcmp(b->kind, "complaint") != 0) {
        WARN(b, "warn.lot-closed", lot->code);
    }
    return b->form.moves ? warn_of_holds(b, lot) : RESULT_OK;
}

/* o says how much of the lot: a mass, pieces, or nothing for all that is left. */
static struct result warn_of_amount(struct reading_back *b, const struct lot *lot, const json_t *o)
{
    int64_t has_mg, has_pieces, mg, pieces = json_integer_value(json_object_get(o, "pieces"));
    TRY(balance_of(b->v->store, lot->id, UNIT_MG, &has_mg));
    TRY(balance_of(b->v->store, lot->id, UNIT_PIECES, &has_pieces));
    bool given = mass_in(o, &mg);
    b->in_mg += given ? mg : has_mg > 0 ? has_mg : 0;
    if (given && mg > has_mg) {
        WARN(b, "warn.more-mass", lot->code, mass_text(b->v->arena, has_mg, 0),
             mass_text(b->v->arena, mg, 0));
    }
    if (pieces > has_pieces) {
        WARN(b, "warn.more-pieces", lot->code,
             arena_printf(b->v->arena, "%lld", (long long)has_pieces),
             arena_printf(b->v->arena, "%lld", (long long)pieces));
    }
    return RESULT_OK;
}

/* takes: so much of it is taken as o says. */
static struct result look_at_lot(struct reading_back *b, const char *code, const json_t *o,
                                 bool takes)
{
    struct lot lot;
    bool found;
    if (code == NULL) {
        return RESULT_OK;
    }
    TRY(lot_by_code(b->v->store, b->v->arena, code, &lot, &found));
    if (!found) {
        b->in_known = false;
        WARN(b, "warn.lot-unknown", code);
        return RESULT_OK;
    }
    TRY(warn_of_lot(b, &lot));
    return takes ? warn_of_amount(b, &lot, o) : RESULT_OK;
}

static struct result look_at_chamber(struct reading_back *b)
{
    const char *chamber = text_in(b->command, "chamber");
    const char *kinds = b->step != NULL ? b->step->in_kinds : "";
    if (chamber == NULL || !list_has(kinds, "growing")) {
        return RESULT_OK; /* a chamber that is started has nothing in it yet */
    }
    struct statement *q = store_prepare(b->v->store, Q_LOT_IN_CHAMBER);
    store_bind_text(q, 1, chamber);
    bool row;
    TRY(store_step(q, &row));
    const char *code = row ? arena_copy(b->v->arena, store_text(q, 1)) : NULL;
    while (row) {
        TRY(store_step(q, &row));
    }
    if (code == NULL) {
        WARN(b, "warn.chamber-empty", chamber);
    }
    return look_at_lot(b, code, b->command, false);
}

/* Is "lot" of this form a lot that is there, and no code for a new one? */
static bool names_a_lot(const struct reading_back *b)
{
    const struct form *form = &b->form;
    for (size_t i = 0; i < form->count; i++) {
        if (strcmp(form->fields[i].name, "lot") == 0) {
            return strcmp(form->fields[i].kind, "lot") == 0;
        }
    }
    return false;
}

static struct result look_at_lots(struct reading_back *b)
{
    size_t i;
    json_t *o;
    bool growing = b->step != NULL && list_has(b->step->in_kinds, "growing");
    if (names_a_lot(b)) {
        bool counts = b->step != NULL && strcmp(b->step->act, "count") == 0;
        TRY(look_at_lot(b, text_in(b->command, "lot"), b->command,
                        b->form.moves && !growing && !counts));
    }
    TRY(look_at_chamber(b));
    json_array_foreach(json_object_get(b->command, "lots"), i, o)
    {
        TRY(look_at_lot(b, json_string_value(o), NULL, false));
    }
    json_array_foreach(json_object_get(b->command, "inputs"), i, o)
    {
        TRY(look_at_lot(b, text_in(o, "lot"), o, true));
    }
    return RESULT_OK;
}

/* ---- places and instruments */

static struct result look_at_place(struct reading_back *b, const char *code)
{
    struct place place;
    bool found;
    if (code == NULL || b->step == NULL) {
        return RESULT_OK; /* the house tells of places as they are */
    }
    TRY(place_by_code(b->v->store, b->v->arena, code, &place, &found));
    if (found && !place.in_service) {
        WARN(b, "warn.out-of-service", code);
    }
    return RESULT_OK;
}

static struct result look_at_instrument(struct reading_back *b, const char *code)
{
    struct instrument one;
    bool found;
    if (code == NULL || b->step == NULL || strcmp(b->step->act, "calibrate") == 0) {
        return RESULT_OK;
    }
    TRY(instrument_on(b->v->store, b->v->arena, code, b->v->now_ms, &one, &found));
    if (found && one.due_ms < b->v->now_ms) {
        WARN(b, "warn.calibration", code, civil_short(b->v->arena, one.due_ms));
    }
    return RESULT_OK;
}

static struct result look_at_things(struct reading_back *b)
{
    size_t i;
    json_t *o;
    TRY(look_at_place(b, text_in(b->command, "place")));
    TRY(look_at_place(b, text_in(b->command, "chamber")));
    TRY(look_at_instrument(b, text_in(b->command, "instrument")));
    json_array_foreach(json_object_get(b->command, "probes"), i, o)
    {
        TRY(look_at_instrument(b, json_string_value(o)));
    }
    json_array_foreach(json_object_get(b->command, "outputs"), i, o)
    {
        TRY(look_at_instrument(b, text_in(o, "instrument")));
    }
    return RESULT_OK;
}

/* ---- what is left over */

/* False where the command does not say all that comes out. */
static bool out_total(const struct reading_back *b, int64_t *out)
{
    const json_t *outputs = json_object_get(b->command, "outputs"), *o;
    const char *mean = text_in(b->command, "mean_net");
    int64_t mg, pieces = json_integer_value(json_object_get(b->command, "pieces"));
    size_t i;
    *out = 0;
    if (strcmp(b->step->act, "pack") == 0) {
        bool known = mean != NULL && pieces > 0 && mass_read(mean, "", &mg).code == CODE_OK;
        return known && !__builtin_mul_overflow(mg, pieces, out);
    }
    json_array_foreach((json_t *)(uintptr_t)outputs, i, o)
    {
        if (!mass_in(o, &mg)) {
            return false;
        }
        *out += mg;
    }
    return json_array_size(outputs) > 0;
}

static const char *with_rest(struct reading_back *b, const char *sentence)
{
    struct arena *a = b->v->arena;
    int64_t out_mg;
    bool told = b->step != NULL && list_has("process,pack", b->step->act) &&
                json_array_size(json_object_get(b->command, "inputs")) > 0;
    if (!told || !b->in_known || !out_total(b, &out_mg)) {
        return sentence;
    }
    int64_t rest = b->in_mg - out_mg;
    __int128 limit = (__int128)b->in_mg * b->step->tolerance_ppm / 1000000;
    const char *size = mass_text(a, rest < 0 ? -rest : rest, 0);
    if (rest > limit) {
        WARN(b, "warn.residual", size, mass_text(a, b->in_mg, 0));
    } else if (-rest > limit) {
        WARN(b, "warn.gain", size, mass_text(a, b->in_mg, 0));
    }
    if (rest == 0) {
        return sentence;
    }
    const char *account =
        words_of(a, b->v->lang, "account.", b->step->difference, b->step->difference);
    return rest > 0 ? WORDS(a, b->v->lang, "back.rest", sentence, size, account)
                    : WORDS(a, b->v->lang, "back.gain", sentence, size, account);
}

struct result view_readback(struct view *v, const json_t *command, json_t **out)
{
    struct reading_back b = {.v = v, .command = command, .in_known = true};
    TRY(json_get_text(command, "kind", "kind", JSON_NEEDED, &b.kind));
    b.step = profile_step(v->profile, b.kind);
    if (!form_of(v->profile, b.kind, &b.form)) {
        return FAIL1(KIND_UNKNOWN, "kind", b.kind);
    }
    b.warnings = json_array();
    struct result r = look_at_lots(&b);
    if (r.code == CODE_OK) {
        r = look_at_things(&b);
    }
    if (r.code == CODE_OK) {
        const char *sentence =
            with_rest(&b, sentence_of(v->arena, v->profile, v->lang, b.kind, command, NULL));
        *out = json_pack("{s:s,s:s,s:O}", "title",
                         sentence_title(v->arena, v->profile, v->lang, b.kind), "sentence",
                         sentence, "warnings", b.warnings);
        CHECK(*out != NULL);
    }
    json_decref(b.warnings);
    return r;
}
