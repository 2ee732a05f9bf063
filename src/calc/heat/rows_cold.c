#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/cooling_check.h"
#include "calc/heat/growth_log.h"
#include "calc/heat/newton_cooling.h"
#include "calc/heat/rows.h"
#include "calc/heat/rows_log.h"

#define US_PER_S 1e6

/* Cooling of cooked food */

static const struct calc_field cooling_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    {.name = "rule",
     .unit = "",
     .what = "The rule that is law where this is sold.",
     .type = CALC_TEXT,
     .choices = "food-code|food-code-ambient|us-meat-1|us-meat-older|us-cured-meat|uk-8",
     .needed = true},
    CALC_MAY_NUMBER("chill_start_s", "s",
                    "When chilling started, on the clock of the log, where the rule asks for it.",
                    -4e12, 4e12, NULL),
};

static const struct calc_output cooling_out[] = {
    CALC_OUT("verdict", "", "pass, fail or review."),
    CALC_OUT("rule_title", "", "The rule in words."),
    CALC_OUT("states", "",
             "Each stage: done, late, open, not-begun, start-lost, rewarmed or gap, in order."),
    CALC_OUT("chill_start", "", "Start of chilling, where the rule says how soon."),
    CALC_OUT("from_c", "C",
             "Upper limit of each stage; nothing where the clock starts with the "
             "log."),
    CALC_OUT("to_c", "C", "Lower limit of each stage."),
    CALC_OUT("to_f", "F", "The same as the rule's text has it."),
    CALC_OUT("limit_min", "min", "Time allowed for each stage."),
    CALC_OUT("start_min", "min", "When each stage's clock starts, after the log's first point."),
    CALC_OUT("crossed_min", "min",
             "When its lower limit is crossed, by a straight line; shown "
             "only."),
    CALC_OUT("took_min", "min",
             "From its start to the logged point that ends it; by this it is "
             "judged."),
    CALC_OUT("shown_min", "min", "From its start to the crossing; shown only."),
    CALC_OUT("reopened", "1", "Stages whose lower limit was crossed more than once."),
    CALC_OUT("gaps", "1", "Number of gaps."),
    CALC_OUT("gap_longest_s", "s", "Longest interval of the log."),
};

static const struct calc_source cooling_sources[] = {
    {"US Food Code 3-501.14, two-stage cooling, from secondary pages", "published (seen)"},
    {"USDA-FSIS 1999, Appendix B, stabilisation, as copied elsewhere; the older option cut off",
     "published (seen)"},
    {"Advice of a UK district council, quoted on a question page", "published (seen)"},
};

static const char *const cooling_constants[] = {"heat_gap_intervals", NULL};

static const char *const cooling_cautions[] = {
    "Cooling limits are law of a place: the house chooses the rule, owns the choice, and looks for "
    "a newer text. These were read as of 1999 (FSIS) and 2022 (Food Code).",
    "The US meat rule aims at no more than one decimal of C. perfringens and none of C. botulinum "
    "(published (seen)).",
    "Which probe is warmest is the house's knowledge: put one in the thickest part.", NULL};

static void states_put(struct arena *a, struct calc_answer *out, const struct cooling_report *r)
{
    const char *states = "";
    for (size_t i = 0; i < r->stages; i++) {
        states = arena_printf(a, "%s%s%s", states, i == 0 ? "" : ", ",
                              cooling_state_word(r->stage[i].state));
    }
    calc_put_text(out, "states", states);
}

