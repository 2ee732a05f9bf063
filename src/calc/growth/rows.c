#include "calc/growth/rows.h"

#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/growth/germination.h"
#include "calc/growth/seed_quality.h"
#include "calc/growth/seed_samples.h"
#include "calc/growth/two_tests.h"
#include "calc/wilson.h"

static const char *const no_constants[] = {NULL};

/* Germination test */

static const struct calc_field germination_in[] = {
    CALC_NEED_LIST("replicates", "%", "Normal seedlings of 100 in each replicate.", 0, 100, 2, 4),
};

static const struct calc_output germination_out[] = {
    CALC_OUT("verdict", "", "accept, or retest where the replicates lie too far apart."),
    CALC_OUT("mean_pct", "%", "Germination: the mean, a half rounded up."),
    CALC_OUT("range", "points", "Largest less smallest replicate."),
    CALC_OUT("allowed_range", "points", "The largest range that is accepted."),
    CALC_OUT("allowed_by", "", "table, or formula where the table has no entry."),
    CALC_OUT("low_pct", "%", "Lower end of the 95 % interval of the lot's germination."),
    CALC_OUT("high_pct", "%", "Upper end."),
    CALC_OUT("standard_error_pct", "points", "Standard error of the mean."),
    CALC_OUT("chi2", "1", "Scatter of the replicates against chance."),
    CALC_OUT("chi2_limit", "1", "Above it chance does not explain them (5 %)."),
    CALC_OUT("chi2_verdict", "", "alike or mixed; a second opinion that decides nothing."),
};

static const struct calc_source germination_sources[] = {
    {"7 CFR 201.54 and 201.55(a), Federal Seed Act regulations: 400 seeds, table of maximum "
     "tolerated ranges between 100-seed replicates, 99 to 71 %",
     "published (seen)"},
    {"Formula behind the table, q * sqrt(P (100 - P)/100), rounded down, for 51 to 70 % and for "
     "two "
     "replicates above 97 %",
     "derived"},
    {"Wilson 1927, Journal of the American Statistical Association 22:209-212", "from memory"},
};

static const char *const germination_constants[] = {"germination_q4",
                                                    "germination_q2",
                                                    "germination_chi2_limit_3df",
                                                    "germination_chi2_limit_1df",
                                                    "normal_quantile_975",
                                                    NULL};

static const char *const germination_cautions[] = {
    "Two replicates are a quick look: a test that counts has four hundred seeds.",
    "The table takes the replicates for independent; four hundreds out of one sample scatter a "
    "little less evenly.",
    NULL};

static struct result germination_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    size_t count = 0;
    const double *counts = calc_numbers(in, "replicates", a, &count);
    int64_t normal[GERMINATION_REPLICATES_MAX];
    for (size_t i = 0; i < count; i++) {
        normal[i] = (int64_t)counts[i];
        if ((double)normal[i] != counts[i]) {
            return FAIL2(FIELD_TYPE, arena_printf(a, "replicates[%zu]", i), "a whole number",
                         "a number with a point");
        }
    }
    struct germination_report r;
    TRY(germination_judge(normal, count, &r));
    calc_put_text(out, "verdict", germination_verdict_word(r.verdict));
    calc_put_integer(out, "mean_pct", r.mean_pct);
    calc_put_integer(out, "range", r.range);
    calc_put_integer(out, "allowed_range", r.allowed_range);
    calc_put_text(out, "allowed_by", r.from_table ? "table" : "formula");
    calc_put_number(out, "low_pct", (double)r.low_ppm / 1e4);
    calc_put_number(out, "high_pct", (double)r.high_ppm / 1e4);
    calc_put_number(out, "standard_error_pct", r.standard_error_pct);
    calc_put_number(out, "chi2", r.chi2);
    calc_put_number(out, "chi2_limit", r.chi2_limit);
    calc_put_text(out, "chi2_verdict", r.chi2_agrees ? "alike" : "mixed");
    if (r.verdict == GERMINATION_RETEST) {
        calc_caution(out, "The replicates lie further apart than chance explains: test again, and "
                          "do not use this result.");
    }
    return RESULT_OK;
}

/* Interval of a count */

