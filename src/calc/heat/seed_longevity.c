#include "calc/heat/seed_longevity.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/distribution.h"
#include "calc/heat/within.h"
#include "calc/sum.h"

#define SPECIES(name, KEY)                                                  \
    {                                                                       \
        name, CONSTANT_LONGEVITY_##KEY##_KE, CONSTANT_LONGEVITY_##KEY##_CW, \
            CONSTANT_LONGEVITY_##KEY##_CH, CONSTANT_LONGEVITY_##KEY##_CQ    \
    }

static const struct longevity_species species[] = {
    SPECIES("soybean", SOYBEAN),
    SPECIES("rice", RICE),
    SPECIES("wheat", WHEAT),
};

size_t longevity_species_count(void)
{
    return sizeof species / sizeof species[0];
}

const struct longevity_species *longevity_species_at(size_t index)
{
    CHECK(index < longevity_species_count());
    return &species[index];
}

const struct longevity_species *longevity_species_find(const char *name)
{
    for (size_t i = 0; i < longevity_species_count(); i++) {
        if (strcmp(species[i].name, name) == 0) {
            return &species[i];
        }
    }
    return NULL;
}

static double sigma_d(const struct longevity_species *s, double moisture_pct, double temp_c)
{
    return pow(10, s->ke - s->cw * log10(moisture_pct) - s->ch * temp_c - s->cq * temp_c * temp_c);
}

struct result longevity_sigma_d(const struct longevity_species *s, double moisture_pct,
                                double temp_c, double *out)
{
    *out = 0;
    TRY(within("moisture_pct", moisture_pct, 1, 60, "from 1 to 60 %"));
    TRY(within("temp_c", temp_c, -60, 150, "from -60 to 150 C"));
    *out = sigma_d(s, moisture_pct, temp_c);
    return RESULT_OK;
}

bool longevity_extrapolates(double moisture_pct, double temp_c)
{
    return moisture_pct < CONSTANT_LONGEVITY_MOISTURE_LOW_PCT ||
           moisture_pct > CONSTANT_LONGEVITY_MOISTURE_HIGH_PCT ||
           temp_c < CONSTANT_LONGEVITY_TEMP_LOW_C || temp_c > CONSTANT_LONGEVITY_TEMP_HIGH_C;
}

double longevity_z_c(const struct longevity_species *s, double temp_c)
{
    return 1 / (s->ch + 2 * s->cq * temp_c);
}

double longevity_dose(const struct longevity_species *s, double moisture_pct, double days,
                      double from_c, double to_c)
{
    /* Gauss-Legendre, three points: node and weight on -1 .. 1 (from memory), pieces of 2 C. */
    static const double node = 0.7745966692414834, side = 5.0 / 9, middle = 8.0 / 9;
    CHECK(moisture_pct > 0 && fabs(from_c) <= 300 && fabs(to_c) <= 300);
    int pieces = (int)fmax(1, ceil(fabs(to_c - from_c) / 2));
    double half = (to_c - from_c) / pieces / 2;
    struct sum sum = {0};
    for (int i = 0; i < pieces; i++) {
        double c = from_c + half * (2 * i + 1);
        sum_add(&sum, middle / sigma_d(s, moisture_pct, c));
        sum_add(&sum, side / sigma_d(s, moisture_pct, c - node * half));
        sum_add(&sum, side / sigma_d(s, moisture_pct, c + node * half));
    }
    return sum_value(&sum) * days / pieces / 2;
}

double probit(double share)
{
    CHECK(share > 0 && share < 1);
    return normal_quantile(share);
}

double probit_share(double probits)
{
    return erfc(-probits * M_SQRT1_2) / 2;
}