static void stages_put(struct calc_answer *out, const struct cooling_rule *rule,
                       const struct cooling_report *r)
{
    double from_c[COOLING_STAGES_MAX], to_c[COOLING_STAGES_MAX], to_f[COOLING_STAGES_MAX];
    double limit[COOLING_STAGES_MAX], start[COOLING_STAGES_MAX], took[COOLING_STAGES_MAX];
    double crossed[COOLING_STAGES_MAX], shown[COOLING_STAGES_MAX];
    size_t froms = 0;
    size_t reached = 0;
    size_t reopened = 0;
    for (size_t i = 0; i < r->stages; i++) {
        const struct cooling_stage *stage = &rule->stage[i];
        const struct cooling_stage_report *one = &r->stage[i];
        from_c[froms] = stage->from_mc / 1000.0;
        froms += !stage->from_begin;
        to_c[i] = stage->to_mc / 1000.0;
        to_f[i] = stage->to_f > 0 ? stage->to_f : to_c[i] * 9 / 5 + 32;
        limit[i] = (double)stage->limit_ms / 60000;
        start[i] = (double)one->start_us / US_PER_S / 60;
        took[i] = (double)(one->late_us - one->start_us) / US_PER_S / 60;
        /* What is shown goes as far as stages were ended. */
        if (one->reached && reached == i) {
            crossed[i] = (double)one->crossed_us / US_PER_S / 60;
            shown[i] = crossed[i] - start[i];
            reached++;
        }
        reopened += one->reopened;
    }
    calc_put_numbers(out, "from_c", from_c, froms);
    calc_put_numbers(out, "to_c", to_c, r->stages);
    calc_put_numbers(out, "to_f", to_f, r->stages);
    calc_put_numbers(out, "limit_min", limit, r->stages);
    calc_put_numbers(out, "start_min", start, r->stages);
    calc_put_numbers(out, "took_min", took, r->stages);
    calc_put_numbers(out, "crossed_min", crossed, reached);
    calc_put_numbers(out, "shown_min", shown, reached);
    calc_put_integer(out, "reopened", (int64_t)reopened);
}

/* Readings up, doubt up: the safe side of cooling is warm. */
static struct heat_log_mc log_to_mc(struct arena *a, const struct heat_log *log)
{
    struct heat_log_mc out = {
        .points = log->points, .probes = log->probes, .time_ms = log->time_ms};
    size_t count = log->points * log->probes;
    int32_t *temp_mc = ARENA_ARRAY(a, int32_t, count);
    for (size_t i = 0; i < count; i++) {
        temp_mc[i] = (int32_t)calc_scaled_up(log->temp_c[i], 1000);
    }
    for (size_t k = 0; k < log->probes; k++) {
        out.uncertainty_mc[k] = (int32_t)calc_scaled_up(log->uncertainty_c[k], 1000);
    }
    out.temp_mc = temp_mc;
    return out;
}

static void cooling_warn(const json_t *in, const struct cooling_ask *ask,
                         const struct cooling_report *r, struct calc_answer *out)
{
    if (!calc_has(in, "uncertainty_c")) {
        calc_caution(out, "No probe uncertainty was given, so none is added. Give it from the "
                          "calibration.");
    }
    if (r->gaps > 0) {
        calc_caution(out, "The log has gaps; a gap in a stage turns a pass into a review.");
    }
    if (!ask->rule->whole) {
        calc_caution(out, "The text of this rule was cut off where it was read: it can fail here, "
                          "but not pass.");
    }
    if (strcmp(ask->rule->name, "us-cured-meat") == 0) {
        calc_caution(out, "This rule is for cured meat only.");
    }
}

static struct result cooling_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    struct cooling_report r;
    TRY(heat_rows_log_read(in, a, &log));
    struct cooling_ask ask = {.rule = cooling_rule_find(calc_text(in, "rule")),
                              .gap_max_ms = heat_rows_log_gap_ms(in, a, &log),
                              .has_chill_start = calc_has(in, "chill_start_s")};
    ask.gap_max_ms = ask.gap_max_ms < 86400000 ? ask.gap_max_ms : 86400000;
    if (ask.has_chill_start) {
        ask.chill_start_ms = calc_scaled_up(calc_number(in, "chill_start_s"), 1000);
    }
    struct heat_log_mc log_mc = log_to_mc(a, &log);
    TRY(cooling_check(&log_mc, &ask, &r));
    calc_put_text(out, "verdict", cooling_verdict_word(r.verdict));
    calc_put_text(out, "rule_title", ask.rule->title);
    states_put(a, out, &r);
    if (!r.no_data && ask.rule->start_within_ms > 0) {
        calc_put_text(out, "chill_start", cooling_verdict_word(r.start));
    }
    stages_put(out, ask.rule, &r);
    calc_put_integer(out, "gaps", (int64_t)r.gaps);
    calc_put_number(out, "gap_longest_s", (double)r.gap_longest_ms / 1000);
    cooling_warn(in, &ask, &r, out);
    return RESULT_OK;
}

