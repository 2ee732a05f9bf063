#include "calc/heat/lethality.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc/constants.gen.h"
#include "calc/heat/lethal_rate.h"
#include "calc/sum.h"

#define D_MAX_S 1e12
#define GAP_MAX_MS INT64_C(86400000000)

enum phase { COME_UP, HOLD, COOLING, PHASES };

/* Sums of one probe, or of the envelope. */
struct tally {
    struct sum credited[PHASES];
    struct sum exact; /* the same pieces without floor and cap */
    struct sum trapezoid;
    double coarse_max_s; /* most that one coarse interval brought */
};

struct pass {
    const struct heat_log *log;
    const struct lethality_settings *set;
    struct lethal_scale best;
    struct lethal_scale safe;      /* with the tighter cap */
    struct lethal_scale safe_hold; /* the same, at or above the limit only */
    struct tally probe[HEAT_PROBES_MAX];
    struct tally envelope;
    struct sum safe_credited;
    double doubt[HEAT_PROBES_MAX]; /* 10^(-U/z): what a probe's uncertainty makes of its rate */
    size_t tallies; /* the probes and their envelope; with one probe they are the same */
    size_t peak;    /* point at which come-up ends where the limit is never reached */
    double step_max_c;
    bool reached; /* so far */
    bool never;   /* the limit is reached nowhere */
};

/* One point of the log: all probes, their coldest, and their coldest minus its uncertainty. */
struct moment {
    double temp_c[HEAT_PROBES_MAX + 1]; /* the envelope comes after the probes */
    double rate[HEAT_PROBES_MAX + 1];
    double safe_c;
    double safe_rate;
};

/* A stretch of an interval in one phase, as fractions of the interval. */
struct stretch {
    double from;
    double to;
    enum phase phase;
};

static struct result number_check(const char *field, double value, double low, double high,
                                  const char *range)
{
    char text[40];
    if (!isfinite(value)) {
        return FAIL0(NUMBER_BAD, field);
    }
    if (value < low || value > high) {
        snprintf(text, sizeof text, "%.6g", value);
        return FAIL2(FIELD_RANGE, field, text, range);
    }
    return RESULT_OK;
}

static struct result settings_check(const struct lethality_settings *set)
{
    static const char temperatures[] = "from -60 to 300 C";
    TRY(number_check("reference_c", set->reference_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C,
                     temperatures));
    TRY(number_check("d_s", set->d_s, DBL_MIN, D_MAX_S, "above 0 s"));
    TRY(number_check("limit_c", set->limit_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temperatures));
    if (set->has_tested_max) {
        TRY(number_check("tested_max_c", set->tested_max_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C,
                         temperatures));
    }
    if (set->has_credit_max) {
        TRY(number_check("credit_max_c", set->credit_max_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C,
                         temperatures));
    }
    return number_check("gap_max_ms", (double)set->gap_max_ms, 1, (double)GAP_MAX_MS,
                        "above 0 ms and at most 1000 days");
}

static struct result scales_make(struct pass *p)
{
    const struct lethality_settings *set = p->set;
    double floor_c =
        set->cut_low ? set->reference_c - CONSTANT_HEAT_LOWER_CUT_Z * set->z_c : -INFINITY;
    /* Constants are trusted a little above where they were measured. Where that is not known, the
     * safe side takes the reference temperature for it. */
    double tested_c = set->has_tested_max ? set->tested_max_c : set->reference_c;
    double safe_cap_c = tested_c + CONSTANT_HEAT_CREDIT_ABOVE_TESTED_C;
    double best_cap_c = set->has_tested_max ? safe_cap_c : INFINITY;
    if (set->has_credit_max) {
        safe_cap_c = fmin(safe_cap_c, set->credit_max_c);
        best_cap_c = fmin(best_cap_c, set->credit_max_c);
    }
    TRY(lethal_scale_make(set->reference_c, set->z_c, floor_c, best_cap_c, &p->best));
    TRY(lethal_scale_make(set->reference_c, set->z_c, floor_c, safe_cap_c, &p->safe));
    return lethal_scale_make(set->reference_c, set->z_c, fmax(floor_c, set->limit_c), safe_cap_c,
                             &p->safe_hold);
}

