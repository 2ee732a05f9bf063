#include "calc/root.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>

#include "base/check.h"

enum { STEPS_MAX = 2000 };

/* Where to cut next, as a share of the way from b to a; half where interpolation is not safe. */
static double cut_share(double a, double fa, double b, double fb, double c, double fc)
{
    double xi = (a - b) / (c - b);
    double phi = (fa - fb) / (fc - fb);
    if (!(phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi)) {
        return 0.5;
    }
    return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
}

/* a: the newest point; b: on the other side of the zero; c: the point before. */
double root_between(root_function *f, const void *with, double low, double high)
{
    double a = high, b = low, c = low;
    double fa = f(a, with), fb = f(b, with), fc = fb;
    CHECK(isfinite(fa) && isfinite(fb) && (fa <= 0 || fb <= 0) && (fa >= 0 || fb >= 0));
    double share = 0.5;
    for (int step = 0; step < STEPS_MAX && fa != 0 && fb != 0; step++) {
        double x = a + share * (b - a);
        double fx = f(x, with);
        CHECK(isfinite(fx));
        bool same = (fx > 0) == (fa > 0);
        c = same ? a : b;
        fc = same ? fa : fb;
        b = same ? b : a;
        fb = same ? fb : fa;
        a = x;
        fa = fx;
        double best = fabs(fa) < fabs(fb) ? a : b;
        double least = (2 * DBL_EPSILON * fabs(best) + DBL_MIN) / fabs(b - a);
        if (least > 0.5) {
            break;
        }
        share = fmin(fmax(cut_share(a, fa, b, fb, c, fc), least), 1 - least);
    }
    return fabs(fa) < fabs(fb) ? a : b;
}
