#include "calc/heat/rows_log.h"

#include <math.h>
#include <stdio.h>

enum { MS_PER_S = 1000 };

#define TIME_MAX_S 4e12

static struct result uncertainty_read(const json_t *in, struct arena *a, struct heat_log *out)
{
    size_t count = 0;
    const double *uncertainty_c = calc_numbers(in, "uncertainty_c", a, &count);
    if (count != 1 && count != out->probes) {
        char text[40], range[60];
        snprintf(text, sizeof text, "a list of %zu", count);
        snprintf(range, sizeof range, "one number, or one for each of %zu probes", out->probes);
        return FAIL2(FIELD_RANGE, "uncertainty_c", text, range);
    }
    for (size_t k = 0; k < out->probes; k++) {
        out->uncertainty_c[k] = uncertainty_c[count == 1 ? 0 : k];
    }
    return RESULT_OK;
}

struct result heat_rows_log_read(const json_t *in, struct arena *a, struct heat_log *out)
{
    size_t count = 0;
    const double *values = calc_numbers(in, "points", a, &count);
    size_t columns = calc_row_length(in, "points");
    *out = (struct heat_log){.probes = columns > 1 ? columns - 1 : 1};
    if (out->probes > HEAT_PROBES_MAX) {
        char text[40];
        snprintf(text, sizeof text, "a log of %zu probes", out->probes);
        return FAIL2(FIELD_RANGE, "points", text, "a log of 1 to 16 probes");
    }
    out->points = columns > 0 ? count / columns : 0;
    int64_t *time_ms = ARENA_ARRAY(a, int64_t, out->points);
    double *temp_c = ARENA_ARRAY(a, double, out->points * out->probes);
    for (size_t i = 0; i < out->points; i++) {
        double time_s = values[i * columns];
        if (fabs(time_s) > TIME_MAX_S) {
            char field[40], text[40];
            snprintf(field, sizeof field, "points[%zu][0]", i);
            snprintf(text, sizeof text, "%.10g", time_s);
            return FAIL2(FIELD_RANGE, field, text, "a time in seconds that a calendar knows");
        }
        time_ms[i] = calc_scaled_near(time_s, MS_PER_S);
        for (size_t k = 0; k < out->probes; k++) {
            temp_c[i * out->probes + k] = values[i * columns + 1 + k];
        }
    }
    out->time_ms = time_ms;
    out->temp_c = temp_c;
    if (calc_has(in, "uncertainty_c")) {
        TRY(uncertainty_read(in, a, out));
    }
    return heat_log_check(out);
}

int64_t heat_rows_log_gap_ms(const json_t *in, struct arena *a, const struct heat_log *log)
{
    if (calc_has(in, "gap_max_s")) {
        return calc_scaled_near(calc_number(in, "gap_max_s"), MS_PER_S);
    }
    int64_t usual_ms = calc_has(in, "interval_s")
                           ? calc_scaled_near(calc_number(in, "interval_s"), MS_PER_S)
                           : heat_log_usual_ms(a, log->time_ms, log->points);
    int64_t gap_ms = heat_log_gap_max_ms(usual_ms);
    return gap_ms > 0 ? gap_ms : 1;
}
