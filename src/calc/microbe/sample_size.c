#include "calc/microbe/sample_size.h"

#include <math.h>

#include "calc/distribution.h"
#include "calc/range.h"
#include "calc/whole.h"

/* A chance as large as the one asked for is good, but for the last digits. */
#define ALIKE (1 + 1e-9)

static struct result shares_check(const struct sample_size *s)
{
    TRY(range_number("prevalence", s->prevalence, 1e-9, 1));
    TRY(range_number("sensitivity", s->sensitivity, 1e-6, 1));
    return s->lot_size == 0 ? RESULT_OK : range_check("lot_size", s->lot_size, 1, SAMPLE_LOT_MAX);
}

static int64_t lot_positives(const struct sample_size *s)
{
    int64_t positives = whole_down(s->prevalence * (double)s->lot_size);
    return positives < 1 ? 1 : positives;
}

static double lot_missed(const struct sample_size *s, int64_t positives, int64_t samples)
{
    if (s->sensitivity >= 1) {
        return hypergeometric_at_most(0, samples, positives, s->lot_size);
    }
    /* Term by term, each from the one before. */
    int64_t least = samples + positives - s->lot_size;
    least = least > 0 ? least : 0;
    int64_t most = samples < positives ? samples : positives;
    double ln_drawn = ln_choose(positives, least) +
                      ln_choose(s->lot_size - positives, samples - least) -
                      ln_choose(s->lot_size, samples);
    double ln_overlooked = log1p(-s->sensitivity);
    double missed = 0;
    for (int64_t i = least; i <= most; i++) {
        missed += exp(ln_drawn + (double)i * ln_overlooked);
        if (i < most) {
            ln_drawn += log((double)(positives - i) / (double)(i + 1) * (double)(samples - i) /
                            (double)(s->lot_size - positives - samples + i + 1));
        }
    }
    return missed;
}

static double large_missed(const struct sample_size *s, int64_t samples)
{
    return exp((double)samples * log1p(-s->prevalence * s->sensitivity));
}

static void lot_fill(const struct sample_size *s, struct sample_size_report *out)
{
    double most = (1 - s->confidence) * ALIKE;
    out->positives = lot_positives(s);
    out->missed = lot_missed(s, out->positives, s->lot_size);
    out->reached = out->missed <= most;
    double d = (double)out->positives;
    out->samples_near = -expm1(log1p(-s->confidence) / d) * ((double)s->lot_size - (d - 1) / 2);
    int64_t low = 0, high = s->lot_size;
    while (out->reached && high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        bool enough = lot_missed(s, out->positives, middle) <= most;
        high = enough ? middle : high;
        low = enough ? low : middle;
    }
    out->samples = out->reached ? high : 0;
    out->missed = lot_missed(s, out->positives, high);
}

struct result sample_size(const struct sample_size *s, struct sample_size_report *out)
{
    *out = (struct sample_size_report){0};
    TRY(shares_check(s));
    TRY(range_number("confidence", s->confidence, 0.5, 0.9999));
    if (s->lot_size > 0) {
        lot_fill(s, out);
        return RESULT_OK;
    }
    double wanted = log1p(-s->confidence) / log1p(-s->prevalence * s->sensitivity);
    if (wanted > (double)SAMPLE_COUNT_MAX) {
        return FAIL1(CALC_OVERFLOW, "prevalence", "more samples than can be taken");
    }
    out->reached = true;
    out->samples = whole_up(wanted);
    out->samples = out->samples < 1 ? 1 : out->samples;
    out->missed = large_missed(s, out->samples);
    return RESULT_OK;
}

struct result sample_missed(const struct sample_size *s, int64_t samples, double *out_missed)
{
    *out_missed = 1;
    TRY(shares_check(s));
    TRY(range_check("samples", samples, 1, s->lot_size > 0 ? s->lot_size : SAMPLE_COUNT_MAX));
    *out_missed =
        s->lot_size > 0 ? lot_missed(s, lot_positives(s), samples) : large_missed(s, samples);
    return RESULT_OK;
}

struct result zero_positives(int64_t samples, double confidence, double sensitivity,
                             double *out_prevalence)
{
    *out_prevalence = 1;
    TRY(range_check("samples", samples, 1, SAMPLE_COUNT_MAX));
    TRY(range_number("confidence", confidence, 0.5, 0.9999));
    TRY(range_number("sensitivity", sensitivity, 1e-6, 1));
    *out_prevalence = fmin(1, -expm1(log1p(-confidence) / (double)samples) / sensitivity);
    return RESULT_OK;
}
