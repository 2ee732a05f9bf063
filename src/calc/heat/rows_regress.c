#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/censored_fit.h"
#include "calc/heat/reduction_count.h"
#include "calc/heat/resistance.h"
#include "calc/heat/resistance_fit.h"
#include "calc/heat/rows.h"

static const struct calc_source line_sources[] = {
    {"Least squares with Student's t; D and z by inverting the interval of the slope",
     "computed here"},
};

static const char *const no_constants[] = {NULL};

static void line_put(const struct line_fit *line, struct calc_answer *out)
{
    calc_put_number(out, "slope", line->slope);
    calc_put_number(out, "intercept", line->intercept);
    calc_put_integer(out, "points_used", (int64_t)line->n);
    if (line->n > 2) {
        calc_put_number(out, "s", line->s);
        calc_put_number(out, "se_slope", line->se_slope);
        calc_put_number(out, "t", line->t_two);
    } else {
        calc_caution(out, "Two points leave no doubt to be seen: there is no interval.");
    }
    if (line->n == 3) {
        calc_caution(out, "With three points the interval is usually too wide to be of use.");
    }
}

#define LINE_OUTPUTS                                                                              \
    CALC_OUT("slope", "1", "Slope of the line."), CALC_OUT("intercept", "1", "Its height at 0."), \
        CALC_OUT("s", "log10", "Standard deviation about it."),                                   \
        CALC_OUT("se_slope", "1", "Standard error of the slope."),                                \
        CALC_OUT("t", "1", "Student's t behind the interval, 95 %."),                             \
        CALC_OUT("points_used", "1", "Points in the fit.")

/* D from survivors */

static const struct calc_field d_in[] = {
    CALC_NEED_TABLE("points", "s, log10", "Time and log10 of the count, for each sample.", 2,
                    10000),
    CALC_MAY_LIST("none_detected_s", "s", "Times of samples in which none were detected.", 0, 1e12,
                  1, 10000, NULL),
    CALC_MAY_NUMBER("time_s", "s", "For the reduction after this time.", 0, 1e12, NULL),
};

static const struct calc_output d_out[] = {
    CALC_OUT("d_s", "s", "Time for one decimal reduction."),
    CALC_OUT("d_low_s", "s", "Lower end of its 95 % interval."),
    CALC_OUT_UP("d_high_s", "s", "Upper end of it: what a decision may use.", 0.01),
    CALC_OUT("reduction", "log10", "Reduction after the time, by the line."),
    CALC_OUT_DOWN("reduction_low", "log10", "Its one-sided 95 % lower bound.", 0.1),
    CALC_OUT("half_width", "log10", "Half-width of the line's 95 % interval at that time."),
    CALC_OUT("left_out", "1", "Points at or after the first sample with none detected."),
    LINE_OUTPUTS,
};

static const char *const d_cautions[] = {
    "A straight line may not be what the survivors do: look for a shoulder or a tail first.",
    "D holds for this strain, food, pH and water activity only.",
    "Nothing beyond the last time measured is supported by it.", NULL};

static struct result d_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double *time_s, *log_count;
    size_t n, nones = 0;
    double first_none_s = INFINITY;
    struct resistance_fit fit;
    TRY(calc_pairs(in, "points", a, &time_s, &log_count, &n));
    if (calc_has(in, "none_detected_s")) {
        const double *none_s = calc_numbers(in, "none_detected_s", a, &nones);
        for (size_t i = 0; i < nones; i++) {
            first_none_s = fmin(first_none_s, none_s[i]);
        }
    }
    TRY(resistance_fit_d(a, time_s, log_count, n, first_none_s, &fit));
    calc_put_number(out, "d_s", fit.value);
    calc_put_number(out, "d_low_s", fit.low);
    calc_put_end(out, "d_high_s", fit.high);
    calc_put_integer(out, "left_out", (int64_t)fit.left_out);
    line_put(&fit.line, out);
    if (nones > 0) {
        calc_caution(out, "Samples with none detected are not in the fit, nor is any later one.");
    }
    if (calc_has(in, "time_s")) {
        double at_s = calc_number(in, "time_s");
        double last_s = 0;
        for (size_t i = 0; i < n; i++) {
            last_s = time_s[i] < first_none_s ? fmax(last_s, time_s[i]) : last_s;
        }
        calc_put_number(out, "reduction", -fit.line.slope * at_s);
        calc_put_number(out, "reduction_low", resistance_reduction_low(&fit, at_s));
        if (fit.line.n > 2) {
            calc_put_number(out, "half_width", line_half_width(&fit.line, at_s, fit.line.t_two));
        }
        if (at_s > last_s) {
            calc_caution(out, "The time lies beyond the last sample: no kill has been seen there.");
        }
    }
    return RESULT_OK;
}

