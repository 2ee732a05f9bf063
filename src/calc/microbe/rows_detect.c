#include <math.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/microbe/detection.h"
#include "calc/microbe/detection_gain.h"
#include "calc/microbe/lognormal_detection.h"
#include "calc/microbe/rows.h"
#include "calc/microbe/sample_size.h"
#include "calc/microbe/sample_times.h"

#define MS_PER_H 3600000.0

#define CONFIDENCE_FIELD                                                                     \
    CALC_MAY_NUMBER("confidence", "1", "How sure one wants to be, as a share.", 0.5, 0.9999, \
                    CALC_FALLBACK(CONSTANT_DETECTION_CONFIDENCE))

static const char *const confidence_constants[] = {"detection_confidence", NULL};

/* Sample times */

static const struct calc_field times_in[] = {
    CALC_MAY_NUMBER("sampled_h", "h", "Age at sampling, from the start of sprouting.", 0, 100000,
                    CALC_FALLBACK(CONSTANT_SAMPLING_AGE_MIN_H)),
    CALC_NEED_NUMBER("transit_h", "h", "From sampling until the laboratory begins.", 0, 10000),
    CALC_NEED_NUMBER("laboratory_h", "h", "From its beginning to its result.", 0, 10000),
    CALC_NEED_NUMBER("needed_h", "h", "When the result is needed: age at harvest or at leaving.", 0,
                     100000),
    CALC_MAY_NUMBER("age_min_h", "h", "No sample before this age counts.", 0, 100000,
                    CALC_FALLBACK(CONSTANT_SAMPLING_AGE_MIN_H)),
};

static const struct calc_output times_out[] = {
    CALC_OUT("verdict", "", "in-time, too-young, too-late or impossible."),
    CALC_OUT_UP("result_h", "h", "Age at which the result is there.", 0.1),
    CALC_OUT_DOWN("slack_h", "h", "Time left then; below zero where it comes too late.", 0.1),
    CALC_OUT_DOWN("latest_sample_h", "h", "Latest age at sampling.", 0.1),
};

static const struct calc_source times_sources[] = {
    {"Sum of the waits", "computed here"},
    {"Sprout training curriculum aligned with US FDA, example sampling plan, appendix 10: about 48 "
     "h",
     "published (seen)"},
};

static const char *const times_constants[] = {"sampling_age_min_h", NULL};

static const char *const times_cautions[] = {
    "48 h is guidance in the US and law in the EU (from memory); store which event starts the "
    "clock, "
    "first wetting or the end of the soak.",
    "A result that is pending, presumptive or invalid is not negative: the batch stays held.",
    NULL};

static const char *times_verdict(const struct sample_times_report *r)
{
    if (!r->possible) {
        return "impossible";
    }
    if (!r->old_enough) {
        return "too-young";
    }
    return r->in_time ? "in-time" : "too-late";
}

static struct result times_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct sample_times_report r;
    struct sample_times t = {
        .sampled_ms = calc_scaled_up(calc_number(in, "sampled_h"), MS_PER_H),
        .transit_ms = calc_scaled_up(calc_number(in, "transit_h"), MS_PER_H),
        .laboratory_ms = calc_scaled_up(calc_number(in, "laboratory_h"), MS_PER_H),
        .needed_ms = calc_scaled_down(calc_number(in, "needed_h"), MS_PER_H),
        .age_min_ms = calc_scaled_up(calc_number(in, "age_min_h"), MS_PER_H),
    };
    TRY(sample_times(&t, &r));
    calc_put_text(out, "verdict", times_verdict(&r));
    calc_put_number(out, "result_h", (double)r.result_ms / MS_PER_H);
    calc_put_number(out, "slack_h", (double)r.slack_ms / MS_PER_H);
    calc_put_number(out, "latest_sample_h", (double)r.latest_ms / MS_PER_H);
    if (!r.possible) {
        calc_caution(out,
                     "No sample can be both old enough and early enough: take a faster method, "
                     "a nearer laboratory or a later harvest.");
    }
    return RESULT_OK;
}

/* Detection gain */

static const struct calc_field gain_in[] = {
    CALC_NEED_NUMBER("cells", "1", "Cells in the batch at the start.", 0, 1e12),
    CALC_CHOICE("organism", "Takes its published rise on mung beans over the first two days.",
                "ecoli-o157|salmonella", NULL),
    CALC_MAY_NUMBER("rise_log10", "log10", "Rise until sampling, where no organism is named.", -5,
                    15, NULL),
    CALC_NEED_NUMBER("shed", "1", "Share of the cells that the water carries off.", 0, 1),
    CALC_NEED_NUMBER("water_l", "L", "Water they are in.", 1e-6, 1e9),
    CALC_NEED_NUMBER("sample_l", "L", "Water tested.", 0, 1e9),
};

