/* How a water of the house works: that it goes round and by which rule, the tanks in which its
 * disinfectant works, and when it was changed. */
#include <string.h>

#include "base/decimal.h"
#include "ledger/listed.h"
#include "ledger/quantity.h"
#include "ledger/view.h"
#include "ledger/water_book.h"

#define VOLUME_MAX_ML INT64_C(1000000000000)

/* A number of the body in a unit, thousandths; *out stays where it is not given. */
static struct result number(const json_t *o, const char *key, const char *unit, enum json_need need,
                            int64_t low, int64_t high, const char *range, int64_t *out)
{
    const char *text = NULL;
    TRY(json_get_text(o, key, key, need, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(quantity_read(text, unit, key, out));
    return *out >= low && *out <= high ? RESULT_OK : FAIL2(FIELD_RANGE, key, text, range);
}

/* What gathers is read in the unit of its own meter, and so is the fresh water. */
static struct result read_measure(const json_t *o, const char **measure, int64_t *fresh_milli)
{
    *measure = NULL;
    TRY(listed_choice(o, "measure", "solids,turbidity,conductivity", JSON_OPTIONAL, measure));
    if (*measure == NULL) {
        return json_object_get(o, "fresh") == NULL ? RESULT_OK
                                                   : FAIL1(FIELD_MISSING, "measure",
                                                           "Say what is read: solids, turbidity or "
                                                           "conductivity.");
    }
    const struct water_meter_row *m = &water_meters[water_meter_named(*measure)];
    return number(o, "fresh", m->told, JSON_OPTIONAL, 0, m->high, m->range, fresh_milli);
}

static struct result read_rule(struct draft *d, const char **rule)
{
    *rule = NULL;
    TRY(json_get_text(d->cmd->body, "rule", "rule", JSON_OPTIONAL, rule));
    const char *known = "";
    for (size_t i = 0; i < d->profile->water_rule_count; i++) {
        known = arena_printf(d->arena, "%s%s%s", known, i > 0 ? ", " : "",
                             d->profile->water_rules[i].name);
    }
    return *rule == NULL || profile_water_rule(d->profile, *rule) != NULL
               ? RESULT_OK
               : FAIL2(FIELD_CHOICE, "rule", *rule, known);
}

struct result decide_water_loop(struct draft *d)
{
    static const char *const names[] = {"place", "rule",         "volume", "measure", "fresh",
                                        "decay", "change_every", "active", NULL};
    const json_t *o = d->cmd->body;
    struct place place;
    const char *rule, *measure, *every = NULL;
    int64_t volume_ml = 0, fresh = 0, decay = 0, change_ms = 0;
    bool active = true;
    TRY(draft_only(d, "water that goes round", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(read_rule(d, &rule));
    TRY(number(o, "volume", "L", JSON_NEEDED, 1, VOLUME_MAX_ML, "above 0 L", &volume_ml));
    TRY(read_measure(o, &measure, &fresh));
    TRY(number(o, "decay", "/h", JSON_OPTIONAL, 0, 1000000, "0 /h to 1000 /h", &decay));
    TRY(json_get_text(o, "change_every", "change_every", JSON_OPTIONAL, &every));
    if (every != NULL) {
        TRY(duration_read(every, "change_every", &change_ms));
        if (change_ms <= 0) {
            return FAIL2(FIELD_RANGE, "change_every", every, "longer than nothing");
        }
    }
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    listed_add(d, "water-loop", place.code, place.code, NULL, 0, active,
               json_pack("{s:s*,s:s*,s:I,s:I,s:I,s:I}", "rule", rule, "measure", measure,
                         "volume_ml", (json_int_t)volume_ml, "fresh_milli", (json_int_t)fresh,
                         "decay_milli", (json_int_t)decay, "change_ms", (json_int_t)change_ms));
    json_object_set_new(d->answer, "place", json_string(place.code));
    return RESULT_OK;
}

struct result decide_water_segment(struct draft *d)
{
    static const char *const names[] = {"code",     "place",  "volume", "flow",
                                        "baffling", "active", NULL};
    const json_t *o = d->cmd->body;
    struct place place;
    const char *code;
    int64_t volume_ml = 0, flow = 0, baffling = 0;
    bool active = true;
    TRY(draft_only(d, "a tank of a water", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(number(o, "volume", "L", JSON_NEEDED, 1, VOLUME_MAX_ML, "above 0 L", &volume_ml));
    TRY(number(o, "flow", "L/min", JSON_NEEDED, 1, VOLUME_MAX_ML, "above 0 L/min", &flow));
    TRY(number(o, "baffling", "", JSON_NEEDED, 10, 1000, "0.01 to 1", &baffling));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    listed_add(d, "water-segment", code, place.code, NULL, 0, active,
               json_pack("{s:I,s:I,s:I}", "volume_ml", (json_int_t)volume_ml, "flow_ml_min",
                         (json_int_t)flow, "baffling_milli", (json_int_t)baffling));
    json_object_set_new(d->answer, "segment", json_string(code));
    return RESULT_OK;
}

struct result decide_water_change(struct draft *d)
{
    static const char *const names[] = {"place", NULL};
    struct place place;
    TRY(draft_only(d, "a change of water", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    noted_add(d, 0,
              &(struct noting){
                  .kind = "water-change", .code = place.code, .place = place.code, .ok = true});
    json_object_set_new(d->answer, "place", json_string(place.code));
    return RESULT_OK;
}
