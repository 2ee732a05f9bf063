#include <math.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/log_interval.h"
#include "calc/heat/rows.h"
#include "calc/heat/sensor.h"

static const struct calc_source combining_sources[] = {
    {"Sum of variances: normal certificate, rectangular drift and resolution", "computed here"},
};

static const struct calc_source closed_sources[] = {
    {"Closed form from the lethal rate 10^((T - Tref)/z)", "computed here"},
};

static const char *const no_constants[] = {NULL};

/* Sensor uncertainty */

static const struct calc_field uncertainty_in[] = {
    CALC_NEED_NUMBER("certificate_c", "C",
                     "Expanded uncertainty (k = 2) that the calibration certificate states.", 0,
                     20),
    CALC_NEED_NUMBER("drift_c", "C", "Largest drift since the calibration, either way.", 0, 20),
    CALC_NEED_NUMBER("resolution_c", "C", "One step of the display or logger.", 0, 20),
    CALC_MAY_NUMBER("as_found_c", "C",
                    "Error found at the last calibration, above 0 where it reads high.", -20, 20,
                    "0"),
    CALC_MAY_NUMBER("z_c", "C", "To say what that does to a lethality.", 1e-9, 1e12, NULL),
};

static const struct calc_output uncertainty_out[] = {
    CALC_OUT_UP("uncertainty_c", "C", "Expanded uncertainty (k = 2) of a reading.", 0.01),
    CALC_OUT_UP("take_off_c", "C",
                "What to take off each reading: the uncertainty and an error that reads high.",
                0.01),
    CALC_OUT("lethality_share", "1", "What is left of a lethality then."),
};

static const char *const uncertainty_cautions[] = {
    "An overdue calibration says nothing: release nothing by such a probe.",
    "Where a probe was found to read high, judge again every batch since it was last found good.",
    NULL};

static struct result uncertainty_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct sensor_doubt doubt = {.certificate_c = calc_number(in, "certificate_c"),
                                 .drift_c = calc_number(in, "drift_c"),
                                 .resolution_c = calc_number(in, "resolution_c")};
    double uncertainty_c;
    TRY(sensor_uncertainty(&doubt, &uncertainty_c));
    double take_off_c = uncertainty_c + fmax(0, calc_number(in, "as_found_c"));
    calc_put_number(out, "uncertainty_c", uncertainty_c);
    calc_put_number(out, "take_off_c", take_off_c);
    if (calc_has(in, "z_c")) {
        calc_put_number(out, "lethality_share", exp(-M_LN10 * take_off_c / calc_number(in, "z_c")));
    }
    return RESULT_OK;
}

/* Probe lag */

static const struct calc_field lag_in[] = {
    CALC_NEED_NUMBER("time_s", "s", "Time from one bath's reading towards another's.", 1e-6, 1e6),
    CALC_NEED_NUMBER("gap_start_c", "C", "Difference between reading and new bath at its start.",
                     1e-9, 400),
    CALC_NEED_NUMBER("gap_end_c", "C", "The same at its end.", 1e-9, 400),
};

static const struct calc_output lag_out[] = {
    CALC_OUT_UP("lag_s", "s", "Time constant of the probe.", 0.01),
};

static const struct calc_source lag_sources[] = {
    {"First-order response: gap = start * e^(-t / lag)", "computed here"},
    {"New York, dairy rules, appendix 9: a thermometer moved from a bath 11 C away to one 4 C away "
     "within 4 s",
     "published (seen)"},
};

static const char *const lag_cautions[] = {
    "Test the probe in water that moves, mounted as it is in use.", NULL};

static struct result lag_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double lag_s;
    TRY(sensor_lag(calc_number(in, "time_s"), calc_number(in, "gap_start_c"),
                   calc_number(in, "gap_end_c"), &lag_s));
    calc_put_number(out, "lag_s", lag_s);
    return RESULT_OK;
}

/* Reading errors */