static void moment_read(const struct pass *p, size_t point, struct moment *out)
{
    size_t probes = p->log->probes;
    const double *temp_c = p->log->temp_c + point * probes;
    size_t coldest = 0;
    size_t coldest_safe = 0;
    for (size_t k = 0; k < probes; k++) {
        out->temp_c[k] = temp_c[k];
        out->rate[k] = lethal_rate(&p->best, temp_c[k]);
        double safe_c = temp_c[k] - p->log->uncertainty_c[k];
        coldest_safe = k == 0 || safe_c < out->safe_c ? k : coldest_safe;
        out->safe_c = coldest_safe == k ? safe_c : out->safe_c;
        coldest = temp_c[k] < temp_c[coldest] ? k : coldest;
    }
    out->temp_c[probes] = temp_c[coldest];
    out->rate[probes] = out->rate[coldest];
    out->safe_rate = out->rate[coldest_safe] * p->doubt[coldest_safe];
}

static void envelope_peak(struct pass *p)
{
    double highest_c = -INFINITY;
    for (size_t i = 0; i < p->log->points; i++) {
        const double *temp_c = p->log->temp_c + i * p->log->probes;
        double coldest_c = temp_c[0];
        for (size_t k = 1; k < p->log->probes; k++) {
            coldest_c = fmin(coldest_c, temp_c[k]);
        }
        if (coldest_c >= highest_c) {
            highest_c = coldest_c;
            p->peak = i;
        }
    }
    p->never = highest_c < p->set->limit_c;
}

/* Cuts the interval that ends at point into phases; at most two, since the envelope is straight. */
static size_t stretches_cut(struct pass *p, size_t point, double from_c, double to_c,
                            struct stretch out[2])
{
    double limit_c = p->set->limit_c;
    enum phase below = p->reached ? COOLING : COME_UP;
    if (p->never) {
        below = point > p->peak ? COOLING : COME_UP;
    }
    bool from_above = from_c >= limit_c;
    bool to_above = to_c >= limit_c;
    p->reached = p->reached || from_above || to_above;
    if (from_above == to_above) {
        out[0] = (struct stretch){0, 1, from_above ? HOLD : below};
        return 1;
    }
    double cross = (limit_c - from_c) / (to_c - from_c);
    out[0] = (struct stretch){0, cross, from_above ? HOLD : below};
    out[1] = (struct stretch){cross, 1, from_above ? COOLING : HOLD};
    return 2;
}

static void tally_interval(const struct lethal_scale *scale, struct tally *t, double dt_s,
                           const struct moment *from, const struct moment *to, size_t k,
                           const struct stretch *stretch, size_t stretches)
{
    double a = from->temp_c[k];
    double b = to->temp_c[k];
    double exact_s = lethal_linear_s(scale, dt_s, a, from->rate[k], b, to->rate[k]);
    double credited_s = 0;
    sum_add(&t->exact, exact_s);
    sum_add(&t->trapezoid, dt_s * (from->rate[k] + to->rate[k]) / 2);
    for (size_t i = 0; i < stretches; i++) {
        double f_s;
        if (stretches == 1 && lethal_uncut(scale, a, b)) {
            f_s = exact_s;
        } else if (stretches == 1) {
            f_s = lethal_credit_s(scale, dt_s, a, from->rate[k], b, to->rate[k]);
        } else {
            double share = stretch[i].to - stretch[i].from;
            f_s = lethal_piece_s(scale, dt_s * share, a + stretch[i].from * (b - a),
                                 a + stretch[i].to * (b - a));
        }
        sum_add(&t->credited[stretch[i].phase], f_s);
        credited_s += f_s;
    }
    if (fabs(b - a) > CONSTANT_HEAT_COARSE_STEP_Z * scale->z_c) {
        t->coarse_max_s = fmax(t->coarse_max_s, credited_s);
    }
}

/* The safe number of one interval: at or above the limit, and before it was first reached. */
static void safe_interval(struct pass *p, double dt_s, const struct moment *from,
                          const struct moment *to, const struct stretch *first)
{
    double a = from->safe_c;
    double b = to->safe_c;
    sum_add(&p->safe_credited,
            lethal_credit_s(&p->safe_hold, dt_s, a, from->safe_rate, b, to->safe_rate));
    if (p->set->window != LETHALITY_WINDOW_HOLD && first->phase == COME_UP) {
        sum_add(&p->safe_credited,
                lethal_piece_s(&p->safe, dt_s * first->to, a, a + first->to * (b - a)));
    }
}

