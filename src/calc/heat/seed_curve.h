/* Hot treatment of a seed lot at one temperature: what it kills against what it costs.
 *
 * Kill is log-linear and credited to at most 5.56 C above the temperatures at which D was measured,
 * and to at most the largest reduction seen. Germination falls by one of three models:
 *
 *   log-linear  G = G0 10^(-t/Dg)
 *   shoulder    the same after a shoulder (calc/heat/survival.h)
 *   probit      v = v0 - t/sigma, dry seed (calc/heat/seed_longevity.h)
 *
 * Source: models as there; the cap is that of Thomas, White and Longree 1966. */
#ifndef CALC_HEAT_SEED_CURVE_H
#define CALC_HEAT_SEED_CURVE_H

#include "calc/heat/seed_longevity.h"

struct seed_kill {
    double reference_c; /* -60 .. 300 */
    double z_c;         /* above 0 */
    double d_s;         /* above 0 */
    double tested_max_c;
    double seen; /* log10, 0 .. 20 */
};

enum seed_loss_model { SEED_LOSS_LOG_LINEAR, SEED_LOSS_SHOULDER, SEED_LOSS_PROBIT };

struct seed_loss {
    enum seed_loss_model model;
    double initial_share; /* 0.01 .. 0.9999 */
    double reference_c;   /* not looked at by probit, like the next three */
    double z_c;
    double d_s;
    double shoulder_s; /* at the reference; shoulder only */
    const struct longevity_species *species;
    double moisture_pct;
};

struct seed_curve {
    struct seed_kill kill;
    struct seed_loss loss;
    double temp_c;
    double credited_c; /* temperature that the kill is worked out for */
    double d_s;        /* D there */
    double loss_s;     /* Dg, or sigma, at temp_c */
};

/* Works out what stands at temp_c. FIELD_RANGE, NUMBER_BAD on the field; CALC_OVERFLOW on z_c,
 * germination_z_c. */
MUST_USE struct result seed_curve_make(const struct seed_kill *kill, const struct seed_loss *loss,
                                       double temp_c, struct seed_curve *out);
/* Time 0 or more. The reduction is at most the largest seen. */
double seed_curve_reduction(const struct seed_curve *c, double time_s);
double seed_curve_germination(const struct seed_curve *c, double time_s);
/* Least time for the target: INFINITY where it lies beyond what was seen. */
double seed_curve_earliest_s(const struct seed_curve *c, double target);
/* Longest time that leaves this share germinating, above 0: 0 where the lot has less already. */
double seed_curve_latest_s(const struct seed_curve *c, double least_share);

/* Dg from a loss seen: time / -log10(after / before); 0 < after < before. */
MUST_USE struct result seed_loss_d_s(double time_s, double before_pct, double after_pct,
                                     double *out_s);

#endif