/* D with counts below the detection limit */

static const struct calc_field censored_in[] = {
    CALC_NEED_TABLE("points", "s, log10", "Time and log10 of the count, for each sample with one.",
                    3, 10000),
    CALC_NEED_TABLE("below", "s, log10",
                    "Time and log10 of the detection limit, for each sample below it.", 1, 10000),
};

static const struct calc_output censored_out[] = {
    CALC_OUT_UP("d_s", "s", "Time for one decimal.", 0.01),
    CALC_OUT("d_low_s", "s", "Lower end of its 95 % interval."),
    CALC_OUT("d_high_s", "s", "Upper end of it, or \"not determined\"."),
    CALC_OUT("slope", "log10/s", "Of the line."),
    CALC_OUT("se_slope", "log10/s", "Its standard error."),
    CALC_OUT("intercept", "log10", "Count at the start."),
    CALC_OUT("s", "log10", "Scatter about the line, by maximum likelihood."),
    CALC_OUT("log_likelihood", "1", "At its top."),
    CALC_OUT("below_used", "1", "Samples below the limit that were used."),
};

static const struct calc_source censored_sources[] = {
    {"Maximum likelihood of normal scatter, counts below the limit as lower than it",
     "computed here"},
    {"Tobin 1958, Econometrica 26:24-36 (the likelihood); Olsen 1978, Econometrica 46:1211-1215",
     "from memory"},
};

static const char *const censored_cautions[] = {
    "Nothing is claimed beyond the lowest count: what lies below the limit only bends the line.",
    "A curve with a shoulder or a tail is not a straight line: look at the counts first.",
    "The intervals are those of large samples; with few counts they are too narrow.", NULL};

static struct result censored_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double *time_s, *log_count, *low_s, *limit;
    size_t n, m;
    struct censored_fit fit;
    TRY(calc_pairs(in, "points", a, &time_s, &log_count, &n));
    TRY(calc_pairs(in, "below", a, &low_s, &limit, &m));
    TRY(censored_fit(time_s, log_count, n, low_s, limit, m, &fit));
    calc_put_number(out, "d_s", fit.d);
    calc_put_number(out, "d_low_s", fit.d_low);
    calc_put_end(out, "d_high_s", fit.d_high);
    calc_put_number(out, "slope", fit.slope);
    calc_put_end(out, "se_slope", fit.se_slope);
    calc_put_number(out, "intercept", fit.intercept);
    calc_put_number(out, "s", fit.s);
    calc_put_number(out, "log_likelihood", fit.log_likelihood);
    calc_put_integer(out, "below_used", (int64_t)fit.below);
    return RESULT_OK;
}

/* z from D's */

static const struct calc_field z_in[] = {
    CALC_NEED_TABLE("points", "C or F, any",
                    "Temperature and D there, or another time with one effect, for each.", 2,
                    10000),
    CALC_CHOICE("unit", "Unit of the temperatures.", "C|F", "\"C\""),
    CALC_MAY_NUMBER("at", "C or F", "For D, or the time, at this temperature.", -200, 600, NULL),
    CALC_MAY_NUMBER("decimals", "1", "That many times D.", 0.001, 100, "1"),
};

static const struct calc_output z_out[] = {
    CALC_OUT("z_c", "C", "Rise that makes the time ten times shorter."),
    CALC_OUT("z_low_c", "C", "Lower end of its 95 % interval."),
    CALC_OUT("z_high_c", "C", "Upper end of it."),
    CALC_OUT("z", "C or F", "z in the unit of the temperatures."),
    CALC_OUT("z_low", "C or F", "Lower end in that unit."),
    CALC_OUT("z_high", "C or F", "Upper end in that unit."),
    CALC_OUT("time_at", "any", "The time at that temperature by the line."),
    CALC_OUT("time_at_high", "any", "Its one-sided 95 % upper end: what a decision may use."),
    LINE_OUTPUTS,
};

static const char *const z_cautions[] = {
    "Holds only between the temperatures measured; more than 5.56 C above the highest do not rely "
    "on it.",
    "The D's own doubt is not in the interval, only how they scatter about the line.", NULL};

