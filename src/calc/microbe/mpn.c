#include "calc/microbe/mpn.h"

#include <math.h>
#include <stdio.h>

#include "calc/constants.gen.h"
#include "calc/distribution.h"
#include "calc/range.h"
#include "calc/root.h"

#define LEAST_LN (-1e300)
#define NEWTON_CLOSE 1e-15

enum { NEWTON_MAX = 100 };

struct tubes {
    const struct mpn_level *level;
    size_t count;
    double least_ln; /* for the likelihood ratio */
};

static struct result levels_check(const struct mpn_level *levels, size_t count)
{
    TRY(range_check("levels", (int64_t)count, 1, MPN_LEVELS_MAX));
    for (size_t i = 0; i < count; i++) {
        char field[3][40];
        for (size_t j = 0; j < 3; j++) {
            snprintf(field[j], sizeof field[j], "levels[%zu][%zu]", i, j);
        }
        TRY(range_number(field[0], levels[i].amount, 1e-9, 1e6));
        TRY(range_check(field[1], levels[i].tubes, 1, MPN_TUBES_MAX));
        TRY(range_check(field[2], levels[i].positive, 0, levels[i].tubes));
    }
    return RESULT_OK;
}

/* 1 - exp(-cells) and exp(-cells), neither losing its digits. */
static double share_positive(double cells, double *out_negative)
{
    *out_negative = exp(-cells);
    return cells > 0.5 ? 1 - *out_negative : -expm1(-cells);
}

/* Sum of x v/(1 - exp(-L v)) - sum of n v, and how it changes with ln L. */
static double score(const struct tubes *t, double mpn, double *out_slope)
{
    double value = 0, slope = 0;
    for (size_t i = 0; i < t->count; i++) {
        double v = t->level[i].amount;
        double negative, share = share_positive(mpn * v, &negative);
        double x = (double)t->level[i].positive;
        value += x * v / share - (double)t->level[i].tubes * v;
        slope -= x * v * mpn * v * negative / (share * share);
    }
    *out_slope = slope;
    return value;
}

/* The root lies between x/(all amounts) and x/(amounts in negative tubes), since 1/y < 1/(1 -
 * exp(-y)) < 1 + 1/y; Thomas' number is their geometric mean. Newton's steps in ln L, kept inside.
 */
static double mpn_find(const struct tubes *t, double *out_thomas)
{
    double x = 0, all = 0, negative = 0;
    for (size_t i = 0; i < t->count; i++) {
        x += (double)t->level[i].positive;
        all += (double)t->level[i].tubes * t->level[i].amount;
        negative += (double)(t->level[i].tubes - t->level[i].positive) * t->level[i].amount;
    }
    double low = log(x / all), high = log(x / negative);
    *out_thomas = x / sqrt(negative * all);
    double at = (low + high) / 2;
    for (int step = 0; step < NEWTON_MAX && high - low > NEWTON_CLOSE * fabs(at); step++) {
        double slope;
        double value = score(t, exp(at), &slope);
        low = value > 0 ? at : low;
        high = value > 0 ? high : at;
        double next = at - value / slope;
        next = next > low && next < high ? next : (low + high) / 2;
        bool done = fabs(next - at) <= NEWTON_CLOSE * (1 + fabs(at));
        at = next;
        if (done) {
            break;
        }
    }
    return exp(at);
}

/* ln of p^x (1 - p)^(n - x), p the share of positive tubes. */
static double ln_tubes(int64_t tubes, int64_t positive, double cells)
{
    double ln = positive > 0 ? (double)positive * log(-expm1(-cells)) : 0;
    return ln - (positive < tubes ? (double)(tubes - positive) * cells : 0);
}

/* But for the binomial coefficients, which do not depend on the level. */
static double ln_likelihood(const struct tubes *t, double mpn)
{
    double ln = 0;
    for (size_t i = 0; i < t->count; i++) {
        ln += ln_tubes(t->level[i].tubes, t->level[i].positive, mpn * t->level[i].amount);
    }
    return fmax(ln, LEAST_LN);
}

static double above_least(double ln_mpn, const void *with)
{
    const struct tubes *t = with;
    return ln_likelihood(t, exp(ln_mpn)) - t->least_ln;
}

/* The limit on the side of reach, about where Jarvis' interval ends in ln L: look around there. */
static double ratio_limit(const struct tubes *t, double mpn, double reach)
{
    double from = log(mpn), inside = from + 0.8 * reach, step = 1.25 * reach;
    inside = above_least(inside, t) > 0 ? inside : from;
    while (above_least(from + step, t) > 0) {
        inside = from + step;
        step *= 1.5;
    }
    return exp(root_between(above_least, t, inside, from + step));
}

/* Chance that all tubes are positive, in logarithms, over the tail. */
static double all_positive(double ln_mpn, const void *with)
{
    const struct tubes *t = with;
    double ln = -t->least_ln;
    for (size_t i = 0; i < t->count; i++) {
        ln += (double)t->level[i].tubes * log(-expm1(-exp(ln_mpn) * t->level[i].amount));
    }
    return fmax(ln, LEAST_LN);
}

