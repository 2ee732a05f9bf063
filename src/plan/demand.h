/* Demand per product, customer group and day: orders as booked, and for what is not booked yet a
 * forecast from the order history, which orders eat up as they come.
 *
 * Forecast of one product and group, w weeks ahead on weekday d (Holt's linear method with a damped
 * trend, on weekly totals: Gardner and McKenzie 1985, Forecasting trends in time series - from
 * memory):
 *
 *   level_j  = alpha * total_j + (1 - alpha) * (level_j-1 + phi * trend_j-1)
 *   trend_j  = beta * (level_j - level_j-1) + (1 - beta) * phi * trend_j-1
 *   forecast = (level + trend * (phi + phi^2 + ... + phi^w)) * share_d * factor of the date
 *
 * Weeks are counted back from the last day of history. share_d is that weekday's part of the weeks,
 * later weeks counting more. Days with a factor enter the history divided by it; days with factor 0
 * as the same weekday next to them. The spread of a day is the root of (dispersion * forecast),
 * dispersion = sum of squared misses / sum of forecasts when each past week is foretold from the
 * weeks before it: no misses, no spread.
 *
 * A standing order counts as booked beside the orders: it takes its pieces from what is foretold.
 *
 * What is booked of a day by the end of the history then moves its forecast and narrows its spread
 * as past days have taught (pickup.h, by group).
 *
 * Fewer than two whole weeks of history give no forecast. */
#ifndef PLAN_DEMAND_H
#define PLAN_DEMAND_H

#include "plan/pickup.h"
#include "plan/problem.h"

/* alpha, beta, phi, and how much of a week's weight each further week back keeps. common practice
 */
#define DEMAND_ALPHA 0.3
#define DEMAND_BETA 0.1
#define DEMAND_PHI 0.9
#define DEMAND_WEEK_WEIGHT 0.9

enum { DEMAND_WEEKS_MAX = 104, DEMAND_WEEKS_MIN = 2 };

/* Pieces ordered for a past day, all customers of a group together; several of one day add up. Days
 * without one count as 0. */
struct demand_past {
    int product, group;
    int32_t day; /* calendar day */
    int64_t pieces;
    int ahead_days; /* booked so many days before; 0: on the day, or not known */
};

struct demand_order {
    const char *key;
    int product, group;
    int32_t day;
    int64_t pieces;
    int32_t
        told_day;   /* calendar day it was booked; after history_to it says nothing yet of others */
    int moved_days; /* as in plan_line */
};

/* What a standing order asks for on a day beyond the orders of its customer. */
struct demand_standing {
    const char *key, *code; /* key: of this day alone */
    int product, group;
    int32_t day;
    int64_t pieces;
    int moved_days; /* as in plan_line */
};

/* A day unlike its weekday: what is usually ordered times factor, 0 ... 10. group PLAN_NONE: every
 * group. */
struct demand_holiday {
    int32_t day;
    int group;
    double factor;
};

/* Days for which a group's orders are all in: no forecast is added there. Both included. */
struct demand_whole {
    int group;
    int32_t from_day, to_day;
};

struct demand_input {
    int32_t history_from,
        history_to; /* calendar days; the history covers them whole, history_to before first_day */
    const struct demand_past *past;
    const struct demand_order *orders;
    const struct demand_standing *standing;
    const struct demand_holiday *holidays;
    const struct demand_whole *whole;
    int past_count, order_count, standing_count, holiday_count, whole_count;
    int32_t first_day; /* the plan's first day */
    int day_count;
    int product_count, group_count;
};

/* One product, group and day, as shown. */
struct demand_day {
    int product, group, day; /* day: index from first_day */
    int64_t booked_pieces, standing_pieces;
    int64_t forecast_pieces; /* of the whole day, as far as orders booked until history_to say */
    int64_t added_pieces;    /* of it: forecast - booked - standing, not below 0; 0 where orders are
                                all in */
    double spread_pieces;    /* standard deviation of the forecast */
    bool is_known;           /* false: too little history for a forecast */
};

struct demand {
    double shared_part; /* 0 ... 1 of the misses' variance that the days of a week have in common */
    struct demand_day *days; /* (product * group_count + group) * day_count + day */
    struct plan_line
        *lines; /* each order, each standing order, each addition; shortage costs still 0 */
    int line_count;
};

/* PLAN_FIELD on an index, date or number out of range. */
MUST_USE struct result demand_make(struct arena *a, const struct demand_input *in,
                                   struct demand *out);

/* Forecast from a plain series: pieces by day, oldest first, and the factor of each of those days
 * (1: ordinary). Fills out_pieces and out_spread for the day_count days after it with their
 * factors. false: too little history. */
bool demand_forecast(struct arena *a, const double *pieces, const double *past_factor,
                     int past_days, const double *factor, int day_count, double *out_pieces,
                     double *out_spread);

/* Costs of shortage, ranked: priority 1 costs twice what priority 9 does, and an order twice what a
 * forecast does. base_cost_per_kg by product: what one packed kg of it earns. */
void demand_rank(const struct plan_group *groups, const double *base_cost_per_kg,
                 struct plan_line *lines, int line_count);

#endif
