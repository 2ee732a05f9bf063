#include <math.h>
#include <string.h>

#include "calc/answer.h"
#include "calc/constants.gen.h"
#include "calc/heat/lethality.h"
#include "calc/heat/rows.h"
#include "calc/heat/rows_log.h"
#include "calc/heat/survival_fit.h"
#include "calc/heat/survival_log.h"
#include "calc/heat/within.h"

enum { TIMES_MAX = 10000 };

static const struct calc_source model_sources[] = {
    {"Log-linear, Weibull (Mafart), Geeraerd, Cerf and Peleg rate equations, integrated in closed "
     "form",
     "computed here"},
    {"Peleg and Cole 2000, Journal of Food Protection 63:190-195 (form of the power model)",
     "published (abstract only)"},
};

static const char *const curve_constants[] = {"heat_credit_above_tested_c", NULL};

static const char *const model_cautions[] = {
    "Nothing is claimed beyond the largest reduction seen in the laboratory: a shoulder or a tail "
    "says nothing there.",
    "Calculated, not validated: a qualified process authority sets and signs model, constants and "
    "target for this product.",
    NULL};

#define MODEL_FIELDS                                                                               \
    CALC_CHOICE("model", "Shape of the survivor curve.",                                           \
                "log-linear|weibull|geeraerd|biphasic|peleg", "\"log-linear\""),                   \
        CALC_NEED_NUMBER("reduction_seen", "log10",                                                \
                         "Largest reduction seen when the constants were measured.", 0, 20),       \
        CALC_MAY_NUMBER("reference_c", "C", "Temperature of d_s; all but peleg.", -60, 300, NULL), \
        CALC_MAY_NUMBER("z_c", "C", "Rise that makes d_s ten times shorter.", 1e-9, 1e12, NULL),   \
        CALC_MAY_NUMBER("d_s", "s", "D, Weibull's delta, or ln10/kmax there.", 1e-9, 1e12, NULL),  \
        CALC_MAY_NUMBER("shape", "1", "Weibull's p or Peleg's n.", 0.05, 20, NULL),                \
        CALC_MAY_NUMBER("shoulder_s", "s", "Geeraerd's shoulder at the reference.", 0, 1e12, "0"), \
        CALC_MAY_NUMBER("d2_s", "s", "D of the tougher part; biphasic.", 1e-9, 1e12, NULL),        \
        CALC_MAY_NUMBER("z2_c", "C", "Its z.", 1e-9, 1e12, NULL),                                  \
        CALC_MAY_NUMBER("fraction", "1", "Share of the weaker part; biphasic.", 0, 1, NULL),       \
        CALC_MAY_NUMBER("kb_per_c", "1/C", "Peleg's slope.", 1e-3, 100, NULL),                     \
        CALC_MAY_NUMBER("tc_c", "C", "Peleg's temperature of onset; b in minutes.", -60, 300,      \
                        NULL),                                                                     \
        CALC_MAY_NUMBER("log_initial", "log10", "Count before.", -20, 20, NULL),                   \
        CALC_MAY_NUMBER("log_tail", "log10", "Survivors that nothing kills.", -30, 20, NULL)

struct model_in {
    struct survival s;
    double reference_c, z_c, d_s, d2_s, z2_c, kb_per_c, tc_c;
    double seen;
    double log_initial;
    bool has_initial;
};

static struct result needed(const json_t *in, const char *name, double *out)
{
    if (!calc_has(in, name)) {
        return FAIL1(FIELD_MISSING, name, "This model needs it.");
    }
    *out = calc_number(in, name);
    return RESULT_OK;
}

static enum survival_model model_read(const json_t *in)
{
    static const char *const words[] = {"log-linear", "weibull", "geeraerd", "biphasic", "peleg"};
    return (enum survival_model)calc_choice(in, "model", words, CALC_COUNT(words));
}

