#include "calc/water/ct_table.h"

#include <string.h>

#include "base/check.h"
#include "calc/range.h"

enum { TEMPS = 6, RESIDUALS = 14, PHS = 7 };

struct giardia_row {
    double temp_c;
    double residual_mg_l;
    double ct[PHS];
};

static const double phs[PHS] = {6, 6.5, 7, 7.5, 8, 8.5, 9};

static const struct giardia_row giardia[TEMPS * RESIDUALS] = {
#define GIARDIA_CT(temp_c, residual, a, b, c, d, e, f, g) {temp_c, residual, {a, b, c, d, e, f, g}},
#include "calc/water/giardia_ct.def"
#undef GIARDIA_CT
};

struct by_temperature {
    enum ct_organism organism;
    enum ct_disinfectant disinfectant;
    double log;
    double ph_low;
    double ph_high;
    double temp_c[TEMPS];
    double ct[TEMPS];
};

static const struct by_temperature by_temperature[] = {
#define CT_TEMPERATURE(organism, disinfectant, log, from, to, a, b, c, d, e, f, g, h, i, j, k, l) \
    {CT_##organism, CT_##disinfectant, log, from, to, {a, b, c, d, e, f}, {g, h, i, j, k, l}},
#include "calc/water/ct_temperature.def"
#undef CT_TEMPERATURE
};

enum { BY_TEMPERATURE = sizeof by_temperature / sizeof by_temperature[0] };

enum { DISINFECTANTS = 4 };

static const char *const words[DISINFECTANTS] = {"free-chlorine", "chlorine-dioxide", "ozone",
                                                 "chloramine"};

const char *ct_disinfectant_word(enum ct_disinfectant disinfectant)
{
    CHECK((size_t)disinfectant < DISINFECTANTS);
    return words[disinfectant];
}

enum ct_disinfectant ct_disinfectant_find(const char *word)
{
    size_t i = 0;
    while (i < DISINFECTANTS && strcmp(words[i], word) != 0) {
        i++;
    }
    CHECK(i < DISINFECTANTS);
    return (enum ct_disinfectant)i;
}

static const struct giardia_row *row_at(size_t temp, size_t residual)
{
    return &giardia[temp * RESIDUALS + residual];
}

/* The last step at or below value; the first where none is. */
static size_t step_below(const double *steps, size_t count, double value)
{
    size_t i = 0;
    while (i + 1 < count && steps[i + 1] <= value) {
        i++;
    }
    return i;
}

/* The first step at or above value; the last where none is. */
static size_t step_above(const double *steps, size_t count, double value)
{
    size_t i = 0;
    while (i + 1 < count && steps[i] < value) {
        i++;
    }
    return i;
}

static void steps_read(double temps[TEMPS], double residuals[RESIDUALS])
{
    for (size_t i = 0; i < TEMPS; i++) {
        temps[i] = row_at(i, 0)->temp_c;
    }
    for (size_t i = 0; i < RESIDUALS; i++) {
        residuals[i] = row_at(0, i)->residual_mg_l;
    }
}

static struct result water_check(const struct ct_water *water, double ph_low, double ph_high)
{
    TRY(range_number("residual_mg_l", water->residual_mg_l, 0, 50));
    TRY(range_number("ph", water->ph, ph_low, ph_high));
    return range_number("temp_c", water->temp_c, 0, 60);
}

static const struct by_temperature *
by_temperature_find(enum ct_organism organism, enum ct_disinfectant disinfectant, double ph)
{
    const struct by_temperature *found = NULL;
    for (size_t i = 0; i < BY_TEMPERATURE; i++) {
        const struct by_temperature *t = &by_temperature[i];
        if (t->organism != organism || t->disinfectant != disinfectant) {
            continue;
        }
        if (found == NULL || ph > found->ph_high) {
            found = t;
        }
    }
    return found;
}

bool ct_table_has(enum ct_organism organism, enum ct_disinfectant disinfectant)
{
    return (organism == CT_GIARDIA && disinfectant == CT_FREE_CHLORINE) ||
           by_temperature_find(organism, disinfectant, 0) != NULL;
}

static struct result giardia_find(const struct ct_water *water, struct ct_cell *out)
{
    double temps[TEMPS], residuals[RESIDUALS];
    TRY(water_check(water, 5, phs[PHS - 1]));
    steps_read(temps, residuals);
    size_t temp = step_below(temps, TEMPS, water->temp_c);
    size_t residual = step_above(residuals, RESIDUALS, water->residual_mg_l);
    size_t ph = step_above(phs, PHS, water->ph);
    const struct giardia_row *row = row_at(temp, residual);
    *out = (struct ct_cell){
        .ct = row->ct[ph],
        .log = 3,
        .temp_c = row->temp_c,
        .ph = phs[ph],
        .residual_mg_l = row->residual_mg_l,
        .off_trend = temp == 0 && row->residual_mg_l == 2.2 && phs[ph] == 7.5,
    };
    return RESULT_OK;
}

struct result ct_table_find(enum ct_organism organism, enum ct_disinfectant disinfectant,
                            const struct ct_water *water, struct ct_cell *out)
{
    *out = (struct ct_cell){0};
    if (organism == CT_GIARDIA && disinfectant == CT_FREE_CHLORINE) {
        return giardia_find(water, out);
    }
    const struct by_temperature *t = by_temperature_find(organism, disinfectant, water->ph);
    CHECK(t != NULL);
    TRY(water_check(water, 6, organism == CT_VIRUS ? 10 : 9));
    size_t temp = step_below(t->temp_c, TEMPS, water->temp_c);
    *out = (struct ct_cell){
        .ct = t->ct[temp], .log = t->log, .temp_c = t->temp_c[temp], .ph = t->ph_high};
    return RESULT_OK;
}

/* Where value lies: steps[*out] and the next one, and how far between. */
static double place(const double *steps, size_t count, double value, size_t *out)
{
    size_t i = step_below(steps, count, value);
    *out = i;
    if (value <= steps[i] || i + 1 == count) {
        return 0;
    }
    return (value - steps[i]) / (steps[i + 1] - steps[i]);
}

struct result ct_table_between(const struct ct_water *water, double *out_ct)
{
    double temps[TEMPS], residuals[RESIDUALS];
    size_t at[3];
    double share[3];
    *out_ct = 0;
    TRY(water_check(water, 5, phs[PHS - 1]));
    steps_read(temps, residuals);
    share[0] = place(temps, TEMPS, water->temp_c, &at[0]);
    share[1] = place(residuals, RESIDUALS, water->residual_mg_l, &at[1]);
    share[2] = place(phs, PHS, water->ph, &at[2]);
    double ct = 0;
    for (size_t corner = 0; corner < 8; corner++) {
        double weight = 1;
        size_t where[3];
        for (size_t k = 0; k < 3; k++) {
            bool next = (corner >> k & 1) != 0;
            weight *= next ? share[k] : 1 - share[k];
            where[k] = at[k] + (next && share[k] > 0);
        }
        ct += weight * row_at(where[0], where[1])->ct[where[2]];
    }
    *out_ct = ct;
    return RESULT_OK;
}
