#include "calc/heat/rows.h"

#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/equivalent_time.h"
#include "calc/heat/hold_check.h"
#include "calc/heat/lethal_set.h"
#include "calc/heat/lethality.h"
#include "calc/heat/log_interval.h"
#include "calc/heat/rows_log.h"

/* Lethality */

static const struct calc_field lethality_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    CALC_CHOICE(
        "set",
        "Published stand-in constants instead of reference_c, z_c and d_s: good for a look, "
        "never for a decision.",
        "seed-salmonella|f0|botulinum-cold|listeria-70|salmonella-beef|juice|cryptosporidium|"
        "alicyclobacillus|juice-yeast",
        NULL),
    CALC_MAY_NUMBER("reference_c", "C", "Temperature at which D holds.", -60, 300, NULL),
    CALC_MAY_NUMBER("z_c", "C", "Rise that makes D ten times shorter.", 1e-9, 1e12, NULL),
    CALC_MAY_NUMBER("d_s", "s", "Time for one decimal reduction at the reference temperature.",
                    1e-9, 1e12, NULL),
    CALC_MAY_NUMBER("limit_c", "C",
                    "Hold means at or above it; otherwise the reference temperature.", -60, 300,
                    NULL),
    CALC_MAY_NUMBER("tested_max_c", "C", "Highest temperature at which D was measured.", -60, 300,
                    NULL),
    CALC_CHOICE("cut_low", "Leave out what lies more than three z below the reference.", "yes|no",
                "\"yes\""),
    CALC_CHOICE("gap",
                "What a gap is worth in the best estimate; in the conservative one it is nothing.",
                "zero|lower-end|bridge", "\"zero\""),
    CALC_CHOICE("heat_on_record",
                "Does an independent record show that the heat stayed on in the gaps?", "yes|no",
                "\"no\""),
    CALC_CHOICE("window", "Which part of the history is credited.", "hold|come-up-hold|all",
                "\"hold\""),
    CALC_MAY_NUMBER("reduction_seen", "log10",
                    "Largest reduction seen in the laboratory; nothing above it is claimed.", 0, 12,
                    NULL),
};

static const struct calc_output lethality_out[] = {
    CALC_OUT_DOWN("f_conservative_s", "s",
                  "Equivalent time at the reference that a decision may use.", 0.1),
    CALC_OUT_DOWN("f_best_s", "s", "The same by the coldest probe's readings as they are.", 0.1),
    CALC_OUT("f_envelope_s", "s", "The same by the coldest readings of all probes together."),
    CALC_OUT("f_probe_s", "s", "The same for each probe."),
    {.name = "reduction_conservative",
     .unit = "log10",
     .what = "Log reduction that a decision may use.",
     .round = CALC_DOWN,
     .step = 0.1,
     .cap = CONSTANT_HEAT_REDUCTION_SHOWN_MAX},
    {.name = "reduction_best",
     .unit = "log10",
     .what = "Log reduction of the best estimate.",
     .round = CALC_DOWN,
     .step = 0.1,
     .cap = CONSTANT_HEAT_REDUCTION_SHOWN_MAX},
    CALC_OUT("reduction_shown", "log10", "The conservative log reduction as it is printed."),
    CALC_OUT("share_come_up", "1", "Share of the coldest probe's whole history in come-up."),
    CALC_OUT("share_hold", "1", "Share of it at or above the limit."),
    CALC_OUT("share_cooling", "1", "Share of it in cooling."),
    CALC_OUT("coldest_probe", "1", "Number of the coldest probe, from 1."),
    CALC_OUT("step_max_z", "z", "Largest step within one interval."),
    CALC_OUT("gap_longest_s", "s", "Longest interval of the log."),
    CALC_OUT("gap_max_s", "s", "Longer than this counted as a gap."),
    CALC_OUT("gaps", "1", "Number of gaps."),
    CALC_OUT("trapezoid_s", "s", "Coldest probe by the trapezoid rule, to compare old records."),
    CALC_OUT("trapezoid_over_exact", "1", "How much that overstates."),
    CALC_OUT("status", "", "What a reader must know, as words; good where there is nothing."),
};

static const struct calc_source lethality_sources[] = {
    {"Closed form: integral of 10^((T - Tref)/z) over a straight line", "computed here"},
    {"Thomas, White and Longree 1966, Applied Microbiology 14:815-820 (no credit far above the "
     "tested range)",
     "published (abstract only)"},
};

