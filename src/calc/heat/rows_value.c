#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/heat_value.h"
#include "calc/heat/lethality_bound.h"
#include "calc/heat/rate_sum.h"
#include "calc/heat/rows.h"
#include "calc/heat/rows_log.h"

static const struct calc_source closed_sources[] = {
    {"Closed form: integral of 10^((T - Tref)/z) over a straight line", "computed here"},
};

static enum lethality_window window_read(const json_t *in)
{
    const char *window = calc_text(in, "window");
    return strcmp(window, "hold") == 0           ? LETHALITY_WINDOW_HOLD
           : strcmp(window, "come-up-hold") == 0 ? LETHALITY_WINDOW_COME_UP_HOLD
                                                 : LETHALITY_WINDOW_ALL;
}

static void window_fields_read(const json_t *in, struct arena *a, const struct heat_log *log,
                               struct lethality_settings *set)
{
    set->limit_c = calc_has(in, "limit_c") ? calc_number(in, "limit_c") : set->reference_c;
    set->has_tested_max = calc_has(in, "tested_max_c");
    set->tested_max_c = set->has_tested_max ? calc_number(in, "tested_max_c") : 0;
    set->window = window_read(in);
    set->gap_max_ms = heat_rows_log_gap_ms(in, a, log);
}

static void gaps_caution(size_t gaps, struct calc_answer *out)
{
    if (gaps > 0) {
        calc_caution(out, "The log has gaps; they call for a decision.");
    }
}

#define WINDOW_FIELDS                                                                            \
    CALC_MAY_NUMBER("limit_c", "C",                                                              \
                    "Hold means at or above it; otherwise the reference temperature.", -60, 300, \
                    NULL),                                                                       \
        CALC_MAY_NUMBER("tested_max_c", "C",                                                     \
                        "Highest temperature at which the constants were measured.", -60, 300,   \
                        NULL),                                                                   \
        CALC_CHOICE("window", "Which part of the history is credited.", "hold|come-up-hold|all", \
                    "\"hold\"")

/* Lethality bound */

static const struct calc_field bound_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    CALC_NEED_NUMBER("reference_c", "C", "Temperature at which D holds.", -60, 300),
    CALC_NEED_NUMBER("z_c", "C", "Rise that makes D ten times shorter, as measured.", 1e-9, 1e12),
    CALC_NEED_NUMBER("z_low_c", "C", "Lower end of its interval.", 1e-9, 1e12),
    CALC_NEED_NUMBER("z_high_c", "C", "Upper end of its interval.", 1e-9, 1e12),
    CALC_NEED_NUMBER("d_high_s", "s", "Upper end of D at the reference temperature.", 1e-9, 1e12),
    CALC_MAY_NUMBER("noise_c", "C", "Standard deviation of random noise in the readings.", 0, 20,
                    "0"),
    WINDOW_FIELDS,
};

static const struct calc_output bound_out[] = {
    {.name = "reduction_low",
     .unit = "log10",
     .what = "Log reduction that is left with D and z at their worst.",
     .round = CALC_DOWN,
     .step = 0.1,
     .cap = CONSTANT_HEAT_REDUCTION_SHOWN_MAX},
    CALC_OUT_DOWN("f_low_s", "s", "Equivalent time at the reference with z at its worst.", 0.1),
    CALC_OUT("f_given_s", "s", "Conservative equivalent time with z as measured."),
    CALC_OUT("z_worst_c", "C", "The z at which it is least."),
    CALC_OUT("noise_factor", "1", "By how much noise inflates it there; taken out."),
    CALC_OUT("z_sensitivity", "1/C", "d ln F / dz at z as measured."),
};

static const char *const bound_constants[] = {"heat_credit_above_tested_c", "heat_gap_intervals",
                                              "heat_reduction_shown_max", NULL};

