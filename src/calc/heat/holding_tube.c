#include "calc/heat/holding_tube.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/heat/within.h"
#include "calc/sum.h"

enum { PANELS = 4000 };

static double guide_factor(double reynolds)
{
    double low = CONSTANT_TUBE_TURBULENT_REYNOLDS, high = CONSTANT_TUBE_TURBULENT_HIGH_REYNOLDS;
    double at_low = CONSTANT_TUBE_TURBULENT_LOW_FACTOR;
    if (reynolds < low) {
        return CONSTANT_TUBE_LAMINAR_FACTOR;
    }
    double share = fmin(1, (reynolds - low) / (high - low));
    return at_low + share * (CONSTANT_TUBE_TURBULENT_HIGH_FACTOR - at_low);
}

struct result tube_judge(const struct tube_flow *flow, struct tube_report *out)
{
    *out = (struct tube_report){.factor = 0};
    TRY(within("flow_m3_s", flow->flow_m3_s, WITHIN_ABOVE_ZERO, 10, "above 0, at most 10 m3/s"));
    TRY(within("diameter_m", flow->diameter_m, 1e-4, 10, "from 0.0001 to 10 m"));
    TRY(within("density_kg_m3", flow->density_kg_m3, 100, 5000, "from 100 to 5000 kg/m3"));
    TRY(within("viscosity_pa_s", flow->viscosity_pa_s, 1e-6, 1000, "from 1e-6 to 1000 Pa s"));
    struct tube_report r = {.area_m2 = M_PI * flow->diameter_m * flow->diameter_m / 4};
    r.speed_m_s = flow->flow_m3_s / r.area_m2;
    r.reynolds = flow->density_kg_m3 * r.speed_m_s * flow->diameter_m / flow->viscosity_pa_s;
    r.turbulent = r.reynolds >= CONSTANT_TUBE_TURBULENT_REYNOLDS;
    r.factor = r.factor_guide = guide_factor(r.reynolds);
    if (r.turbulent) {
        r.factor_log_law =
            1 / (CONSTANT_TUBE_LOG_LAW_SLOPE * log10(r.reynolds) + CONSTANT_TUBE_LOG_LAW_OFFSET);
        r.factor = fmax(r.factor_guide, r.factor_log_law);
    }
    *out = r;
    return RESULT_OK;
}

double tube_length_m(const struct tube_report *tube, double time_s, double factor)
{
    return factor * tube->speed_m_s * time_s;
}

double tube_time_s(const struct tube_report *tube, double length_m)
{
    return length_m / (tube->factor * tube->speed_m_s);
}

struct result tube_laminar_kill(double mean_time_s, double d_s, struct tube_kill *out)
{
    *out = (struct tube_kill){0};
    TRY(within("mean_time_s", mean_time_s, WITHIN_ABOVE_ZERO, 1e9, "above 0 s"));
    TRY(within("d_s", d_s, fmax(WITHIN_ABOVE_ZERO, mean_time_s / 1000), 1e12,
               "at least a thousandth of the mean time"));
    /* Survivors: the integral over x = tm / (2 t), 0 .. 1, of 2 x 10^(-(tm / 2 D) / x) dx; of it
     * the certified part is taken out, so that nothing underflows. */
    double half = mean_time_s / (2 * d_s);
    struct sum sum = {0};
    for (int i = 1; i <= PANELS; i++) {
        double x = (double)i / PANELS;
        double weight = i == PANELS ? 1 : i % 2 == 1 ? 4 : 2;
        sum_add(&sum, weight * 2 * x * pow(10, half * (1 - 1 / x)));
    }
    out->certified = half;
    out->bulk = half - log10(sum_value(&sum) / (3.0 * PANELS));
    return RESULT_OK;
}
