/* From seed to packs and back, and what became of water and dry matter.
 *
 *   F = S * Y * (1 - hull) * (1 - trim) * (1 - cull) * (1 + wet)
 *   Y_lot = Y * PLS / PLS_reference                        first order
 *   U = Y - dm - moisture,  dm = (1 - moisture) * (1 - loss)     net water taken up per kg of seed
 *
 * F packed, S seed as received, Y fresh mass in the bed per mass of seed. Every default is to be
 * replaced by the house's own weighings (constants/growth.csv). */
#ifndef CALC_GROWTH_MASS_CHAIN_H
#define CALC_GROWTH_MASS_CHAIN_H

#include "base/result.h"

struct mass_chain {
    double expansion; /* Y, kg/kg, 1 .. 14 */
    double hull;      /* of the bed mass, 0 .. 0.9 */
    double trim;      /* of the washed mass, 0 .. 0.9 */
    double cull;      /* of the trimmed mass, 0 .. 0.9 */
    double wet;       /* surface water carried, of the drained mass, 0 .. 0.5 */
};

struct mass_chain mass_chain_default(void);
/* From the record's parts per million (expansion 8 000 000 for 8 kg/kg). */
struct mass_chain mass_chain_from_ppm(int64_t expansion_ppm, int64_t hull_ppm, int64_t trim_ppm,
                                      int64_t cull_ppm, int64_t wet_ppm);
/* NUMBER_BAD or FIELD_RANGE on expansion, hull, trim, cull, wet. */
MUST_USE struct result mass_chain_check(const struct mass_chain *chain);
/* kg packed per kg of seed; the chain must have been checked (CHECK on the product). */
double mass_chain_factor(const struct mass_chain *chain);
/* Seed 0 .. 1e12 mg -> packed, rounded down. FIELD_RANGE on seed_mg or of the chain. */
MUST_USE struct result mass_chain_packed(const struct mass_chain *chain, int64_t seed_mg,
                                         int64_t *out_packed_mg);
/* Packed 0 .. 1e12 mg -> seed needed, rounded up. FIELD_RANGE on packed_mg or of the chain. */
MUST_USE struct result mass_chain_seed(const struct mass_chain *chain, int64_t packed_mg,
                                       int64_t *out_seed_mg);

/* Expansion of a lot whose pure live seed differs from the one that set the standard. pls above 0
 * to 1000000 ppm; the result is rounded down. FIELD_RANGE on expansion_ppm, pls_ppm,
 * reference_ppm. */
MUST_USE struct result mass_chain_lot_expansion(int64_t expansion_ppm, int64_t pls_ppm,
                                                int64_t reference_ppm, int64_t *out_ppm);

struct dry_matter {
    double seed_dry_kg_kg;   /* dry matter in a kg of seed */
    double sprout_dry_kg_kg; /* of it, what is left in the sprouts of that kg */
    double breathed_kg_kg;   /* of it, what went to the air */
    double water_uptake_kg_kg;
    double sprout_dry_pct; /* of fresh sprouts */
    double sprout_water_pct;
};

/* expansion 1 .. 14, moisture_pct 2 .. 60 wet basis, loss 0 .. 0.5 of the seed's dry matter.
 * NUMBER_BAD or FIELD_RANGE on expansion, moisture_pct, loss. */
MUST_USE struct result dry_matter(double expansion, double moisture_pct, double loss,
                                  struct dry_matter *out);

/* Litres a bed fills when packed like one of known seed and volume: kg/m3, and m3 for a mass. */
struct bed_packing {
    double density_kg_m3;
    double volume_m3;
};

/* seed_kg, box_l, bed_kg above 0 and up to 1e9. NUMBER_BAD or FIELD_RANGE on their names. */
MUST_USE struct result bed_packing(double seed_kg, double expansion, double box_l, double bed_kg,
                                   struct bed_packing *out);

#endif