static struct result model_in_read(const json_t *in, struct model_in *out)
{
    *out = (struct model_in){.s.model = model_read(in), .seen = calc_number(in, "reduction_seen")};
    struct survival *s = &out->s;
    if (s->model == SURVIVAL_PELEG) {
        TRY(needed(in, "kb_per_c", &out->kb_per_c));
        TRY(needed(in, "tc_c", &out->tc_c));
    } else {
        TRY(needed(in, "reference_c", &out->reference_c));
        TRY(needed(in, "z_c", &out->z_c));
        TRY(needed(in, "d_s", &out->d_s));
    }
    if (s->model == SURVIVAL_PELEG || s->model == SURVIVAL_WEIBULL) {
        TRY(needed(in, "shape", &s->shape));
    }
    if (s->model == SURVIVAL_BIPHASIC) {
        TRY(needed(in, "d2_s", &out->d2_s));
        TRY(needed(in, "z2_c", &out->z2_c));
        TRY(needed(in, "fraction", &s->fraction));
    }
    if (s->model == SURVIVAL_GEERAERD) {
        s->shoulder = M_LN10 * calc_number(in, "shoulder_s") / out->d_s;
    }
    out->has_initial = calc_has(in, "log_initial");
    out->log_initial = out->has_initial ? calc_number(in, "log_initial") : 0;
    s->has_tail = calc_has(in, "log_tail");
    if (s->has_tail) {
        TRY(needed(in, "log_initial", &s->log_initial));
        s->log_tail = calc_number(in, "log_tail");
    }
    return survival_check(s);
}

/* Doses a second at a constant temperature; Peleg's to the power that makes them add up. */
static struct result rates_take(const struct model_in *m, double temp_c, double *out, double *out2)
{
    *out2 = 0;
    if (m->s.model == SURVIVAL_PELEG) {
        *out = survival_peleg_dose(m->kb_per_c, m->tc_c, m->s.shape, 1.0 / 60, temp_c, temp_c);
        return finite_result("shape", m->s.shape, *out > 0 ? *out : INFINITY);
    }
    *out = pow(10, (temp_c - m->reference_c) / m->z_c) / m->d_s;
    TRY(finite_result("z_c", m->z_c, *out > 0 ? *out : INFINITY));
    if (m->s.model == SURVIVAL_BIPHASIC) {
        *out2 = pow(10, (temp_c - m->reference_c) / m->z2_c) / m->d2_s;
        TRY(finite_result("z2_c", m->z2_c, *out2));
    }
    return RESULT_OK;
}

/* Curve at one temperature */

static const struct calc_field curve_in[] = {
    MODEL_FIELDS,
    CALC_NEED_NUMBER("temp_c", "C", "The temperature.", -60, 300),
    CALC_NEED_LIST("times_s", "s", "Times to work it out for.", 0, 1e12, 1, TIMES_MAX),
    CALC_MAY_NUMBER("target", "log10", "For the time that this reduction takes.", 0, 20, NULL),
    CALC_MAY_NUMBER("tested_max_c", "C",
                    "Highest temperature at which the constants were measured.", -60, 300, NULL),
};

static const struct calc_output curve_out[] = {
    CALC_OUT("reduction", "log10", "Reduction at each time, not above the largest seen."),
    CALC_OUT("surviving_share", "1", "What is left of each, 10^-reduction."),
    CALC_OUT("log_survivors", "log10", "Count at each time; with log_initial."),
    CALC_OUT_UP("target_s", "s", "Time that the target takes.", 0.01),
    CALC_OUT("rate_b", "1", "Peleg's b at the temperature, per minute^n."),
    CALC_OUT("credited_c", "C", "Temperature that was credited."),
};

static double credited(const json_t *in, struct calc_answer *out)
{
    double temp_c = calc_number(in, "temp_c");
    if (!calc_has(in, "tested_max_c")) {
        calc_caution(out, "The range in which the constants were measured is not given; the "
                          "temperature is credited as it is.");
        return temp_c;
    }
    double cap_c = calc_number(in, "tested_max_c") + CONSTANT_HEAT_CREDIT_ABOVE_TESTED_C;
    if (temp_c > cap_c) {
        calc_caution(out, "The temperature lies more than 5.56 C above the tested range; it is "
                          "credited only up to there.");
    }
    return fmin(temp_c, cap_c);
}

static void target_put(const struct model_in *m, double rate, double rate2, double target,
                       struct calc_answer *out)
{
    double time_s = survival_time_s(&m->s, rate, rate2, target);
    if (target > m->seen || isinf(time_s)) {
        calc_put_text(out, "target_s", "not determined");
        calc_caution(out, "The target lies beyond what was seen or what the model can reach.");
    } else {
        calc_put_number(out, "target_s", time_s);
    }
}

