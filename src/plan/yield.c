#include "plan/yield.h"

#include <math.h>

#include "base/civil.h"

/* Spread of a chamber's packed mass between batches, until the house has weighed five of its own.
 * common practice */
static const double SPREAD_DEFAULT = 0.08;
/* However bad the history, a plan is made for at least this share of the standard. common practice
 */
static const double CAUTIOUS_MIN = 0.1;

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

struct yield_lots yield_lots_of(struct arena *a, const struct yield_batch *batches, int batch_count)
{
    struct yield_lots x = {1, 0, 0, batches, batch_count};
    if (batch_count == 0) return x;
    struct lot_sum *lots = ARENA_ARRAY(a, struct lot_sum, (size_t)batch_count);
    int count = sum_lots(batches, batch_count, lots);
    double sum = 0, squares = 0, of_lots = 0, counts = 0;
    for (int i = 0; i < batch_count; i++) {
        sum += batches[i].ratio;
        squares += batches[i].ratio * batches[i].ratio;
    }
    x.mean = sum / batch_count;
    for (int k = 0; k < count; k++) {
        of_lots += lots[k].sum * lots[k].sum / lots[k].count;
        counts += (double)lots[k].count * lots[k].count;
    }
    if (batch_count < YIELD_BATCHES_MIN || count < 2 || batch_count <= count) return x;
    x.within = fmax(0, (squares - of_lots) / (batch_count - count));
    double apart = of_lots - sum * sum / batch_count - (count - 1) * x.within;
    x.between = fmax(0, apart / (batch_count - counts / batch_count));
    /* each lot counts once where lots differ, each batch where they don't */
    double weights = 0, weighted = 0;
    for (int k = 0; k < count && x.within > 0; k++) {
        double weight = 1 / (x.between + x.within / lots[k].count);
        weights += weight;
        weighted += weight * lots[k].sum / lots[k].count;
    }
    if (weights > 0) x.mean = weighted / weights;
    return x;
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
    double all = n * x->between + x->within, part = all > 0 ? n * x->between / all : 0;
    if (deviation) *deviation = sqrt(x->between * (1 - part)) / x->mean;
    double added = n > 0 ? part * (sum / n - x->mean) : 0;
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
