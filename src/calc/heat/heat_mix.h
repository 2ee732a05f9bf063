/* Hot seed into cold water and cold seed into hot water: heat given is heat taken.
 *
 *   bath     m_w/m_s = c_s (Tmix - T_s) / (c_w (T_w - Tmix))
 *   cooling  m_w = (m_s c_s + m_a c_w) (T_hot - T_f) / (c_w (T_f - T_w)), m_a hot water that clings
 *   ice      m_ice = Q / (melting + c_w T_f)
 *
 * Nothing is lost to walls and air. Source: heat balance, computed here. */
#ifndef CALC_HEAT_HEAT_MIX_H
#define CALC_HEAT_HEAT_MIX_H

#include "base/result.h"

struct heat_stuff {
    double mass_kg;     /* above 0, at most 1e9 */
    double heat_j_kg_k; /* 100 .. 10000 */
    double temp_c;      /* -60 .. 300 */
};

/* Temperature of both together. FIELD_RANGE, NUMBER_BAD on mass_kg, heat_j_kg_k, temp_c. */
MUST_USE struct result heat_mix_c(const struct heat_stuff *a, const struct heat_stuff *b,
                                  double *out);
/* Mass of hot water for the mixture to stay at least_c: T_s < least_c < T_w, else FIELD_RANGE on
 * least_c. */
MUST_USE struct result heat_bath_kg(const struct heat_stuff *seed, double water_heat_j_kg_k,
                                    double water_c, double least_c, double *out_kg);

struct heat_cooling {
    double heat_j;
    double water_kg;
    double ice_kg; /* instead of water */
};

/* clinging_kg 0 .. 1e9; water_c < final_c < the seed's, final_c 0 or more: FIELD_RANGE on final_c,
 * water_c, clinging_kg. */
MUST_USE struct result heat_cooling(const struct heat_stuff *seed, double clinging_kg,
                                    double water_heat_j_kg_k, double water_c, double final_c,
                                    struct heat_cooling *out);

#endif
