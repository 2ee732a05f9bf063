/* Cleaning: good only when the strength lies in the surface's range and the contact was long enough
 * and it was rinsed and inspected. More time never makes up for less strength. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/chemical.h"
#include "ledger/duty.h"
#include "ledger/quantity.h"
#include "ledger/view.h"

struct cleaning {
    struct place place;
    const struct surface *surface; /* NULL: the profile asks nothing of such a place */
    int64_t start_ms, end_ms, strength_milli, contact_ms;
    const char *agent, *strength, *contact, *inspected, *chemical; /* chemical NULL: none named */
    bool rinsed;
};

static struct result read_time(struct draft *d, const char *key, int64_t *out_ms)
{
    const char *text = NULL;
    TRY(json_get_text(d->cmd->body, key, key, JSON_NEEDED, &text));
    TRY(civil_read(text, key, out_ms));
    return *out_ms <= d->cmd->recorded_ms + LEDGER_FUTURE_MS
               ? RESULT_OK
               : FAIL2(TIME_FUTURE, key, text, civil_short(d->arena, d->cmd->recorded_ms));
}

static struct result read_cleaning(struct draft *d, struct cleaning *c)
{
    const json_t *o = d->cmd->body;
    TRY(place_named(d, "place", JSON_NEEDED, &c->place));
    TRY(read_time(d, "start", &c->start_ms));
    TRY(read_time(d, "end", &c->end_ms));
    TRY(json_get_text(o, "agent", "agent", JSON_NEEDED, &c->agent));
    TRY(json_get_text(o, "strength", "strength", JSON_NEEDED, &c->strength));
    TRY(quantity_read(c->strength, "mg/L", "strength", &c->strength_milli));
    TRY(json_get_text(o, "contact", "contact", JSON_NEEDED, &c->contact));
    TRY(duration_read(c->contact, "contact", &c->contact_ms));
    TRY(json_get_bool(o, "rinsed", "rinsed", JSON_NEEDED, &c->rinsed));
    TRY(json_get_text(o, "inspected", "inspected", JSON_NEEDED, &c->inspected));
    TRY(json_get_text(o, "chemical", "chemical", JSON_OPTIONAL, &c->chemical));
    c->surface = profile_surface(d->profile, c->place.kind);
    return list_has("pass,fail", c->inspected)
               ? RESULT_OK
               : FAIL2(FIELD_CHOICE, "inspected", c->inspected, "pass, fail");
}

/* The first condition that is not kept: a word for the record, the sentence for people. */
static const char *what_is_wrong(struct draft *d, const struct cleaning *c, const char **sentence)
{
    *sentence = "";
    if (c->surface == NULL) {
        return "no-range";
    }
    if (c->strength_milli < c->surface->strength_low ||
        c->strength_milli > c->surface->strength_high) {
        *sentence = arena_printf(d->arena, "%s is outside %s to %s mg/L", c->strength,
                                 decimal_text(d->arena, c->surface->strength_low, 3, false),
                                 decimal_text(d->arena, c->surface->strength_high, 3, false));
        return "strength";
    }
    if (c->contact_ms < c->surface->contact_ms) {
        *sentence = arena_printf(d->arena, "%s of contact is shorter than %s s", c->contact,
                                 decimal_text(d->arena, c->surface->contact_ms, 3, false));
        return "contact";
    }
    if (!c->rinsed) {
        *sentence = "it was not rinsed";
        return "rinse";
    }
    if (strcmp(c->inspected, "pass") != 0) {
        *sentence = "it did not pass its inspection";
        return "inspection";
    }
    if (c->end_ms < c->start_ms) {
        *sentence = "it ends before it starts";
        return "times";
    }
    return NULL;
}

/* What is cleaned while product is on it is not clean. A run may stand still for a clean: only what
 * was told to be on the place counts. */
static struct result not_in_use(struct draft *d, const struct cleaning *c, const char **wrong,
                                const char **sentence)
{
    const char *lot;
    TRY(place_in_use(d->store, d->arena, c->place.code, c->start_ms, c->end_ms, &lot));
    if (lot != NULL) {
        *wrong = "in-use";
        *sentence = arena_printf(d->arena, "lot %s was on it meanwhile", lot);
    }
    return RESULT_OK;
}

struct result decide_clean(struct draft *d)
{
    static const char *const names[] = {"place",   "start",  "end",       "agent",    "strength",
                                        "contact", "rinsed", "inspected", "chemical", NULL};
    struct cleaning c = {0};
    const char *sentence;
    TRY(draft_only(d, "a clean", names));
    TRY(read_cleaning(d, &c));
    const char *wrong = what_is_wrong(d, &c, &sentence);
    if (wrong == NULL) {
        TRY(not_in_use(d, &c, &wrong, &sentence));
    }
    if (c.chemical != NULL) {
        const char *why;
        TRY(chemical_good(d, c.chemical, c.agent, c.start_ms, &why));
        if (wrong == NULL && why != NULL) {
            wrong = "chemical";
            sentence = arena_printf(d->arena, "chemical %s: %s", c.chemical, why);
        }
    }
    bool valid = wrong == NULL;
    json_t *data = json_pack("{s:s,s:I,s:I,s:b,s:s}", "agent", c.agent, "strength_milli",
                             (json_int_t)c.strength_milli, "contact_ms", (json_int_t)c.contact_ms,
                             "rinsed", (int)c.rinsed, "inspected", c.inspected);
    if (c.chemical != NULL) {
        json_object_set_new(data, "chemical", json_string(c.chemical));
    }
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    draft_add(d, EFFECT_CLEAN, "ttiiitt", c.place.code, c.surface != NULL ? c.surface->name : "",
              c.start_ms, c.end_ms, (int64_t)valid, valid ? "" : wrong, text);
    if (!valid && c.surface != NULL) {
        TRY(draft_break(d, "clean-not-valid", 0, c.place.code, c.start_ms, c.end_ms,
                        FAIL2(CLEAN_NOT_VALID, wrong, c.place.code, sentence)));
    }
    if (valid) {
        TRY(duties_met(d, "clean", c.place.code, NULL));
    }
    draft_step(d, c.place.code, 0, c.start_ms, c.end_ms, 0, "");
    json_object_set_new(d->answer, "place", json_string(c.place.code));
    json_object_set_new(d->answer, "valid", json_boolean(valid));
    json_object_set_new(d->answer, "reason", json_string(valid ? "" : wrong));
    return RESULT_OK;
}
