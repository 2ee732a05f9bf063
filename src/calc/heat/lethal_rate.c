#include "calc/heat/lethal_rate.h"

#include <math.h>
#include <stdio.h>

#include "calc/heat/heat_log.h"

#define Z_MAX_C 1e12

/* Below this the quotient of two small numbers would lose digits and a short series loses none. */
#define SERIES_LIMIT 0.03

static struct result refused(const char *field, double value, const char *range)
{
    char text[40];
    if (isnan(value)) {
        return FAIL0(NUMBER_BAD, field);
    }
    snprintf(text, sizeof text, "%.6g", value);
    return FAIL2(FIELD_RANGE, field, text, range);
}

struct result lethal_scale_make(double reference_c, double z_c, double floor_c, double cap_c,
                                struct lethal_scale *out)
{
    if (!(reference_c >= HEAT_TEMP_LOW_C && reference_c <= HEAT_TEMP_HIGH_C)) {
        return refused("reference_c", reference_c, "from -60 to 300 C");
    }
    if (!(z_c > 0 && z_c <= Z_MAX_C)) {
        return refused("z_c", z_c, "above 0 C");
    }
    if (isnan(floor_c)) {
        return FAIL0(NUMBER_BAD, "floor_c");
    }
    if (isnan(cap_c)) {
        return FAIL0(NUMBER_BAD, "cap_c");
    }
    *out = (struct lethal_scale){.reference_c = reference_c,
                                 .z_c = z_c,
                                 .per_c = M_LN10 / z_c,
                                 .floor_c = floor_c,
                                 .cap_c = cap_c};
    out->cap_rate = isinf(cap_c) ? INFINITY : lethal_rate(out, cap_c);
    return RESULT_OK;
}

double lethal_rate(const struct lethal_scale *scale, double temp_c)
{
    return exp((temp_c - scale->reference_c) * scale->per_c);
}

double lethal_linear_s(const struct lethal_scale *scale, double dt_s, double from_c,
                       double from_rate, double to_c, double to_rate)
{
    double u = (to_c - from_c) * scale->per_c;
    if (fabs(u) >= SERIES_LIMIT) {
        return dt_s * (to_rate - from_rate) / u;
    }
    /* (e^u - 1)/u to the seventh power of u; multiplied, since divisions would take most of the
     * time of a long log. */
    double series =
        1 +
        u * (1.0 / 2 +
             u * (1.0 / 6 + u * (1.0 / 24 + u * (1.0 / 120 + u * (1.0 / 720 + u * (1.0 / 5040))))));
    return dt_s * from_rate * series;
}

double lethal_piece_s(const struct lethal_scale *scale, double dt_s, double from_c, double to_c)
{
    /* The integral of a straight piece is the same run backwards. */
    double low_c = fmin(from_c, to_c);
    double high_c = fmax(from_c, to_c);
    if (high_c < scale->floor_c) {
        return 0;
    }
    if (low_c == high_c) {
        return dt_s * lethal_rate(scale, fmin(low_c, scale->cap_c));
    }
    double s_per_c = dt_s / (high_c - low_c);
    double start_c = fmax(low_c, scale->floor_c);
    double stop_c = fmin(high_c, scale->cap_c);
    double f_s = 0;
    if (stop_c > start_c) {
        f_s = lethal_linear_s(scale, s_per_c * (stop_c - start_c), start_c,
                              lethal_rate(scale, start_c), stop_c, lethal_rate(scale, stop_c));
    }
    if (high_c > scale->cap_c) {
        f_s += s_per_c * (high_c - fmax(scale->cap_c, start_c)) * scale->cap_rate;
    }
    return f_s;
}

double lethal_credit_s(const struct lethal_scale *scale, double dt_s, double from_c,
                       double from_rate, double to_c, double to_rate)
{
    if (lethal_uncut(scale, from_c, to_c)) {
        return lethal_linear_s(scale, dt_s, from_c, from_rate, to_c, to_rate);
    }
    return lethal_piece_s(scale, dt_s, from_c, to_c);
}