static const struct calc_output gain_out[] = {
    CALC_OUT("cells_per_l", "1/L", "Level in the water at sampling."),
    CALC_OUT_DOWN("chance", "1", "Chance that the sample holds at least one cell.", 0.0001),
    CALC_OUT("chance_unwaited", "1", "The same at the start, before any rise."),
};

static const struct calc_source gain_sources[] = {
    {"Poisson counts in well-mixed water: P = 1 - exp(-C v)", "derived"},
};

static const char *const no_constants[] = {NULL};

static const char *const gain_cautions[] = {
    "The share carried off and the first number of cells are guesses; compare plans with them, do "
    "not read a chance off them.",
    "A negative sample does not make a batch free of pathogens.", NULL};

static struct result gain_rise(const json_t *in, struct calc_answer *out, double *rise_log10)
{
    bool named = calc_has(in, "organism");
    if (named == calc_has(in, "rise_log10")) {
        return FAIL1(FIELD_MISSING, "rise_log10", "Give it, or an organism, but not both.");
    }
    if (!named) {
        *rise_log10 = calc_number(in, "rise_log10");
        return RESULT_OK;
    }
    bool salmonella = calc_text(in, "organism")[0] == 's';
    *rise_log10 = salmonella ? CONSTANT_SPROUTING_RISE_SALMONELLA_LOG10
                             : CONSTANT_SPROUTING_RISE_ECOLI_O157_LOG10;
    calc_used(out,
              salmonella ? "sprouting_rise_salmonella_log10" : "sprouting_rise_ecoli_o157_log10");
    return RESULT_OK;
}

static struct result gain_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct detection_gain_report r;
    struct detection_gain g = {.cells = calc_number(in, "cells"),
                               .shed = calc_number(in, "shed"),
                               .water_l = calc_number(in, "water_l"),
                               .sample_l = calc_number(in, "sample_l")};
    TRY(gain_rise(in, out, &g.rise_log10));
    TRY(detection_gain(&g, &r));
    calc_put_number(out, "cells_per_l", r.cells_per_l);
    calc_put_number(out, "chance", r.chance);
    calc_put_number(out, "chance_unwaited", r.chance_unwaited);
    return RESULT_OK;
}

/* Detection */

static const struct calc_field detection_in[] = {
    CALC_NEED_NUMBER("cells_per_kg", "1/kg", "Level where there is any, per kg (L of a liquid).", 0,
                     1e15),
    CALC_NEED_NUMBER("portion_g", "g", "Tested at once, in g (mL of a liquid).", 1e-6, 1e9),
    CALC_MAY_NUMBER("share", "1", "Share of the lot that holds that level.", 1e-9, 1, "1"),
    CALC_MAY_NUMBER("sensitivity", "1", "Chance that a test tells what it holds.", 1e-6, 1, "1"),
    MICROBE_MAY_INTEGER("pooled", "Sub-samples from different places that make one portion.", 1,
                        1e6, "1"),
    MICROBE_MAY_INTEGER("tests", "Portions tested.", 1, 1e6, "1"),
    CONFIDENCE_FIELD,
};

static const struct calc_output detection_out[] = {
    CALC_OUT("chance_one", "1", "Chance that one test is positive."),
    CALC_OUT_DOWN("chance", "1", "Chance that at least one is.", 0.0001),
    CALC_OUT_UP("found_per_kg", "1/kg",
                "Least level found with the confidence asked for; none where even the highest is "
                "not.",
                0.001),
};

static const struct calc_source detection_sources[] = {
    {"Poisson counts, independent draws; pooling by shares of the portion", "derived"},
};

static const char *const detection_cautions[] = {
    "Cells in clumps are found less often than cells spread by chance; give the share of the lot "
    "that holds them.",
    "Pooling is taken to cost no sensitivity: lower the sensitivity where the method's validation "
    "says so.",
    "A negative sample does not make a lot free of pathogens.", NULL};

static struct result detection_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct detection_report r;
    struct detection d = {.cells_per_kg = calc_number(in, "cells_per_kg"),
                          .portion_g = calc_number(in, "portion_g"),
                          .share = calc_number(in, "share"),
                          .sensitivity = calc_number(in, "sensitivity"),
                          .pooled = calc_integer(in, "pooled"),
                          .tests = calc_integer(in, "tests"),
                          .confidence = calc_number(in, "confidence")};
    TRY(detection(&d, &r));
    calc_put_number(out, "chance_one", r.chance_one);
    calc_put_number(out, "chance", r.chance);
    if (r.reachable) {
        calc_put_number(out, "found_per_kg", r.found_per_kg);
    } else {
        calc_caution(out, "So few tests do not reach the confidence asked for at any level.");
    }
    return RESULT_OK;
}

