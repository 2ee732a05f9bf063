#include "future_world.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "plan/draw.h"

const int grow_days[PRODUCTS] = {5, 6};
const int group_priority[GROUPS] = {2, 6}, group_remaining[GROUPS] = {2, 1};

enum { OF_DEMAND = 100, OF_GROWTH, OF_CALENDAR, ORDER_PIECES = 40 };

static const double base_kg[SERIES] = {260, 120, 150, 80};
static const double weekday[GROUPS][7] = {{0.9, 0.9, 0.95, 1.05, 1.35, 1.25, 0.6},
                                          {1.0, 1.05, 1.1, 1.2, 1.4, 1.0, 0.25}};
static const double day_spread[GROUPS] = {0.12, 0.2};
/* Part of a day's orders that is in so many days before. */
static const double booked_by[GROUPS][LEADS] = {
    {1, 0.97, 0.92, 0.85, 0.75, 0.65, 0.55, 0.42, 0.32, 0.24, 0.18, 0.12, 0.08, 0.04, 0},
    {1, 0.75, 0.55, 0.42, 0.32, 0.24, 0.18, 0.12, 0.08, 0.05, 0.03, 0.02, 0, 0, 0}};

static void make_calendar(struct world *w, struct draw *d)
{
    for (int t = 0; t < DAYS; t++)
        w->factor[t] = 1;
    /* one every six weeks: a feast, or a day the shops are shut */
    for (int t = 20; t < DAYS; t += 42) {
        int day = t + (int)(draw_unit(d) * 35);
        if (day < DAYS) w->factor[day] = draw_unit(d) < 0.5 ? 1.5 : 0.4;
    }
}

static void make_demand(struct world *w, struct draw *d, int series, bool promotions)
{
    int group = series % GROUPS;
    double level = 1 + 0.1 * draw_normal(d), promotion = 1;
    double drift = 0.002 * draw_normal(d);
    int promotion_until = -1;
    for (int t = 0; t < DAYS; t++) {
        if (t % 7 == 0) {
            level = fmin(1.5, fmax(0.6, level * exp(drift * 7 + 0.03 * draw_normal(d))));
            drift *= 0.9;
        }
        if (t > promotion_until && draw_unit(d) < 1.0 / 80) {
            promotion = 1.4 + 0.5 * draw_unit(d);
            promotion_until = t + 3 + (int)(4 * draw_unit(d));
        }
        double mean = base_kg[series] / NET_KG * level * weekday[group][t % 7] * w->factor[t] *
                      (promotions && t <= promotion_until ? promotion : 1);
        int64_t pieces = draw_pieces(d, mean, sqrt(mean + pow(day_spread[group] * mean, 2)));
        for (int64_t left = pieces; left > 0; left -= ORDER_PIECES) {
            double u = draw_unit(d);
            int lead = 0;
            while (lead + 1 < LEADS && u < booked_by[group][lead + 1])
                lead++;
            for (int l = 0; l <= lead; l++)
                w->booked[series][t][l] += left < ORDER_PIECES ? left : ORDER_PIECES;
        }
    }
}

static void make_growth(struct world *w, struct draw *d, int crop, const bool *cold, int without)
{
    double lot = 1;
    int lot_until = -1, lot_number = 0;
    for (int t = 0; t < DAYS; t++) {
        if (t > lot_until) {
            lot_number++;
            lot_until = t + 14 + (int)(draw_unit(d) * 14);
            bool bad = draw_unit(d) < 0.08;
            lot = (bad ? 0.75 : 1) * (1 + 0.03 * draw_normal(d));
        }
        w->lot[crop][t] = lot_number;
        double late = draw_unit(d), own = draw_lognormal(d, 0.09);
        bool barred = draw_unit(d) < 0.012;
        w->ratio[crop][t] = 0.98 * (without & WITHOUT_POOR_LOTS ? 1 : lot) *
                            (without & WITHOUT_BATCH_LUCK ? 1 : own) * (cold[t] ? 0.9 : 1);
        w->late_days[crop][t] = (late < 0.06 && !(without & WITHOUT_LATE)) + cold[t];
        w->barred[crop][t] = barred && !(without & WITHOUT_BARRED);
    }
}

