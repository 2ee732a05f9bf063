#include <string.h>

#include "calc/answer.h"
#include "calc/water/backflow.h"
#include "calc/water/rows.h"
#include "calc/water/turbidity.h"
#include "calc/water/uv.h"

static const char *const no_constants[] = {NULL};

/* Turbidity of a month */

static const struct calc_field turbidity_in[] = {
    CALC_NEED_LIST("readings_ntu", "NTU", "The month's readings.", 0, 10000, 0, 200000),
    CALC_CHOICE("filter",
                "Conventional or direct filtration; or slow sand, diatomaceous earth, cartridge "
                "and membrane.",
                "conventional|slow", "\"conventional\""),
};

static const struct calc_output turbidity_out[] = {
    CALC_OUT("state", "", "pass, no-data, share (too many above) or peak (one far above)."),
    CALC_OUT_DOWN("within_pct", "%", "Share of the readings at or below the limit.", 0.01),
    CALC_OUT("above", "1", "Readings above it."),
    CALC_OUT("highest_ntu", "NTU", "The highest."),
    CALC_OUT("limit_ntu", "NTU", "Limit of the share."),
    CALC_OUT("peak_ntu", "NTU", "Limit of each reading."),
};

static const struct calc_source turbidity_sources[] = {
    {"40 CFR 141 subparts H, P and T", "from memory"},
};

static const char *const turbidity_constants[] = {
    "water_turbidity_conventional_ntu", "water_turbidity_conventional_max_ntu",
    "water_turbidity_slow_ntu",         "water_turbidity_slow_max_ntu",
    "water_turbidity_share_pct",        NULL};

static const char *const turbidity_cautions[] = {
    "The limits are from memory and are to be verified; for cartridges and membranes the state "
    "sets its own.",
    "A reading that is missing passes nothing: look at the number of readings as well.", NULL};

static struct result turbidity_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    size_t count = 0;
    const double *readings_ntu = calc_numbers(in, "readings_ntu", a, &count);
    int64_t *readings_mntu = ARENA_ARRAY(a, int64_t, count);
    bool slow = strcmp(calc_text(in, "filter"), "slow") == 0;
    struct turbidity_report r;
    for (size_t i = 0; i < count; i++) {
        readings_mntu[i] = calc_scaled_up(readings_ntu[i], 1000);
    }
    TRY(turbidity_judge(slow ? TURBIDITY_SLOW : TURBIDITY_CONVENTIONAL, readings_mntu, count, &r));
    calc_put_text(out, "state", turbidity_state_word(r.state));
    calc_put_number(out, "within_pct", r.share_pct);
    calc_put_integer(out, "above", (int64_t)r.above);
    calc_put_number(out, "highest_ntu", (double)r.highest_mntu / 1000);
    calc_put_number(out, "limit_ntu", (double)r.limit_mntu / 1000);
    calc_put_number(out, "peak_ntu", (double)r.peak_mntu / 1000);
    return RESULT_OK;
}

/* Ultraviolet light */

static const struct calc_field uv_in[] = {
    CALC_NEED_NUMBER("red_mj_cm2", "mJ/cm2", "Reduction-equivalent dose of the reactor.", 0, 1e5),
    CALC_MAY_NUMBER("validation_factor", "1", "Factor of its validation.", 1, 10, "1"),
};

static const struct calc_output uv_out[] = {
    CALC_OUT("validated_mj_cm2", "mJ/cm2", "Validated dose."),
    CALC_OUT("cryptosporidium_log", "log10", "Credit for Cryptosporidium, a step of the table."),
    CALC_OUT("giardia_log", "log10", "Credit for Giardia."),
    CALC_OUT("virus_log", "log10", "Credit for viruses."),
};

static const struct calc_source uv_sources[] = {
    {"US EPA, Ultraviolet disinfection guidance manual, table of doses, as quoted by a maker of "
     "filters",
     "published (seen)"},
    {"Validated dose = RED/VF", "from memory"},
};

static const char *const uv_cautions[] = {
    "Counts only for a reactor that was validated, inside its range of flow, transmittance and "
    "intensity.",
    "Light leaves no residual: what comes after the lamp is unprotected.", NULL};

