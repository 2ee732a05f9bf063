#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/water/backflow.h"
#include "calc/water/rows.h"
#include "calc/water/turbidity.h"
#include "calc/water/uv.h"
#include "calc/water/water_period.h"

static const char *const no_constants[] = {NULL};

/* A period of readings */

enum { READING_COLUMNS = 1 + WATER_QUANTITIES, SEGMENT_COLUMNS = 2, UNREAD = -9999 };

static const struct calc_field period_in[] = {
    CALC_NEED_TABLE("readings", "h, mg/L, 1, C, NTU, mV, L/min",
                    "For each reading, in order: time, disinfectant, pH, temperature, turbidity, "
                    "ORP, flow; -9999 for what was not read.",
                    0, 200000),
    CALC_NEED_NUMBER("begin_h", "h", "Begin of the period, on the clock of the readings.", -1e9,
                     1e9),
    CALC_NEED_NUMBER("end_h", "h", "Its end.", -1e9, 1e9),
    CALC_NEED_NUMBER("interval_max_h", "h", "A longer silence is unknown.", 0.001, 168),
    CALC_MAY_NUMBER("disinfectant_low_mg_l", "mg/L", "Disinfectant, at least.", 0, 1e6, NULL),
    CALC_MAY_NUMBER("disinfectant_high_mg_l", "mg/L", "Disinfectant, at most.", 0, 1e6, NULL),
    CALC_MAY_NUMBER("ph_low", "1", "pH, at least.", 0, 14, NULL),
    CALC_MAY_NUMBER("ph_high", "1", "pH, at most.", 0, 14, NULL),
    CALC_MAY_NUMBER("temp_low_c", "C", "Temperature, at least.", -5, 100, NULL),
    CALC_MAY_NUMBER("temp_high_c", "C", "Temperature, at most.", -5, 100, NULL),
    CALC_MAY_NUMBER("turbidity_high_ntu", "NTU", "Turbidity, at most.", 0, 10000, NULL),
    CALC_MAY_NUMBER("orp_low_mv", "mV", "ORP, at least.", -2000, 2000, NULL),
    CALC_MAY_NUMBER("flow_high_l_min", "L/min", "Flow, at most.", 0, 1e9, NULL),
    {.name = "segments",
     .unit = "L, 1",
     .what = "Tanks and pipes on the way: volume and baffling; readings at their end.",
     .type = CALC_TABLE,
     .count_low = 0,
     .count_high = CT_SEGMENTS_MAX},
    CALC_MAY_NUMBER("giardia_log_needed", "log10", "Decimals of Giardia asked of them.", 0, 3, "0"),
    CALC_MAY_NUMBER("virus_log_needed", "log10", "Decimals of viruses asked of them.", 0, 4, "0"),
};

static const struct calc_output period_out[] = {
    CALC_OUT("state", "", "good, bad, unknown (for review) or no-data."),
    CALC_OUT("good", "1", "Good readings."),
    CALC_OUT("bad", "1", "Readings that broke a limit."),
    CALC_OUT("unknown", "1", "Readings that lack what is asked for."),
    CALC_OUT("broken", "1", "Readings that broke each quantity's limit, in the order above."),
    CALC_OUT("unread", "1", "Readings that lack each quantity, in the order above."),
    CALC_OUT("ct_low", "1", "Readings at which the contact was worth too little."),
    CALC_OUT_UP("longest_h", "h", "Longest silence, ends of the period included.", 0.01),
    {.name = "giardia_log_lowest",
     .unit = "log10",
     .what = "The least decimals of Giardia.",
     .round = CALC_DOWN,
     .step = 0.01,
     .cap = CT_GIARDIA_LOG_MAX},
    {.name = "virus_log_lowest",
     .unit = "log10",
     .what = "The least decimals of viruses.",
     .round = CALC_DOWN,
     .step = 0.01,
     .cap = CT_VIRUS_LOG_MAX},
    CALC_OUT("hold_from_h", "h", "Begin of each stretch to hold: the last good reading before."),
    CALC_OUT("hold_to_h", "h", "Its end: the first good reading after."),
};

