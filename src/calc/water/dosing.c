#include "calc/water/dosing.h"

#include "calc/constants.gen.h"
#include "calc/range.h"

#define MG_PER_G 1000.0
#define G_L_PER_PCT 10.0 /* of volume */

static bool is_solid(const struct dose_product *p)
{
    return p->strength == DOSE_SOLID_PCT;
}

/* g of available chlorine a g of salt; 0 where it is none. */
static double available_factor(const struct dose_product *p)
{
    static const double factors[] = {CONSTANT_WATER_CALCIUM_HYPOCHLORITE_AVAILABLE,
                                     CONSTANT_WATER_SODIUM_HYPOCHLORITE_AVAILABLE, 0};
    return factors[p->substance];
}

static double substance_declared(const struct dose_product *p)
{
    double factor = available_factor(p);
    bool derived = p->substance_strength == 0 && factor > 0;
    return derived ? p->available_strength / factor : p->substance_strength;
}

static double available_declared(const struct dose_product *p)
{
    return p->available_strength > 0 ? p->available_strength
                                     : p->substance_strength * available_factor(p);
}

static struct result product_check(const struct dose_product *p)
{
    double most = p->strength == DOSE_LIQUID_G_L ? 3000 : 100;
    TRY(range_number("substance_strength", p->substance_strength, 0, most));
    TRY(range_number("available_strength", p->available_strength, 0, most));
    if (p->density_kg_l != 0) {
        TRY(range_number("density_kg_l", p->density_kg_l, 0.5, 3));
    }
    return RESULT_OK;
}

static struct result ask_check(const struct dose_ask *ask)
{
    TRY(range_number("target_mg_l", ask->target_mg_l, 1e-6, 1e6));
    TRY(range_number("volume_l", ask->volume_l, 1e-6, 1e9));
    TRY(range_number("now_mg_l", ask->now_mg_l, 0, 1e6));
    return range_number("demand_mg_l", ask->demand_mg_l, 0, 1e6);
}

/* The product that holds counted_g of a strength. */
static struct result product_for(const struct dose_product *p, double strength, double counted_g,
                                 struct dose *out)
{
    switch (p->strength) {
    case DOSE_SOLID_PCT:
        out->product_g = counted_g * 100 / strength;
        return RESULT_OK;
    case DOSE_LIQUID_PCT_MASS:
        if (p->density_kg_l == 0) {
            return FAIL1(FIELD_MISSING, "density_kg_l", "Percent by mass needs it.");
        }
        out->product_g = counted_g * 100 / strength;
        out->product_ml = out->product_g / p->density_kg_l;
        return RESULT_OK;
    case DOSE_LIQUID_PCT_VOLUME:
        out->product_ml = counted_g * 1000 / (strength * G_L_PER_PCT);
        break;
    case DOSE_LIQUID_G_L:
        out->product_ml = counted_g * 1000 / strength;
        break;
    }
    out->product_g = out->product_ml * p->density_kg_l;
    return RESULT_OK;
}

/* The product by itself is counted. */
static struct result product_alone(const struct dose_product *p, double counted_g, struct dose *out)
{
    out->product_g = counted_g;
    if (is_solid(p)) {
        return RESULT_OK;
    }
    if (p->density_kg_l == 0) {
        return FAIL1(FIELD_MISSING, "density_kg_l", "A liquid counted as product needs it.");
    }
    out->product_ml = counted_g / p->density_kg_l;
    return RESULT_OK;
}

/* Available chlorine in what is dosed, by what the label says of it. */
static double available_g(const struct dose_product *p, const struct dose *d)
{
    double strength = available_declared(p);
    switch (p->strength) {
    case DOSE_SOLID_PCT:
    case DOSE_LIQUID_PCT_MASS:
        return d->product_g * strength / 100;
    case DOSE_LIQUID_PCT_VOLUME:
        return d->product_ml * strength * G_L_PER_PCT / 1000;
    case DOSE_LIQUID_G_L:
        break;
    }
    return d->product_ml * strength / 1000;
}

struct result dosing(const struct dose_product *product, const struct dose_ask *ask,
                     struct dose *out)
{
    struct dose d = {0};
    *out = d;
    TRY(product_check(product));
    TRY(ask_check(ask));
    double lacking_mg_l = ask->target_mg_l - ask->now_mg_l + ask->demand_mg_l;
    if (lacking_mg_l < 0) {
        out->water_l = ask->volume_l * (ask->now_mg_l / ask->target_mg_l - 1);
        return RESULT_OK;
    }
    d.counted_g = lacking_mg_l * ask->volume_l / MG_PER_G;
    if (ask->counts == DOSE_PRODUCT) {
        TRY(product_alone(product, d.counted_g, &d));
    } else {
        bool chlorine = ask->counts == DOSE_AVAILABLE_CHLORINE;
        double strength = chlorine ? available_declared(product) : substance_declared(product);
        if (strength == 0) {
            return FAIL1(FIELD_MISSING, chlorine ? "available_strength" : "substance_strength",
                         "It is what the target counts.");
        }
        TRY(product_for(product, strength, d.counted_g, &d));
    }
    d.has_available = available_declared(product) > 0;
    d.available_g_l = available_g(product, &d) / ask->volume_l;
    *out = d;
    return RESULT_OK;
}