static double lower_of_all(struct tubes t, double tail)
{
    t.least_ln = log(tail);
    double low = 0, high = 0;
    while (all_positive(low, &t) > 0) {
        low -= 4;
    }
    while (all_positive(high, &t) < 0) {
        high += 4;
    }
    return exp(root_between(all_positive, &t, low, high));
}

/* The MPN of this series with a single tube other than all the others, of the smallest amount. */
static double neighbour(const struct tubes *t, bool positive)
{
    struct mpn_level level[MPN_LEVELS_MAX];
    size_t smallest = 0;
    int64_t tubes = 0;
    for (size_t i = 0; i < t->count; i++) {
        level[i] = t->level[i];
        tubes += level[i].tubes;
        smallest = level[i].amount < level[smallest].amount ? i : smallest;
    }
    if (tubes < 2) {
        return 0;
    }
    level[smallest].positive += positive ? 1 : -1;
    struct tubes other = {.level = level, .count = t->count};
    double thomas;
    return mpn_find(&other, &thomas);
}

static void rarity_fill(const struct tubes *t, struct mpn_report *out)
{
    double best = 0, seen = ln_likelihood(t, out->mpn);
    for (size_t i = 0; i < t->count; i++) {
        int64_t tubes = t->level[i].tubes;
        double cells = out->mpn * t->level[i].amount;
        int64_t likely = (int64_t)floor(-expm1(-cells) * (double)(tubes + 1));
        out->likeliest[i] = likely < tubes ? likely : tubes;
        best += ln_tubes(tubes, out->likeliest[i], cells) + ln_choose(tubes, out->likeliest[i]);
        seen += ln_choose(tubes, t->level[i].positive);
    }
    out->likelihood = exp(seen);
    out->rarity = fmin(1, exp(seen - best));
}

static void intervals_fill(struct tubes *t, const struct mpn_settings *set, struct mpn_report *out)
{
    double information = 0;
    for (size_t i = 0; i < t->count; i++) {
        double v = t->level[i].amount;
        double negative, share = share_positive(out->mpn * v, &negative);
        information += (double)t->level[i].positive * v * v * negative / (share * share);
    }
    out->se_log10 = 1 / (sqrt(information) * out->mpn * M_LN10);
    out->jarvis_low = out->mpn * pow(10, -set->k * out->se_log10);
    out->jarvis_high = out->mpn * pow(10, set->k * out->se_log10);
    double z = CONSTANT_NORMAL_QUANTILE_975;
    double reach = z * out->se_log10 * M_LN10;
    t->least_ln = ln_likelihood(t, out->mpn) - z * z / 2;
    out->ratio_low = ratio_limit(t, out->mpn, -reach);
    out->ratio_high = ratio_limit(t, out->mpn, reach);
}

static void extreme_fill(const struct tubes *t, bool none, double tail, struct mpn_report *out)
{
    out->state = none ? MPN_NONE_POSITIVE : MPN_ALL_POSITIVE;
    out->bound = neighbour(t, none);
    out->likelihood = 1;
    out->rarity = 1;
    double all = 0;
    for (size_t i = 0; i < t->count; i++) {
        all += (double)t->level[i].tubes * t->level[i].amount;
        out->likeliest[i] = t->level[i].positive;
    }
    out->one_sided = none ? -log(tail) / all : lower_of_all(*t, tail);
}

struct result mpn(const struct mpn_level *levels, size_t count, const struct mpn_settings *set,
                  struct mpn_report *out)
{
    *out = (struct mpn_report){0};
    TRY(levels_check(levels, count));
    TRY(range_number("k", set->k, 0.5, 5));
    TRY(range_number("tail", set->tail, 0.0001, 0.25));
    struct tubes t = {.level = levels, .count = count};
    int64_t tubes = 0, positive = 0;
    for (size_t i = 0; i < count; i++) {
        tubes += levels[i].tubes;
        positive += levels[i].positive;
    }
    if (positive == 0 || positive == tubes) {
        extreme_fill(&t, positive == 0, set->tail, out);
    } else {
        out->mpn = mpn_find(&t, &out->thomas);
        intervals_fill(&t, set, out);
        rarity_fill(&t, out);
        if (!isfinite(out->jarvis_high) || !isfinite(out->ratio_high)) {
            return FAIL1(CALC_OVERFLOW, "levels", "amounts too far apart");
        }
    }
    out->category = out->rarity >= CONSTANT_MPN_RARITY_LIKELY     ? 1
                    : out->rarity >= CONSTANT_MPN_RARITY_UNLIKELY ? 2
                                                                  : 3;
    out->suspect = out->rarity < CONSTANT_MPN_RARITY_SUSPECT;
    return RESULT_OK;
}