static const struct calc_field errors_in[] = {
    CALC_NEED_NUMBER("z_c", "C", "Rise that makes D ten times shorter.", 1e-9, 1e12),
    CALC_MAY_NUMBER("shift_c", "C", "Readings too high by it.", -20, 20, "0"),
    CALC_MAY_NUMBER("noise_c", "C", "Standard deviation of random noise.", 0, 20, "0"),
    CALC_MAY_NUMBER("fall_c_s", "C/s", "How fast it cools.", 0, 1000, "0"),
    CALC_MAY_NUMBER("lag_s", "s", "Time constant of the probe.", 0, 1e6, "0"),
    CALC_MAY_NUMBER("offset_c", "C",
                    "Temperature of the hold less the reference, for what an error of z does.",
                    -400, 400, "0"),
};

static const struct calc_output errors_out[] = {
    CALC_OUT("shift_factor", "1", "How much too large the shift makes a lethality."),
    CALC_OUT("noise_factor", "1", "How much too large noise makes it; divide by it."),
    CALC_OUT("lag_factor", "1", "How much too large the lag makes what cooling is credited."),
    CALC_OUT("z_sensitivity", "1/C", "d ln F / dz at that temperature."),
};

static const char *const errors_cautions[] = {
    "Take noise out by its factor or a running minimum, never by a mean over the peak.",
    "Cooling is not credited unless it is asked for; then each reading counts less lag times rate.",
    NULL};

static struct result errors_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct reading_error error = {.shift_c = calc_number(in, "shift_c"),
                                  .noise_c = calc_number(in, "noise_c"),
                                  .fall_c_s = calc_number(in, "fall_c_s"),
                                  .time_lag_s = calc_number(in, "lag_s")};
    struct reading_factors r;
    TRY(reading_factors(calc_number(in, "z_c"), calc_number(in, "offset_c"), &error, &r));
    calc_put_number(out, "shift_factor", r.shift);
    calc_put_number(out, "noise_factor", r.noise);
    calc_put_number(out, "lag_factor", r.lag);
    calc_put_number(out, "z_sensitivity", r.z_sensitivity);
    return RESULT_OK;
}

/* Log interval */

static const struct calc_field interval_in[] = {
    CALC_NEED_NUMBER("z_c", "C", "Rise that makes D ten times shorter.", 1e-9, 1e12),
    CALC_NEED_NUMBER("ramp_c_s", "C/s", "Fastest change of temperature, up or down.", 0, 1000),
    CALC_MAY_NUMBER("hold_s", "s", "Shortest hold that must be seen.", 0, 1e9, "0"),
    CALC_CHOICE("place", "What is logged.", "holding-tube|seed-dip|batch-cook|chill|store",
                "\"batch-cook\""),
    CALC_MAY_NUMBER("interval_s", "s", "How often the logger writes now.", 0.001, 86400, NULL),
};

static const struct calc_output interval_out[] = {
    CALC_OUT_DOWN("longest_s", "s", "Log at least this often.", 0.01),
    CALC_OUT("by_ramp_s", "s", "A quarter of z within one interval."),
    CALC_OUT("by_hold_s", "s", "A fifth of the hold."),
    CALC_OUT("by_place_s", "s", "What is usual for such a place."),
    CALC_OUT("verdict", "", "good or coarse: the interval now."),
};

static const struct calc_source interval_sources[] = {
    {"Ratio of trapezoid to exact integral of a straight piece, (u/2) coth(u/2)", "computed here"},
    {"A fifth of the hold; usual intervals by place, no publication seen", "common practice"},
};

static const char *const interval_constants[] = {
    "heat_coarse_step_z",          "heat_hold_share",
    "log_interval_holding_tube_s", "log_interval_seed_dip_s",
    "log_interval_batch_cook_s",   "log_interval_chill_s",
    "log_interval_store_s",        NULL};

static const char *const interval_cautions[] = {
    "A probe slower than the interval sees less than the log shows: look at its lag too.", NULL};

static enum log_place place_read(const json_t *in)
{
    static const char *const words[LOG_PLACES] = {
        [LOG_PLACE_HOLDING_TUBE] = "holding-tube",
        [LOG_PLACE_SEED_DIP] = "seed-dip",
        [LOG_PLACE_BATCH_COOK] = "batch-cook",
        [LOG_PLACE_CHILL] = "chill",
        [LOG_PLACE_STORE] = "store",
    };
    return (enum log_place)calc_choice(in, "place", words, LOG_PLACES);
}

