#include "plan/pickup.h"

#include <math.h>

/* Of what was expected, however little is booked. common practice */
static const double EXPECTED_MIN = 0.5;
/* A lean within so many of its standard errors of 0 is none; nor is there one where the days around
 * say what the day itself does but for so small a part. common practice */
static const double LEAN_ERRORS = 2, INDEPENDENT_MIN = 1e-6;

static double within(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}

/* Sums over past days, each weighted with 1 / e. own: more; near: around * e; miss: brought - e. */
struct sums {
    double own_own, own_near, near_near, own_miss, near_miss, miss_miss;
    int days;
};

static double around(const struct pickup *p, const struct pickup_series *s, int at, int ahead)
{
    double more = 0, usual = 0;
    for (int i = at - PICKUP_AROUND_DAYS; i <= at + PICKUP_AROUND_DAYS; i++) {
        int l = ahead + i - at;
        if (i == at || i < 0 || i >= s->count || l > PICKUP_AHEAD_MAX) continue;
        const struct pickup_day *d = &s->days[i];
        if (d->expected <= 0) continue;
        double share = l <= 0 ? 1 : p->share[l];
        more += d->booked[l <= 0 ? 0 : l] - share * d->expected;
        usual += share * d->expected;
    }
    return usual > 0 ? more / usual : 0;
}

static void add_day(const struct pickup *p, const struct pickup_series *s, int at, int ahead,
                    struct sums *to)
{
    const struct pickup_day *d = &s->days[at];
    double e = d->expected;
    if (e <= 0) return;
    double own = d->booked[ahead] - p->share[ahead] * e, near = around(p, s, at, ahead) * e;
    to->own_own += own * own / e;
    to->own_near += own * near / e;
    to->near_near += near * near / e;
    to->own_miss += own * (d->brought - e) / e;
    to->near_miss += near * (d->brought - e) / e;
    to->miss_miss += (d->brought - e) * (d->brought - e) / e;
    to->days++;
}

/* Of the days around, beside what the day's own bookings say; 0 where it may be chance. */
static double learn_lean(const struct sums *x)
{
    if (x->days < PICKUP_AROUND_MIN || x->near_near <= 0) return 0;
    double slope = 0, kept = 1;
    if (x->own_own > 0) {
        kept = 1 - x->own_near * x->own_near / (x->own_own * x->near_near);
        if (kept < INDEPENDENT_MIN) return 0;
        slope = x->own_miss / x->own_own;
    }
    double lean = (x->near_miss - slope * x->own_near) / (kept * x->near_near);
    double left = x->miss_miss - slope * x->own_miss - lean * lean * kept * x->near_near;
    double error = sqrt(fmax(0, left) / (x->days - 2) / (kept * x->near_near));
    return lean > LEAN_ERRORS * error ? fmin(1, lean) : 0;
}

static void learn_slopes(const struct sums *x, int ahead, struct pickup *out)
{
    double share = out->share[ahead], lean = learn_lean(x);
    out->lean[ahead] = lean;
    if (share > 0 && x->own_own > 0)
        out->slope[ahead] = within((x->own_miss - lean * x->own_near) / x->own_own, 0, 1 / share);
}

static void learn_ahead(const struct pickup_series *series, int count, int ahead,
                        struct pickup *out)
{
    struct sums sums = {0};
    for (int i = 0; i < count; i++)
        for (int d = 0; d < series[i].count; d++)
            add_day(out, &series[i], d, ahead, &sums);
    if (sums.days >= PICKUP_DAYS_MIN) learn_slopes(&sums, ahead, out);
    double squares = 0, sum = 0;
    for (int i = 0; i < count; i++)
        for (int d = 0; d < series[i].count; d++) {
            const struct pickup_day *x = &series[i].days[d];
            if (x->expected <= 0) continue;
            squares += pow(x->brought - pickup_expect(out, &series[i], d, ahead), 2);
            sum += x->expected;
        }
    out->dispersion[ahead] = sum > 0 ? squares / sum : 0;
}

void pickup_learn(const struct pickup_series *series, int count, struct pickup *out)
{
    *out = (struct pickup){0};
    double plain = 0, all = 0, brought = 0, booked[PICKUP_AHEAD_MAX + 1] = {0};
    for (int i = 0; i < count; i++)
        for (int d = 0; d < series[i].count; d++) {
            const struct pickup_day *x = &series[i].days[d];
            if (x->expected <= 0) continue;
            plain += pow(x->brought - x->expected, 2);
            all += x->expected;
            brought += x->brought;
            for (int l = 0; l <= PICKUP_AHEAD_MAX; l++)
                booked[l] += x->booked[l];
        }
    out->plain_dispersion = all > 0 ? plain / all : 0;
    for (int l = 0; l <= PICKUP_AHEAD_MAX; l++)
        out->share[l] = brought > 0 ? within(booked[l] / brought, 0, 1) : 0;
    for (int l = 0; l <= PICKUP_AHEAD_MAX; l++)
        learn_ahead(series, count, l, out);
}

double pickup_expect(const struct pickup *p, const struct pickup_series *series, int at,
                     int days_ahead)
{
    const struct pickup_day *d = &series->days[at];
    double e = d->expected;
    if (days_ahead > PICKUP_AHEAD_MAX) return fmax(e, d->booked[PICKUP_AHEAD_MAX]);
    double booked = d->booked[days_ahead], more = booked - p->share[days_ahead] * e, near = 0;
    if (p->lean[days_ahead] > 0) near = around(p, series, at, days_ahead) * e;
    double now = e + p->slope[days_ahead] * more + p->lean[days_ahead] * near;
    return fmax(fmax(booked, now), EXPECTED_MIN * e);
}

double pickup_narrows(const struct pickup *p, int days_ahead)
{
    int l = days_ahead > PICKUP_AHEAD_MAX ? PICKUP_AHEAD_MAX : days_ahead;
    return p->plain_dispersion > 0 ? sqrt(p->dispersion[l] / p->plain_dispersion) : 1;
}