static const char *const bound_cautions[] = {
    "Calculated, not validated: a qualified process authority sets and signs D, z, target, cold "
    "spot and limits for this product.",
    "The ends of D and z are taken at their worst together, which is severer than either alone.",
    "Straight-line kill may fail: survivors can hold out at first or tail off at the end.", NULL};

static struct result bound_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    TRY(heat_rows_log_read(in, a, &log));
    struct lethality_doubt doubt = {.z_low_c = calc_number(in, "z_low_c"),
                                    .z_high_c = calc_number(in, "z_high_c"),
                                    .d_high_s = calc_number(in, "d_high_s"),
                                    .noise_c = calc_number(in, "noise_c")};
    struct lethality_settings set = {.reference_c = calc_number(in, "reference_c"),
                                     .z_c = calc_number(in, "z_c")};
    struct lethality_bound r;
    window_fields_read(in, a, &log, &set);
    TRY(lethality_bound(&log, &set, &doubt, &r));
    calc_put_number(out, "reduction_low", r.reduction_low);
    calc_put_number(out, "f_low_s", r.f_low_s);
    calc_put_number(out, "f_given_s", r.f_given_s);
    calc_put_number(out, "z_worst_c", r.z_worst_c);
    calc_put_number(out, "noise_factor", r.noise_share);
    calc_put_number(out, "z_sensitivity", r.z_sensitivity);
    if (!set.has_tested_max) {
        calc_caution(out, "The range in which D was measured is not given; the reference "
                          "temperature is taken for its upper end.");
    }
    return RESULT_OK;
}

/* Pasteurisation units */

static const struct calc_field units_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    CALC_CHOICE("set", "Which unit; or give reference_c and z_c.",
                "beer|beer-z7|juice-80|p70|acid-195", NULL),
    CALC_MAY_NUMBER("reference_c", "C", "Temperature at which one minute is one unit.", -60, 300,
                    NULL),
    CALC_MAY_NUMBER("z_c", "C", "Rise that makes it ten units.", 1e-9, 1e12, NULL),
    CALC_CHOICE("window", "Which part of the history is credited.", "hold|come-up-hold|all",
                "\"all\""),
    CALC_MAY_NUMBER("limit_c", "C", "Hold means at or above it; otherwise the reference.", -60, 300,
                    NULL),
    CALC_MAY_NUMBER("tested_max_c", "C",
                    "Highest temperature at which the constants were measured.", -60, 300, NULL),
};

static const struct calc_output units_out[] = {
    CALC_OUT_DOWN("units_conservative", "min",
                  "Units that a decision may use: coldest readings less their uncertainty, no "
                  "credit for cooling.",
                  0.1),
    CALC_OUT_DOWN("units_best", "min", "Units of the coldest probe's readings as they are.", 0.1),
    CALC_OUT("trapezoid", "min", "The same by the trapezoid rule, to compare old records."),
    CALC_OUT("gaps", "1", "Number of gaps; nothing is credited in them."),
};

static const char *const units_constants[] = {"heat_credit_above_tested_c", "heat_gap_intervals",
                                              NULL};

static const char *const units_cautions[] = {
    "A unit says how much heat there was, not that it was enough: a qualified process authority "
    "sets the number for this product.",
    "Alicyclobacillus spores outlive every one of these processes.",
    "Measure at the coldest place, closure and headspace included.", NULL};

static struct result units_set_read(const json_t *in, struct calc_answer *out,
                                    struct lethality_settings *set)
{
    static const char *const names[] = {"reference_c", "z_c"};
    double *const values[] = {&set->reference_c, &set->z_c};
    bool by_name = calc_has(in, "set");
    for (size_t i = 0; i < CALC_COUNT(names); i++) {
        if (calc_has(in, names[i]) == by_name) {
            return by_name ? FAIL2(FIELD_RANGE, names[i], "given",
                                   "left out where a set gives the constants")
                           : FAIL1(FIELD_MISSING, names[i], "Give it, or name a set.");
        }
        *values[i] = by_name ? 0 : calc_number(in, names[i]);
    }
    if (by_name) {
        const struct heat_value_set *s = heat_value_set_find(calc_text(in, "set"));
        set->reference_c = s->reference_c;
        set->z_c = s->z_c;
        for (size_t i = 0; i < HEAT_VALUE_CONSTANTS; i++) {
            calc_used(out, s->constant[i]);
        }
    }
    return RESULT_OK;
}