/* Newton cooling */

static const struct calc_field newton_in[] = {
    CALC_NEED_NUMBER("start_c", "C", "Core at the start.", -60, 300),
    CALC_NEED_NUMBER("target_c", "C", "Core to be reached.", -60, 300),
    CALC_NEED_NUMBER("ambient_c", "C", "Air or water around it.", -100, 300),
    CALC_MAY_NUMBER("lag_j", "1", "Lag factor; 1 for a thin layer, up to 2 for a thick one.", 0.1,
                    10, "1"),
    CALC_MAY_NUMBER("f_min", "min", "Time for a tenfold smaller difference, from a trial.", 0.001,
                    1e6, NULL),
    CALC_MAY_NUMBER("limit_min", "min", "Time allowed.", 0.001, 1e6, NULL),
};

static const struct calc_output newton_out[] = {
    CALC_OUT("factors", "1", "Time factors that the way takes."),
    CALC_OUT_UP("time_min", "min", "Time it takes.", 0.1),
    CALC_OUT_DOWN("f_max_min", "min", "Largest time factor that keeps the time allowed.", 0.1),
};

static const struct calc_source newton_sources[] = {
    {"Newton's law of cooling in heat penetration form", "computed here"},
};

static const char *const no_constants[] = {NULL};

static const char *const newton_cautions[] = {
    "An estimate for planning: the logged core temperature decides.",
    "f grows with the square of the depth; a fuller pan or a fuller room is another trial.", NULL};

static struct result newton_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct newton_cooling way = {.start_c = calc_number(in, "start_c"),
                                 .ambient_c = calc_number(in, "ambient_c"),
                                 .target_c = calc_number(in, "target_c"),
                                 .lag_j = calc_number(in, "lag_j")};
    double factors = 0;
    TRY(newton_factors(&way, &factors));
    calc_put_number(out, "factors", factors);
    if (calc_has(in, "f_min")) {
        double time_min = 0;
        TRY(newton_time(&way, calc_number(in, "f_min"), &time_min));
        calc_put_number(out, "time_min", time_min);
    }
    if (calc_has(in, "limit_min") && factors > 0) {
        calc_put_number(out, "f_max_min", calc_number(in, "limit_min") / factors);
    }
    return RESULT_OK;
}

/* Growth at one temperature, square root */

static const struct calc_field rate_in[] = {
    CALC_NEED_NUMBER("temp_c", "C", "Temperature of the product.", -10, 25),
    CALC_MAY_NUMBER("egr5_log_d", "log10/d", "Rate at 5 C, from a challenge test.", 0, 100,
                    CALC_FALLBACK(CONSTANT_LISTERIA_EGR5_LOG_D)),
    CALC_MAY_NUMBER("measured_log", "log10", "Instead: growth that was measured ...", 0, 20, NULL),
    CALC_MAY_NUMBER("measured_d", "d", "... in so many days ...", 0.001, 10000, NULL),
    CALC_MAY_NUMBER("measured_c", "C", "... at this temperature.", -1, 25, NULL),
    CALC_MAY_NUMBER("limit_log", "log10", "Growth that may not be passed.", 0.001, 20, NULL),
    CALC_MAY_NUMBER("days", "d", "Time for which the growth is wanted.", 0, 10000, NULL),
};

