#include "plan/pickup.h"

#include <math.h>

/* Of what was expected, however little is booked. common practice */
static const double EXPECTED_MIN = 0.5;

static double within(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}

static void learn_slope(const struct pickup_day *days, int count, int ahead, struct pickup *out)
{
    double booked = 0, brought = 0, products = 0, squares = 0;
    for (int i = 0; i < count; i++) {
        booked += days[i].booked[ahead];
        brought += days[i].brought;
    }
    out->share[ahead] = brought > 0 ? within(booked / brought, 0, 1) : 0;
    if (count < PICKUP_DAYS_MIN || out->share[ahead] <= 0) return;
    for (int i = 0; i < count; i++) {
        double e = days[i].expected;
        if (e <= 0) continue;
        double more = days[i].booked[ahead] - out->share[ahead] * e;
        products += more * (days[i].brought - e) / e;
        squares += more * more / e;
    }
    if (squares > 0) out->slope[ahead] = within(products / squares, 0, 1 / out->share[ahead]);
}

void pickup_learn(const struct pickup_day *days, int count, struct pickup *out)
{
    *out = (struct pickup){0};
    double plain = 0, all = 0;
    for (int i = 0; i < count; i++) {
        plain += pow(days[i].brought - days[i].expected, 2);
        all += days[i].expected;
    }
    out->plain_dispersion = all > 0 ? plain / all : 0;
    for (int l = 0; l <= PICKUP_AHEAD_MAX; l++) {
        learn_slope(days, count, l, out);
        double squares = 0, sum = 0;
        for (int i = 0; i < count; i++) {
            double e = days[i].expected;
            squares += pow(days[i].brought - pickup_expect(out, l, e, days[i].booked[l]), 2);
            sum += e;
        }
        out->dispersion[l] = sum > 0 ? squares / sum : 0;
    }
}

double pickup_expect(const struct pickup *p, int days_ahead, double expected, double booked)
{
    if (days_ahead > PICKUP_AHEAD_MAX) return fmax(expected, booked);
    double share = p->share[days_ahead], slope = p->slope[days_ahead];
    double now = expected + slope * (booked - share * expected);
    return fmax(fmax(booked, now), EXPECTED_MIN * expected);
}

double pickup_narrows(const struct pickup *p, int days_ahead)
{
    int l = days_ahead > PICKUP_AHEAD_MAX ? PICKUP_AHEAD_MAX : days_ahead;
    return p->plain_dispersion > 0 ? sqrt(p->dispersion[l] / p->plain_dispersion) : 1;
}