static const struct calc_field interval_in[] = {
    CALC_NEED_INTEGER("counted", "1", "Seeds that germinated.", 0, 1e9),
    CALC_NEED_INTEGER("seeds", "1", "Seeds tested.", 1, 1e9),
};

static const struct calc_output interval_out[] = {
    CALC_OUT_DOWN("low", "1", "Lower end of the 95 % interval.", 0.0001),
    CALC_OUT_UP("high", "1", "Upper end.", 0.0001),
    CALC_OUT("share", "1", "Share counted."),
};

static const struct calc_source interval_sources[] = {
    {"Wilson 1927, Journal of the American Statistical Association 22:209-212", "from memory"},
};

static const char *const interval_constants[] = {"normal_quantile_975", NULL};

static const char *const interval_cautions[] = {
    "Chance of the draw only: a bad sample of the lot is not in it.", NULL};

static struct result interval_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct wilson r;
    int64_t counted = calc_integer(in, "counted");
    int64_t seeds = calc_integer(in, "seeds");
    TRY(wilson(counted, seeds, &r));
    calc_put_number(out, "low", r.low);
    calc_put_number(out, "high", r.high);
    calc_put_number(out, "share", (double)counted / (double)seeds);
    return RESULT_OK;
}

/* Two tests */

static const struct calc_field two_tests_in[] = {
    CALC_NEED_INTEGER("first_pct", "%", "Germination in the first test of 400 seeds.", 0, 100),
    CALC_NEED_INTEGER("second_pct", "%", "Germination in the second.", 0, 100),
    CALC_CHOICE("of_200", "Were 200 seeds of a mixture tested instead?", "yes|no", "\"no\""),
};

static const struct calc_output two_tests_out[] = {
    CALC_OUT("verdict", "", "compatible or not-compatible."),
    CALC_OUT("average_pct", "%", "Average of both, a half rounded up."),
    CALC_OUT("difference", "points", "Between the two."),
    CALC_OUT("allowed", "points", "The largest difference that is accepted."),
};

static const struct calc_source two_tests_sources[] = {
    {"Federal Seed Act tolerances as adopted in the Louisiana Administrative Code, title 7, "
     "XIII-139, comparing two 400-seed germination tests",
     "published (seen)"},
};

static const char *const two_tests_cautions[] = {
    "Wider than chance alone, since laboratories differ: two tests of one bench should lie closer.",
    NULL};

static struct result two_tests_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct two_tests_report r;
    TRY(two_tests(calc_integer(in, "first_pct"), calc_integer(in, "second_pct"),
                  calc_yes(in, "of_200"), &r));
    calc_put_text(out, "verdict", r.compatible ? "compatible" : "not-compatible");
    calc_put_integer(out, "average_pct", r.average_pct);
    calc_put_integer(out, "difference", r.difference);
    calc_put_integer(out, "allowed", r.allowed);
    return RESULT_OK;
}

/* Purity and pure live seed */

static const struct calc_field purity_in[] = {
    CALC_NEED_NUMBER("pure_g", "g", "Pure seed.", 0, 1e6),
    CALC_NEED_NUMBER("other_g", "g", "Seed of other crops.", 0, 1e6),
    CALC_NEED_NUMBER("weed_g", "g", "Weed seed.", 0, 1e6),
    CALC_NEED_NUMBER("inert_g", "g", "Stones, broken seed, dust.", 0, 1e6),
    CALC_MAY_NUMBER("germination_pct", "%", "Germination of the pure seed.", 0, 100, NULL),
    CALC_MAY_NUMBER("hard_pct", "%", "Hard seed.", 0, 100, "0"),
};

static const struct calc_output purity_out[] = {
    CALC_OUT_DOWN("purity_pct", "%", "Purity by mass.", 0.01),
    CALC_OUT_DOWN("pls_pct", "%", "Pure live seed.", 0.01),
    CALC_OUT_DOWN("pls_with_hard_pct", "%", "The same with hard seed taken for live.", 0.01),
    CALC_OUT_UP("mass_per_pls", "kg/kg", "Seed to weigh for a kilogram of pure live seed.", 0.001),
};

static const struct calc_source purity_sources[] = {
    {"Purity by mass; PLS = purity * germination/100", "computed here"},
};