/* Log-normal levels */

static const struct calc_field lognormal_in[] = {
    CALC_NEED_NUMBER("mean_log10", "log10/g", "Mean of log10 of the level per g (mL).", -30, 15),
    CALC_NEED_NUMBER("sd_log10", "log10", "Standard deviation of it, from portion to portion.", 0,
                     5),
    CALC_NEED_NUMBER("portion_g", "g", "Tested at once, in g (mL of a liquid).", 1e-6, 1e9),
    MICROBE_MAY_INTEGER("tests", "Portions tested; one positive rejects the lot.", 1, 1e6, "1"),
    CONFIDENCE_FIELD,
};

static const struct calc_output lognormal_out[] = {
    CALC_OUT("chance_one", "1", "Chance that one test is positive."),
    CALC_OUT_DOWN("chance", "1", "Chance that the lot is rejected.", 0.0001),
    CALC_OUT("arithmetic_mean_per_g", "1/g", "Mean level of such a lot."),
    CALC_OUT_UP("rejected_mean_log10", "log10/g",
                "Mean of log10 from which lots are rejected with the confidence asked for.",
                0.0001),
    CALC_OUT("rejected_mean_g", "g", "The same as one cell in so many g."),
};

static const struct calc_source lognormal_sources[] = {
    {"ICMSF 2002, Microorganisms in Foods 7, and Codex CAC/GL 61 (model)", "from memory"},
    {"Trapezoid rule on a smooth integrand", "computed here"},
};

static const char *const lognormal_cautions[] = {
    "0.8 log10 is often taken as standard deviation, 0.25 for well-mixed foods; both are customs, "
    "not measurements of this product.",
    "A negative sample does not make a lot free of pathogens.", NULL};

static struct result lognormal_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct lognormal_detection_report r;
    struct lognormal_detection d = {.mean_log10 = calc_number(in, "mean_log10"),
                                    .sd_log10 = calc_number(in, "sd_log10"),
                                    .portion_g = calc_number(in, "portion_g"),
                                    .tests = calc_integer(in, "tests")};
    double rejected;
    TRY(lognormal_detection(&d, &r));
    TRY(lognormal_rejected(&d, calc_number(in, "confidence"), &rejected));
    calc_put_number(out, "chance_one", r.chance_one);
    calc_put_number(out, "chance", r.chance);
    calc_put_number(out, "arithmetic_mean_per_g", r.arithmetic_mean_per_g);
    calc_put_number(out, "rejected_mean_log10", rejected);
    calc_put_number(out, "rejected_mean_g", pow(10, -rejected));
    return RESULT_OK;
}

/* Sample size */

static const struct calc_field size_in[] = {
    CALC_NEED_NUMBER("prevalence", "1", "Share of positives that must not be missed.", 1e-9, 1),
    CONFIDENCE_FIELD,
    CALC_MAY_NUMBER("sensitivity", "1", "Chance that a test tells what it holds.", 1e-6, 1, "1"),
    MICROBE_MAY_INTEGER(
        "lot_size", "Pieces in the lot; leave it out for a lot that is large beside the sample.", 1,
        SAMPLE_LOT_MAX, NULL),
    MICROBE_MAY_INTEGER("samples", "A number of samples whose chance of missing is wanted too.", 1,
                        1e12, NULL),
};

static const struct calc_output size_out[] = {
    CALC_OUT("samples", "1", "Samples needed, the next whole number up."),
    CALC_OUT_UP("missed", "1", "Chance that all of them miss.", 0.0001),
    CALC_OUT_UP("missed_given", "1", "Chance that the given number misses.", 0.0001),
    CALC_OUT("positives", "1", "Positives in the lot, rounded down, at least one."),
    CALC_OUT("samples_near", "1", "Cannon and Roe's approximation for a lot."),
};

static const struct calc_source size_sources[] = {
    {"Binomial and hypergeometric chance of none", "derived"},
    {"Cannon and Roe 1982, Livestock disease surveys, tables and formula", "published (seen)"},
};

static const char *const size_cautions[] = {
    "Holds for samples drawn at random from the whole lot; from one corner it says nothing.",
    "With fewer than a tenth of the lot sampled the lot's size hardly matters.", NULL};

