/* Survivors that do not fall in a straight line. Each model gives the log reduction L that heat has
 * made, from doses (time over D, delta or the like, summed over the temperature history):
 *
 *   log-linear   L = dose
 *   weibull      L = dose^p                                                  delta for D
 *   geeraerd     10^-L = e^-K (1 + C) / (1 + C e^-K), K = ln10 dose, 1 + C = e^(kmax Sl)
 *   biphasic     10^-L = f 10^-dose + (1 - f) 10^-dose2
 *   peleg        L = dose^n, dose the integral of b(T)^(1/n) dt, b = ln(1 + e^(kb (T - Tc)))
 *
 * A tail adds survivors that nothing kills: N = (N0 - Nres) 10^-L + Nres. With constant p and n
 * these are exact for any history. Nothing may be claimed beyond the largest reduction seen when
 * the constants were measured.
 *
 * Source: closed forms of the rate equations of Mafart, Peleg, Geeraerd and Cerf, computed here. */
#ifndef CALC_HEAT_SURVIVAL_H
#define CALC_HEAT_SURVIVAL_H

#include "base/result.h"

enum survival_model {
    SURVIVAL_LOG_LINEAR,
    SURVIVAL_WEIBULL,
    SURVIVAL_GEERAERD,
    SURVIVAL_BIPHASIC,
    SURVIVAL_PELEG
};

struct survival {
    enum survival_model model;
    double shape;    /* p or n, 0.05 .. 20; weibull and peleg */
    double shoulder; /* kmax times shoulder length, 0 .. 200; geeraerd */
    double fraction; /* killed by the first D, 0 .. 1; biphasic */
    bool has_tail;
    double log_initial; /* log10 N0, -20 .. 20; with a tail */
    double log_tail;    /* log10 Nres, at most log_initial */
};

/* FIELD_RANGE, NUMBER_BAD on shape, shoulder, fraction, log_initial, log_tail. */
MUST_USE struct result survival_check(const struct survival *s);
/* L of doses 0 or more; dose2 is looked at by biphasic only. The model must be checked. */
double survival_reduction(const struct survival *s, double dose, double dose2);
/* The time for a reduction at a constant temperature, with doses of rate and rate2 a second;
 * INFINITY where it is never reached. target 0 or more, rates above 0. */
double survival_time_s(const struct survival *s, double rate, double rate2, double target);

/* Peleg's b at a temperature, and the dose of a straight piece of history: kb 1e-3 .. 100 a degree,
 * n 0.05 .. 20; minutes as b has them. */
double survival_peleg_b(double kb_per_c, double tc_c, double temp_c);
double survival_peleg_dose(double kb_per_c, double tc_c, double n, double minutes, double from_c,
                           double to_c);

#endif