static const struct calc_output rate_out[] = {
    CALC_OUT("egr5_log_d", "log10/d", "Rate at 5 C."),
    CALC_OUT_UP("egr_log_d", "log10/d", "Rate at this temperature.", 0.001),
    CALC_OUT_DOWN("generation_h", "h", "Time in which numbers double.", 0.1),
    CALC_OUT_UP("growth_log", "log10", "Growth in the days given.", 0.01),
    CALC_OUT_DOWN("limit_d", "d", "Days until the limit.", 0.1),
};

static const struct calc_source growth_sources[] = {
    {"Square-root model; US FDA, USDA-FSIS and CDC 2003, Listeria monocytogenes risk assessment, "
     "appendix 8",
     "published (seen)"},
    {"Cardinal model: Rosso and others 1995, Applied and Environmental Microbiology 61:610-616",
     "published (seen)"},
    {"Cardinal values: Augustin 2005", "from memory"},
};

static const char *const rate_constants[] = {"listeria_root_t0_c", "listeria_egr5_log_d",
                                             "listeria_root_high_c", NULL};

static const char *const growth_cautions[] = {
    "A planning number, without lag and without rivals: shelf life needs challenge or durability "
    "tests of this product.",
    "Limits for Listeria differ from place to place; in many ready-to-eat foods none may be there.",
    NULL};

static void stand_in_warn(struct calc_answer *out, double egr5_log_d)
{
    if (egr5_log_d == CONSTANT_LISTERIA_EGR5_LOG_D) {
        calc_caution(out, "The rate at 5 C is a stand-in until the house has its own from a "
                          "challenge test; it decides nothing.");
    }
}

static struct result egr5_read(const json_t *in, double *out)
{
    static const char *const names[] = {"measured_log", "measured_d", "measured_c"};
    size_t given = 0;
    for (size_t i = 0; i < CALC_COUNT(names); i++) {
        given += calc_has(in, names[i]);
    }
    *out = calc_number(in, "egr5_log_d");
    if (given == 0) {
        return RESULT_OK;
    }
    for (size_t i = 0; i < CALC_COUNT(names); i++) {
        if (!calc_has(in, names[i])) {
            return FAIL1(FIELD_MISSING, names[i], "A measured growth needs all three.");
        }
    }
    return root_egr5(calc_number(in, "measured_log"), calc_number(in, "measured_d"),
                     calc_number(in, "measured_c"), CONSTANT_LISTERIA_ROOT_T0_C, out);
}

static void rate_put(const json_t *in, struct calc_answer *out, double rate_log_d)
{
    calc_put_number(out, "egr_log_d", rate_log_d);
    if (calc_has(in, "days")) {
        calc_put_number(out, "growth_log", rate_log_d * calc_number(in, "days"));
    }
    if (rate_log_d > 0) {
        calc_put_number(out, "generation_h", generation_h(rate_log_d));
        if (calc_has(in, "limit_log")) {
            calc_put_number(out, "limit_d", calc_number(in, "limit_log") / rate_log_d);
        }
    }
}

static struct result rate_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    double egr5_log_d = 0;
    TRY(egr5_read(in, &egr5_log_d));
    struct root_growth root = root_growth_listeria(egr5_log_d);
    TRY(root_growth_check(&root));
    stand_in_warn(out, egr5_log_d);
    calc_put_number(out, "egr5_log_d", egr5_log_d);
    rate_put(in, out, root_rate(&root, calc_number(in, "temp_c")));
    return RESULT_OK;
}

/* The same, cardinal */

#define CARDINAL_FIELDS                                                                          \
    CALC_MAY_NUMBER("egr_opt_log_h", "log10/h", "Rate where all is best; broth gives the most.", \
                    0, 40, CALC_FALLBACK(CONSTANT_LISTERIA_BROTH_LOG_H)),                        \
        CALC_MAY_NUMBER("ph", "1", "pH of the product.", 0, 14,                                  \
                        CALC_FALLBACK(CONSTANT_LISTERIA_PH_OPT)),                                \
        CALC_MAY_NUMBER("aw", "1", "Its water activity.", 0, 1,                                  \
                        CALC_FALLBACK(CONSTANT_LISTERIA_AW_OPT))

