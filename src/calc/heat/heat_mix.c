#include "calc/heat/heat_mix.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/heat/heat_log.h"
#include "calc/heat/within.h"

#define J_PER_KJ 1000.0

static struct result stuff_check(const struct heat_stuff *s)
{
    TRY(within("mass_kg", s->mass_kg, WITHIN_ABOVE_ZERO, 1e9, "above 0 kg"));
    TRY(within("heat_j_kg_k", s->heat_j_kg_k, 100, 1e4, "from 100 to 10000 J/kg/K"));
    return within("temp_c", s->temp_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, "from -60 to 300 C");
}

static struct result water_check(double water_heat_j_kg_k, double water_c)
{
    TRY(within("water_heat_j_kg_k", water_heat_j_kg_k, 100, 1e4, "from 100 to 10000 J/kg/K"));
    return within("water_c", water_c, 0, 150, "from 0 to 150 C");
}

struct result heat_mix_c(const struct heat_stuff *a, const struct heat_stuff *b, double *out)
{
    *out = 0;
    TRY(stuff_check(a));
    TRY(stuff_check(b));
    double heat_a = a->mass_kg * a->heat_j_kg_k;
    double heat_b = b->mass_kg * b->heat_j_kg_k;
    *out = (heat_a * a->temp_c + heat_b * b->temp_c) / (heat_a + heat_b);
    return RESULT_OK;
}

struct result heat_bath_kg(const struct heat_stuff *seed, double water_heat_j_kg_k, double water_c,
                           double least_c, double *out_kg)
{
    *out_kg = 0;
    TRY(stuff_check(seed));
    TRY(water_check(water_heat_j_kg_k, water_c));
    TRY(within("least_c", least_c, nextafter(seed->temp_c, 400), nextafter(water_c, -1),
               "above the seed's temperature and below the water's"));
    *out_kg = seed->mass_kg * seed->heat_j_kg_k * (least_c - seed->temp_c) /
              (water_heat_j_kg_k * (water_c - least_c));
    return RESULT_OK;
}

struct result heat_cooling(const struct heat_stuff *seed, double clinging_kg,
                           double water_heat_j_kg_k, double water_c, double final_c,
                           struct heat_cooling *out)
{
    *out = (struct heat_cooling){0};
    TRY(stuff_check(seed));
    TRY(water_check(water_heat_j_kg_k, water_c));
    TRY(within("clinging_kg", clinging_kg, 0, 1e9, "0 kg or more"));
    TRY(within("final_c", final_c, nextafter(water_c, 400), nextafter(seed->temp_c, -400),
               "above the water's temperature and below the seed's"));
    double taken = seed->mass_kg * seed->heat_j_kg_k + clinging_kg * water_heat_j_kg_k;
    out->heat_j = taken * (seed->temp_c - final_c);
    out->water_kg = out->heat_j / (water_heat_j_kg_k * (final_c - water_c));
    out->ice_kg =
        out->heat_j / (CONSTANT_ICE_MELTING_KJ_KG * J_PER_KJ + water_heat_j_kg_k * final_c);
    return RESULT_OK;
}