static const struct calc_source period_sources[] = {
    {"Limits as given; contact time by the CT tables of US EPA 815-R-20-003, appendix B",
     "published (seen)"},
    {"What lies between the last good and the next good reading is held", "common practice"},
};

static const char *const period_cautions[] = {
    "The baffling of a segment comes from a tracer test; a share known by heart releases nothing.",
    "What was washed or watered in a stretch to hold is on hold until somebody decides.",
    "ORP steers a dosing pump; it is no measure of concentration, and it reads otherwise at "
    "another pH and load. Packers hold 650 to 700 mV at pH 6.5 to 7 (from memory).",
    "Stop the feed of product by itself when the disinfectant falls below its limit.", NULL};

static int64_t reading_value(double value, double scale, bool down)
{
    if (value == UNREAD) {
        return WATER_NONE;
    }
    return down ? calc_scaled_down(value, scale) : calc_scaled_up(value, scale);
}

static struct result readings_read(const json_t *in, struct arena *a, struct water_reading **out,
                                   size_t *out_count)
{
    static const double scales[WATER_QUANTITIES] = {1000, 1000, 1000, 1000, 1, 1000};
    /* To the side on which less is earned: little disinfectant, high pH, cold, much turbidity. */
    static const bool down[WATER_QUANTITIES] = {true, false, true, false, true, false};
    const double *values;
    size_t count;
    TRY(calc_table(in, "readings", a, READING_COLUMNS,
                   "time, disinfectant, pH, temperature, turbidity, ORP and flow", &values,
                   &count));
    struct water_reading *readings = ARENA_ARRAY(a, struct water_reading, count);
    for (size_t i = 0; i < count; i++) {
        const double *row = values + i * READING_COLUMNS;
        for (size_t j = 0; j < READING_COLUMNS; j++) {
            if (fabs(row[j]) > 1e9) {
                return FAIL2(FIELD_RANGE, arena_printf(a, "readings[%zu][%zu]", i, j),
                             arena_printf(a, "%.10g", row[j]), "from -1e9 to 1e9");
            }
        }
        readings[i].time_ms = calc_scaled_near(row[0], 3600000);
        for (size_t q = 0; q < WATER_QUANTITIES; q++) {
            readings[i].value[q] = reading_value(row[1 + q], scales[q], down[q]);
        }
    }
    *out = readings;
    *out_count = count;
    return RESULT_OK;
}

static void limit_read(const json_t *in, const char *name, double scale, bool up, int64_t *out)
{
    if (calc_has(in, name)) {
        double value = calc_number(in, name);
        *out = up ? calc_scaled_up(value, scale) : calc_scaled_down(value, scale);
    }
}

static struct water_limits limits_read(const json_t *in)
{
    struct water_limits out =
        water_limits_none(calc_scaled_down(calc_number(in, "interval_max_h"), 3600000));
    limit_read(in, "disinfectant_low_mg_l", 1000, true, &out.low[WATER_DISINFECTANT_UG_L]);
    limit_read(in, "disinfectant_high_mg_l", 1000, false, &out.high[WATER_DISINFECTANT_UG_L]);
    limit_read(in, "ph_low", 1000, true, &out.low[WATER_PH_MILLI]);
    limit_read(in, "ph_high", 1000, false, &out.high[WATER_PH_MILLI]);
    limit_read(in, "temp_low_c", 1000, true, &out.low[WATER_TEMP_MC]);
    limit_read(in, "temp_high_c", 1000, false, &out.high[WATER_TEMP_MC]);
    limit_read(in, "turbidity_high_ntu", 1000, false, &out.high[WATER_TURBIDITY_MNTU]);
    limit_read(in, "orp_low_mv", 1, true, &out.low[WATER_ORP_MV]);
    limit_read(in, "flow_high_l_min", 1000, false, &out.high[WATER_FLOW_ML_MIN]);
    return out;
}