static struct result z_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double *temp, *time;
    size_t n;
    struct resistance_fit fit;
    TRY(calc_pairs(in, "points", a, &temp, &time, &n));
    TRY(resistance_fit_z(a, temp, time, n, &fit));
    double per_c = strcmp(calc_text(in, "unit"), "F") == 0 ? FAHRENHEIT_PER_C : 1;
    calc_put_number(out, "z", fit.value);
    calc_put_number(out, "z_c", fit.value / per_c);
    if (fit.line.n > 2) {
        calc_put_number(out, "z_low", fit.low);
        calc_put_number(out, "z_low_c", fit.low / per_c);
    }
    calc_put_end(out, "z_high", fit.high);
    calc_put_end(out, "z_high_c", fit.high / per_c);
    line_put(&fit.line, out);
    if (calc_has(in, "at")) {
        double high;
        double at = calc_number(in, "at");
        double decimals = calc_number(in, "decimals");
        double highest = temp[0];
        for (size_t i = 1; i < n; i++) {
            highest = fmax(highest, temp[i]);
        }
        calc_put_end(out, "time_at", decimals * resistance_time_at(&fit, at, &high));
        calc_put_end(out, "time_at_high", decimals * high);
        if (at > highest + CONSTANT_HEAT_CREDIT_ABOVE_TESTED_C * per_c) {
            calc_caution(out, "That temperature lies more than 5.56 C above the highest measured: "
                              "do not rely on the time there.");
        }
    }
    return RESULT_OK;
}

/* Reductions from counts */

static const struct calc_field count_in[] = {
    CALC_NEED_INTEGER("before", "1", "Colonies counted before.", 1, 1e9),
    CALC_NEED_INTEGER("after", "1", "Colonies counted after; 0 where none were found.", 0, 1e9),
    CALC_MAY_NUMBER("amount_ratio", "1",
                    "Sample behind the second count over that behind the first (dilutions).", 1e-12,
                    1e12, "1"),
};

static const struct calc_output count_out[] = {
    CALC_OUT("reduction", "log10", "Log reduction; at least this where none were found."),
    CALC_OUT("se", "log10", "Its standard error."),
    CALC_OUT_DOWN("reduction_low", "log10", "One-sided 95 % lower bound.", 0.1),
};

static const struct calc_source count_sources[] = {
    {"Poisson counts: SE = 0.4343 sqrt(1/n0 + 1/n1); none found, at most -ln 0.05 were there",
     "computed here"},
};

static const char *const count_constants[] = {"count_none_upper", NULL};

static const char *const count_cautions[] = {
    "Only the scatter of colonies is in the error; dilution, plating and sampling add to it.",
    "Heat-hurt cells that grow again elsewhere are missed by a selective plate.", NULL};

static struct result count_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct reduction_count r;
    TRY(reduction_count(calc_integer(in, "before"), calc_integer(in, "after"),
                        calc_number(in, "amount_ratio"), &r));
    calc_put_number(out, "reduction", r.reduction);
    calc_put_number(out, "reduction_low", r.low);
    if (r.none_found) {
        calc_caution(out, "None were found: the reduction is at least this, with 95 % confidence.");
    } else {
        calc_put_number(out, "se", r.se);
    }
    return RESULT_OK;
}

/* None found */

static const struct calc_field none_in[] = {
    CALC_NEED_NUMBER("initial_per_g", "1/g", "Count before, a gram.", 1e-9, 1e15),
    CALC_NEED_NUMBER("amount_g", "g", "Amount tested after, all of it negative.", 1e-9, 1e12),
};

static const struct calc_output none_out[] = {
    CALC_OUT_DOWN("reduction_low", "log10", "Reduction at least, with 95 % confidence.", 0.1),
};

static struct result none_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double low;
    TRY(reduction_none_found(calc_number(in, "initial_per_g"), calc_number(in, "amount_g"), &low));
    calc_put_number(out, "reduction_low", low);
    if (low <= 0) {
        calc_caution(out, "So little was there or tested that none found shows nothing.");
    }
    return RESULT_OK;
}

/* Several batches */

static const struct calc_field batches_in[] = {
    CALC_NEED_LIST("reductions", "log10", "Log reduction of each batch.", -20, 300, 2, 10000),
};

static const struct calc_output batches_out[] = {
    CALC_OUT("mean", "log10", "Mean of the batches."),
    CALC_OUT("sd", "log10", "Their standard deviation."),
    CALC_OUT("factor", "1", "Tolerance factor k for 95 % of batches with 95 % confidence."),
    CALC_OUT_DOWN("reduction_low", "log10", "What 95 % of batches reach: mean - k sd.", 0.1),
    CALC_OUT("least", "log10", "Least of the batches."),
    CALC_OUT("least_confidence", "1", "Confidence that 95 % of batches reach the least."),
};

static const struct calc_source batches_sources[] = {
    {"One-sided normal tolerance bound: noncentral t; least of n: 1 - 0.95^n", "computed here"},
};

static const char *const batches_cautions[] = {
    "Holds for batches made alike and reductions that scatter normally; look at them first.",
    "A reduction that is only known as \"at least\" makes the bound too low, never too high.",
    NULL};

