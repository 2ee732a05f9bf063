#include "calc/microbe/detection.h"

#include <math.h>

#include "calc/range.h"

#define G_PER_KG 1000.0

/* 1 - (1 - p)^n without losing a small p. */
static double any_of(double p, double n)
{
    return -expm1(n * log1p(-p));
}

static struct result detection_check(const struct detection *d)
{
    TRY(range_number("cells_per_kg", d->cells_per_kg, 0, 1e15));
    TRY(range_number("portion_g", d->portion_g, 1e-6, 1e9));
    TRY(range_number("share", d->share, 1e-9, 1));
    TRY(range_number("sensitivity", d->sensitivity, 1e-6, 1));
    TRY(range_check("pooled", d->pooled, 1, 1000000));
    TRY(range_check("tests", d->tests, 1, 1000000));
    return range_number("confidence", d->confidence, 0.5, 0.9999);
}

struct result detection(const struct detection *d, struct detection_report *out)
{
    *out = (struct detection_report){0};
    TRY(detection_check(d));
    double pooled = (double)d->pooled, tests = (double)d->tests;
    double sub_kg = d->portion_g / G_PER_KG / pooled;
    double sub = d->share * -expm1(-d->cells_per_kg * sub_kg);
    out->chance_one = d->sensitivity * any_of(sub, pooled);
    out->chance = any_of(out->chance_one, tests);
    /* The same backwards. */
    double of_one = any_of(d->confidence, 1 / tests) / d->sensitivity;
    double of_sub = of_one < 1 ? any_of(of_one, 1 / pooled) / d->share : 1;
    out->reachable = of_sub < 1;
    out->found_per_kg = out->reachable ? -log1p(-of_sub) / sub_kg : 0;
    return RESULT_OK;
}
