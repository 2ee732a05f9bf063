/* A dose of a chemical made up into water. What "ppm" counts is asked and never guessed: the
 * product, the salt or acid in it, or its available chlorine. The record works out what is wanted
 * by the strength that the lot has (ledger/chemical.h), and a dose that is further off than the
 * profile's limit "dose-off" allows is a deviation, asked or told. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/chemical.h"
#include "ledger/quantity.h"
#include "ledger/view.h"

#define TAKEN_MAX INT64_C(10000000000) /* mg, or uL */

struct told_dose {
    const char *chemical, *counts;
    struct place place; /* code NULL: none named */
    struct dose_record_ask ask;
    bool weighed;  /* else measured by volume */
    int64_t taken; /* mg, or uL */
    const char *taken_text;
};

static struct result positive(const json_t *o, const char *key, const char *unit,
                              enum json_need need, int64_t low, int64_t high, int64_t *out)
{
    const char *text = NULL;
    TRY(json_get_text(o, key, key, need, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(quantity_read(text, unit, key, out));
    return *out >= low && *out <= high
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, key, text, low > 0 ? "above zero" : "zero or more");
}

/* Weighed as a mass, or measured in mL: just one of them. */
static struct result read_taken(const json_t *o, struct told_dose *t)
{
    const char *weighed = NULL, *measured = NULL;
    TRY(json_get_text(o, "weighed", "weighed", JSON_OPTIONAL, &weighed));
    TRY(json_get_text(o, "measured", "measured", JSON_OPTIONAL, &measured));
    if ((weighed == NULL) == (measured == NULL)) {
        return FAIL1(FIELD_MISSING, "weighed", "Give what was weighed, or what was measured.");
    }
    t->weighed = weighed != NULL;
    t->taken_text = t->weighed ? weighed : measured;
    TRY(t->weighed ? mass_read(weighed, "weighed", &t->taken)
                   : quantity_read(measured, "mL", "measured", &t->taken));
    return t->taken >= 0 && t->taken <= TAKEN_MAX
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, t->weighed ? "weighed" : "measured", t->taken_text,
                       "0 to 10 t, or 10 000 L");
}

static struct result read_told(struct draft *d, struct told_dose *t)
{
    const json_t *o = d->cmd->body;
    TRY(json_get_text(o, "chemical", "chemical", JSON_NEEDED, &t->chemical));
    TRY(place_named(d, "place", JSON_OPTIONAL, &t->place));
    TRY(positive(o, "target", "mg/L", JSON_NEEDED, 1, INT64_C(1000000000), &t->ask.target_milli));
    TRY(listed_choice(o, "counts", "available-chlorine,substance,product", JSON_NEEDED,
                      &t->counts));
    TRY(positive(o, "volume", "L", JSON_NEEDED, 1, INT64_C(1000000000000), &t->ask.volume_ml));
    TRY(positive(o, "now", "mg/L", JSON_OPTIONAL, 0, INT64_C(1000000000), &t->ask.now_milli));
    t->ask.counts = strcmp(t->counts, "product") == 0     ? DOSE_PRODUCT
                    : strcmp(t->counts, "substance") == 0 ? DOSE_SUBSTANCE
                                                          : DOSE_AVAILABLE_CHLORINE;
    return read_taken(o, t);
}