static void gap_interval(struct pass *p, double dt_s, const struct moment *from,
                         const struct moment *to)
{
    size_t envelope = p->log->probes;
    bool from_above = from->temp_c[envelope] >= p->set->limit_c;
    bool to_above = to->temp_c[envelope] >= p->set->limit_c;
    /* A limit seen on either side of a silence was reached: come-up is over. */
    p->reached = p->reached || from_above || to_above;
    if (p->set->gap != LETHALITY_GAP_LOWER_END || !p->set->heat_on_record || !from_above ||
        !to_above) {
        return;
    }
    for (size_t k = 0; k < p->tallies; k++) {
        double held_c = fmin(from->temp_c[k], to->temp_c[k]);
        struct tally *t = k < envelope ? &p->probe[k] : &p->envelope;
        sum_add(&t->credited[HOLD], lethal_piece_s(&p->best, dt_s, held_c, held_c));
    }
}

static void interval_take(struct pass *p, size_t point, const struct moment *from,
                          const struct moment *to, struct lethality_report *out)
{
    int64_t dt_ms = p->log->time_ms[point] - p->log->time_ms[point - 1];
    double dt_s = (double)dt_ms / 1000.0;
    size_t envelope = p->log->probes;
    bool gap = dt_ms > p->set->gap_max_ms;
    if (dt_ms == 0) {
        out->flags |= LETHALITY_SAME_TIMES;
        return;
    }
    out->gap_longest_ms = dt_ms > out->gap_longest_ms ? dt_ms : out->gap_longest_ms;
    out->gaps += gap;
    if (gap && p->set->gap != LETHALITY_GAP_BRIDGE) {
        gap_interval(p, dt_s, from, to);
        return;
    }
    struct stretch stretch[2];
    size_t stretches =
        stretches_cut(p, point, from->temp_c[envelope], to->temp_c[envelope], stretch);
    for (size_t k = 0; k < p->tallies; k++) {
        struct tally *t = k < envelope ? &p->probe[k] : &p->envelope;
        tally_interval(&p->best, t, dt_s, from, to, k, stretch, stretches);
        double step_c = fabs(to->temp_c[k] - from->temp_c[k]);
        p->step_max_c = step_c > p->step_max_c ? step_c : p->step_max_c;
        out->flags |=
            to->temp_c[k] > p->safe.cap_c || from->temp_c[k] > p->safe.cap_c ? LETHALITY_CAPPED : 0;
    }
    if (!gap) {
        safe_interval(p, dt_s, from, to, &stretch[0]);
    }
}

static double tally_all_s(const struct tally *t)
{
    return sum_value(&t->credited[COME_UP]) + sum_value(&t->credited[HOLD]) +
           sum_value(&t->credited[COOLING]);
}

static double tally_window_s(const struct tally *t, enum lethality_window window)
{
    switch (window) {
    case LETHALITY_WINDOW_HOLD:
        return sum_value(&t->credited[HOLD]);
    case LETHALITY_WINDOW_COME_UP_HOLD:
        return sum_value(&t->credited[COME_UP]) + sum_value(&t->credited[HOLD]);
    case LETHALITY_WINDOW_ALL:
        break;
    }
    return tally_all_s(t);
}

