#include "calc/heat/tolerance.h"

#include <math.h>

#include "base/check.h"
#include "calc/distribution.h"

enum { BISECTIONS = 200, PANELS = 2000 };

/* P(T' <= t) of the noncentral t: the mean of Phi(t w - delta) over w = sqrt(chi2 / df), by
 * Simpson's rule over all w that matter. */
static double noncentral_cdf(double t, size_t df, double delta)
{
    double v = (double)df;
    double scale = M_LN2 + v / 2 * log(v / 2) - lgamma(v / 2);
    double width = 14 / sqrt(2 * v);
    double from = fmax(0, 1 - width);
    double step = (1 + width - from) / PANELS;
    double sum = 0;
    for (int i = 0; i <= PANELS; i++) {
        double w = from + step * i;
        double density = w > 0     ? exp(scale + (v - 1) * log(w) - v * w * w / 2)
                         : df == 1 ? exp(scale)
                                   : 0;
        double weight = i == 0 || i == PANELS ? 1 : i % 2 == 1 ? 4 : 2;
        sum += weight * density * normal_below(t * w - delta);
    }
    return sum * step / 3;
}

double tolerance_factor(size_t n, double p, double confidence)
{
    CHECK(n >= 2 && confidence >= 0.5 && confidence < 1);
    double root = sqrt((double)n);
    double delta = normal_quantile(p) * root;
    double low = 0, high = 1;
    while (noncentral_cdf(high * root, n - 1, delta) < confidence) {
        low = high;
        high *= 2;
    }
    for (int i = 0; i < BISECTIONS && high - low > 1e-12 * high; i++) {
        double middle = (low + high) / 2;
        *(noncentral_cdf(middle * root, n - 1, delta) < confidence ? &low : &high) = middle;
    }
    return (low + high) / 2;
}
