#include "calc/microbe/plate_count.h"

#include <float.h>
#include <math.h>
#include <stdio.h>

#include "calc/constants.gen.h"
#include "calc/distribution.h"
#include "calc/range.h"
#include "calc/root.h"

#define TAIL 0.025
#define LEAST_LN (-1e300)

struct plates {
    const struct plate *over;
    size_t over_count;
    double colonies;
    double sample_ml;
    double least_ln;
};

/* Of a plate with too many: ln P(at least limit), and its change with ln of the mean. */
static double over_ln(double mean, int64_t limit, double *out_slope)
{
    double least = (double)limit;
    double ln_at = least * log(mean) - mean - ln_factorial(limit); /* of exactly limit */
    if (mean < least) {
        /* P over P(exactly limit), term by term: neither is ever zero. */
        double sum = 1, term = 1;
        for (double i = 1; term > DBL_EPSILON * sum; i++) {
            term *= mean / (least + i);
            sum += term;
        }
        *out_slope = least / sum;
        return ln_at + log(sum);
    }
    double chance = poisson_at_least(limit, mean);
    *out_slope = exp(ln_at) * least / chance;
    return log(chance);
}

/* Change of the log-likelihood with ln of the level. */
static double pull(double ln_per_ml, const void *with)
{
    const struct plates *p = with;
    double value = p->colonies - exp(ln_per_ml) * p->sample_ml;
    for (size_t i = 0; i < p->over_count; i++) {
        double slope;
        over_ln(exp(ln_per_ml) * p->over[i].sample_ml, p->over[i].colonies, &slope);
        value += slope;
    }
    return value;
}

static double above_least(double ln_per_ml, const void *with)
{
    const struct plates *p = with;
    double ln = p->colonies * ln_per_ml - exp(ln_per_ml) * p->sample_ml;
    for (size_t i = 0; i < p->over_count; i++) {
        double slope;
        ln += over_ln(exp(ln_per_ml) * p->over[i].sample_ml, p->over[i].colonies, &slope);
    }
    return fmax(ln - p->least_ln, LEAST_LN);
}

static double limit_find(const struct plates *p, double from, double direction)
{
    double step = 0.5 * direction;
    while (above_least(from + step, p) > 0) {
        step *= 2;
    }
    return exp(root_between(above_least, p, from, from + step));
}

static void likely_fill(struct plates *p, struct plate_count_report *out)
{
    /* Plates with too many pull upward from the plain count; without a colony counted, from where
     * each would still ask for more. A little below, so that the last digit decides nothing. */
    double least = 0.999 * (p->colonies > 0 ? p->colonies : 0.1) / p->sample_ml;
    for (size_t i = 0; i < p->over_count && p->colonies <= 0; i++) {
        least = fmin(least, (double)p->over[i].colonies / p->over[i].sample_ml / 2);
    }
    double low = log(least), high = low + 1;
    while (pull(high, p) > 0) {
        high += high - low;
    }
    double at = root_between(pull, p, low, high);
    double z = CONSTANT_NORMAL_QUANTILE_975;
    p->least_ln = above_least(at, p) - z * z / 2;
    out->per_ml = exp(at);
    out->low = limit_find(p, at, -1);
    out->high = limit_find(p, at, 1);
}

static void above_fill(struct plates *p, struct plate_count_report *out)
{
    out->state = PLATE_COUNT_ABOVE;
    for (size_t i = 0; i < p->over_count; i++) {
        out->bound = fmax(out->bound, (double)p->over[i].colonies / p->over[i].sample_ml);
    }
    p->least_ln = log(TAIL);
    double high = log(out->bound), low = high - 1;
    while (above_least(high, p) < 0) {
        high += 1;
    }
    while (above_least(low, p) > 0) {
        low -= high - low;
    }
    out->low = exp(root_between(above_least, p, low, high));
}

