/* The log reduction that is left when D and z are only known within limits.
 *
 *   R_low = F_low / D_high,  F_low = least F for z between z_low and z_high
 *
 * Where the kill lies above the reference temperature, a larger z lowers F; below it a smaller one
 * does; with readings on both sides the least may lie in between, so the whole interval of 1/z is
 * searched (F is convex in 1/z). Random noise, which always adds to F, is taken out by its factor.
 *
 * Source: closed forms, computed here. */
#ifndef CALC_HEAT_LETHALITY_BOUND_H
#define CALC_HEAT_LETHALITY_BOUND_H

#include "calc/heat/lethality.h"

struct lethality_doubt {
    double z_low_c;  /* above 0, at most z_high_c */
    double z_high_c; /* up to 1e12 */
    double d_high_s; /* upper end of D at the reference temperature, above 0 */
    double noise_c;  /* standard deviation of random noise in the readings, 0 .. 20 */
};

struct lethality_bound {
    double f_low_s;     /* conservative F at the worst z, less noise */
    double f_given_s;   /* conservative F at the z of the settings */
    double z_worst_c;   /* z at which F is least */
    double noise_share; /* factor by which noise inflates F there; 1 or more */
    double reduction_low;
    double z_sensitivity; /* d ln F / dz at the z of the settings, per C; 0 where F is 0 */
};

/* set->d_s is not used; set->z_c must lie within z_low_c .. z_high_c. Errors: those of lethality;
 * FIELD_RANGE, NUMBER_BAD on z_low_c, z_high_c, d_high_s, noise_c, z_c. */
MUST_USE struct result lethality_bound(const struct heat_log *log,
                                       const struct lethality_settings *set,
                                       const struct lethality_doubt *doubt,
                                       struct lethality_bound *out);

#endif