static struct result uv_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    static const char *const names[] = {"cryptosporidium_log", "giardia_log", "virus_log"};
    double red_mj_cm2 = calc_number(in, "red_mj_cm2");
    double factor = calc_number(in, "validation_factor");
    for (int organism = UV_CRYPTOSPORIDIUM; organism <= UV_VIRUS; organism++) {
        double log = 0;
        TRY(uv_credit((enum uv_organism)organism, red_mj_cm2, factor, &log));
        calc_put_number(out, names[organism], log);
    }
    calc_put_number(out, "validated_mj_cm2", red_mj_cm2 / factor);
    return RESULT_OK;
}

static const struct calc_field absorption_in[] = {
    CALC_NEED_NUMBER("uvt_pct", "%", "Transmittance of 1 cm of the water at 254 nm.", 0.01, 100),
    CALC_NEED_NUMBER("depth_cm", "cm", "Depth of the water that the light crosses.", 0, 1000),
    CALC_MAY_NUMBER("intensity_mw_cm2", "mW/cm2", "Intensity at its surface.", 1e-6, 1e6, NULL),
    CALC_MAY_NUMBER("dose_mj_cm2", "mJ/cm2", "Dose wanted.", 1e-6, 1e6, NULL),
};

static const struct calc_output absorption_out[] = {
    CALC_OUT("absorbance_per_cm", "1/cm", "Decadic absorbance."),
    CALC_OUT("a_per_cm", "1/cm", "Natural absorbance."),
    CALC_OUT("factor", "1", "Mean over the depth, share of the surface's intensity."),
    CALC_OUT_DOWN("mean_mw_cm2", "mW/cm2", "Mean intensity.", 0.001),
    CALC_OUT_UP("time_s", "s", "Time for the dose, on the average.", 0.01),
};

static const struct calc_source absorption_sources[] = {
    {"Beer's law averaged over the depth: (1 - e^(-aL))/(aL)", "computed here"},
};

static const char *const absorption_cautions[] = {
    "A mean: water that hurries past, or stays at the far side, gets less. Only a validation "
    "says the dose of a reactor.",
    NULL};

static struct result absorption_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct uv_water r;
    TRY(uv_water(calc_number(in, "uvt_pct"), calc_number(in, "depth_cm"), &r));
    calc_put_number(out, "absorbance_per_cm", r.absorbance_per_cm);
    calc_put_number(out, "a_per_cm", r.a_per_cm);
    calc_put_number(out, "factor", r.factor);
    if (calc_has(in, "intensity_mw_cm2")) {
        double mean = calc_number(in, "intensity_mw_cm2") * r.factor;
        calc_put_number(out, "mean_mw_cm2", mean);
        if (calc_has(in, "dose_mj_cm2")) {
            calc_put_number(out, "time_s", calc_number(in, "dose_mj_cm2") / mean);
        }
    }
    return RESULT_OK;
}

/* Back-flow */

#define DEVICE_WORDS "none|air-gap|vacuum-breaker|reduced-pressure"

static const struct calc_field backflow_in[] = {
    {.name = "device",
     .unit = "",
     .what = "What keeps water from flowing back at this connection.",
     .type = CALC_TEXT,
     .choices = DEVICE_WORDS,
     .needed = true},
    CALC_MAY_NUMBER("bore_mm", "mm", "Bore of an air gap's inlet.", 1, 2000, NULL),
    CALC_MAY_NUMBER("gap_mm", "mm", "Air gap above the highest level.", 0, 10000, NULL),
    {.name = "tested_days_ago",
     .unit = "d",
     .what = "Days since the last test; leave out where there was none.",
     .type = CALC_INTEGER,
     .low = 0,
     .high = 100000},
    {.name = "test_every_days",
     .unit = "d",
     .what = "The house's interval; a reduced-pressure valve is tested at least yearly.",
     .type = CALC_INTEGER,
     .low = 0,
     .high = 3660,
     .fallback = "0"},
};

static const struct calc_output backflow_out[] = {
    CALC_OUT("state", "", "ok, no-device, gap-small, untested or overdue."),
    CALC_OUT_UP("gap_needed_mm", "mm", "Air gap needed.", 1),
    CALC_OUT("days_left", "d", "Days until the test is due; below 0 it is overdue."),
};

static const struct calc_source backflow_sources[] = {
    {"Good practice of back-flow prevention", "from memory"},
};

static const char *const backflow_constants[] = {"water_air_gap_bores", "water_air_gap_mm",
                                                 "water_backflow_test_days", NULL};

static const char *const backflow_cautions[] = {
    "Anything but ok: the water behind this connection is not fit for use until it is put right.",
    "The rules are from memory and are to be verified against the local plumbing code.", NULL};