static const char *const lethality_constants[] = {"heat_credit_above_tested_c",
                                                  "heat_coarse_step_z",
                                                  "heat_coarse_share",
                                                  "heat_gap_intervals",
                                                  "heat_lower_cut_z",
                                                  "heat_reduction_shown_max",
                                                  NULL};

static const char *const lethality_cautions[] = {
    "Calculated, not validated: a qualified process authority sets and signs D, z, target, cold "
    "spot and limits for this product.",
    "Straight-line kill may fail: survivors can hold out at first or tail off at the end.",
    "The uncertainty of D and z is not in the conservative number; give the upper end of D.",
    "For seed: no treatment makes it free of pathogens. Test the germination of the treated lot "
    "and "
    "its spent irrigation water all the same; results differ by variety, age and moisture.",
    NULL};

/* Words of the status and what they call for, by enum lethality_flag from bit 0 up. */
static const struct {
    const char *word;
    const char *caution;
} flag_words[] = {
    {"no-data", "The log has fewer than two times: nothing is credited."},
    {"gap", "The log has gaps. They count for nothing in the conservative number and call for a "
            "decision."},
    {"coarse", "Logged too coarsely: within one interval that matters the temperature moved more "
               "than a quarter of z. Log more often."},
    {"capped", "Readings lie above the range for which the constants may be trusted; they are "
               "credited only up to 5.56 C above it."},
    {"range-unknown", "The range in which D was measured is not given; the conservative number "
                      "takes the reference temperature for its upper end."},
    {"limit-not-reached", "The coldest readings never reach the limit."},
    {"same-times", "Some points repeat the one before them."},
};

static void status_put(unsigned flags, struct arena *a, struct calc_answer *out)
{
    const char *status = "";
    for (size_t i = 0; i < CALC_COUNT(flag_words); i++) {
        if ((flags & 1U << i) != 0) {
            status =
                arena_printf(a, "%s%s%s", status, *status == '\0' ? "" : ", ", flag_words[i].word);
            calc_caution(out, flag_words[i].caution);
        }
    }
    calc_put_text(out, "status", *status == '\0' ? "good" : status);
}

/* Either a set by name, or all three constants. */
static struct result constants_read(const json_t *in, struct calc_answer *out,
                                    struct lethality_settings *set)
{
    static const char *const names[] = {"reference_c", "z_c", "d_s"};
    double *const values[] = {&set->reference_c, &set->z_c, &set->d_s};
    bool by_name = calc_has(in, "set");
    for (size_t i = 0; i < CALC_COUNT(names); i++) {
        if (calc_has(in, names[i]) == by_name) {
            return by_name ? FAIL2(FIELD_RANGE, names[i], "given",
                                   "left out where a set gives the constants")
                           : FAIL1(FIELD_MISSING, names[i], "Give it, or name a set.");
        }
        if (!by_name) {
            *values[i] = calc_number(in, names[i]);
        }
    }
    if (by_name) {
        const struct lethal_set *s = lethal_set_find(calc_text(in, "set"));
        set->reference_c = s->reference_c;
        set->z_c = s->z_c;
        set->d_s = s->d_s;
        set->has_tested_max = s->has_tested_max;
        set->tested_max_c = s->tested_max_c;
        set->has_credit_max = s->has_credit_max;
        set->credit_max_c = s->credit_max_c;
        for (size_t i = 0; i < LETHAL_SET_CONSTANTS; i++) {
            calc_used(out, s->constant[i]);
        }
        calc_caution(out, "Stand-in constants: this result decides nothing. Put in the plant's own "
                          "validated ones.");
    }
    return RESULT_OK;
}

static struct result settings_read(const json_t *in, struct calc_answer *out,
                                   struct lethality_settings *set)
{
    TRY(constants_read(in, out, set));
    const char *gap = calc_text(in, "gap");
    const char *window = calc_text(in, "window");
    set->limit_c = calc_has(in, "limit_c") ? calc_number(in, "limit_c") : set->reference_c;
    if (calc_has(in, "tested_max_c")) {
        set->has_tested_max = true;
        set->tested_max_c = calc_number(in, "tested_max_c");
    }
    set->cut_low = calc_yes(in, "cut_low");
    set->heat_on_record = calc_yes(in, "heat_on_record");
    set->gap = strcmp(gap, "zero") == 0        ? LETHALITY_GAP_ZERO
               : strcmp(gap, "lower-end") == 0 ? LETHALITY_GAP_LOWER_END
                                               : LETHALITY_GAP_BRIDGE;
    set->window = strcmp(window, "hold") == 0           ? LETHALITY_WINDOW_HOLD
                  : strcmp(window, "come-up-hold") == 0 ? LETHALITY_WINDOW_COME_UP_HOLD
                                                        : LETHALITY_WINDOW_ALL;
    return RESULT_OK;
}