static void counted_fill(struct plates *p, struct plate_count_report *out)
{
    double c = p->colonies;
    double reach = CONSTANT_PLATE_COUNT_SHORT_Z * sqrt(c);
    out->per_ml = c / p->sample_ml;
    out->bound = c > 0 ? 0 : 1 / p->sample_ml;
    out->low = poisson_low(out->colonies, TAIL) / p->sample_ml;
    out->high = poisson_high(out->colonies, TAIL) / p->sample_ml;
    out->short_low = fmax(0, (c + CONSTANT_PLATE_COUNT_SHORT_SHIFT - reach) / p->sample_ml);
    out->short_high = (c + CONSTANT_PLATE_COUNT_SHORT_SHIFT + reach) / p->sample_ml;
}

static struct result plates_check(const char *name, const struct plate *plates, size_t count,
                                  int64_t least)
{
    for (size_t i = 0; i < count; i++) {
        char sample[40], colonies[40];
        snprintf(sample, sizeof sample, "%s[%zu][0]", name, i);
        snprintf(colonies, sizeof colonies, "%s[%zu][1]", name, i);
        TRY(range_number(sample, plates[i].sample_ml, 1e-12, 1000));
        TRY(range_check(colonies, plates[i].colonies, least, PLATE_COUNT_COLONIES_MAX));
    }
    return RESULT_OK;
}

static enum plate_count_state state_of(const struct plate *counted, size_t count, bool any)
{
    int64_t most = 0;
    for (size_t i = 0; i < count; i++) {
        most = counted[i].colonies > most ? counted[i].colonies : most;
    }
    if (most == 0 && !any) {
        return PLATE_COUNT_NONE;
    }
    if (most > (int64_t)CONSTANT_PLATE_COUNT_HIGH) {
        return PLATE_COUNT_HIGH;
    }
    return most < (int64_t)CONSTANT_PLATE_COUNT_LOW ? PLATE_COUNT_LOW : PLATE_COUNT_GOOD;
}

struct result plate_count(const struct plate *counted, size_t counted_count,
                          const struct plate *over, size_t over_count,
                          struct plate_count_report *out)
{
    *out = (struct plate_count_report){0};
    TRY(range_check("plates", (int64_t)(counted_count + over_count), 1, PLATE_COUNT_PLATES_MAX));
    TRY(plates_check("plates", counted, counted_count, 0));
    TRY(plates_check("too_many", over, over_count, 1));
    struct plates p = {.over = over, .over_count = over_count};
    for (size_t i = 0; i < counted_count; i++) {
        out->colonies += counted[i].colonies;
        p.sample_ml += counted[i].sample_ml;
    }
    p.colonies = (double)out->colonies;
    out->sample_ml = p.sample_ml;
    out->state = state_of(counted, counted_count, over_count > 0);
    if (counted_count == 0) {
        above_fill(&p, out);
    } else if (over_count > 0) {
        likely_fill(&p, out);
    } else {
        counted_fill(&p, out);
    }
    return RESULT_OK;
}

const char *plate_count_state_word(enum plate_count_state state)
{
    static const char *const words[] = {"counted", "below-range", "above-range", "none",
                                        "too-many"};
    return words[state];
}

struct result count_uncertainty(double per_ml, int64_t colonies, double sd_log10,
                                struct count_uncertainty *out)
{
    *out = (struct count_uncertainty){0};
    TRY(range_number("per_ml", per_ml, 1e-12, 1e18));
    TRY(range_check("colonies", colonies, 1, DISTRIBUTION_COUNT_MAX));
    TRY(range_number("sd_log10", sd_log10, 0, 5));
    out->log10_units =
        2 * sqrt(sd_log10 * sd_log10 + CONSTANT_PLATE_COUNT_POISSON_LOG10_2 / (double)colonies);
    double printed = round(out->log10_units * 100) / 100;
    out->low = per_ml * pow(10, -out->log10_units);
    out->high = per_ml * pow(10, out->log10_units);
    out->printed_low = per_ml * pow(10, -printed);
    out->printed_high = per_ml * pow(10, printed);
    return RESULT_OK;
}