static const struct calc_field cardinal_in[] = {
    CALC_NEED_NUMBER("temp_c", "C", "Temperature of the product.", -60, 100),
    CARDINAL_FIELDS,
    CALC_MAY_NUMBER("limit_log", "log10", "Growth that may not be passed.", 0.001, 20, NULL),
    CALC_MAY_NUMBER("days", "d", "Time for which the growth is wanted.", 0, 10000, NULL),
};

static const struct calc_output cardinal_out[] = {
    CALC_OUT("cm_temp", "1", "Share of the best rate by temperature."),
    CALC_OUT("cm_ph", "1", "By pH."),
    CALC_OUT("gamma_aw", "1", "By water activity."),
    CALC_OUT("gamma_temp", "1", "By temperature in the older form, up to the optimum."),
    CALC_OUT_UP("egr_log_d", "log10/d", "Rate.", 0.001),
    CALC_OUT("egr_gamma_log_d", "log10/d", "Rate by the older form."),
    CALC_OUT_DOWN("generation_h", "h", "Time in which numbers double.", 0.1),
    CALC_OUT_UP("growth_log", "log10", "Growth in the days given.", 0.01),
    CALC_OUT_DOWN("limit_d", "d", "Days until the limit.", 0.1),
    CALC_OUT("no_growth", "", "yes where a published limit of growth is not passed."),
};

static const char *const cardinal_constants[] = {"listeria_broth_log_h",
                                                 "listeria_temp_min_c",
                                                 "listeria_temp_opt_c",
                                                 "listeria_temp_max_c",
                                                 "listeria_ph_min",
                                                 "listeria_ph_opt",
                                                 "listeria_ph_max",
                                                 "listeria_aw_min",
                                                 "listeria_aw_opt",
                                                 "listeria_no_growth_c",
                                                 "listeria_no_growth_ph",
                                                 "listeria_no_growth_aw",
                                                 NULL};

static struct cardinal_growth cardinal_read(const json_t *in)
{
    struct cardinal_growth out = cardinal_growth_listeria(calc_number(in, "egr_opt_log_h") * 24);
    out.ph = calc_number(in, "ph");
    out.aw = calc_number(in, "aw");
    return out;
}

static struct result cardinal_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct cardinal_growth g = cardinal_read(in);
    double temp_c = calc_number(in, "temp_c");
    TRY(cardinal_growth_check(&g));
    calc_put_number(out, "cm_temp", cardinal_temp(&g, temp_c));
    calc_put_number(out, "cm_ph", cardinal_ph(&g));
    calc_put_number(out, "gamma_aw", cardinal_aw(&g));
    if (temp_c <= g.temp_opt_c) {
        double gamma = gamma_temp(&g, temp_c);
        calc_put_number(out, "gamma_temp", gamma);
        calc_put_number(out, "egr_gamma_log_d",
                        g.egr_opt_log_d * gamma * cardinal_ph(&g) * cardinal_aw(&g));
    }
    rate_put(in, out, cardinal_rate(&g, temp_c));
    bool none = temp_c <= CONSTANT_LISTERIA_NO_GROWTH_C || g.ph <= CONSTANT_LISTERIA_NO_GROWTH_PH ||
                g.aw <= CONSTANT_LISTERIA_NO_GROWTH_AW;
    calc_put_text(out, "no_growth", none ? "yes" : "no");
    return RESULT_OK;
}

/* Growth over a log */

static const struct calc_field log_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    CALC_MAY_NUMBER("egr5_log_d", "log10/d", "Rate at 5 C, from a challenge test.", 0, 100,
                    CALC_FALLBACK(CONSTANT_LISTERIA_EGR5_LOG_D)),
    CARDINAL_FIELDS,
    CALC_MAY_NUMBER("start_log", "log10", "Numbers at the start, as a logarithm.", -10, 12, NULL),
    CALC_MAY_NUMBER("limit_log", "log10", "Growth that may not be passed.", 0.001, 20, NULL),
};

