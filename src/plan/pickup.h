/* What the orders booked so far say of a day that is still ahead: learnt from past days, of which
 * it is known how much had been booked how many days before.
 *
 * Of past days that were expected to bring e pieces and brought x, with b of them booked l days
 * before, share_l = sum b / sum x, and
 *
 *   more          = b - share_l * e
 *   around        = the same of the days up to PICKUP_AROUND_DAYS before and after it, as known on
 *                   the same day, their sum as part of the sum of share * e; a day that is over
 *                   with all it brought and a share of 1
 *   expected now  = e + slope_l * more + lean_l * around * e
 *
 * never below b nor below half of e (a file of orders that did not come must not empty the house:
 * common practice). slope_l and lean_l by least squares together, each day weighted with 1 / e:
 * slope_l from 0 (bookings say nothing) to 1 / share_l (bookings say all), lean_l from 0 to 1;
 * dispersion_l = sum of squared misses of that / sum of e. It joins the additive and the
 * multiplicative pickup of booking curves (Weatherford, Kimes 2003, A comparison of forecasting
 * methods for hotel revenue management - from memory); that neighbouring days share what is unusual
 * is learnt from the past alone. Where nothing was booked ahead, all of it falls back to e. */
#ifndef PLAN_PICKUP_H
#define PLAN_PICKUP_H

#include <stdint.h>

enum {
    PICKUP_AHEAD_MAX = 21,
    PICKUP_DAYS_MIN = 28,
    PICKUP_AROUND_DAYS = 3, /* half a week each way. common practice */
    PICKUP_AROUND_MIN = 56  /* past days that teach a lean. common practice */
};

struct pickup_day {
    double expected, brought;            /* expected 0: nothing is known of it */
    double booked[PICKUP_AHEAD_MAX + 1]; /* l days before, or earlier */
};

/* Days in a row of one product. */
struct pickup_series {
    const struct pickup_day *days;
    int count;
};

/* By days ahead. */
struct pickup {
    double share[PICKUP_AHEAD_MAX + 1], slope[PICKUP_AHEAD_MAX + 1], lean[PICKUP_AHEAD_MAX + 1];
    double dispersion[PICKUP_AHEAD_MAX + 1];
    double plain_dispersion; /* of e alone */
};

/* Fewer than PICKUP_DAYS_MIN days teach no slope. */
void pickup_learn(const struct pickup_series *series, int count, struct pickup *out);
/* Of the series' day `at`, as seen days_ahead >= 0 days before it; beyond PICKUP_AHEAD_MAX as
 * expected. Of each day only booked[] of that moment is looked at, and of what is over then
 * booked[0]. */
double pickup_expect(const struct pickup *p, const struct pickup_series *series, int at,
                     int days_ahead);
/* What the spread of the plain expectation is to be multiplied with. */
double pickup_narrows(const struct pickup *p, int days_ahead);

#endif