static struct result backflow_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    static const char *const words[] = {"none", "air-gap", "vacuum-breaker", "reduced-pressure"};
    size_t device = calc_choice(in, "device", words, CALC_COUNT(words));
    if (device == BACKFLOW_AIR_GAP && !(calc_has(in, "bore_mm") && calc_has(in, "gap_mm"))) {
        return FAIL1(FIELD_MISSING, calc_has(in, "bore_mm") ? "gap_mm" : "bore_mm",
                     "An air gap is judged by both.");
    }
    struct backflow_connection connection = {
        .device = (enum backflow_device)device,
        .bore_mm = calc_has(in, "bore_mm") ? calc_number(in, "bore_mm") : 1,
        .gap_mm = calc_has(in, "gap_mm") ? calc_number(in, "gap_mm") : 0,
        .last_test_day = calc_has(in, "tested_days_ago")
                             ? (int32_t)-calc_integer(in, "tested_days_ago")
                             : BACKFLOW_NEVER,
        .test_every_day = (int32_t)calc_integer(in, "test_every_days"),
    };
    struct backflow_report r;
    TRY(backflow_judge(&connection, 0, &r));
    calc_put_text(out, "state", backflow_state_word(r.state));
    if (device == BACKFLOW_AIR_GAP) {
        calc_put_number(out, "gap_needed_mm", r.gap_needed_mm);
    }
    if (r.has_due) {
        calc_put_integer(out, "days_left", r.due_day);
    }
    return RESULT_OK;
}

const struct calc_row water_check_rows[] = {
    {
        .name = "turbidity-month",
        .discipline = "water",
        .purpose = "Do a month's turbidity readings keep the rule of the filter?",
        .formula = "at least 95 % of the readings <= limit, none > peak",
        .in = turbidity_in,
        .in_count = CALC_COUNT(turbidity_in),
        .out = turbidity_out,
        .out_count = CALC_COUNT(turbidity_out),
        .sources = turbidity_sources,
        .source_count = CALC_COUNT(turbidity_sources),
        .constants = turbidity_constants,
        .cautions = turbidity_cautions,
        .example = "{\"readings_ntu\": [0.1, 0.12, 0.28, 0.31, 0.2]}",
        .run = turbidity_run,
    },
    {
        .name = "uv-credit",
        .discipline = "water",
        .purpose = "The decimals that a validated dose of ultraviolet light is worth.",
        .formula = "largest log of the table with dose <= RED/VF",
        .in = uv_in,
        .in_count = CALC_COUNT(uv_in),
        .out = uv_out,
        .out_count = CALC_COUNT(uv_out),
        .sources = uv_sources,
        .source_count = CALC_COUNT(uv_sources),
        .constants = no_constants,
        .cautions = uv_cautions,
        .example = "{\"red_mj_cm2\": 48, \"validation_factor\": 1.2}",
        .run = uv_run,
    },
    {
        .name = "uv-absorption",
        .discipline = "water",
        .purpose = "What water leaves of ultraviolet light, and the time a dose takes.",
        .formula = "a = -ln(UVT); mean = I0 (1 - e^(-aL))/(aL); t = dose/mean",
        .in = absorption_in,
        .in_count = CALC_COUNT(absorption_in),
        .out = absorption_out,
        .out_count = CALC_COUNT(absorption_out),
        .sources = absorption_sources,
        .source_count = CALC_COUNT(absorption_sources),
        .constants = no_constants,
        .cautions = absorption_cautions,
        .example = "{\"uvt_pct\": 70, \"depth_cm\": 2, \"intensity_mw_cm2\": 10, "
                   "\"dose_mj_cm2\": 40}",
        .run = absorption_run,
    },
    {
        .name = "backflow-check",
        .discipline = "water",
        .purpose = "Is a connection of the water system safe against back-flow?",
        .formula = "air gap >= max(2 bore, 25 mm); test not older than its interval",
        .in = backflow_in,
        .in_count = CALC_COUNT(backflow_in),
        .out = backflow_out,
        .out_count = CALC_COUNT(backflow_out),
        .sources = backflow_sources,
        .source_count = CALC_COUNT(backflow_sources),
        .constants = backflow_constants,
        .cautions = backflow_cautions,
        .example = "{\"device\": \"air-gap\", \"bore_mm\": 20, \"gap_mm\": 45}",
        .run = backflow_run,
    },
};

const size_t water_check_row_count = CALC_COUNT(water_check_rows);
