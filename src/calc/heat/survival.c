#include "calc/heat/survival.h"

#include <math.h>

#include "calc/heat/within.h"
#include "calc/sum.h"

enum { BISECTIONS = 400, PIECES_MAX = 4096 };

struct result survival_check(const struct survival *s)
{
    if (s->model == SURVIVAL_WEIBULL || s->model == SURVIVAL_PELEG) {
        TRY(within("shape", s->shape, 0.05, 20, "from 0.05 to 20"));
    }
    if (s->model == SURVIVAL_GEERAERD) {
        TRY(within("shoulder", s->shoulder, 0, 200, "from 0 to 200"));
    }
    if (s->model == SURVIVAL_BIPHASIC) {
        TRY(within("fraction", s->fraction, 0, 1, "from 0 to 1"));
    }
    if (s->has_tail) {
        TRY(within("log_initial", s->log_initial, -20, 20, "from -20 to 20 log10"));
        TRY(within("log_tail", s->log_tail, -30, s->log_initial, "from -30 to log_initial, log10"));
    }
    return RESULT_OK;
}

/* ln(1 + e^x) */
static double softplus(double x)
{
    return x > 0 ? x + log1p(exp(-x)) : log1p(exp(x));
}

/* log10(share 10^a + (1 - share) 10^b), without underflow */
static double log_mix(double share, double a, double b)
{
    double high = fmax(a, b);
    return high + log10(share * pow(10, a - high) + (1 - share) * pow(10, b - high));
}

static double without_tail(const struct survival *s, double dose, double dose2)
{
    switch (s->model) {
    case SURVIVAL_WEIBULL:
    case SURVIVAL_PELEG:
        return pow(dose, s->shape);
    case SURVIVAL_GEERAERD: {
        /* With c = kmax Sl, ln((1 + C e^-K)) = ln(1 + e^(c - K) - e^-K). */
        double k = M_LN10 * dose;
        double beyond = log1p(exp(-k) * expm1(fmin(s->shoulder, 700)));
        return fmax(0, (k - s->shoulder + beyond) / M_LN10);
    }
    case SURVIVAL_BIPHASIC:
        return s->fraction == 0 ? dose2 : fmax(0, -log_mix(s->fraction, -dose, -dose2));
    case SURVIVAL_LOG_LINEAR:
        break;
    }
    return dose;
}

double survival_reduction(const struct survival *s, double dose, double dose2)
{
    double reduction = without_tail(s, dose, dose2);
    if (!s->has_tail) {
        return reduction;
    }
    double tail_share = pow(10, s->log_tail - s->log_initial);
    return fmax(0, -log_mix(tail_share, 0, -reduction));
}

double survival_time_s(const struct survival *s, double rate, double rate2, double target)
{
    double low = 0, high = 1 / rate;
    if (target <= 0) {
        return 0;
    }
    if (s->has_tail && target >= s->log_initial - s->log_tail) {
        return INFINITY;
    }
    while (survival_reduction(s, high * rate, high * rate2) < target) {
        low = high;
        high *= 2;
        if (!(high < 1e300)) {
            return INFINITY;
        }
    }
    for (int i = 0; i < BISECTIONS && high - low > 1e-15 * high; i++) {
        double middle = (low + high) / 2;
        double got = survival_reduction(s, middle * rate, middle * rate2);
        *(got < target ? &low : &high) = middle;
    }
    return high;
}

double survival_peleg_b(double kb_per_c, double tc_c, double temp_c)
{
    return softplus(kb_per_c * (temp_c - tc_c));
}

double survival_peleg_dose(double kb_per_c, double tc_c, double n, double minutes, double from_c,
                           double to_c)
{
    /* Gauss-Legendre, five points: node and weight on -1 .. 1 (from memory, sum of weights 2). */
    static const double node[] = {0, 0.5384693101056831, 0.9061798459386640};
    static const double weight[] = {0.5688888888888889, 0.4786286704993665, 0.2369268850561891};
    /* In each piece the exponent moves by half at most. */
    double pieces = ceil(fmin(PIECES_MAX, fabs(to_c - from_c) * kb_per_c / fmin(n, 1) * 2));
    size_t count = pieces < 1 ? 1 : (size_t)pieces;
    double half = (to_c - from_c) / (double)count / 2;
    struct sum sum = {0};
    for (size_t i = 0; i < count; i++) {
        double middle_c = from_c + half * (2 * (double)i + 1);
        for (int j = -2; j <= 2; j++) {
            int k = j < 0 ? -j : j;
            double temp_c = middle_c + (j < 0 ? -1 : 1) * half * node[k];
            sum_add(&sum, weight[k] * pow(survival_peleg_b(kb_per_c, tc_c, temp_c), 1 / n));
        }
    }
    return sum_value(&sum) * minutes / (double)count / 2;
}
