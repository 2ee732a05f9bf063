/* Water as it is read: disinfectant, pH, temperature, turbidity, flow. What the profile has a limit
 * for is judged; the part of the chlorine that kills is worked out where pH and temperature are
 * there. Out of its range, whoever works with it is told to stop. */
#include "base/decimal.h"
#include "calc/water/hocl.h"
#include "ledger/check.h"
#include "ledger/quantity.h"

struct water {
    bool has_chlorine, has_ph, has_temp;
    int64_t chlorine_milli, ph_milli, temp_mc;
};

/* What has no limit in the profile says nothing against the water. */
static struct result judge(struct draft *d, struct check *c, const char *field, const char *limit,
                           const char *unit, int64_t value_milli)
{
    if (limit == NULL || profile_limit(d->profile, limit, NULL) == NULL) {
        check_reading(d, c, unit, true, value_milli, true, NULL);
        return RESULT_OK;
    }
    return check_against_limit(d, c, field, limit, unit, value_milli);
}

/* A field that may be there, in a unit, between two ends. */
static struct result read_value(struct draft *d, const char *field, const char *unit, int64_t high,
                                const char *range, int64_t *out_milli, bool *out_given)
{
    const char *text = NULL;
    TRY(json_get_text(d->cmd->body, field, field, JSON_OPTIONAL, &text));
    *out_given = text != NULL;
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(quantity_read(text, unit, field, out_milli));
    return *out_milli >= 0 && *out_milli <= high ? RESULT_OK
                                                 : FAIL2(FIELD_RANGE, field, text, range);
}

static struct result read_all(struct draft *d, struct check *c, struct water *w)
{
    int64_t turbidity, flow;
    bool has_turbidity, has_flow;
    TRY(read_value(d, "chlorine", "mg/L", INT64_MAX / 4, "0 mg/L or more", &w->chlorine_milli,
                   &w->has_chlorine));
    TRY(read_value(d, "ph", "", 14000, "0 to 14", &w->ph_milli, &w->has_ph));
    TRY(check_read_temp(d, JSON_OPTIONAL, &w->temp_mc, &w->has_temp));
    TRY(read_value(d, "turbidity", "NTU", 10000000, "0 to 10000 NTU", &turbidity, &has_turbidity));
    TRY(read_value(d, "flow", "L/min", INT64_MAX / 4, "0 L/min or more", &flow, &has_flow));
    if (!w->has_chlorine && !w->has_ph && !w->has_temp && !has_turbidity && !has_flow) {
        return FAIL1(FIELD_MISSING, "chlorine", "Give chlorine, ph, temp, turbidity or flow.");
    }
    if (w->has_ph) {
        TRY(judge(d, c, "ph", "wash-ph", "pH", w->ph_milli));
    }
    if (w->has_temp) {
        TRY(judge(d, c, "temp", NULL, "C", w->temp_mc));
    }
    if (has_turbidity) {
        TRY(judge(d, c, "turbidity", "wash-turbidity", "NTU", turbidity));
    }
    if (has_flow) {
        TRY(judge(d, c, "flow", NULL, "L/min", flow));
    }
    return w->has_chlorine
               ? check_against_limit(d, c, "chlorine", "wash-chlorine", "mg/L", w->chlorine_milli)
               : RESULT_OK;
}

/* Where the formula does not reach, there is none. */
static void add_hocl(struct draft *d, struct check *c, const struct water *w)
{
    int64_t milli;
    if (!w->has_chlorine || !w->has_ph || !w->has_temp ||
        !hocl_milli(w->chlorine_milli, w->ph_milli, w->temp_mc, &milli)) {
        return;
    }
    check_reading(d, c, "mg/L HOCl", true, milli, true, NULL);
    json_object_set_new(
        d->answer, "hocl",
        json_string(arena_printf(d->arena, "%s mg/L", decimal_text(d->arena, milli, 3, false))));
}

struct result check_water(struct draft *d, struct check *c)
{
    struct water w = {0};
    TRY(read_all(d, c, &w));
    add_hocl(d, c, &w);
    if (!c->ok) {
        draft_task(d, "wash-water-out", c->place.code, 0, c->place.code, d->cmd->recorded_ms);
    }
    return RESULT_OK;
}
