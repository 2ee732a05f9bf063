/* Heat going into a sphere from a fluid around it.
 *
 *   Bi = h R / k, Fo = a t / R^2;  zeta_n: 1 - zeta cot zeta = Bi, one in ((n-1) pi, n pi)
 *   C_n = 4 (sin zeta - zeta cos zeta) / (2 zeta - sin 2 zeta)
 *   theta(r) = sum C_n e^(-zeta_n^2 Fo) sin(zeta_n r)/(zeta_n r),  r = radius / R
 *
 * theta is 1 at the start and 0 at the fluid's temperature. With Bi infinite zeta_n = n pi.
 * Source: Fourier's series for the sphere, computed here. */
#ifndef CALC_HEAT_SPHERE_H
#define CALC_HEAT_SPHERE_H

#include "calc/heat/heat_log.h"

enum { SPHERE_MODES = 700, SPHERE_PLACES = 4 };

/* Places: centre, half radius, surface, and the mean over the volume. */
enum sphere_place { SPHERE_CENTRE, SPHERE_HALF, SPHERE_SURFACE, SPHERE_MEAN };

struct sphere {
    double biot; /* INFINITY: the surface takes the fluid's temperature at once */
    double zeta[SPHERE_MODES];
    double weight[SPHERE_MODES]; /* C_n */
    double shape[SPHERE_MODES][SPHERE_PLACES];
};

/* biot 1e-6 .. 1e9 or INFINITY. FIELD_RANGE, NUMBER_BAD on biot. The struct is large: arena. */
MUST_USE struct result sphere_make(double biot, struct sphere *out);
/* fourier 1e-5 or more (below it the series is not long enough), or 0. CHECK. */
double sphere_theta(const struct sphere *s, enum sphere_place place, double fourier);
/* The Fourier number at which the centre's theta is this; 1e-300 < theta < 1 (CHECK). */
double sphere_fourier(const struct sphere *s, double theta);

struct sphere_body {
    double radius_m;         /* 1e-5 .. 1 */
    double diffusivity_m2_s; /* 1e-9 .. 1e-3 */
    double start_c;          /* -60 .. 300 */
};

/* One point of the history for each of the bath's: temperatures, and equivalent time at a
 * reference so far. */
struct sphere_moment {
    double temp_c[SPHERE_PLACES];
    double f_s[SPHERE_PLACES];
};

/* The body under a bath whose temperature is a straight line between the log's points (its first
 * probe); exact for each piece. z_c above 0. out[log->points]. Errors: those of heat_log_check and
 * lethal_scale_make; FIELD_RANGE, NUMBER_BAD on radius_m, diffusivity_m2_s, start_c; CALC_OVERFLOW
 * on z_c. */
MUST_USE struct result sphere_history(const struct sphere *s, const struct sphere_body *body,
                                      const struct heat_log *bath, double reference_c, double z_c,
                                      struct sphere_moment *out);

#endif