static void report_put(const struct lethality_report *r, const struct heat_log *log,
                       int64_t gap_max_ms, double seen, struct calc_answer *out)
{
    char shown[LETHALITY_SHOWN_SIZE];
    lethality_show(r->reduction_conservative, seen, shown);
    calc_put_number(out, "f_conservative_s", r->f_conservative_s);
    calc_put_number(out, "f_best_s", r->f_best_s);
    calc_put_number(out, "f_envelope_s", r->f_envelope_s);
    calc_put_numbers(out, "f_probe_s", r->f_probe_s, log->probes);
    calc_put_number(out, "reduction_conservative", r->reduction_conservative);
    calc_put_number(out, "reduction_best", r->reduction_best);
    calc_put_text(out, "reduction_shown", shown);
    calc_put_number(out, "share_come_up", r->share_come_up);
    calc_put_number(out, "share_hold", r->share_hold);
    calc_put_number(out, "share_cooling", r->share_cooling);
    calc_put_integer(out, "coldest_probe", (int64_t)r->coldest_probe + 1);
    calc_put_number(out, "step_max_z", r->step_max_z);
    calc_put_number(out, "gap_longest_s", (double)r->gap_longest_ms / 1000);
    calc_put_number(out, "gap_max_s", (double)gap_max_ms / 1000);
    calc_put_integer(out, "gaps", (int64_t)r->gaps);
    calc_put_number(out, "trapezoid_s", r->trapezoid_s);
    calc_put_number(out, "trapezoid_over_exact", r->trapezoid_over_exact);
}

static struct result lethality_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    struct lethality_settings set = {0};
    struct lethality_report report;
    TRY(heat_rows_log_read(in, a, &log));
    TRY(settings_read(in, out, &set));
    set.gap_max_ms = heat_rows_log_gap_ms(in, a, &log);
    TRY(lethality(&log, &set, &report));
    double seen = calc_has(in, "reduction_seen") ? calc_number(in, "reduction_seen") : 0;
    report_put(&report, &log, set.gap_max_ms, seen, out);
    status_put(report.flags, a, out);
    if (!calc_has(in, "uncertainty_c")) {
        calc_caution(out, "No probe uncertainty was given, so none is taken off. Give it from the "
                          "calibration.");
    }
    if (seen > 0 && report.reduction_conservative > seen) {
        calc_caution(out, "Above the largest reduction seen in the laboratory the result says only "
                          "\"at least\".");
    }
    return RESULT_OK;
}

/* Hold check */

static const struct calc_field hold_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    CALC_NEED_NUMBER("hold_c", "C", "Temperature of the recipe.", -60, 300),
    CALC_NEED_NUMBER("hold_s", "s", "Time that the recipe asks for at or above it.", 0.001,
                     86400000),
    CALC_MAY_NUMBER("cool_within_s", "s",
                    "Cooling must start no later than this after the end of the hold.", 0, 86400000,
                    NULL),
    CALC_MAY_NUMBER("cool_start_s", "s", "When cooling started, on the clock of the log.", -4e12,
                    4e12, NULL),
};

static const struct calc_output hold_out[] = {
    CALC_OUT("met", "", "yes or no: was the recipe kept?"),
    CALC_OUT("state", "", "met, or what was not."),
    CALC_OUT_DOWN("hold_s", "s",
                  "Longest time with every probe, less its uncertainty, at or above the recipe.",
                  1),
    CALC_OUT("hold_start_s", "s", "When it began, on the clock of the log."),
    CALC_OUT("hold_end_s", "s", "When it ended."),
    CALC_OUT_UP("cool_delay_s", "s", "From its end to the start of cooling.", 1),
    CALC_OUT("coldest_probe", "1", "Number of the probe with the lowest peak, from 1."),
    CALC_OUT_DOWN("coldest_peak_c", "C", "That peak, less its uncertainty.", 0.01),
    CALC_OUT("gap_longest_s", "s", "Longest interval of the log."),
    CALC_OUT("gap_max_s", "s", "A longer silence broke the hold."),
    CALC_OUT("gaps", "1", "Number of gaps."),
};