static struct result batches_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    size_t n = 0;
    const double *reductions = calc_numbers(in, "reductions", a, &n);
    struct reduction_batches r;
    TRY(reduction_batches(reductions, n, &r));
    calc_put_number(out, "mean", r.mean);
    calc_put_number(out, "sd", r.sd);
    calc_put_number(out, "factor", r.factor);
    calc_put_number(out, "reduction_low", r.low);
    calc_put_number(out, "least", r.least);
    calc_put_number(out, "least_confidence", r.least_confidence);
    return RESULT_OK;
}

const struct calc_row heat_regress_rows[] = {
    {
        .name = "d-from-survivors",
        .discipline = "heat",
        .purpose = "D from the counts of survivors at one temperature, with its interval.",
        .formula = "D = -1/b of log10 N = a + b t; interval -1/(b -+ t SE)",
        .in = d_in,
        .in_count = CALC_COUNT(d_in),
        .out = d_out,
        .out_count = CALC_COUNT(d_out),
        .sources = line_sources,
        .source_count = CALC_COUNT(line_sources),
        .constants = no_constants,
        .cautions = d_cautions,
        .example = "{\"points\": [[0, 7.02], [60, 6.38], [120, 5.51], [180, 4.95], [240, 4.05], "
                   "[300, 3.49]], \"time_s\": 300}",
        .run = d_run,
    },
    {
        .name = "d-from-censored",
        .discipline = "heat",
        .purpose = "D from counts of which some lay below the detection limit.",
        .formula = "maximum likelihood of log10 N = a + b t with normal scatter; D = -1/b",
        .in = censored_in,
        .in_count = CALC_COUNT(censored_in),
        .out = censored_out,
        .out_count = CALC_COUNT(censored_out),
        .sources = censored_sources,
        .source_count = CALC_COUNT(censored_sources),
        .constants = no_constants,
        .cautions = censored_cautions,
        .example = "{\"points\": [[0, 7.02], [60, 6.38], [120, 5.51], [180, 4.95]], \"below\": "
                   "[[240, 4.3], [300, 4.3]]}",
        .run = censored_run,
    },
    {
        .name = "z-from-d",
        .discipline = "heat",
        .purpose = "z from D's at several temperatures, with its interval.",
        .formula = "z = -1/b of log10 D = a + b T; interval -1/(b -+ t SE)",
        .in = z_in,
        .in_count = CALC_COUNT(z_in),
        .out = z_out,
        .out_count = CALC_COUNT(z_out),
        .sources = line_sources,
        .source_count = CALC_COUNT(line_sources),
        .constants = no_constants,
        .cautions = z_cautions,
        .example = "{\"points\": [[53, 192], [55, 114], [58, 36]], \"at\": 58}",
        .run = z_run,
    },
    {
        .name = "count-reduction",
        .discipline = "heat",
        .purpose = "Log reduction from colony counts before and after.",
        .formula = "R = log10(n0/n1 * amounts), SE = 0.4343 sqrt(1/n0 + 1/n1)",
        .in = count_in,
        .in_count = CALC_COUNT(count_in),
        .out = count_out,
        .out_count = CALC_COUNT(count_out),
        .sources = count_sources,
        .source_count = CALC_COUNT(count_sources),
        .constants = count_constants,
        .cautions = count_cautions,
        .example = "{\"before\": 150, \"after\": 30, \"amount_ratio\": 1000}",
        .run = count_run,
    },
    {
        .name = "none-detected",
        .discipline = "heat",
        .purpose = "What reduction it shows that nothing was found.",
        .formula = "R_low = log10(N0 m / 2.996)",
        .in = none_in,
        .in_count = CALC_COUNT(none_in),
        .out = none_out,
        .out_count = CALC_COUNT(none_out),
        .sources = count_sources,
        .source_count = CALC_COUNT(count_sources),
        .constants = count_constants,
        .cautions = count_cautions,
        .example = "{\"initial_per_g\": 1000000, \"amount_g\": 10}",
        .run = none_run,
    },
    {
        .name = "batch-tolerance",
        .discipline = "heat",
        .purpose = "What nearly all batches reach, from a few that were measured.",
        .formula = "mean - k sd, k of the noncentral t; least of n: 1 - 0.95^n",
        .in = batches_in,
        .in_count = CALC_COUNT(batches_in),
        .out = batches_out,
        .out_count = CALC_COUNT(batches_out),
        .sources = batches_sources,
        .source_count = CALC_COUNT(batches_sources),
        .constants = no_constants,
        .cautions = batches_cautions,
        .example = "{\"reductions\": [6.1, 5.8, 6.4]}",
        .run = batches_run,
    },
};

const size_t heat_regress_row_count = CALC_COUNT(heat_regress_rows);
