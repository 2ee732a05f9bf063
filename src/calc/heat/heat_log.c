#include "calc/heat/heat_log.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/check.h"
#include "calc/constants.gen.h"

static struct result out_of_range(const char *field, double value, const char *range)
{
    char text[40];
    snprintf(text, sizeof text, "%.6g", value);
    return FAIL2(FIELD_RANGE, field, text, range);
}

static struct result probes_check(size_t probes)
{
    if (probes < 1 || probes > HEAT_PROBES_MAX) {
        return out_of_range("probes", (double)probes, "from 1 to 16");
    }
    return RESULT_OK;
}

static struct result uncertainty_check(size_t probe, double uncertainty_c)
{
    char field[64];
    snprintf(field, sizeof field, "uncertainty[%zu]", probe);
    if (!isfinite(uncertainty_c)) {
        return FAIL0(NUMBER_BAD, field);
    }
    if (uncertainty_c < 0 || uncertainty_c > HEAT_UNCERTAINTY_MAX_C) {
        return out_of_range(field, uncertainty_c, "from 0 to 20 C");
    }
    return RESULT_OK;
}

static struct result time_check(const int64_t *time_ms, size_t point, bool same_readings)
{
    char field[64], text[24];
    snprintf(field, sizeof field, "points[%zu][0]", point);
    int64_t now_ms = time_ms[point];
    snprintf(text, sizeof text, "%lld", (long long)now_ms);
    if (now_ms < -HEAT_TIME_MAX_MS || now_ms > HEAT_TIME_MAX_MS) {
        return FAIL2(FIELD_RANGE, field, text, "a time in milliseconds that a calendar knows");
    }
    if (point == 0 || now_ms > time_ms[point - 1]) {
        return RESULT_OK;
    }
    if (now_ms < time_ms[point - 1]) {
        return FAIL0(LOG_BACKWARDS, field);
    }
    return same_readings ? RESULT_OK : FAIL0(LOG_TWICE, field);
}

/* Kept apart from the loop below, which runs for every reading. */
static struct result reading_refused(size_t point, size_t probe, double temp_c)
{
    char field[64];
    snprintf(field, sizeof field, "points[%zu][%zu]", point, probe + 1);
    if (!isfinite(temp_c)) {
        return FAIL0(NUMBER_BAD, field);
    }
    return out_of_range(field, temp_c, "from -60 to 300 C");
}

struct result heat_log_check(const struct heat_log *log)
{
    TRY(probes_check(log->probes));
    for (size_t k = 0; k < log->probes; k++) {
        TRY(uncertainty_check(k, log->uncertainty_c[k]));
    }
    for (size_t i = 0; i < log->points; i++) {
        const double *row = log->temp_c + i * log->probes;
        bool same = i > 0;
        for (size_t k = 0; k < log->probes; k++) {
            if (!(row[k] >= HEAT_TEMP_LOW_C && row[k] <= HEAT_TEMP_HIGH_C)) {
                return reading_refused(i, k, row[k]);
            }
            same = same && row[k] == (row - log->probes)[k];
        }
        if (i == 0 || log->time_ms[i] <= log->time_ms[i - 1] ||
            log->time_ms[i] > HEAT_TIME_MAX_MS) {
            TRY(time_check(log->time_ms, i, same));
        }
    }
    return RESULT_OK;
}

struct result heat_log_mc_check(const struct heat_log_mc *log)
{
    TRY(probes_check(log->probes));
    for (size_t k = 0; k < log->probes; k++) {
        TRY(uncertainty_check(k, log->uncertainty_mc[k] / 1000.0));
    }
    for (size_t i = 0; i < log->points; i++) {
        const int32_t *row = log->temp_mc + i * log->probes;
        bool same = i > 0;
        for (size_t k = 0; k < log->probes; k++) {
            double temp_c = row[k] / 1000.0;
            if (temp_c < HEAT_TEMP_LOW_C || temp_c > HEAT_TEMP_HIGH_C) {
                return reading_refused(i, k, temp_c);
            }
            same = same && row[k] == (row - log->probes)[k];
        }
        TRY(time_check(log->time_ms, i, same));
    }
    return RESULT_OK;
}

struct heat_log heat_log_from_mc(struct arena *a, const struct heat_log_mc *log)
{
    CHECK(log->probes <= HEAT_PROBES_MAX);
    struct heat_log out = {.points = log->points, .probes = log->probes, .time_ms = log->time_ms};
    size_t count = log->points * log->probes;
    double *temp_c = ARENA_ARRAY(a, double, count);
    for (size_t i = 0; i < count; i++) {
        temp_c[i] = log->temp_mc[i] / 1000.0;
    }
    for (size_t k = 0; k < log->probes; k++) {
        out.uncertainty_c[k] = log->uncertainty_mc[k] / 1000.0;
    }
    out.temp_c = temp_c;
    return out;
}

static int interval_order(const void *x, const void *y)
{
    int64_t p = *(const int64_t *)x;
    int64_t q = *(const int64_t *)y;
    return (p > q) - (p < q);
}

int64_t heat_log_usual_ms(struct arena *a, const int64_t *time_ms, size_t points)
{
    if (points < 2) {
        return 0;
    }
    int64_t *interval_ms = ARENA_ARRAY(a, int64_t, points - 1);
    size_t count = 0;
    for (size_t i = 1; i < points; i++) {
        if (time_ms[i] != time_ms[i - 1]) {
            interval_ms[count++] = time_ms[i] - time_ms[i - 1];
        }
    }
    if (count == 0) {
        return 0;
    }
    qsort(interval_ms, count, sizeof *interval_ms, interval_order);
    return interval_ms[(count - 1) / 2];
}

int64_t heat_log_gap_max_ms(int64_t usual_ms)
{
    return (int64_t)((double)usual_ms * CONSTANT_HEAT_GAP_INTERVALS);
}