static struct result units_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    struct lethality_report r;
    struct lethality_settings set = {.d_s = 60};
    TRY(heat_rows_log_read(in, a, &log));
    TRY(units_set_read(in, out, &set));
    window_fields_read(in, a, &log, &set);
    TRY(lethality(&log, &set, &r));
    calc_put_number(out, "units_conservative", r.f_conservative_s / 60);
    calc_put_number(out, "units_best", r.f_best_s / 60);
    calc_put_number(out, "trapezoid", r.trapezoid_s / 60);
    calc_put_integer(out, "gaps", (int64_t)r.gaps);
    gaps_caution(r.gaps, out);
    if ((r.flags & LETHALITY_CAPPED) != 0) {
        calc_caution(out, "Readings lie more than 5.56 C above the tested range (above the "
                          "reference where none is given); the conservative number credits them "
                          "only up to there.");
    }
    return RESULT_OK;
}

/* Cook value */

static const struct calc_field cook_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    CALC_MAY_NUMBER("reference_c", "C", "Temperature at which one minute is one.", -60, 300,
                    CALC_FALLBACK(CONSTANT_COOK_VALUE_REFERENCE_C)),
    CALC_MAY_NUMBER("z_c", "C", "Rise that makes it ten.", 1e-9, 1e12,
                    CALC_FALLBACK(CONSTANT_COOK_VALUE_Z_C)),
};

static const struct calc_output cook_out[] = {
    CALC_OUT_UP("cook_value_upper_min", "min",
                "Cook value of the hottest readings plus their uncertainty.", 0.1),
    CALC_OUT("cook_value_min", "min", "The same of the hottest readings as they are."),
    CALC_OUT("gaps", "1", "Number of gaps; the hotter end is taken through them."),
};

static const char *const cook_constants[] = {"cook_value_reference_c", "cook_value_z_c",
                                             "heat_gap_intervals", NULL};

static const char *const cook_cautions[] = {
    "Watch the hottest place for quality, the coldest for safety.",
    "What cook value a product stands is found by tasting it.", NULL};

static struct result cook_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    struct cook_value r;
    TRY(heat_rows_log_read(in, a, &log));
    TRY(cook_value(&log, calc_number(in, "reference_c"), calc_number(in, "z_c"),
                   heat_rows_log_gap_ms(in, a, &log), &r));
    calc_put_number(out, "cook_value_upper_min", r.upper_min);
    calc_put_number(out, "cook_value_min", r.best_min);
    calc_put_integer(out, "gaps", (int64_t)r.gaps);
    gaps_caution(r.gaps, out);
    return RESULT_OK;
}

/* Sums of rates, as old records have them */

static const struct calc_field sum_in[] = {
    CALC_NEED_LIST("rates", "1", "Lethal rates at equal intervals, or one sum of them.", 0, 1e300,
                   1, HEAT_ROWS_POINTS_MAX),
    CALC_NEED_NUMBER("interval_min", "min", "The interval.", 1e-6, 1e6),
};

static const struct calc_output sum_out[] = {
    CALC_OUT("f_rectangle_min", "min", "Sum of all rates times the interval."),
    CALC_OUT("f_trapezoid_min", "min", "The same with the first and the last rate halved."),
    CALC_OUT("f_simpson_min", "min", "By Simpson's rule; only with an odd number of rates."),
};

static const char *const no_constants[] = {NULL};

static const struct calc_source sum_sources[] = {
    {"Rules of numerical integration over equal intervals", "computed here"},
};