void world_make(struct world *w, uint64_t seed, uint32_t future, int without)
{
    struct draw d;
    bool cold[DAYS] = {false};
    memset(w, 0, sizeof *w);
    draw_begin(&d, seed, future, draw_thing(OF_CALENDAR, 0, 0, 0));
    make_calendar(w, &d);
    for (int t = 0; t < DAYS; t += 7)
        if (draw_unit(&d) < 1.0 / 13 && !(without & WITHOUT_COLD))
            for (int i = t; i < t + 7 && i < DAYS; i++)
                cold[i] = true;
    for (int s = 0; s < SERIES; s++) {
        draw_begin(&d, seed, future, draw_thing(OF_DEMAND, s, 0, 0));
        make_demand(w, &d, s, !(without & WITHOUT_PROMOTIONS));
    }
    for (int k = 0; k < PRODUCTS; k++) {
        draw_begin(&d, seed, future, draw_thing(OF_GROWTH, k, 0, 0));
        make_growth(w, &d, k, cold, without);
    }
}

/* the house's days */

double order_shortage_cost(int group)
{
    return VALUE_PER_KG * 2 * (1 + (9 - group_priority[group]) / 8.0);
}

int batch_harvest_day(const struct world *w, const struct batch *b)
{
    return b->start_day + grow_days[b->crop] + w->late_days[b->crop][b->start_day];
}

void house_start(struct house *h, int chamber, int crop, int day, double seed_kg)
{
    CHECK(!h->batches[chamber].runs && h->free_from[chamber] <= day);
    h->batches[chamber] = (struct batch){true, crop, day, seed_kg};
}

static void harvest(const struct world *w, struct house *h, int day, struct score *score)
{
    for (int c = 0; c < CHAMBERS; c++) {
        struct batch *b = &h->batches[c];
        if (!b->runs || batch_harvest_day(w, b) > day) continue;
        double kg = b->seed_kg * STANDARD_KG_PER_KG * w->ratio[b->crop][b->start_day];
        double cost = START_COST + b->seed_kg * SEED_PRICE;
        score->cost += cost;
        score->made_kg += kg;
        if (w->barred[b->crop][b->start_day]) {
            score->waste_kg += kg;
            score->cost += kg * WASTE_PER_KG;
        } else if (h->stock_count < STOCK_MAX) {
            h->stock[h->stock_count++] = (struct goods_left){b->crop, day, kg, cost / kg};
        }
        b->runs = false;
        h->free_from[c] = day + 1;
    }
}

/* Stock stands by day of harvest: oldest first. */
static void serve(const struct world *w, struct house *h, int day, struct score *score)
{
    for (int g = 0; g < GROUPS; g++)
        for (int k = 0; k < PRODUCTS; k++) {
            double want = (double)w->booked[k * GROUPS + g][day][0] * NET_KG, left = want;
            for (int i = 0; i < h->stock_count && left > 0; i++) {
                struct goods_left *x = &h->stock[i];
                if (x->crop != k || x->day + LIFE_DAYS - day < group_remaining[g]) continue;
                double kg = fmin(left, x->kg);
                x->kg -= kg;
                left -= kg;
                score->cost += kg * (day - x->day) * HOLD_PER_KG_DAY;
            }
            score->wanted_kg += want;
            score->short_kg += left;
            score->cost += left * order_shortage_cost(g);
            score->lines++;
            score->lines_met += left <= 1e-9;
        }
}

static void discard(struct house *h, int day, struct score *score)
{
    int kept = 0;
    for (int i = 0; i < h->stock_count; i++) {
        struct goods_left x = h->stock[i];
        bool keeps = x.day + LIFE_DAYS - (day + 1) >= group_remaining[1];
        if (!keeps) {
            score->waste_kg += x.kg;
            score->cost += x.kg * WASTE_PER_KG;
        } else if (x.kg > 1e-9) {
            h->stock[kept++] = x;
        }
    }
    h->stock_count = kept;
}

void house_day(const struct world *w, struct house *h, int day, struct score *score)
{
    harvest(w, h, day, score);
    serve(w, h, day, score);
    discard(h, day, score);
}

void house_close(const struct house *h, struct score *score)
{
    for (int i = 0; i < h->stock_count; i++)
        score->cost -= h->stock[i].kg * h->stock[i].cost_per_kg;
}