static void report_fill(const struct pass *p, struct lethality_report *out)
{
    const struct lethality_settings *set = p->set;
    for (size_t k = 0; k < p->log->probes; k++) {
        out->f_probe_s[k] = tally_window_s(&p->probe[k], set->window);
        if (out->f_probe_s[k] < out->f_probe_s[out->coldest_probe]) {
            out->coldest_probe = k;
        }
        if (p->probe[k].coarse_max_s > CONSTANT_HEAT_COARSE_SHARE * tally_all_s(&p->probe[k])) {
            out->flags |= LETHALITY_COARSE;
        }
    }
    const struct tally *coldest = &p->probe[out->coldest_probe];
    out->f_best_s = out->f_probe_s[out->coldest_probe];
    const struct tally *envelope = p->tallies == 1 ? coldest : &p->envelope;
    out->f_envelope_s = tally_window_s(envelope, set->window);
    /* Both are sums of rounded terms; where nothing separates them the safe one must not win. */
    double safe_s = sum_value(&p->safe_credited);
    out->f_conservative_s = safe_s > out->f_best_s ? out->f_best_s : safe_s;
    out->reduction_best = out->f_best_s / set->d_s;
    out->reduction_conservative = out->f_conservative_s / set->d_s;
    double all_s = tally_all_s(coldest);
    if (all_s > 0) {
        out->share_come_up = sum_value(&coldest->credited[COME_UP]) / all_s;
        out->share_hold = sum_value(&coldest->credited[HOLD]) / all_s;
        out->share_cooling = sum_value(&coldest->credited[COOLING]) / all_s;
    }
    out->trapezoid_s = sum_value(&coldest->trapezoid);
    double exact_s = sum_value(&coldest->exact);
    out->trapezoid_over_exact = exact_s > 0 ? out->trapezoid_s / exact_s : 0;
    out->step_max_z = p->step_max_c / set->z_c;
    out->flags |= out->gaps > 0 ? LETHALITY_GAP : 0;
    out->flags |= p->never ? LETHALITY_LIMIT_NOT_REACHED : 0;
}

static bool report_is_finite(const struct lethality_report *r, size_t probes)
{
    bool finite = isfinite(r->f_best_s) && isfinite(r->f_conservative_s) &&
                  isfinite(r->f_envelope_s) && isfinite(r->reduction_best) &&
                  isfinite(r->reduction_conservative) && isfinite(r->trapezoid_s) &&
                  isfinite(r->trapezoid_over_exact) && isfinite(r->share_come_up) &&
                  isfinite(r->share_hold) && isfinite(r->share_cooling);
    for (size_t k = 0; k < probes; k++) {
        finite = finite && isfinite(r->f_probe_s[k]);
    }
    return finite;
}

struct result lethality(const struct heat_log *log, const struct lethality_settings *set,
                        struct lethality_report *out)
{
    *out = (struct lethality_report){.flags = set->has_tested_max ? 0 : LETHALITY_RANGE_UNKNOWN};
    TRY(settings_check(set));
    TRY(heat_log_check(log));
    if (log->points < 2 || log->time_ms[0] == log->time_ms[log->points - 1]) {
        out->flags |= LETHALITY_NO_DATA;
        return RESULT_OK;
    }
    struct pass p = {.log = log, .set = set};
    TRY(scales_make(&p));
    p.tallies = log->probes == 1 ? 1 : log->probes + 1;
    for (size_t k = 0; k < log->probes; k++) {
        p.doubt[k] = exp(-log->uncertainty_c[k] * p.safe.per_c);
    }
    envelope_peak(&p);
    struct moment moment[2];
    moment_read(&p, 0, &moment[0]);
    for (size_t i = 1; i < log->points; i++) {
        const struct moment *from = &moment[(i - 1) % 2];
        moment_read(&p, i, &moment[i % 2]);
        interval_take(&p, i, from, &moment[i % 2], out);
    }
    report_fill(&p, out);
    if (!report_is_finite(out, log->probes)) {
        char text[40];
        snprintf(text, sizeof text, "%.6g", set->z_c);
        *out = (struct lethality_report){0};
        return FAIL1(CALC_OVERFLOW, "z_c", text);
    }
    return RESULT_OK;
}

void lethality_show(double reduction, double seen, char out[LETHALITY_SHOWN_SIZE])
{
    double floored = floor(reduction * 10) / 10;
    if (seen > 0 && reduction > seen) {
        snprintf(out, LETHALITY_SHOWN_SIZE, "at least %.1f",
                 fmin(floor(seen * 10) / 10, CONSTANT_HEAT_REDUCTION_SHOWN_MAX));
    } else if (reduction > CONSTANT_HEAT_REDUCTION_SHOWN_MAX) {
        snprintf(out, LETHALITY_SHOWN_SIZE, "> %.0f", CONSTANT_HEAT_REDUCTION_SHOWN_MAX);
    } else {
        snprintf(out, LETHALITY_SHOWN_SIZE, "%.1f", floored);
    }
}
