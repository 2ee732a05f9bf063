#include "calc/heat/lethality_bound.h"

#include <math.h>

#include "calc/heat/sensor.h"
#include "calc/heat/within.h"

enum { GOLDEN_STEPS = 48 };

/* Step of the central difference; its error goes with the square. */
#define Z_STEP 1e-4

struct bound_search {
    const struct heat_log *log;
    struct lethality_settings set;
    double noise_c;
};

/* Conservative F at 1/z, less noise; *out_noise its factor. */
static struct result f_at(struct bound_search *s, double per_z, double *out_f_s, double *out_noise)
{
    struct lethality_report report;
    struct reading_factors factors;
    struct reading_error error = {.noise_c = s->noise_c};
    s->set.z_c = 1 / per_z;
    TRY(lethality(s->log, &s->set, &report));
    TRY(reading_factors(s->set.z_c, 0, &error, &factors));
    *out_noise = factors.noise;
    *out_f_s = report.f_conservative_s / factors.noise;
    return RESULT_OK;
}

/* Takes 1/z where it gives less. */
static struct result try_at(struct bound_search *s, double per_z, struct lethality_bound *out,
                            double *out_f_s)
{
    double noise;
    TRY(f_at(s, per_z, out_f_s, &noise));
    if (*out_f_s < out->f_low_s) {
        out->f_low_s = *out_f_s;
        out->z_worst_c = 1 / per_z;
        out->noise_share = noise;
    }
    return RESULT_OK;
}

static struct result least_find(struct bound_search *s, double low, double high,
                                struct lethality_bound *out)
{
    double f_s, fa_s, fb_s;
    const double golden = (sqrt(5) - 1) / 2;
    out->f_low_s = INFINITY;
    TRY(try_at(s, low, out, &f_s));
    TRY(try_at(s, high, out, &f_s));
    double a = high - golden * (high - low);
    double b = low + golden * (high - low);
    TRY(try_at(s, a, out, &fa_s));
    TRY(try_at(s, b, out, &fb_s));
    for (int i = 0; i < GOLDEN_STEPS && high > low; i++) {
        if (fa_s < fb_s) {
            high = b;
            b = a;
            fb_s = fa_s;
            a = high - golden * (high - low);
            TRY(try_at(s, a, out, &fa_s));
        } else {
            low = a;
            a = b;
            fa_s = fb_s;
            b = low + golden * (high - low);
            TRY(try_at(s, b, out, &fb_s));
        }
    }
    return RESULT_OK;
}

static struct result doubt_check(const struct lethality_settings *set,
                                 const struct lethality_doubt *doubt)
{
    TRY(within("z_high_c", doubt->z_high_c, 1e-9, 1e12, "above 0 C"));
    TRY(within("z_low_c", doubt->z_low_c, 1e-9, doubt->z_high_c,
               "above 0 C and not above z_high_c"));
    TRY(within("z_c", set->z_c, doubt->z_low_c, doubt->z_high_c, "between z_low_c and z_high_c"));
    TRY(within("noise_c", doubt->noise_c, 0, HEAT_UNCERTAINTY_MAX_C, "from 0 to 20 C"));
    return within("d_high_s", doubt->d_high_s, WITHIN_ABOVE_ZERO, 1e12, "above 0 s");
}

struct result lethality_bound(const struct heat_log *log, const struct lethality_settings *set,
                              const struct lethality_doubt *doubt, struct lethality_bound *out)
{
    *out = (struct lethality_bound){.noise_share = 1};
    TRY(doubt_check(set, doubt));
    struct lethality_bound r = {.noise_share = 1};
    struct bound_search s = {.log = log, .set = *set, .noise_c = doubt->noise_c};
    s.set.d_s = doubt->d_high_s;
    TRY(least_find(&s, 1 / doubt->z_high_c, 1 / doubt->z_low_c, &r));
    double noise, below_s, above_s;
    s.noise_c = 0;
    TRY(f_at(&s, 1 / set->z_c, &r.f_given_s, &noise));
    TRY(f_at(&s, 1 / (set->z_c * (1 - Z_STEP)), &below_s, &noise));
    TRY(f_at(&s, 1 / (set->z_c * (1 + Z_STEP)), &above_s, &noise));
    if (below_s > 0 && above_s > 0) {
        r.z_sensitivity = log1p((above_s - below_s) / below_s) / (2 * Z_STEP * set->z_c);
    }
    r.reduction_low = r.f_low_s / doubt->d_high_s;
    TRY(finite_result("d_high_s", doubt->d_high_s, r.reduction_low));
    *out = r;
    return RESULT_OK;
}