static struct result curve_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct model_in m;
    double rate, rate2;
    size_t count = 0;
    bool beyond = false;
    TRY(model_in_read(in, &m));
    double temp_c = credited(in, out);
    TRY(rates_take(&m, temp_c, &rate, &rate2));
    const double *times_s = calc_numbers(in, "times_s", a, &count);
    double *reduction = ARENA_ARRAY(a, double, count);
    double *share = ARENA_ARRAY(a, double, count);
    double *left = ARENA_ARRAY(a, double, count);
    for (size_t i = 0; i < count; i++) {
        double got = survival_reduction(&m.s, rate * times_s[i], rate2 * times_s[i]);
        beyond = beyond || !(got <= m.seen);
        reduction[i] = got <= m.seen ? got : m.seen;
        share[i] = pow(10, -reduction[i]);
        left[i] = m.log_initial - reduction[i];
    }
    calc_put_numbers(out, "reduction", reduction, count);
    calc_put_numbers(out, "surviving_share", share, count);
    calc_put_number(out, "credited_c", temp_c);
    if (m.has_initial) {
        calc_put_numbers(out, "log_survivors", left, count);
    }
    if (m.s.model == SURVIVAL_PELEG) {
        calc_put_number(out, "rate_b", survival_peleg_b(m.kb_per_c, m.tc_c, temp_c));
    }
    if (calc_has(in, "target")) {
        target_put(&m, rate, rate2, calc_number(in, "target"), out);
    }
    if (beyond) {
        calc_caution(out, "Some reductions are \"at least\": they end at the largest one seen.");
    }
    return RESULT_OK;
}

/* Over a log */

static const struct calc_field log_in[] = {
    HEAT_ROWS_LOG_FIELDS,
    MODEL_FIELDS,
    CALC_MAY_NUMBER("limit_c", "C", "Hold means at or above it; otherwise the reference.", -60, 300,
                    NULL),
    CALC_MAY_NUMBER("tested_max_c", "C",
                    "Highest temperature at which the constants were measured.", -60, 300, NULL),
    CALC_CHOICE("window", "Which part of the history is credited; peleg: all.",
                "hold|come-up-hold|all", "\"come-up-hold\""),
};

static const struct calc_output log_out[] = {
    CALC_OUT_DOWN("reduction_conservative", "log10",
                  "Reduction that a decision may use, not above the largest seen.", 0.1),
    CALC_OUT_DOWN("reduction_best", "log10", "Reduction by the readings as they are, the same way.",
                  0.1),
    CALC_OUT("reduction_shown", "log10", "The conservative reduction as it is printed."),
    CALC_OUT("log_survivors", "log10", "Count after it, best estimate; with log_initial."),
    CALC_OUT("dose_best", "1", "Sum of time over D, delta or the like."),
    CALC_OUT("dose_conservative", "1", "The same on the safe side."),
    CALC_OUT("gaps", "1", "Number of gaps; nothing is credited in them."),
};

static const char *const log_constants[] = {"heat_credit_above_tested_c", "heat_gap_intervals",
                                            "heat_reduction_shown_max", NULL};

struct doses {
    double best, safe, best2, safe2;
    size_t gaps;
};

static struct result lethality_doses(const json_t *in, struct arena *a, const struct heat_log *log,
                                     const struct model_in *m, struct doses *out)
{
    const char *window = calc_text(in, "window");
    struct lethality_report r;
    struct lethality_settings set = {
        .reference_c = m->reference_c,
        .z_c = m->z_c,
        .d_s = m->d_s,
        .limit_c = calc_has(in, "limit_c") ? calc_number(in, "limit_c") : m->reference_c,
        .has_tested_max = calc_has(in, "tested_max_c"),
        .gap_max_ms = heat_rows_log_gap_ms(in, a, log),
        .window = strcmp(window, "hold") == 0           ? LETHALITY_WINDOW_HOLD
                  : strcmp(window, "come-up-hold") == 0 ? LETHALITY_WINDOW_COME_UP_HOLD
                                                        : LETHALITY_WINDOW_ALL,
    };
    set.tested_max_c = set.has_tested_max ? calc_number(in, "tested_max_c") : 0;
    TRY(lethality(log, &set, &r));
    *out =
        (struct doses){.best = r.reduction_best, .safe = r.reduction_conservative, .gaps = r.gaps};
    if (m->s.model == SURVIVAL_BIPHASIC) {
        set.z_c = m->z2_c;
        set.d_s = m->d2_s;
        TRY(lethality(log, &set, &r));
        out->best2 = r.reduction_best;
        out->safe2 = r.reduction_conservative;
    }
    return RESULT_OK;
}