static const struct calc_output log_out[] = {
    CALC_OUT_UP("growth_log", "log10", "Growth by the square-root model.", 0.01),
    CALC_OUT_UP("cardinal_log", "log10", "Growth by the cardinal model with this rate.", 0.01),
    CALC_OUT_UP("end_log", "log10", "Numbers at the end, by the square root, under the ceiling.",
                0.01),
    CALC_OUT_UP("cardinal_end_log", "log10", "The same by the cardinal model.", 0.01),
    CALC_OUT_DOWN("left_log", "log10", "Left of the limit, by the square root.", 0.01),
    CALC_OUT("within", "", "yes, no, or review where the log has gaps."),
    CALC_OUT("warmest_c", "C", "Warmest reading with its uncertainty."),
    CALC_OUT("above_range_h", "h", "Time above the square root's range."),
    CALC_OUT("gaps", "1", "Number of gaps; over each the warmer end is taken."),
    CALC_OUT("gap_longest_s", "s", "Longest interval of the log."),
};

static const char *const log_constants[] = {"listeria_root_t0_c",   "listeria_egr5_log_d",
                                            "listeria_root_high_c", "listeria_max_log",
                                            "listeria_broth_log_h", "listeria_temp_min_c",
                                            "listeria_temp_opt_c",  "listeria_temp_max_c",
                                            "heat_gap_intervals",   NULL};

/* Growth stops at the ceiling, but numbers that start above it stay. */
static double end_log(double start_log, double growth_log)
{
    return fmax(start_log, fmin(start_log + growth_log, CONSTANT_LISTERIA_MAX_LOG));
}

static struct result log_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    struct growth_report r;
    TRY(heat_rows_log_read(in, a, &log));
    struct root_growth root = root_growth_listeria(calc_number(in, "egr5_log_d"));
    struct cardinal_growth cardinal = cardinal_read(in);
    int64_t gap_max_ms = heat_rows_log_gap_ms(in, a, &log);
    gap_max_ms = gap_max_ms < 86400000 ? gap_max_ms : 86400000;
    TRY(growth_over_log(&log, gap_max_ms, &root, &cardinal, &r));
    calc_put_number(out, "growth_log", r.root_log);
    calc_put_number(out, "cardinal_log", r.cardinal_log);
    if (calc_has(in, "start_log")) {
        double start_log = calc_number(in, "start_log");
        calc_put_number(out, "end_log", end_log(start_log, r.root_log));
        calc_put_number(out, "cardinal_end_log", end_log(start_log, r.cardinal_log));
    }
    if (calc_has(in, "limit_log")) {
        double left_log = calc_number(in, "limit_log") - r.root_log;
        calc_put_number(out, "left_log", left_log);
        calc_put_text(out, "within", left_log < 0 ? "no" : r.gaps > 0 ? "review" : "yes");
    }
    if (log.points > 0) {
        calc_put_number(out, "warmest_c", r.warmest_c);
    }
    calc_put_number(out, "above_range_h", r.above_h);
    calc_put_integer(out, "gaps", (int64_t)r.gaps);
    calc_put_number(out, "gap_longest_s", (double)r.gap_longest_ms / 1000);
    stand_in_warn(out, root.egr5_log_d);
    if (r.above_h > 0) {
        calc_caution(out, "Part of the log lies above the range of the square-root model.");
    }
    if (r.gaps > 0) {
        calc_caution(out, "The log has gaps; what happened in them is not known.");
    }
    return RESULT_OK;
}

