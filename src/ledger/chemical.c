#include "ledger/chemical.h"

#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/quantity.h"

static const char substances[] = "calcium-hypochlorite,sodium-hypochlorite,other";
static const char forms[] = "solid,mass-percent,volume-percent,grams-litre";

/* Which of a comma list a word is, from 0; it must be one of them. */
static int place_in(const char *list, const char *word)
{
    char one[40];
    int at = 0;
    while (list_next(&list, one, sizeof one)) {
        if (strcmp(one, word) == 0) {
            return at;
        }
        at++;
    }
    CHECK(false);
}

static struct result read_number(const json_t *o, const char *key, const char *unit, int64_t low,
                                 int64_t high, const char *range, int64_t *out)
{
    const char *text = NULL;
    TRY(json_get_text(o, key, key, JSON_NEEDED, &text));
    TRY(quantity_read(text, unit, key, out));
    return *out >= low && *out <= high ? RESULT_OK : FAIL2(FIELD_RANGE, key, text, range);
}

struct result chemical_read(const json_t *o, json_t *data)
{
    static const char *const keys[] = {"substance", "strength", "strength_of", "density"};
    const char *form = NULL, *substance, *of;
    int64_t strength, density = 0;
    TRY(listed_choice(o, "form", forms, JSON_OPTIONAL, &form));
    for (size_t i = 0; i < sizeof keys / sizeof keys[0] && form == NULL; i++) {
        if (json_object_get(o, keys[i]) != NULL) {
            return FAIL1(FIELD_MISSING, "form", "Say what its strength is a share of.");
        }
    }
    if (form == NULL) {
        return RESULT_OK;
    }
    TRY(listed_choice(o, "substance", substances, JSON_NEEDED, &substance));
    TRY(listed_choice(o, "strength_of", "available-chlorine,substance", JSON_NEEDED, &of));
    bool litre = strcmp(form, "grams-litre") == 0;
    TRY(read_number(o, "strength", litre ? "g/L" : "%", 1, litre ? 3000000 : 100000,
                    litre ? "above 0 g/L to 3000 g/L" : "above 0 % to 100 %", &strength));
    if (strcmp(form, "mass-percent") == 0 || json_object_get(o, "density") != NULL) {
        TRY(read_number(o, "density", "kg/L", 500, 3000, "0.5 kg/L to 3 kg/L", &density));
    }
    json_object_set_new(data, "form", json_string(form));
    json_object_set_new(data, "substance", json_string(substance));
    json_object_set_new(data, "of", json_string(of));
    json_object_set_new(data, "strength_milli", json_integer(strength));
    json_object_set_new(data, "density_milli", json_integer(density));
    return RESULT_OK;
}

/* The newest titration of it, in thousandths of a percent; 0: none since a moment. */
static struct result titrated(struct store *s, const char *code, int64_t since_ms, int64_t *out)
{
    struct statement *q = store_prepare(s, Q_NOTED_LAST);
    store_bind_text(q, 1, "titration");
    store_bind_text(q, 2, code);
    bool row;
    *out = 0;
    TRY(store_step(q, &row));
    struct result r = RESULT_OK;
    if (row && store_int(q, 2) >= since_ms) {
        json_t *data = NULL;
        r = json_read_stored(store_text(q, 5), &data);
        *out = json_integer_value(json_object_get(data, "strength_milli"));
        json_decref(data);
    }
    while (row && r.code == CODE_OK) {
        r = store_step(q, &row);
    }
    return r;
}

struct result chemical_strength(struct store *s, const struct listed *chemical,
                                struct chemical_strength *out)
{
    const char *form = listed_text(chemical, "form");
    int64_t found;
    *out = (struct chemical_strength){.known = form != NULL};
    if (form == NULL) {
        return RESULT_OK;
    }
    out->product = (struct dose_record_product){
        .substance = (enum dose_substance)place_in(substances, listed_text(chemical, "substance")),
        .form = (enum dose_strength)place_in(forms, form),
        .of_chlorine = strcmp(listed_text(chemical, "of"), "available-chlorine") == 0,
        .strength_milli = listed_int(chemical, "strength_milli"),
        .density_milli = listed_int(chemical, "density_milli"),
    };
    TRY(titrated(s, chemical->code, chemical->at_ms, &found));
    if (found > 0) {
        out->titrated = true;
        out->product.strength_milli = out->product.form == DOSE_LIQUID_G_L ? found * 10 : found;
    }
    return RESULT_OK;
}

const char *chemical_strength_text(struct arena *a, const struct dose_record_product *product)
{
    return arena_printf(a, "%s %s", decimal_text(a, product->strength_milli, 3, false),
                        product->form == DOSE_LIQUID_G_L ? "g/L" : "%");
}