static struct result size_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct sample_size_report r;
    struct sample_size s = {.prevalence = calc_number(in, "prevalence"),
                            .confidence = calc_number(in, "confidence"),
                            .sensitivity = calc_number(in, "sensitivity"),
                            .lot_size =
                                calc_has(in, "lot_size") ? calc_integer(in, "lot_size") : 0};
    TRY(sample_size(&s, &r));
    if (r.reached) {
        calc_put_integer(out, "samples", r.samples);
    } else {
        calc_caution(out, "Not even the whole lot, tested with this sensitivity, gives the "
                          "confidence asked for.");
    }
    calc_put_number(out, "missed", r.missed);
    if (s.lot_size > 0) {
        calc_put_integer(out, "positives", r.positives);
        calc_put_number(out, "samples_near", r.samples_near);
    }
    if (calc_has(in, "samples")) {
        double missed;
        TRY(sample_missed(&s, calc_integer(in, "samples"), &missed));
        calc_put_number(out, "missed_given", missed);
    }
    return RESULT_OK;
}

/* Zero positives */

static const struct calc_field zero_in[] = {
    CALC_NEED_INTEGER("samples", "1", "Samples tested, all negative.", 1, 1e12),
    CONFIDENCE_FIELD,
    CALC_MAY_NUMBER("sensitivity", "1", "Chance that a test tells what it holds.", 1e-6, 1, "1"),
};

static const struct calc_output zero_out[] = {
    CALC_OUT_UP("prevalence", "1", "Share of positives that may still be there.", 0.000001),
    CALC_OUT("rule_of_three", "1", "3/n, its usual approximation at 95 %."),
};

static const struct calc_source zero_sources[] = {
    {"(1 - p Se)^n = 1 - confidence, solved for p", "derived"},
};

static const char *const zero_cautions[] = {"None found is not none there.",
                                            "Holds for samples drawn at random.", NULL};

static struct result zero_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double prevalence;
    int64_t samples = calc_integer(in, "samples");
    TRY(zero_positives(samples, calc_number(in, "confidence"), calc_number(in, "sensitivity"),
                       &prevalence));
    calc_put_number(out, "prevalence", prevalence);
    calc_put_number(out, "rule_of_three", fmin(1, 3 / (double)samples));
    return RESULT_OK;
}

const struct calc_row microbe_detect_rows[] = {
    {
        .name = "sample-times",
        .purpose = "Is a sample's result there before the batch is needed?",
        .formula = "result = sampled + transit + laboratory; slack = needed - result; latest = "
                   "needed - transit - laboratory",
        .constants = times_constants,
        .example = "{\"transit_h\": 6, \"laboratory_h\": 48, \"needed_h\": 240}",
        MICROBE_ROW(times),
    },
    {
        .name = "detection-gain",
        .purpose = "What waiting before the water sample gains.",
        .formula = "C = N0 * 10^G * f/Vw; P = 1 - exp(-C * v)",
        .constants = no_constants,
        .example = "{\"cells\": 10, \"organism\": \"salmonella\", \"shed\": 0.1, \"water_l\": 500, "
                   "\"sample_l\": 0.375}",
        MICROBE_ROW(gain),
    },
    {
        .name = "detection",
        .purpose = "The chance that tests for presence find what is there.",
        .formula = "P = 1 - (1 - Se * (1 - (1 - pi + pi * exp(-C * V/k))^k))^n",
        .constants = confidence_constants,
        .example = "{\"cells_per_kg\": 5, \"portion_g\": 25, \"tests\": 10}",
        MICROBE_ROW(detection),
    },
    {
        .name = "detection-lognormal",
        .purpose = "The chance that presence tests reject a lot with log-normal levels.",
        .formula = "p_neg = integral of phi(z) * exp(-w * 10^(mu + sigma * z)) dz; P = 1 - p_neg^n",
        .constants = confidence_constants,
        .example = "{\"mean_log10\": -2, \"sd_log10\": 0.8, \"portion_g\": 25, \"tests\": 5}",
        MICROBE_ROW(lognormal),
    },
    {
        .name = "sample-size",
        .purpose = "How many samples find at least one positive.",
        .formula = "large lot: n = ceil(ln(1 - conf)/ln(1 - p * Se)); lot of N: smallest n with "
                   "sum of hyp(i; n, D, N) * (1 - Se)^i <= 1 - conf, D = floor(p * N)",
        .constants = confidence_constants,
        .example = "{\"prevalence\": 0.01, \"confidence\": 0.99, \"lot_size\": 1600}",
        MICROBE_ROW(size),
    },
    {
        .name = "zero-positives",
        .purpose = "What share may still be positive when all samples are negative.",
        .formula = "p = (1 - (1 - conf)^(1/n))/Se",
        .constants = confidence_constants,
        .example = "{\"samples\": 60}",
        MICROBE_ROW(zero),
    },
};

const size_t microbe_detect_row_count = CALC_COUNT(microbe_detect_rows);