static const char *const sum_cautions[] = {
    "For comparing old records only: these sums overstate the kill of a straight-line history, the "
    "more the coarser the log. Judge by lethality.",
    NULL};

static struct result sum_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    size_t count = 0;
    const double *rates = calc_numbers(in, "rates", a, &count);
    struct rate_sum r;
    TRY(rate_sum(rates, count, calc_number(in, "interval_min"), &r));
    calc_put_number(out, "f_rectangle_min", r.rectangle);
    if (count > 1) {
        calc_put_number(out, "f_trapezoid_min", r.trapezoid);
    }
    if (r.has_simpson) {
        calc_put_number(out, "f_simpson_min", r.simpson);
    }
    return RESULT_OK;
}

const struct calc_row heat_value_rows[] = {
    {
        .name = "lethality-bound",
        .discipline = "heat",
        .purpose = "Log reduction that is left when D and z are only known within limits.",
        .formula = "R_low = min over z of F(z) / D_high, F less readings' doubt and noise",
        .in = bound_in,
        .in_count = CALC_COUNT(bound_in),
        .out = bound_out,
        .out_count = CALC_COUNT(bound_out),
        .sources = closed_sources,
        .source_count = CALC_COUNT(closed_sources),
        .constants = bound_constants,
        .cautions = bound_cautions,
        .example = "{\"points\": [[0, 40], [10, 62], [20, 70], [30, 72], [40, 72], [50, 71], "
                   "[60, 45]], \"uncertainty_c\": [0.3], \"reference_c\": 71.1, \"z_c\": 5.3, "
                   "\"z_low_c\": 4.8, \"z_high_c\": 5.9, \"d_high_s\": 1, \"tested_max_c\": 71.1}",
        .run = bound_run,
    },
    {
        .name = "pasteurisation-units",
        .discipline = "heat",
        .purpose = "Pasteurisation units and other equivalent minutes of a logged heat.",
        .formula = "PU = integral of 10^((T - Tref)/z) dt in minutes, exact over straight lines",
        .in = units_in,
        .in_count = CALC_COUNT(units_in),
        .out = units_out,
        .out_count = CALC_COUNT(units_out),
        .sources = closed_sources,
        .source_count = CALC_COUNT(closed_sources),
        .constants = units_constants,
        .cautions = units_cautions,
        .example = "{\"points\": [[0, 20], [300, 60], [1200, 62], [1500, 30]], \"set\": \"beer\"}",
        .run = units_run,
    },
    {
        .name = "cook-value",
        .discipline = "heat",
        .purpose = "What a logged heat costs in cooked quality, at the hottest place.",
        .formula =
            "C = integral of 10^((T - Tref)/z) dt in minutes, hottest probe plus uncertainty",
        .in = cook_in,
        .in_count = CALC_COUNT(cook_in),
        .out = cook_out,
        .out_count = CALC_COUNT(cook_out),
        .sources = closed_sources,
        .source_count = CALC_COUNT(closed_sources),
        .constants = cook_constants,
        .cautions = cook_cautions,
        .example = "{\"points\": [[0, 20], [600, 95], [1800, 98], [2400, 30]]}",
        .run = cook_run,
    },
    {
        .name = "rate-sum",
        .discipline = "heat",
        .purpose = "Sums of lethal rates as old records have them, to compare with.",
        .formula = "dt * sum of L; trapezoid; Simpson",
        .in = sum_in,
        .in_count = CALC_COUNT(sum_in),
        .out = sum_out,
        .out_count = CALC_COUNT(sum_out),
        .sources = sum_sources,
        .source_count = CALC_COUNT(sum_sources),
        .constants = no_constants,
        .cautions = sum_cautions,
        .example = "{\"rates\": [0.03, 6.44, 18.35, 2.26, 0.28], \"interval_min\": 1}",
        .run = sum_run,
    },
};

const size_t heat_value_row_count = CALC_COUNT(heat_value_rows);