const struct calc_row heat_cold_rows[] = {
    {
        .name = "cooling-check",
        .discipline = "heat",
        .purpose = "Did food cool as a rule asks, by the log on the safe side?",
        .formula = "warmest probe + U; clock from the last moment at or above the upper limit to "
                   "the first logged point from which on all are at or below the lower one",
        .in = cooling_in,
        .in_count = CALC_COUNT(cooling_in),
        .out = cooling_out,
        .out_count = CALC_COUNT(cooling_out),
        .sources = cooling_sources,
        .source_count = CALC_COUNT(cooling_sources),
        .constants = cooling_constants,
        .cautions = cooling_cautions,
        .example = "{\"points\": [[0, 60], [1800, 48], [3600, 38], [5400, 30], [7200, 23.5], "
                   "[9000, 18.5], [10800, 14.5], [14400, 9.5], [18000, 6.5], [21600, 4.8]], "
                   "\"uncertainty_c\": [0], \"rule\": \"food-code\"}",
        .run = cooling_run,
    },
    {
        .name = "newton-cooling",
        .discipline = "heat",
        .purpose = "How long a batch cools, and the slowest cooling that keeps a rule.",
        .formula = "t = f log10(j (T0 - Ta)/(T - Ta))",
        .in = newton_in,
        .in_count = CALC_COUNT(newton_in),
        .out = newton_out,
        .out_count = CALC_COUNT(newton_out),
        .sources = newton_sources,
        .source_count = CALC_COUNT(newton_sources),
        .constants = no_constants,
        .cautions = newton_cautions,
        .example = "{\"start_c\": 57, \"target_c\": 21, \"ambient_c\": 2, \"f_min\": 90, "
                   "\"limit_min\": 120}",
        .run = newton_run,
    },
    {
        .name = "listeria-rate",
        .discipline = "heat",
        .purpose = "How fast Listeria grows at a temperature, and the days to a limit.",
        .formula = "EGR(T) = EGR5 ((T - T0)/(5 - T0))^2; doubling 24 log10(2)/EGR h",
        .in = rate_in,
        .in_count = CALC_COUNT(rate_in),
        .out = rate_out,
        .out_count = CALC_COUNT(rate_out),
        .sources = growth_sources,
        .source_count = 1,
        .constants = rate_constants,
        .cautions = growth_cautions,
        .example = "{\"temp_c\": 8, \"egr5_log_d\": 0.116, \"limit_log\": 2, \"days\": 7}",
        .run = rate_run,
    },
    {
        .name = "listeria-cardinal",
        .discipline = "heat",
        .purpose = "How fast Listeria grows at a temperature, pH and water activity.",
        .formula = "EGR = EGRopt CM(T) CM(pH) gamma(aw)",
        .in = cardinal_in,
        .in_count = CALC_COUNT(cardinal_in),
        .out = cardinal_out,
        .out_count = CALC_COUNT(cardinal_out),
        .sources = growth_sources + 1,
        .source_count = 2,
        .constants = cardinal_constants,
        .cautions = growth_cautions,
        .example = "{\"temp_c\": 8, \"ph\": 6.2, \"limit_log\": 2}",
        .run = cardinal_run,
    },
    {
        .name = "listeria-log",
        .discipline = "heat",
        .purpose = "What Listeria may have grown over a cold-chain log.",
        .formula = "square root b^2 dt (x1^2 + x1 x2 + x2^2)/3, x = T - T0 >= 0; cardinal integral "
                   "of EGRopt CM(T) CM(pH) gamma(aw) dt",
        .in = log_in,
        .in_count = CALC_COUNT(log_in),
        .out = log_out,
        .out_count = CALC_COUNT(log_out),
        .sources = growth_sources,
        .source_count = CALC_COUNT(growth_sources),
        .constants = log_constants,
        .cautions = growth_cautions,
        .example = "{\"points\": [[0, 4], [21600, 10], [36000, 10]], \"uncertainty_c\": [0], "
                   "\"egr5_log_d\": 0.1, \"start_log\": 0, \"limit_log\": 2}",
        .run = log_run,
    },
};

const size_t heat_cold_row_count = CALC_COUNT(heat_cold_rows);
