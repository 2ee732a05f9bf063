/* Water as it is read: disinfectant, pH, temperature, redox potential, what gathers in it, what
 * flows. What the profile has a limit for is judged; the part of the chlorine that kills is worked
 * out where pH and temperature are there. Out of its range, the water is stopped, whoever works
 * with it told so, and what met it held. What its contact with the disinfectant was worth follows
 * from the reading (consequence_water.c).
 */
#include <string.h>

#include "base/decimal.h"
#include "calc/water/hocl.h"
#include "ledger/check.h"
#include "ledger/quantity.h"
#include "ledger/water_book.h"
#include "ledger/water_hold.h"
#include "ledger/water_stop.h"

struct water {
    bool has[METERS];
    int64_t value[METERS]; /* 1/1000 of the meter's unit */
};

/* In this order they stand in the entry; the disinfectant last. */
static const enum water_meter order[] = {
    METER_PH,           METER_TEMP,    METER_TURBIDITY, METER_FLOW, METER_SOLIDS,
    METER_CONDUCTIVITY, METER_MAKE_UP, METER_BLOW_DOWN, METER_ORP,  METER_CHLORINE};

static struct result read_meter(struct draft *d, enum water_meter meter, struct water *w)
{
    const struct water_meter_row *m = &water_meters[meter];
    const char *text = NULL;
    if (meter == METER_TEMP) {
        return check_read_temp(d, JSON_OPTIONAL, &w->value[meter], &w->has[meter]);
    }
    TRY(json_get_text(d->cmd->body, m->field, m->field, JSON_OPTIONAL, &text));
    w->has[meter] = text != NULL;
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(quantity_read(text, m->told, m->field, &w->value[meter]));
    return w->value[meter] >= 0 && w->value[meter] <= m->high
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, m->field, text, m->range);
}

/* What has no limit in the profile says nothing against the water; chlorine without one is not
 * known to be good. */
static struct result judge(struct draft *d, struct check *c, enum water_meter meter, int64_t value)
{
    const struct water_meter_row *m = &water_meters[meter];
    bool free = m->limit == NULL ||
                (meter != METER_CHLORINE && profile_limit(d->profile, m->limit, NULL) == NULL);
    if (free) {
        check_reading(d, c, m->unit, true, value, true, NULL);
        return RESULT_OK;
    }
    return check_against_limit(d, c, m->field, m->limit, m->unit, value);
}

static struct result read_all(struct draft *d, struct check *c, struct water *w)
{
    bool any = false;
    for (int m = 0; m < METERS; m++) {
        TRY(read_meter(d, (enum water_meter)m, w));
        any = any || w->has[m];
    }
    if (!any) {
        return FAIL1(FIELD_MISSING, "chlorine", "Give chlorine, ph, temp, turbidity or flow.");
    }
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        if (w->has[order[i]]) {
            TRY(judge(d, c, order[i], w->value[order[i]]));
        }
    }
    return RESULT_OK;
}

/* Where the formula does not reach, there is none. */
static void add_hocl(struct draft *d, struct check *c, const struct water *w)
{
    int64_t milli;
    if (!w->has[METER_CHLORINE] || !w->has[METER_PH] || !w->has[METER_TEMP] ||
        !hocl_milli(w->value[METER_CHLORINE], w->value[METER_PH], w->value[METER_TEMP], &milli)) {
        return;
    }
    check_reading(d, c, "mg/L HOCl", true, milli, true, NULL);
    json_object_set_new(
        d->answer, "hocl",
        json_string(arena_printf(d->arena, "%s mg/L", decimal_text(d->arena, milli, 3, false))));
}

/* What met the water between the good readings before and after is not known to have met good
 * water: all of it is held in the same entry (Codex HACCP as in clause_water.c; wording from
 * memory). Read again while such a reading stops it, what was held then is not held once more. */
static struct result hold_what_met(struct draft *d, struct check *c)
{
    struct listed stop;
    bool stands;
    int64_t from_ms = c->since_ms;
    TRY(water_stop_at(d->store, d->arena, c->place.code, &stop, &stands));
    if (stands) {
        bool same =
            strcmp(listed_text(&stop, "why"), "reading") == 0 && stop.at_ms < d->cmd->happened_ms;
        from_ms = same && stop.at_ms > from_ms ? stop.at_ms : from_ms;
        listed_free(&stop, 1);
    }
    return water_hold(
        d, c->place.code, from_ms, c->until_ms,
        arena_printf(d->arena, "the water of %s was read out of its limits", c->place.code));
}

struct result check_water(struct draft *d, struct check *c)
{
    struct water w = {0};
    TRY(read_all(d, c, &w));
    add_hocl(d, c, &w);
    if (c->ok) {
        return RESULT_OK;
    }
    if (c->outside) {
        TRY(hold_what_met(d, c));
    }
    draft_task(d, "wash-water-out", c->place.code, 0, c->place.code, d->cmd->recorded_ms);
    return water_stop_put(d, c->place.code, c->place.kind, "reading");
}
