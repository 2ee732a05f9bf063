#include "plan/yield.h"

#include <math.h>

#include "base/civil.h"

/* Spread of a chamber's packed mass between batches, until the house has weighed five of its own.
 * common practice */
static const double SPREAD_DEFAULT = 0.08;
/* However bad the history, a plan is made for at least this share of the standard. common practice
 */
static const double CAUTIOUS_MIN = 0.1;

enum { LEARN_ROUNDS = 10 };
enum { HOUR_MS = 3600000, MINUTE_MS = 60000 };

struct yield_history yield_history_of(const double *actual_kg, const double *standard_kg,
                                      int batch_count)
{
    struct yield_history h = {1, SPREAD_DEFAULT, batch_count};
    if (batch_count == 0) return h;
    double sum = 0, squares = 0;
    for (int i = 0; i < batch_count; i++)
        sum += actual_kg[i] / standard_kg[i];
    h.mean_ratio = sum / batch_count;
    if (batch_count < YIELD_BATCHES_MIN) {
        h.mean_ratio = fmin(1, h.mean_ratio);
        return h;
    }
    for (int i = 0; i < batch_count; i++)
        squares += pow(actual_kg[i] / standard_kg[i] - h.mean_ratio, 2);
    h.relative_spread = sqrt(squares / (batch_count - 1)) / h.mean_ratio;
    return h;
}

/* lots */

struct lot_sum {
    int64_t lot;
    int count;
    double sum;
};

static int sum_lots(const struct yield_batch *batches, int count, struct lot_sum *out)
{
    int lots = 0;
    for (int i = 0; i < count; i++) {
        int k = 0;
        while (k < lots && out[k].lot != batches[i].lot)
            k++;
        if (k == lots) out[lots++] = (struct lot_sum){.lot = batches[i].lot};
        out[k].count++;
        out[k].sum += batches[i].ratio;
    }
    return lots;
}

/* Density of a normal deviate without what all have in common. */
static double likely(double off, double variance)
{
    return exp(-off * off / (2 * variance)) / sqrt(variance);
}

/* How sure it is that a lot of n batches whose mean is so far off is an odd one. */
static double odd_chance(const struct yield_lots *x, double off, int n)
{
    double luck = x->within / n, spread = pow(YIELD_ODD_SPREAD * x->mean, 2);
    if (x->between + luck <= 0) return off != 0;
    double odd = x->odd_part * likely(off - x->odd_off, x->between + spread + luck);
    return odd / (odd + (1 - x->odd_part) * likely(off, x->between + luck));
}

/* Mean, spread and share of odd lots again, from how odd each lot looks by what was believed. */
static void learn_lots(struct yield_lots *x, const struct lot_sum *lots, int count)
{
    double weights = 0, weighted = 0, apart = 0, ordinary = 0, odd = 0, off = 0;
    for (int k = 0; k < count; k++) {
        double mean = lots[k].sum / lots[k].count;
        double p = odd_chance(x, mean - x->mean, lots[k].count);
        double weight = (1 - p) / (x->between + x->within / lots[k].count);
        odd += p;
        off += p * (mean - x->mean);
        ordinary += 1 - p;
        weights += weight;
        weighted += weight * mean;
        apart += (1 - p) * (pow(mean - x->mean, 2) - x->within / lots[k].count);
    }
    if (weights > 0) x->mean = weighted / weights;
    /* one mean is told from them; a lot that differs as lots do is counted beside them */
    x->between = fmax(0, (apart + pow(YIELD_LOTS_SPREAD * x->mean, 2)) / fmax(1, ordinary));
    x->odd_off = off / (YIELD_ODD_BEFORE + odd);
    x->odd_part = (YIELD_ODD_BEFORE + odd) / (YIELD_LOTS_BEFORE + count);
}

struct yield_lots yield_lots_of(struct arena *a, const struct yield_batch *batches, int batch_count)
{
    struct yield_lots x = {.mean = 1, .batches = batches, .batch_count = batch_count};
    if (batch_count == 0) return x;
    struct lot_sum *lots = ARENA_ARRAY(a, struct lot_sum, (size_t)batch_count);
    int count = sum_lots(batches, batch_count, lots);
    double sum = 0, squares = 0, of_lots = 0;
    for (int i = 0; i < batch_count; i++) {
        sum += batches[i].ratio;
        squares += batches[i].ratio * batches[i].ratio;
    }
    x.mean = sum / batch_count;
    for (int k = 0; k < count; k++)
        of_lots += lots[k].sum * lots[k].sum / lots[k].count;
    if (batch_count < YIELD_BATCHES_MIN || count < 2 || batch_count <= count) return x;
    x.within = fmax(0, (squares - of_lots) / (batch_count - count));
    if (x.within <= 0) return x;
    x.odd_part = YIELD_ODD_BEFORE / YIELD_LOTS_BEFORE;
    for (int i = 0; i < LEARN_ROUNDS; i++)
        learn_lots(&x, lots, count);
    return x;
}

