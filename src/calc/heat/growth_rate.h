/* How fast Listeria monocytogenes grows at a temperature, two ways; rates in log10 a day.
 *
 *   square root:  sqrt(EGR) = b (T - T0), so EGR(T) = EGR5 ((T - T0)/(5 - T0))^2, T0 = -1.18 C
 *   cardinal:     EGR = EGRopt CM(T) CM(pH) gamma(aw)
 *     CM(T) = (T-Tmax)(T-Tmin)^2 /
 *             ((Topt-Tmin)((Topt-Tmin)(T-Topt) - (Topt-Tmax)(Topt+Tmin-2T))), 0 outside
 *     CM(pH) = (pH-min)(pH-max) / ((pH-min)(pH-max) - (pH-opt)^2), gamma(aw) =
 * ((aw-min)/(opt-min))^2
 *
 * Cardinal form: Rosso and others 1995, Applied and Environmental Microbiology 61:610-616
 * (published (seen)). Values and their sources: constants/cold_chain.csv. */
#ifndef CALC_HEAT_GROWTH_RATE_H
#define CALC_HEAT_GROWTH_RATE_H

#include "base/result.h"

struct root_growth {
    double egr5_log_d; /* at 5 C; 0 .. 100 */
    double t0_c;       /* -10 .. 4 */
};

struct cardinal_growth {
    double egr_opt_log_d; /* where all is best; 0 .. 1000 */
    double temp_min_c, temp_opt_c, temp_max_c;
    double ph_min, ph_opt, ph_max;
    double aw_min, aw_opt;
    double ph; /* of the product */
    double aw;
};

/* With the constants of constants/cold_chain.csv. */
struct root_growth root_growth_listeria(double egr5_log_d);
/* pH and water activity at their best until they are set. */
struct cardinal_growth cardinal_growth_listeria(double egr_opt_log_d);

/* NUMBER_BAD, FIELD_RANGE on egr5_log_d, t0_c; on egr_opt_log_d, temp_min_c and so on, ph (0 ..
 * 14), aw (0 .. 1). */
MUST_USE struct result root_growth_check(const struct root_growth *g);
MUST_USE struct result cardinal_growth_check(const struct cardinal_growth *g);

/* For models that were checked; temp_c finite. */
double root_rate(const struct root_growth *g, double temp_c);
double cardinal_temp(const struct cardinal_growth *g, double temp_c);
double cardinal_ph(const struct cardinal_growth *g);
double cardinal_aw(const struct cardinal_growth *g);
/* The older form of the temperature's part, ((T - Tmin)/(Topt - Tmin))^2, up to Topt. */
double gamma_temp(const struct cardinal_growth *g, double temp_c);
double cardinal_rate(const struct cardinal_growth *g, double temp_c);

/* EGR5 from growth_log decimals in time_d at temp_c. growth_log 0 .. 20, time_d above 0, temp_c
 * above t0_c, to 25. NUMBER_BAD, FIELD_RANGE on growth_log, time_d, temp_c. */
MUST_USE struct result root_egr5(double growth_log, double time_d, double temp_c, double t0_c,
                                 double *out_log_d);
/* Hours in which numbers double; rate above 0 (CHECK). */
double generation_h(double rate_log_d);

#endif
