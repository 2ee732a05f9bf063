/* What the orders booked so far say of a day that is still ahead: learnt from past days, of which
 * it is known how much had been booked how many days before.
 *
 * Of past days that were expected to bring e pieces and brought x, with b of them booked l days
 * before, share_l = sum b / sum x, and
 *
 *   expected now = e + slope_l * (b - share_l * e), never below b nor below half of e (a file of
 * orders that did not come must not empty the house: common practice)
 *
 * slope_l by least squares, each day weighted with 1 / e, from 0 (bookings say nothing) to 1 /
 * share_l (bookings say all); dispersion_l = sum of squared misses of that / sum of e. It joins the
 * additive and the multiplicative pickup of booking curves (Weatherford, Kimes 2003, A comparison
 * of forecasting methods for hotel revenue management - from memory). Where nothing was booked
 * ahead, all of it falls back to e. */
#ifndef PLAN_PICKUP_H
#define PLAN_PICKUP_H

#include <stdint.h>

enum { PICKUP_AHEAD_MAX = 21, PICKUP_DAYS_MIN = 28 };

struct pickup_day {
    double expected, brought;
    double booked[PICKUP_AHEAD_MAX + 1]; /* l days before, or earlier */
};

/* By days ahead. */
struct pickup {
    double share[PICKUP_AHEAD_MAX + 1], slope[PICKUP_AHEAD_MAX + 1];
    double dispersion[PICKUP_AHEAD_MAX + 1];
    double plain_dispersion; /* of e alone */
};

/* Fewer than PICKUP_DAYS_MIN days teach no slope. */
void pickup_learn(const struct pickup_day *days, int count, struct pickup *out);
/* days_ahead >= 0; beyond PICKUP_AHEAD_MAX as expected. */
double pickup_expect(const struct pickup *p, int days_ahead, double expected, double booked);
/* What the spread of the plain expectation is to be multiplied with. */
double pickup_narrows(const struct pickup *p, int days_ahead);

#endif