/* What is kept of a lot's distance from the mean, its prior variance given. */
static double kept(const struct yield_lots *x, double variance, int n)
{
    return n > 0 && variance > 0 ? variance / (variance + x->within / n) : 0;
}

double yield_lot_ratio(const struct yield_lots *x, int64_t lot, double *deviation)
{
    double sum = 0;
    int n = 0;
    for (int i = 0; i < x->batch_count; i++) {
        if (x->batches[i].lot != lot) continue;
        sum += x->batches[i].ratio;
        n++;
    }
    double off = n > 0 ? sum / n - x->mean : 0;
    double odd = n > 0 && x->odd_part > 0 ? odd_chance(x, off, n) : x->odd_part;
    double wide = x->between + (x->odd_part > 0 ? pow(YIELD_ODD_SPREAD * x->mean, 2) : 0);
    double usual = kept(x, x->between, n), odds = kept(x, wide, n);
    double as_usual = off * usual, as_odd = x->odd_off + (off - x->odd_off) * odds;
    if (n == 0) as_odd = x->odd_off;
    double added = (1 - odd) * as_usual + odd * as_odd;
    if (deviation) {
        double variance = (1 - odd) * (x->between * (1 - usual) + pow(as_usual - added, 2)) +
                          odd * (wide * (1 - odds) + pow(as_odd - added, 2));
        *deviation = sqrt(variance) / x->mean;
    }
    return fmax(CAUTIOUS_MIN, (x->mean + added) / x->mean);
}

double yield_cautious(double standard_kg, const struct yield_history *h, double deviations)
{
    double share = h->mean_ratio * (1 - deviations * h->relative_spread);
    return standard_kg * fmax(CAUTIOUS_MIN, share);
}

struct result yield_way(const char *code, int32_t temp_mc, const struct heat_sum_crop *crop,
                        const struct mass_chain *chain, const struct yield_history *history,
                        const struct yield_house *house, struct plan_way *out)
{
    TRY(mass_chain_check(chain));
    struct set_point kept = {0, temp_mc};
    struct harvest_forecast ready;
    TRY(harvest_forecast(crop, 0, 0, &kept, 1, &ready));
    if (ready.never) return FAIL1(PLAN_FIELD, "temp_mc", "nothing grows at this temperature");
    double grow_h = (double)ready.ready_ms / HOUR_MS;
    double days =
        ceil((house->soak_hour + house->lead_h + grow_h - house->harvest_hour) / 24 - 1e-9);
    if (days > PLAN_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "temp_mc",
                     "the crop takes more than 120 days at this temperature");
    *out = (struct plan_way){.code = code,
                             .grow_days = (int)fmax(1, days),
                             .packed_kg_per_seed_kg = yield_cautious(mass_chain_factor(chain),
                                                                     history, house->deviations)};
    return RESULT_OK;
}

double yield_bed_kg_per_packed_kg(const struct mass_chain *chain)
{
    return chain->expansion / mass_chain_factor(chain);
}

struct result yield_lot_factor(const struct mass_chain *chain, int64_t pls_ppm,
                               int64_t reference_ppm, double *out)
{
    TRY(mass_chain_check(chain));
    int64_t standard_ppm = llround(chain->expansion * 1e6), lot_ppm = 0;
    TRY(mass_chain_lot_expansion(standard_ppm, pls_ppm, reference_ppm, &lot_ppm));
    *out = (double)lot_ppm / (double)standard_ppm;
    return RESULT_OK;
}

struct result yield_harvest_day(const struct heat_sum_crop *crop, int64_t done_mc_h,
                                const struct set_point *ahead, size_t set_points,
                                const struct yield_clock *clock, int *out)
{
    struct harvest_forecast ready;
    TRY(harvest_forecast(crop, done_mc_h, clock->now_ms, ahead, set_points, &ready));
    *out = PLAN_NEVER;
    if (ready.never) return RESULT_OK;
    int64_t ready_ms = ready.reached ? clock->now_ms : ready.ready_ms;
    int32_t day = day_of_house(ready_ms, clock->offset_min, clock->day_starts_min);
    /* hours into that house day; past the harvest hour it waits for the next */
    double into_h =
        (double)(ready_ms + (int64_t)(clock->offset_min - clock->day_starts_min) * MINUTE_MS) /
            HOUR_MS -
        24.0 * day;
    bool waits = into_h > clock->harvest_hour && !ready.reached;
    *out = (int)fmax(0, day - clock->first_day + waits);
    return RESULT_OK;
}
