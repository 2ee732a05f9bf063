/* How much of a product makes a solution - once it is said what "ppm" counts: the product, the
 * salt or acid in it, or the available chlorine.
 *
 *   g of what is counted = ((target - now) + demand) V        product = that / its share in it
 *
 * Percent by mass of a liquid needs its density; percent by volume is 10 g/L a percent. What the
 * label leaves out, salt or available chlorine, follows from the molar masses (computed here). */
#ifndef CALC_WATER_DOSING_H
#define CALC_WATER_DOSING_H

#include "base/result.h"

enum dose_counts { DOSE_PRODUCT, DOSE_SUBSTANCE, DOSE_AVAILABLE_CHLORINE };
enum dose_substance { DOSE_CALCIUM_HYPOCHLORITE, DOSE_SODIUM_HYPOCHLORITE, DOSE_OTHER };
enum dose_strength {
    DOSE_SOLID_PCT,
    DOSE_LIQUID_PCT_MASS,
    DOSE_LIQUID_PCT_VOLUME,
    DOSE_LIQUID_G_L
};

struct dose_product {
    enum dose_substance substance;
    enum dose_strength strength;
    double density_kg_l;       /* of a liquid, 0.5 .. 3; 0: not known */
    double substance_strength; /* salt or acid, by the label; 0: not declared */
    double available_strength; /* available chlorine, by the label; 0: not declared */
};

struct dose_ask {
    double target_mg_l; /* above 0, to 1e6, of what is counted */
    enum dose_counts counts;
    double volume_l;    /* above 0, to 1e9 */
    double now_mg_l;    /* already in it, of the same */
    double demand_mg_l; /* taken by the water, of the same */
};

struct dose {
    double counted_g;     /* of what is counted */
    double product_g;     /* 0 where a liquid's density is not known */
    double product_ml;    /* 0 for a solid, or where it is not known */
    bool has_available;   /* the available chlorine is known */
    double available_g_l; /* brought into the solution */
    double water_l;       /* instead: to thin what is too strong; nothing to dose then */
};

/* NUMBER_BAD, FIELD_RANGE on target_mg_l, volume_l, now_mg_l, demand_mg_l, substance_strength,
 * available_strength, density_kg_l; FIELD_MISSING on a strength or density that is needed. */
MUST_USE struct result dosing(const struct dose_product *product, const struct dose_ask *ask,
                              struct dose *out);

#endif