static const struct calc_source hold_sources[] = {
    {"Straight lines between logged points; crossings by proportion", "computed here"},
};

static const char *const hold_constants[] = {"heat_gap_intervals", NULL};

static const char *const hold_cautions[] = {
    "A kept recipe counts only where a validation document for this seed and this treater stands "
    "behind it.",
    "Where the recipe names no time for cooling, none is checked.",
    "For seed: test the germination of the treated lot and its spent irrigation water all the "
    "same.",
    NULL};

static struct heat_log_mc log_to_mc(struct arena *a, const struct heat_log *log)
{
    struct heat_log_mc out = {
        .points = log->points, .probes = log->probes, .time_ms = log->time_ms};
    size_t count = log->points * log->probes;
    int32_t *temp_mc = ARENA_ARRAY(a, int32_t, count);
    for (size_t i = 0; i < count; i++) {
        temp_mc[i] = (int32_t)calc_scaled_down(log->temp_c[i], 1000);
    }
    for (size_t k = 0; k < log->probes; k++) {
        out.uncertainty_mc[k] = (int32_t)calc_scaled_up(log->uncertainty_c[k], 1000);
    }
    out.temp_mc = temp_mc;
    return out;
}

static struct result hold_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    TRY(heat_rows_log_read(in, a, &log));
    struct hold_recipe recipe = {
        .temp_mc = (int32_t)calc_scaled_up(calc_number(in, "hold_c"), 1000),
        .hold_ms = calc_scaled_up(calc_number(in, "hold_s"), 1000),
        .cool_within_ms = HOLD_COOL_ANY,
        .gap_max_ms = heat_rows_log_gap_ms(in, a, &log),
        .has_cool_start = calc_has(in, "cool_start_s"),
    };
    /* A log with less than one reading a day says nothing about a hold. */
    recipe.gap_max_ms = recipe.gap_max_ms < HOLD_GAP_MAX_MS ? recipe.gap_max_ms : HOLD_GAP_MAX_MS;
    if (calc_has(in, "cool_within_s")) {
        recipe.cool_within_ms = calc_scaled_down(calc_number(in, "cool_within_s"), 1000);
    }
    if (recipe.has_cool_start) {
        recipe.cool_start_ms = calc_scaled_near(calc_number(in, "cool_start_s"), 1000);
    }
    struct heat_log_mc log_mc = log_to_mc(a, &log);
    struct hold_report r;
    TRY(hold_check(&log_mc, &recipe, &r));
    calc_put_text(out, "met", r.met ? "yes" : "no");
    calc_put_text(out, "state", hold_state_word(r.state));
    calc_put_number(out, "hold_s", (double)r.hold_s);
    if (r.state != HOLD_NO_DATA) {
        calc_put_integer(out, "coldest_probe", (int64_t)r.coldest_probe + 1);
        calc_put_number(out, "coldest_peak_c", r.coldest_peak_mc / 1000.0);
    }
    if (r.state != HOLD_NO_DATA && r.state != HOLD_NEVER_REACHED) {
        calc_put_number(out, "hold_start_s", (double)r.hold_start_ms / 1000);
        calc_put_number(out, "hold_end_s", (double)r.hold_end_ms / 1000);
    }
    if (r.has_cool_delay) {
        calc_put_number(out, "cool_delay_s", (double)r.cool_delay_ms / 1000);
    }
    calc_put_number(out, "gap_longest_s", (double)r.gap_longest_ms / 1000);
    calc_put_number(out, "gap_max_s", (double)recipe.gap_max_ms / 1000);
    calc_put_integer(out, "gaps", (int64_t)r.gaps);
    if (r.gaps > 0) {
        calc_caution(out, "The log has gaps; each breaks the hold.");
    }
    if (log_interval_coarse(r.gap_longest_ms, recipe.hold_ms)) {
        calc_used(out, "heat_hold_share");
        calc_caution(out, "The log is too coarse for this hold: its longest interval is more than "
                          "a fifth of it. Log more often.");
    }
    if (!calc_has(in, "uncertainty_c")) {
        calc_caution(out, "No probe uncertainty was given, so none is taken off. Give it from the "
                          "calibration.");
    }
    return RESULT_OK;
}

/* Equivalent time */