static struct result doses_take(const json_t *in, struct arena *a, const struct heat_log *log,
                                const struct model_in *m, struct doses *out)
{
    if (m->s.model != SURVIVAL_PELEG) {
        return lethality_doses(in, a, log, m, out);
    }
    struct survival_peleg_log r;
    TRY(survival_peleg_log(log, m->kb_per_c, m->tc_c, m->s.shape, heat_rows_log_gap_ms(in, a, log),
                           &r));
    *out = (struct doses){.best = r.best, .safe = r.safe, .gaps = r.gaps};
    return RESULT_OK;
}

static struct result log_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    struct heat_log log;
    struct model_in m;
    struct doses doses;
    char shown[LETHALITY_SHOWN_SIZE];
    TRY(heat_rows_log_read(in, a, &log));
    TRY(model_in_read(in, &m));
    TRY(doses_take(in, a, &log, &m, &doses));
    double best = survival_reduction(&m.s, doses.best, doses.best2);
    double safe = survival_reduction(&m.s, doses.safe, doses.safe2);
    lethality_show(fmin(safe, 1e6), m.seen, shown);
    calc_put_number(out, "reduction_best", fmin(best, m.seen));
    calc_put_number(out, "reduction_conservative", fmin(safe, m.seen));
    calc_put_text(out, "reduction_shown", shown);
    calc_put_number(out, "dose_best", doses.best);
    calc_put_number(out, "dose_conservative", doses.safe);
    calc_put_integer(out, "gaps", (int64_t)doses.gaps);
    if (m.has_initial) {
        calc_put_number(out, "log_survivors", m.log_initial - fmin(best, m.seen));
    }
    if (doses.gaps > 0) {
        calc_caution(out, "The log has gaps; they call for a decision.");
    }
    if (!(safe <= m.seen && best <= m.seen)) {
        calc_caution(out, "The reduction is \"at least\": it ends at the largest one seen.");
    }
    return RESULT_OK;
}

/* Fit */

static const struct calc_field fit_in[] = {
    CALC_NEED_TABLE("points", "any, log10", "Time and log10 of the count; power: the reduction.", 3,
                    10000),
    CALC_CHOICE("model", "Which model.", "line|weibull|shoulder|tail|shoulder-tail|biphasic|power",
                "\"weibull\""),
    CALC_MAY_NUMBER("target", "log10", "For the time that this reduction takes.", 0, 20, NULL),
};

#define FIT_PAIR(name, unit, what) \
    CALC_OUT(name, unit, what), CALC_OUT(name "_se", unit, "Its standard error.")

static const struct calc_output fit_out[] = {
    FIT_PAIR("log_initial", "log10", "Count at the start."),
    FIT_PAIR("d", "time", "Time for one decimal; line."),
    FIT_PAIR("delta", "time", "Time for the first decimal; Weibull."),
    FIT_PAIR("p", "1", "Weibull's shape: above 1 a shoulder, below 1 a tail."),
    FIT_PAIR("kmax", "1/time", "Largest rate of killing."),
    FIT_PAIR("shoulder", "time", "Length of the shoulder."),
    FIT_PAIR("log_tail", "log10", "Survivors that nothing kills."),
    FIT_PAIR("d1", "time", "Time for one decimal of the weaker part; biphasic."),
    FIT_PAIR("d2", "time", "The same of the tougher part."),
    FIT_PAIR("log_tough", "log10",
             "Share of the tougher part at the start, as its decimal logarithm."),
    FIT_PAIR("b", "1", "Factor of the power."),
    FIT_PAIR("n", "1", "Its exponent."),
    CALC_OUT("low", "", "Lower ends of the 95 % intervals, in the order of the model."),
    CALC_OUT("high", "", "Upper ends of them."),
    CALC_OUT("rss", "1", "Sum of squares left over."),
    CALC_OUT("s", "log10", "Standard deviation about the curve."),
    CALC_OUT("aicc", "1", "For comparing models of the same counts: the lower the better."),
    CALC_OUT_DOWN("reduction_seen", "log10", "Largest reduction seen; claim no more.", 0.1),
    CALC_OUT("target_time", "time", "Time that the target takes by this curve."),
};