static const char *const purity_cautions[] = {
    "Hard seed does not sprout in time: do not count on it in a sprout house.", NULL};

static struct result purity_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct seed_parts parts = {.pure_mg = calc_scaled_near(calc_number(in, "pure_g"), 1000),
                               .other_mg = calc_scaled_near(calc_number(in, "other_g"), 1000),
                               .weed_mg = calc_scaled_near(calc_number(in, "weed_g"), 1000),
                               .inert_mg = calc_scaled_near(calc_number(in, "inert_g"), 1000)};
    struct seed_purity purity;
    TRY(seed_purity(&parts, &purity));
    calc_put_number(out, "purity_pct", purity.purity_pct);
    if (!calc_has(in, "germination_pct")) {
        return RESULT_OK;
    }
    struct pure_live_seed pls;
    TRY(pure_live_seed(purity.purity_pct, calc_number(in, "germination_pct"),
                       calc_number(in, "hard_pct"), &pls));
    calc_put_number(out, "pls_pct", pls.pls_pct);
    calc_put_number(out, "pls_with_hard_pct", pls.pls_with_hard_pct);
    if (pls.pls_pct > 0) {
        calc_put_number(out, "mass_per_pls", 100 / pls.pls_pct);
    }
    return RESULT_OK;
}

/* Thousand-seed mass */

static const struct calc_field seed_mass_in[] = {
    CALC_NEED_LIST("replicates_g", "g", "Mass of 100 seeds in each replicate.", 0.001, 1e6,
                   SEED_MASS_REPLICATES_MIN, SEED_MASS_REPLICATES_MAX),
};

static const struct calc_output seed_mass_out[] = {
    CALC_OUT("tsm_g", "g", "Mass of a thousand seeds."),
    CALC_OUT("deviation_g", "g", "Standard deviation of a replicate."),
    CALC_OUT_UP("cv_pct", "%", "Coefficient of variation.", 0.01),
    CALC_OUT("verdict", "", "accept, or weigh-more: eight further replicates."),
};

static const struct calc_source seed_mass_sources[] = {
    {"International Seed Testing Association rules, weight determination", "from memory"},
};

static const char *const seed_mass_constants[] = {"seed_mass_cv_max_pct", NULL};

static const char *const seed_mass_cautions[] = {
    "The mass goes with the moisture at weighing; note both.", NULL};

static struct result seed_mass_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    size_t count = 0;
    const double *mass_g = calc_numbers(in, "replicates_g", a, &count);
    int64_t mass_mg[SEED_MASS_REPLICATES_MAX];
    for (size_t i = 0; i < count; i++) {
        mass_mg[i] = calc_scaled_near(mass_g[i], 1000);
    }
    struct seed_mass r;
    TRY(seed_mass(mass_mg, count, &r));
    calc_put_number(out, "tsm_g", r.tsm_g);
    calc_put_number(out, "deviation_g", r.deviation_g);
    calc_put_number(out, "cv_pct", r.cv_pct);
    calc_put_text(out, "verdict", r.accepted ? "accept" : "weigh-more");
    return RESULT_OK;
}

/* Sub-samples of a seed batch */

static const struct calc_field samples_in[] = {
    CALC_NEED_NUMBER("seed_kg", "kg", "Mass of the seed batch.", 0.000001, 1e6),
};

static const struct calc_output samples_out[] = {
    CALC_OUT("samples", "1", "Sub-samples of 50 g, rounded up."),
    CALC_OUT("sample_kg", "kg", "Their mass together."),
};

static const struct calc_source samples_sources[] = {
    {"Regulation (EC) 2073/2005 as amended by 209/2013, Annex I chapter 3", "from memory"},
};

static const char *const samples_constants[] = {"seed_sample_share", "seed_sample_g", NULL};

static const char *const samples_cautions[] = {
    "The rule is written down from memory: have it confirmed once by name and source.", NULL};

static struct result samples_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    int64_t samples = 0;
    TRY(seed_samples(calc_scaled_up(calc_number(in, "seed_kg"), 1e6), &samples));
    calc_put_integer(out, "samples", samples);
    calc_put_number(out, "sample_kg", (double)samples * CONSTANT_SEED_SAMPLE_G / 1000);
    return RESULT_OK;
}