/* What the lot asks for, in mg or uL as it was taken; DOSE_STRENGTH where the record can't say. */
static struct result work_out(struct draft *d, const struct told_dose *t, int64_t *out_wanted)
{
    struct listed l;
    struct chemical_strength strength;
    struct dose_record dose;
    bool found;
    TRY(listed_one(d->store, d->arena, "chemical", t->chemical, &l, &found));
    if (!found) {
        return FAIL1(CHEMICAL_UNKNOWN, "chemical", t->chemical);
    }
    struct result r = chemical_strength(d->store, &l, &strength);
    listed_free(&l, 1);
    TRY(r);
    if (!strength.known) {
        return FAIL1(DOSE_STRENGTH, "chemical", t->chemical);
    }
    TRY(dose_record(&strength.product, &t->ask, &dose));
    if (dose.water_ml > 0) {
        return FAIL2(DOSE_THIN, "now", decimal_text(d->arena, t->ask.now_milli, 3, false),
                     decimal_text(d->arena, dose.water_ml, 3, false));
    }
    *out_wanted = t->weighed ? dose.product_mg : dose.product_ul;
    json_object_set_new(d->answer, "strength",
                        json_string(chemical_strength_text(d->arena, &strength.product)));
    json_object_set_new(d->answer, "by",
                        json_string(strength.titrated ? "titration" : "certificate"));
    if (*out_wanted > TAKEN_MAX) {
        return FAIL2(FIELD_RANGE, "volume", "too much at once",
                     "a dose of up to 10 t, or 10 000 L");
    }
    return *out_wanted > 0 ? RESULT_OK
                           : FAIL1(FIELD_MISSING, t->weighed ? "measured" : "weighed",
                                   "Its density is not known, or nothing is wanted.");
}

static const char *amount_text(struct draft *d, const struct told_dose *t, int64_t amount)
{
    return t->weighed ? mass_text(d->arena, amount, 0)
                      : arena_printf(d->arena, "%s mL", decimal_text(d->arena, amount, 3, false));
}

/* Within so many thousandths of a percent of what is wanted; the very limit is within. Amounts end
 * at TAKEN_MAX, so that the products stay within 63 bits. */
static bool within(int64_t taken, int64_t wanted, int64_t high_milli)
{
    int64_t off = taken > wanted ? taken - wanted : wanted - taken;
    return off * 100000 <= wanted * high_milli;
}

struct result decide_dose(struct draft *d)
{
    static const char *const names[] = {"chemical", "place",   "target",   "counts", "volume",
                                        "now",      "weighed", "measured", NULL};
    struct told_dose t = {0};
    struct limit limit;
    int64_t wanted = 0;
    const char *why;
    TRY(draft_only(d, "a dose", names));
    TRY(read_told(d, &t));
    TRY(work_out(d, &t, &wanted));
    TRY(chemical_good(d, t.chemical, NULL, d->cmd->happened_ms, &why));
    if (why != NULL) {
        TRY(draft_break(d, "chemical-unfit", 0, t.place.code, 0, 0,
                        FAIL2(CHEMICAL_UNFIT, "chemical", t.chemical, why)));
    }
    TRY(limit_in_force(d->store, d->profile, "dose-off", NULL, d->cmd->happened_ms, &limit));
    bool ok = !limit.has_high || limit.high >= 100000 || within(t.taken, wanted, limit.high);
    const char *wanted_text = amount_text(d, &t, wanted);
    noted_add(d, 0,
              &(struct noting){
                  .kind = "dose",
                  .code = t.chemical,
                  .place = t.place.code,
                  .ok = ok,
                  .data = json_pack("{s:I,s:s,s:I,s:I,s:b,s:I,s:I}", "target_milli",
                                    (json_int_t)t.ask.target_milli, "counts", t.counts, "volume_ml",
                                    (json_int_t)t.ask.volume_ml, "now_milli",
                                    (json_int_t)t.ask.now_milli, "weighed", (int)t.weighed, "taken",
                                    (json_int_t)t.taken, "wanted", (json_int_t)wanted)});
    json_object_set_new(d->answer, "wanted", json_string(wanted_text));
    json_object_set_new(d->answer, "ok", json_boolean(ok));
    return ok ? RESULT_OK
              : draft_break(
                    d, "dose-off", 0, t.place.code, 0, 0,
                    FAIL3(DOSE_OFF, t.weighed ? "weighed" : "measured", amount_text(d, &t, t.taken),
                          wanted_text,
                          arena_printf(d->arena, "%s mg/L",
                                       decimal_text(d->arena, t.ask.target_milli, 3, false))));
}