static const struct calc_source fit_sources[] = {
    {"Least squares by Levenberg and Marquardt's way; intervals by Student's t", "computed here"},
};

static const char *const fit_constants[] = {NULL};

static const char *const fit_cautions[] = {
    "Compare the models: the counts seldom tell one from another, and what lies beyond them is not "
    "known.",
    "Leave out samples below the detection limit and all later ones; numbers put in their place "
    "bend the curve. A straight line takes them as they are: see d-from-censored.",
    "The intervals are those of the straightened curve near its best place; few points make them "
    "too narrow.",
    NULL};

static const struct {
    const char *word;
    const char *params[LEAST_SQUARES_PARAMS];
} fit_models[SURVIVAL_FIT_MODELS] = {
    [SURVIVAL_FIT_LINE] = {"line", {"log_initial", "d"}},
    [SURVIVAL_FIT_WEIBULL] = {"weibull", {"log_initial", "delta", "p"}},
    [SURVIVAL_FIT_SHOULDER] = {"shoulder", {"log_initial", "kmax", "shoulder"}},
    [SURVIVAL_FIT_TAIL] = {"tail", {"log_initial", "kmax", "log_tail"}},
    [SURVIVAL_FIT_SHOULDER_TAIL] = {"shoulder-tail",
                                    {"log_initial", "kmax", "shoulder", "log_tail"}},
    [SURVIVAL_FIT_BIPHASIC] = {"biphasic", {"log_initial", "d1", "d2", "log_tough"}},
    [SURVIVAL_FIT_POWER] = {"power", {"b", "n"}},
};

static void fit_params_put(enum survival_fit_model model, const struct survival_fit *fit,
                           struct arena *a, struct calc_answer *out)
{
    bool told = true;
    for (size_t j = 0; j < fit->params; j++) {
        const char *name = fit_models[model].params[j];
        calc_put_number(out, name, fit->fit.param[j]);
        told = told && isfinite(fit->fit.se[j]);
        if (isfinite(fit->fit.se[j])) {
            calc_put_number(out, arena_printf(a, "%s_se", name), fit->fit.se[j]);
        }
    }
    if (told) {
        calc_put_numbers(out, "low", fit->low, fit->params);
        calc_put_numbers(out, "high", fit->high, fit->params);
    } else {
        calc_caution(out, "These counts do not tell all parameters of this model apart: take a "
                          "simpler one.");
    }
}

static double fit_time(enum survival_fit_model model, const struct survival_fit *fit, double target)
{
    const double *p = fit->fit.param;
    switch (model) {
    case SURVIVAL_FIT_LINE:
        return p[1] * target;
    case SURVIVAL_FIT_WEIBULL:
        return p[1] * pow(target, 1 / p[2]);
    case SURVIVAL_FIT_POWER:
        return pow(target / p[0], 1 / p[1]);
    case SURVIVAL_FIT_BIPHASIC:
        return survival_time_s(
            &(struct survival){.model = SURVIVAL_BIPHASIC, .fraction = 1 - pow(10, p[3])}, 1 / p[1],
            1 / p[2], target);
    case SURVIVAL_FIT_SHOULDER:
    case SURVIVAL_FIT_TAIL:
    case SURVIVAL_FIT_SHOULDER_TAIL:
    case SURVIVAL_FIT_MODELS:
        break;
    }
    bool shoulder = model != SURVIVAL_FIT_TAIL;
    struct survival s = {.model = SURVIVAL_GEERAERD,
                         .shoulder = shoulder ? p[1] * p[2] : 0,
                         .has_tail = model != SURVIVAL_FIT_SHOULDER,
                         .log_initial = p[0],
                         .log_tail = fmin(p[0], shoulder ? p[3] : p[2])};
    return survival_time_s(&s, p[1] / M_LN10, 0, target);
}