static struct result chain_read(const json_t *in, struct arena *a, struct water_chain *out)
{
    const double *values;
    *out = (struct water_chain){.giardia_log_needed = calc_number(in, "giardia_log_needed"),
                                .virus_log_needed = calc_number(in, "virus_log_needed")};
    if (!calc_has(in, "segments")) {
        return RESULT_OK;
    }
    TRY(calc_table(in, "segments", a, SEGMENT_COLUMNS, "volume and baffling", &values,
                   &out->count));
    struct water_segment *segments = ARENA_ARRAY(a, struct water_segment, out->count);
    for (size_t i = 0; i < out->count; i++) {
        segments[i] =
            (struct water_segment){.volume_l = values[2 * i], .baffling = values[2 * i + 1]};
    }
    out->segments = segments;
    return RESULT_OK;
}

static void counts_put(struct calc_answer *out, const char *name,
                       const size_t counts[WATER_QUANTITIES])
{
    double values[WATER_QUANTITIES];
    for (size_t q = 0; q < WATER_QUANTITIES; q++) {
        values[q] = (double)counts[q];
    }
    calc_put_numbers(out, name, values, WATER_QUANTITIES);
}

static void period_put(struct calc_answer *out, const struct water_period *r)
{
    double from_h[WATER_STRETCHES_MAX], to_h[WATER_STRETCHES_MAX];
    for (size_t i = 0; i < r->stretches; i++) {
        from_h[i] = (double)r->stretch[i].from_ms / 3600000;
        to_h[i] = (double)r->stretch[i].to_ms / 3600000;
    }
    calc_put_text(out, "state", water_state_word(r->state));
    calc_put_integer(out, "good", (int64_t)r->good);
    calc_put_integer(out, "bad", (int64_t)r->bad);
    calc_put_integer(out, "unknown", (int64_t)r->unknown);
    counts_put(out, "broken", r->broken);
    counts_put(out, "unread", r->unread);
    calc_put_integer(out, "ct_low", (int64_t)r->ct_low);
    calc_put_number(out, "longest_h", (double)r->longest_ms / 3600000);
    if (r->has_ct) {
        calc_put_number(out, "giardia_log_lowest", r->giardia_log_lowest);
        calc_put_number(out, "virus_log_lowest", r->virus_log_lowest);
    }
    calc_put_numbers(out, "hold_from_h", from_h, r->stretches);
    calc_put_numbers(out, "hold_to_h", to_h, r->stretches);
}

static struct result period_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct water_reading *readings = NULL;
    size_t count = 0;
    struct water_chain chain;
    struct water_limits limits = limits_read(in);
    struct water_period *r = ARENA_NEW(a, struct water_period);
    TRY(readings_read(in, a, &readings, &count));
    TRY(chain_read(in, a, &chain));
    TRY(water_period(readings, count, calc_scaled_near(calc_number(in, "begin_h"), 3600000),
                     calc_scaled_near(calc_number(in, "end_h"), 3600000), &limits, &chain, r));
    period_put(out, r);
    return RESULT_OK;
}

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
        .name = "water-period",
        .discipline = "water",
        .purpose = "Was water under control for a whole period, and what is to be held?",
        .formula = "a reading is good when every limit is met and sum of L(table) C t10/CT(table) "
                   ">= decimals needed; held: from the last good reading to the next good one",
        .in = period_in,
        .in_count = CALC_COUNT(period_in),
        .out = period_out,
        .out_count = CALC_COUNT(period_out),
        .sources = period_sources,
        .source_count = CALC_COUNT(period_sources),
        .constants = no_constants,
        .cautions = period_cautions,
        .example = "{\"readings\": [[0, 1.2, 7.2, 15, 0.2, 690, 40], [1, 0.9, 7.3, 15, 0.2, 670, "
                   "40], [2, 0.2, 7.3, 15, 0.4, 590, 45], [3, 1.1, 7.2, 15, 0.2, 680, 40]], "
                   "\"begin_h\": 0, \"end_h\": 3.5, \"interval_max_h\": 1, "
                   "\"disinfectant_low_mg_l\": 0.5, \"ph_high\": 7.5, \"orp_low_mv\": 650, "
                   "\"segments\": [[5000, 0.3]], \"giardia_log_needed\": 0.5, "
                   "\"virus_log_needed\": 4}",
        .run = period_run,
    },
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