const struct calc_row growth_seed_rows[] = {
    {
        .name = "germination-test",
        .discipline = "growth",
        .purpose = "May a germination test of four times 100 seeds be used, and what does it say?",
        .formula = "mean half up; range <= table of 7 CFR 201.55(a); chi2 = sum (x - m)^2 / "
                   "(m (100 - m)/100)",
        .in = germination_in,
        .in_count = CALC_COUNT(germination_in),
        .out = germination_out,
        .out_count = CALC_COUNT(germination_out),
        .sources = germination_sources,
        .source_count = CALC_COUNT(germination_sources),
        .constants = germination_constants,
        .cautions = germination_cautions,
        .example = "{\"replicates\": [99, 97, 90, 94]}",
        .run = germination_run,
    },
    {
        .name = "germination-interval",
        .discipline = "growth",
        .purpose = "Between what shares does a lot's germination lie, after counting some seeds?",
        .formula = "(p + z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2)) / (1 + z^2/n)",
        .in = interval_in,
        .in_count = CALC_COUNT(interval_in),
        .out = interval_out,
        .out_count = CALC_COUNT(interval_out),
        .sources = interval_sources,
        .source_count = CALC_COUNT(interval_sources),
        .constants = interval_constants,
        .cautions = interval_cautions,
        .example = "{\"counted\": 376, \"seeds\": 400}",
        .run = interval_run,
    },
    {
        .name = "two-tests",
        .discipline = "growth",
        .purpose = "Do two germination tests of one lot agree?",
        .formula = "|a - b| <= table entered with the average, half up",
        .in = two_tests_in,
        .in_count = CALC_COUNT(two_tests_in),
        .out = two_tests_out,
        .out_count = CALC_COUNT(two_tests_out),
        .sources = two_tests_sources,
        .source_count = CALC_COUNT(two_tests_sources),
        .constants = no_constants,
        .cautions = two_tests_cautions,
        .example = "{\"first_pct\": 96, \"second_pct\": 92}",
        .run = two_tests_run,
    },
    {
        .name = "seed-purity",
        .discipline = "growth",
        .purpose = "Purity and pure live seed of a lot, from the parts of a sample.",
        .formula = "purity = 100 * pure/all; PLS = purity * germination/100",
        .in = purity_in,
        .in_count = CALC_COUNT(purity_in),
        .out = purity_out,
        .out_count = CALC_COUNT(purity_out),
        .sources = purity_sources,
        .source_count = CALC_COUNT(purity_sources),
        .constants = no_constants,
        .cautions = purity_cautions,
        .example = "{\"pure_g\": 98.6, \"other_g\": 0.4, \"weed_g\": 0, \"inert_g\": 1, "
                   "\"germination_pct\": 94, \"hard_pct\": 2}",
        .run = purity_run,
    },
    {
        .name = "thousand-seed-mass",
        .discipline = "growth",
        .purpose = "Mass of a thousand seeds from replicates of 100.",
        .formula = "TSM = 10 * mean; good when 100 * s/mean <= 4 %",
        .in = seed_mass_in,
        .in_count = CALC_COUNT(seed_mass_in),
        .out = seed_mass_out,
        .out_count = CALC_COUNT(seed_mass_out),
        .sources = seed_mass_sources,
        .source_count = CALC_COUNT(seed_mass_sources),
        .constants = seed_mass_constants,
        .cautions = seed_mass_cautions,
        .example = "{\"replicates_g\": [5.52, 5.60, 5.47, 5.55, 5.58, 5.50, 5.61, 5.53]}",
        .run = seed_mass_run,
    },
    {
        .name = "seed-samples",
        .discipline = "growth",
        .purpose = "How many sub-samples the preliminary test of a seed batch takes.",
        .formula = "ceil(0.005 * mass / 50 g)",
        .in = samples_in,
        .in_count = CALC_COUNT(samples_in),
        .out = samples_out,
        .out_count = CALC_COUNT(samples_out),
        .sources = samples_sources,
        .source_count = CALC_COUNT(samples_sources),
        .constants = samples_constants,
        .cautions = samples_cautions,
        .example = "{\"seed_kg\": 250}",
        .run = samples_run,
    },
};

const size_t growth_seed_row_count = CALC_COUNT(growth_seed_rows);