static struct result fit_run(const json_t *in, struct arena *a, struct calc_answer *out)
{
    size_t n, model = 0;
    double *x, *y;
    struct survival_fit fit;
    TRY(calc_pairs(in, "points", a, &x, &y, &n));
    while (strcmp(fit_models[model].word, calc_text(in, "model")) != 0) {
        model++;
    }
    TRY(survival_fit(a, (enum survival_fit_model)model, x, y, n, &fit));
    fit_params_put((enum survival_fit_model)model, &fit, a, out);
    calc_put_number(out, "rss", fit.fit.rss);
    calc_put_number(out, "s", fit.fit.s);
    calc_put_number(out, "reduction_seen", fit.seen);
    if (isfinite(fit.aicc)) {
        calc_put_number(out, "aicc", fit.aicc);
    }
    if (calc_has(in, "target")) {
        double target = calc_number(in, "target");
        double time = fit_time((enum survival_fit_model)model, &fit, target);
        if (target > fit.seen || !isfinite(time)) {
            calc_put_text(out, "target_time", "not determined");
            calc_caution(out, "The target lies beyond the largest reduction seen.");
        } else {
            calc_put_number(out, "target_time", time);
        }
    }
    return RESULT_OK;
}

const struct calc_row heat_survival_rows[] = {
    {
        .name = "survival-curve",
        .discipline = "heat",
        .purpose = "Survivors at one temperature by a curve with a shoulder, a bend or a tail.",
        .formula = "Weibull L = (t/delta)^p; Geeraerd, biphasic and Peleg as in the sources",
        .in = curve_in,
        .in_count = CALC_COUNT(curve_in),
        .out = curve_out,
        .out_count = CALC_COUNT(curve_out),
        .sources = model_sources,
        .source_count = CALC_COUNT(model_sources),
        .constants = curve_constants,
        .cautions = model_cautions,
        .example = "{\"model\": \"geeraerd\", \"reference_c\": 60.6, \"z_c\": 10.8, \"d_s\": 39.8, "
                   "\"shoulder_s\": 48, \"temp_c\": 60.6, \"times_s\": [0, 60, 120, 180], "
                   "\"reduction_seen\": 5, \"target\": 3}",
        .run = curve_run,
    },
    {
        .name = "survival-log",
        .discipline = "heat",
        .purpose = "Survivors of a logged heat by a curve with a shoulder, a bend or a tail.",
        .formula = "L of the model at dose = integral of dt/D(T), exact over straight lines",
        .in = log_in,
        .in_count = CALC_COUNT(log_in),
        .out = log_out,
        .out_count = CALC_COUNT(log_out),
        .sources = model_sources,
        .source_count = CALC_COUNT(model_sources),
        .constants = log_constants,
        .cautions = model_cautions,
        .example = "{\"points\": [[0, 40], [600, 65]], \"uncertainty_c\": [0.3], \"model\": "
                   "\"weibull\", \"reference_c\": 60, \"z_c\": 6, \"d_s\": 60, \"shape\": 1.5, "
                   "\"reduction_seen\": 6, \"tested_max_c\": 64}",
        .run = log_run,
    },
    {
        .name = "survival-fit",
        .discipline = "heat",
        .purpose = "A survivor curve fitted to counts, with errors and the largest reduction seen.",
        .formula = "least squares of log10 N; Weibull, Geeraerd, biphasic or a power",
        .in = fit_in,
        .in_count = CALC_COUNT(fit_in),
        .out = fit_out,
        .out_count = CALC_COUNT(fit_out),
        .sources = fit_sources,
        .source_count = CALC_COUNT(fit_sources),
        .constants = fit_constants,
        .cautions = fit_cautions,
        .example = "{\"points\": [[0, 7.5], [0.5, 7.2], [1, 6.8], [1.5, 6.2], [2, 5.6], [3, 4.1], "
                   "[4, 2.4]], \"model\": \"weibull\", \"target\": 4}",
        .run = fit_run,
    },
};

const size_t heat_survival_row_count = CALC_COUNT(heat_survival_rows);