static const struct calc_field equivalent_in[] = {
    CALC_NEED_NUMBER("reference_c", "C", "Temperature at which the time is known.", -60, 300),
    CALC_NEED_NUMBER("z_c", "C", "Rise that makes the time ten times shorter.", 1e-9, 1e12),
    CALC_NEED_NUMBER("time_s", "s", "Time at the reference temperature.", 1e-9, 1e12),
    CALC_NEED_NUMBER("temp_c", "C", "The other temperature.", -60, 300),
};

static const struct calc_output equivalent_out[] = {
    CALC_OUT_UP("time_s", "s", "Time at the other temperature that is worth the same.", 0.1),
    CALC_OUT("lethal_rate", "1", "What a moment there is worth at the reference temperature."),
};

static const struct calc_source equivalent_sources[] = {
    {"Log-linear model: t = t_ref * 10^((Tref - T)/z)", "computed here"},
};

static const char *const no_constants[] = {NULL};

static const char *const equivalent_cautions[] = {
    "Holds only in the range in which z was measured; more than 5.56 C above it do not rely on it.",
    "Calculated, not validated: a qualified process authority sets time and temperature.", NULL};

static struct result equivalent_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct equivalent_time r;
    TRY(equivalent_time(calc_number(in, "reference_c"), calc_number(in, "z_c"),
                        calc_number(in, "time_s"), calc_number(in, "temp_c"), &r));
    calc_put_number(out, "time_s", r.time_s);
    calc_put_number(out, "lethal_rate", r.lethal_rate);
    return RESULT_OK;
}

const struct calc_row heat_rows[] = {
    {
        .name = "lethality",
        .discipline = "heat",
        .purpose = "What a logged heat treatment is worth: equivalent time and log reduction.",
        .formula =
            "F = sum of dt * L1 * (e^u - 1)/u, L = 10^((T - Tref)/z), u = ln10 * (T2 - T1)/z;"
            " log reduction = F/D",
        .in = lethality_in,
        .in_count = CALC_COUNT(lethality_in),
        .out = lethality_out,
        .out_count = CALC_COUNT(lethality_out),
        .sources = lethality_sources,
        .source_count = CALC_COUNT(lethality_sources),
        .constants = lethality_constants,
        .cautions = lethality_cautions,
        .example = "{\"points\": [[0, 40], [10, 62], [20, 70], [30, 72], [40, 72], [50, 71], "
                   "[60, 45]], \"uncertainty_c\": [0.3], \"reference_c\": 71.1, \"z_c\": 5.3, "
                   "\"d_s\": 0.6, \"tested_max_c\": 71.1}",
        .run = lethality_run,
    },
    {
        .name = "hold-check",
        .discipline = "heat",
        .purpose = "Was a heat recipe kept, by the log on the safe side?",
        .formula = "longest t with min over the probes of (T - U) >= T_recipe, without a gap; met "
                   "when floor(t) >= the recipe's time and cooling started in time",
        .in = hold_in,
        .in_count = CALC_COUNT(hold_in),
        .out = hold_out,
        .out_count = CALC_COUNT(hold_out),
        .sources = hold_sources,
        .source_count = CALC_COUNT(hold_sources),
        .constants = hold_constants,
        .cautions = hold_cautions,
        .example = "{\"points\": [[0, 25, 25], [10, 84, 83], [20, 86, 85.6], [30, 86, 86], "
                   "[40, 86, 86], [50, 86, 86], [60, 86, 85.9], [70, 40, 45]], \"uncertainty_c\": "
                   "[0.3, 0.25], \"hold_c\": 85, \"hold_s\": 40, \"cool_within_s\": 30, "
                   "\"cool_start_s\": 62}",
        .run = hold_run,
    },
    {
        .name = "equivalent-time",
        .discipline = "heat",
        .purpose = "The time at another temperature that kills the same.",
        .formula = "t = t_ref / L, L = 10^((T - Tref)/z)",
        .in = equivalent_in,
        .in_count = CALC_COUNT(equivalent_in),
        .out = equivalent_out,
        .out_count = CALC_COUNT(equivalent_out),
        .sources = equivalent_sources,
        .source_count = CALC_COUNT(equivalent_sources),
        .constants = no_constants,
        .cautions = equivalent_cautions,
        .example = "{\"reference_c\": 71.1, \"z_c\": 5.3, \"time_s\": 3, \"temp_c\": 76}",
        .run = equivalent_run,
    },
};

const size_t heat_row_count = CALC_COUNT(heat_rows);