static struct result interval_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct log_interval r;
    TRY(log_interval(calc_number(in, "z_c"), calc_number(in, "ramp_c_s"), calc_number(in, "hold_s"),
                     place_read(in), &r));
    calc_put_number(out, "longest_s", r.longest_s);
    calc_put_number(out, "by_place_s", r.by_place_s);
    if (isfinite(r.by_ramp_s)) {
        calc_put_number(out, "by_ramp_s", r.by_ramp_s);
    }
    if (isfinite(r.by_hold_s)) {
        calc_put_number(out, "by_hold_s", r.by_hold_s);
    }
    if (calc_has(in, "interval_s")) {
        bool coarse = calc_number(in, "interval_s") > r.longest_s;
        calc_put_text(out, "verdict", coarse ? "coarse" : "good");
        if (coarse) {
            calc_caution(out, "The logger writes too seldom for this process.");
        }
    }
    return RESULT_OK;
}

const struct calc_row heat_sensor_rows[] = {
    {
        .name = "sensor-uncertainty",
        .discipline = "heat",
        .purpose = "What a thermometer's reading may be wrong by, to be taken off.",
        .formula = "U = 2 * sqrt((Ucal/2)^2 + (drift/sqrt 3)^2 + (resolution/(2 sqrt 3))^2)",
        .in = uncertainty_in,
        .in_count = CALC_COUNT(uncertainty_in),
        .out = uncertainty_out,
        .out_count = CALC_COUNT(uncertainty_out),
        .sources = combining_sources,
        .source_count = CALC_COUNT(combining_sources),
        .constants = no_constants,
        .cautions = uncertainty_cautions,
        .example = "{\"certificate_c\": 0.2, \"drift_c\": 0.1, \"resolution_c\": 0.1, \"z_c\": 7}",
        .run = uncertainty_run,
    },
    {
        .name = "probe-lag",
        .discipline = "heat",
        .purpose = "How slow a probe is, from a test in two baths.",
        .formula = "lag = t / ln(gap at start / gap at end)",
        .in = lag_in,
        .in_count = CALC_COUNT(lag_in),
        .out = lag_out,
        .out_count = CALC_COUNT(lag_out),
        .sources = lag_sources,
        .source_count = CALC_COUNT(lag_sources),
        .constants = no_constants,
        .cautions = lag_cautions,
        .example = "{\"time_s\": 4, \"gap_start_c\": 11, \"gap_end_c\": 4}",
        .run = lag_run,
    },
    {
        .name = "reading-errors",
        .discipline = "heat",
        .purpose = "How much shift, noise and lag of the readings overstate a lethality.",
        .formula = "shift: 10^(s/z); noise: e^((ln10 sigma/z)^2/2); lag: 10^(rate lag/z); "
                   "d lnF/dz = -ln10 (T - Tref)/z^2",
        .in = errors_in,
        .in_count = CALC_COUNT(errors_in),
        .out = errors_out,
        .out_count = CALC_COUNT(errors_out),
        .sources = closed_sources,
        .source_count = CALC_COUNT(closed_sources),
        .constants = no_constants,
        .cautions = errors_cautions,
        .example = "{\"z_c\": 7, \"shift_c\": 0.25, \"noise_c\": 0.2, \"fall_c_s\": 1, "
                   "\"lag_s\": 2}",
        .run = errors_run,
    },
    {
        .name = "log-interval",
        .discipline = "heat",
        .purpose = "How often a heat process must be logged.",
        .formula = "least of z/(4 |dT/dt|), hold/5 and what is usual there",
        .in = interval_in,
        .in_count = CALC_COUNT(interval_in),
        .out = interval_out,
        .out_count = CALC_COUNT(interval_out),
        .sources = interval_sources,
        .source_count = CALC_COUNT(interval_sources),
        .constants = interval_constants,
        .cautions = interval_cautions,
        .example = "{\"z_c\": 6.2, \"ramp_c_s\": 3, \"hold_s\": 40, \"place\": \"seed-dip\", "
                   "\"interval_s\": 1}",
        .run = interval_run,
    },
};

const size_t heat_sensor_row_count = CALC_COUNT(heat_sensor_rows);
