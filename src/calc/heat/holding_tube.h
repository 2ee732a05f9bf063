/* The tube in which a flowing juice is held hot, judged by its fastest particle.
 *
 *   mean speed v = Q / A    Re = rho v d / mu    t_min = L / (f v)    L = f v t
 *   f = 2 below Re 4000; 1.33 there, 1.25 at 20 000 and above, a straight line between
 *
 * A second turbulent formula, v / v_max = 0.0336 log10 Re + 0.662, is worked out beside it, and the
 * larger factor is used. In laminar flow the mean kill over all particles, with E(t) = tm^2/(2 t^3)
 * from tm/2 on, is larger than that of the fastest: never certify by it.
 *
 * Source: factors of a UK dairy guide on holding sections (constants/heat.csv). */
#ifndef CALC_HEAT_HOLDING_TUBE_H
#define CALC_HEAT_HOLDING_TUBE_H

#include "base/result.h"

struct tube_flow {
    double flow_m3_s;      /* largest flow, above 0 .. 10 */
    double diameter_m;     /* smallest inner diameter, 1e-4 .. 10 */
    double density_kg_m3;  /* 100 .. 5000 */
    double viscosity_pa_s; /* 1e-6 .. 1000 */
};

struct tube_report {
    double area_m2;
    double speed_m_s;
    double reynolds;
    bool turbulent;        /* Re of 4000 or more */
    double factor;         /* fastest over mean, the larger of both formulas */
    double factor_guide;   /* of the guide */
    double factor_log_law; /* of the other formula; 0 in laminar flow */
};

/* FIELD_RANGE, NUMBER_BAD on flow_m3_s, diameter_m, density_kg_m3, viscosity_pa_s. */
MUST_USE struct result tube_judge(const struct tube_flow *flow, struct tube_report *out);
/* Length for a time, and least time for a length. */
double tube_length_m(const struct tube_report *tube, double time_s, double factor);
double tube_time_s(const struct tube_report *tube, double length_m);

struct tube_kill {
    double certified; /* log10, fastest particle: half the mean time over D */
    double bulk;      /* log10 of the mean of all survivors: information */
};

/* Laminar flow; mean_time_s and d_s above 0, their ratio at most 1000. FIELD_RANGE, NUMBER_BAD on
 * mean_time_s, d_s. */
MUST_USE struct result tube_laminar_kill(double mean_time_s, double d_s, struct tube_kill *out);

#endif
