#include "plan/demand.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WEEK = 7, HISTORY_DAYS_MAX = 3653, WEEKS_SKIPPED = 4 };

/* A series by weeks: day j of week w at [w * WEEK + j]; week 0 is the oldest, day 6 of the last
 * week the last day of history. */
struct weeks {
    double *pieces; /* as they would have been on ordinary days */
    double *total;
    int count;
};

struct state {
    double level, trend;
    double share[WEEK];
};

static struct weeks weeks_of(struct arena *a, const double *pieces, const double *factor, int days)
{
    struct weeks x = {.count = days / WEEK};
    if (x.count > DEMAND_WEEKS_MAX) x.count = DEMAND_WEEKS_MAX;
    int first = days - x.count * WEEK;
    x.pieces = ARENA_ARRAY(a, double, (size_t)(x.count * WEEK) + 1);
    x.total = ARENA_ARRAY(a, double, (size_t)x.count + 1);
    for (int i = 0; i < x.count * WEEK; i++)
        x.pieces[i] = factor[first + i] > 0 ? pieces[first + i] / factor[first + i] : NAN;
    /* a day the house was shut says nothing: the same weekday nearest to it stands in */
    for (int i = 0; i < x.count * WEEK; i++) {
        if (!isnan(x.pieces[i])) continue;
        for (int off = WEEK; isnan(x.pieces[i]) && off < x.count * WEEK; off += WEEK) {
            if (i - off >= 0) x.pieces[i] = x.pieces[i - off];
            if (isnan(x.pieces[i]) && i + off < x.count * WEEK) x.pieces[i] = x.pieces[i + off];
        }
        if (isnan(x.pieces[i])) x.pieces[i] = 0;
    }
    for (int w = 0; w < x.count; w++)
        for (int j = 0; j < WEEK; j++)
            x.total[w] += x.pieces[w * WEEK + j];
    return x;
}

static void shares_of(const struct weeks *x, int count, double share[WEEK])
{
    double sum[WEEK] = {0}, all = 0, weight = 1;
    for (int w = count - 1; w >= 0; w--, weight *= DEMAND_WEEK_WEIGHT)
        for (int j = 0; j < WEEK; j++) {
            sum[j] += weight * x->pieces[w * WEEK + j];
            all += weight * x->pieces[w * WEEK + j];
        }
    for (int j = 0; j < WEEK; j++)
        share[j] = all > 0 ? sum[j] / all : 1.0 / WEEK;
}

static void week_learn(struct state *s, double total)
{
    double before = s->level;
    double drift = DEMAND_PHI * s->trend;
    s->level = DEMAND_ALPHA * total + (1 - DEMAND_ALPHA) * (before + drift);
    s->trend = DEMAND_BETA * (s->level - before) + (1 - DEMAND_BETA) * drift;
}

/* Pieces of weekday j, weeks ahead (1: the week after the last learnt). */
static double foretold(const struct state *s, int weeks_ahead, int j)
{
    double damped = 0, power = 1;
    for (int w = 0; w < weeks_ahead; w++) {
        power *= DEMAND_PHI;
        damped += power;
    }
    return fmax(0, s->level + s->trend * damped) * s->share[j];
}

/* Each past week foretold from those before it, into past (ordinary days; NAN in the first week).
 * *s knows them all in the end. -> dispersion */
static double foretell_past(const struct weeks *x, struct state *s, double *past)
{
    double squares = 0, sum = 0;
    *s = (struct state){.level = x->total[0]};
    for (int j = 0; j < WEEK; j++)
        past[j] = NAN;
    for (int w = 1; w < x->count; w++) {
        shares_of(x, w, s->share);
        for (int j = 0; j < WEEK; j++) {
            double expected = foretold(s, 1, j);
            past[w * WEEK + j] = expected;
            squares += pow(x->pieces[w * WEEK + j] - expected, 2);
            sum += expected;
        }
        week_learn(s, x->total[w]);
    }
    shares_of(x, x->count, s->share);
    return sum > 0 ? squares / sum : 0;
}

bool demand_forecast(struct arena *a, const double *pieces, const double *past_factor,
                     int past_days, const double *factor, int day_count, double *out_pieces,
                     double *out_spread)
{
    struct weeks x = weeks_of(a, pieces, past_factor, past_days);
    if (x.count < DEMAND_WEEKS_MIN) return false;
    struct state s;
    double *past = ARENA_ARRAY(a, double, (size_t)(x.count * WEEK));
    double dispersion = foretell_past(&x, &s, past);
    for (int d = 0; d < day_count; d++) {
        out_pieces[d] = foretold(&s, d / WEEK + 1, d % WEEK) * factor[d];
        out_spread[d] = sqrt(dispersion * out_pieces[d]);
    }
    return true;
}

/* from the record */

static double factor_of(const struct demand_input *in, int group, int32_t day)
{
    double factor = 1;
    bool own = false;
    for (int i = 0; i < in->holiday_count; i++) {
        const struct demand_holiday *h = &in->holidays[i];
        if (h->day != day || (h->group != PLAN_NONE && h->group != group)) continue;
        /* what is said of the group goes before what is said of all */
        if (own && h->group == PLAN_NONE) continue;
        factor = h->factor;
        own = h->group != PLAN_NONE;
    }
    return factor;
}

static bool is_whole(const struct demand_input *in, int group, int32_t day)
{
    for (int i = 0; i < in->whole_count; i++)
        if (in->whole[i].group == group && day >= in->whole[i].from_day &&
            day <= in->whole[i].to_day)
            return true;
    return false;
}

static struct result wrong(const char *list, int index, const char *what)
{
    char field[64];
    snprintf(field, sizeof field, "%s[%d]", list, index);
    return FAIL1(PLAN_FIELD, field, what);
}

static struct result check(const struct demand_input *in)
{
    if (in->day_count < 1 || in->day_count > PLAN_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "day_count", "it must be from 1 to 120");
    if (in->history_to >= in->first_day)
        return FAIL1(PLAN_FIELD, "history_to", "the history must end before the first day");
    if (in->first_day - in->history_to > PLAN_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "history_to", "the history ends too long before the first day");
    if (in->history_to - in->history_from > HISTORY_DAYS_MAX)
        return FAIL1(PLAN_FIELD, "history_from", "the history is longer than 10 years");
    for (int i = 0; i < in->past_count; i++) {
        const struct demand_past *x = &in->past[i];
        if (x->product < 0 || x->product >= in->product_count || x->group < 0 ||
            x->group >= in->group_count)
            return wrong("past", i, "there is no such product or group");
        if (x->pieces < 0) return wrong("past", i, "pieces must be 0 or more");
    }
    for (int i = 0; i < in->order_count; i++) {
        const struct demand_order *x = &in->orders[i];
        if (x->product < 0 || x->product >= in->product_count || x->group < 0 ||
            x->group >= in->group_count)
            return wrong("orders", i, "there is no such product or group");
        if (!x->key) return wrong("orders", i, "an order needs its key");
        if (x->pieces < 0) return wrong("orders", i, "pieces must be 0 or more");
    }
    for (int i = 0; i < in->standing_count; i++) {
        const struct demand_standing *x = &in->standing[i];
        if (x->product < 0 || x->product >= in->product_count || x->group < 0 ||
            x->group >= in->group_count)
            return wrong("standing", i, "there is no such product or group");
        if (!x->key || !x->code) return wrong("standing", i, "it needs its key and code");
        if (x->pieces < 0) return wrong("standing", i, "pieces must be 0 or more");
    }
    for (int i = 0; i < in->holiday_count; i++)
        if (!(in->holidays[i].factor >= 0 && in->holidays[i].factor <= 10))
            return wrong("holidays", i, "the factor must be from 0 to 10");
    return RESULT_OK;
}

static struct demand_day *day_at(const struct demand_input *in, struct demand *out, int product,
                                 int group, int day)
{
    return &out->days[(product * in->group_count + group) * in->day_count + day];
}

/* One product and group while it is foretold. */
struct series {
    bool is_known;
    double *spread;             /* by day after the history, before orders */
    struct pickup_day *learned; /* past days in whole weeks, foretold from the weeks before them */
    struct pickup_day *now;     /* the last of them, and the days after the history */
    int learned_count, now_count;
    int now_from; /* first day after the history in now */
};

static int days_of(const struct demand_input *in)
{
    return in->history_to < in->history_from ? 0 : in->history_to - in->history_from + 1;
}

/* Pieces by past day, and those booked ahead: day * (PICKUP_AHEAD_MAX + 1) + days ahead. */
static void gather(const struct demand_input *in, int product, int group, double *pieces,
                   double *ahead)
{
    for (int i = 0; i < in->past_count; i++) {
        const struct demand_past *x = &in->past[i];
        if (x->product != product || x->group != group || x->day < in->history_from ||
            x->day > in->history_to)
            continue;
        int day = x->day - in->history_from;
        pieces[day] += (double)x->pieces;
        for (int l = 0; l <= x->ahead_days && l <= PICKUP_AHEAD_MAX; l++)
            ahead[day * (PICKUP_AHEAD_MAX + 1) + l] += (double)x->pieces;
    }
}

/* What past days teach: expected from the weeks before, what came, what was booked when. The first
 * weeks of a long history are left out: what was foretold from so little says little. */
static void learn_past(struct arena *a, const double *pieces, const double *factor,
                       const double *ahead, int past_days, struct series *s)
{
    struct weeks x = weeks_of(a, pieces, factor, past_days);
    struct state state;
    double *past = ARENA_ARRAY(a, double, (size_t)(x.count * WEEK));
    foretell_past(&x, &state, past);
    int first = past_days - x.count * WEEK;
    s->learned = ARENA_ARRAY(a, struct pickup_day, (size_t)(x.count * WEEK));
    for (int i = (x.count > 2 * WEEKS_SKIPPED ? WEEKS_SKIPPED : 1) * WEEK; i < x.count * WEEK;
         i++) {
        struct pickup_day *d = &s->learned[s->learned_count++];
        *d = (struct pickup_day){.expected = fmax(0, past[i] * factor[first + i]),
                                 .brought = pieces[first + i]};
        memcpy(d->booked, &ahead[(first + i) * (PICKUP_AHEAD_MAX + 1)], sizeof d->booked);
    }
}

/* The days that are looked at now: expected as the weeks before say, booked until the history's
 * end. */
static void tell_now(struct arena *a, const struct demand_input *in, int product, int group,
                     const double *expected, int ahead, struct series *s)
{
    s->now_from = s->learned_count < PICKUP_AROUND_DAYS ? s->learned_count : PICKUP_AROUND_DAYS;
    s->now_count = s->now_from + ahead;
    s->now = ARENA_ARRAY(a, struct pickup_day, (size_t)s->now_count);
    if (s->now_from > 0)
        memcpy(s->now, &s->learned[s->learned_count - s->now_from],
               (size_t)s->now_from * sizeof *s->now);
    for (int d = 0; d < ahead; d++)
        s->now[s->now_from + d].expected = expected[d];
    for (int i = 0; i < in->order_count; i++) {
        const struct demand_order *x = &in->orders[i];
        int day = x->day - in->history_to - 1;
        if (x->product != product || x->group != group || x->told_day > in->history_to || day < 0 ||
            day >= ahead)
            continue;
        int l = day + 1 < PICKUP_AHEAD_MAX ? day + 1 : PICKUP_AHEAD_MAX;
        s->now[s->now_from + day].booked[l] += (double)x->pieces;
    }
}

static void forecast_series(struct arena *a, const struct demand_input *in, int product, int group,
                            struct series *s)
{
    int past_days = days_of(in);
    /* days between the history's end and the first day are foretold too */
    int ahead = in->first_day - in->history_to - 1 + in->day_count;
    double *pieces = ARENA_ARRAY(a, double, (size_t)past_days + 1);
    double *past_factor = ARENA_ARRAY(a, double, (size_t)past_days + 1);
    double *booked = ARENA_ARRAY(a, double, (size_t)(past_days + 1) * (PICKUP_AHEAD_MAX + 1));
    double *factor = ARENA_ARRAY(a, double, (size_t)ahead + 1);
    double *expected = ARENA_ARRAY(a, double, (size_t)ahead + 1);
    s->spread = ARENA_ARRAY(a, double, (size_t)ahead + 1);
    gather(in, product, group, pieces, booked);
    for (int d = 0; d < past_days; d++)
        past_factor[d] = factor_of(in, group, in->history_from + d);
    for (int d = 0; d < ahead; d++)
        factor[d] = factor_of(in, group, in->history_to + 1 + d);
    s->is_known =
        demand_forecast(a, pieces, past_factor, past_days, factor, ahead, expected, s->spread);
    if (!s->is_known) return;
    learn_past(a, pieces, past_factor, booked, past_days, s);
    tell_now(a, in, product, group, expected, ahead, s);
}

/* How much of their misses the days of a past week had in common, as seen on the evening before its
 * first day. */
static void add_misses(const struct pickup *p, const struct pickup_series *s, double *week_squares,
                       double *day_squares)
{
    for (int w = 0; w + WEEK <= s->count; w += WEEK) {
        double week = 0;
        for (int j = 0; j < WEEK; j++) {
            const struct pickup_day *d = &s->days[w + j];
            double variance = p->dispersion[j + 1] * d->expected;
            if (variance <= 0) continue;
            double miss = (d->brought - pickup_expect(p, s, w + j, j + 1)) / sqrt(variance);
            week += miss;
            *day_squares += miss * miss;
        }
        *week_squares += week * week;
    }
}

/* All products of a group: their customers book alike. */
static void forecast_group(struct arena *a, const struct demand_input *in, int group,
                           struct demand *out, double *week_squares, double *day_squares)
{
    struct series *series = ARENA_ARRAY(a, struct series, (size_t)in->product_count + 1);
    struct pickup_series *past =
        ARENA_ARRAY(a, struct pickup_series, (size_t)in->product_count + 1);
    int skipped = in->first_day - in->history_to - 1;
    struct pickup pickup;
    for (int i = 0; i < in->product_count; i++) {
        forecast_series(a, in, i, group, &series[i]);
        past[i] = (struct pickup_series){series[i].learned, series[i].learned_count};
    }
    pickup_learn(past, in->product_count, &pickup);
    for (int i = 0; i < in->product_count; i++) {
        const struct series *s = &series[i];
        const struct pickup_series now = {s->now, s->now_count};
        add_misses(&pickup, &past[i], week_squares, day_squares);
        for (int d = 0; d < in->day_count; d++) {
            struct demand_day *x = day_at(in, out, i, group, d);
            *x = (struct demand_day){
                .product = i, .group = group, .day = d, .is_known = s->is_known};
            if (!s->is_known) continue;
            int at = skipped + d;
            x->forecast_pieces = llround(pickup_expect(&pickup, &now, s->now_from + at, at + 1));
            x->spread_pieces = s->spread[at] * pickup_narrows(&pickup, at + 1);
        }
    }
}

static struct plan_line *line_add(struct demand *out)
{
    return &out->lines[out->line_count++];
}

static void add_orders(const struct demand_input *in, struct demand *out)
{
    for (int i = 0; i < in->order_count; i++) {
        const struct demand_order *x = &in->orders[i];
        int day = x->day - in->first_day;
        if (day < 0 || day >= in->day_count) continue;
        day_at(in, out, x->product, x->group, day)->booked_pieces += x->pieces;
        *line_add(out) = (struct plan_line){.key = x->key,
                                            .product = x->product,
                                            .group = x->group,
                                            .day = day,
                                            .pieces = x->pieces,
                                            .moved_days = x->moved_days};
    }
    for (int i = 0; i < in->standing_count; i++) {
        const struct demand_standing *x = &in->standing[i];
        int day = x->day - in->first_day;
        if (day < 0 || day >= in->day_count) continue;
        day_at(in, out, x->product, x->group, day)->standing_pieces += x->pieces;
        *line_add(out) = (struct plan_line){.key = x->key,
                                            .product = x->product,
                                            .group = x->group,
                                            .day = day,
                                            .pieces = x->pieces,
                                            .standing = x->code,
                                            .moved_days = x->moved_days};
    }
}

struct result demand_make(struct arena *a, const struct demand_input *in, struct demand *out)
{
    *out = (struct demand){0};
    TRY(check(in));
    int days = in->product_count * in->group_count * in->day_count;
    out->days = ARENA_ARRAY(a, struct demand_day, (size_t)days + 1);
    out->lines =
        ARENA_ARRAY(a, struct plan_line, (size_t)(in->order_count + in->standing_count + days) + 1);
    double weeks = 0, single = 0;
    for (int g = 0; g < in->group_count; g++)
        forecast_group(a, in, g, out, &weeks, &single);
    /* misses apart: the squares of a week's sum are those of its days; in step: seven times as many
     */
    if (single > 0) out->shared_part = fmin(1, fmax(0, (weeks / single - 1) / (WEEK - 1)));
    add_orders(in, out);
    for (int i = 0; i < days; i++) {
        struct demand_day *x = &out->days[i];
        int64_t left = x->forecast_pieces - x->booked_pieces - x->standing_pieces;
        if (left <= 0 || is_whole(in, x->group, in->first_day + x->day)) continue;
        x->added_pieces = left;
        *line_add(out) = (struct plan_line){.product = x->product,
                                            .group = x->group,
                                            .day = x->day,
                                            .pieces = left,
                                            .spread_pieces = x->spread_pieces};
    }
    return RESULT_OK;
}

void demand_rank(const struct plan_group *groups, const double *base_cost_per_kg,
                 struct plan_line *lines, int line_count)
{
    for (int i = 0; i < line_count; i++) {
        struct plan_line *x = &lines[i];
        double rank = 1 + (9 - groups[x->group].priority) / 8.0;
        x->shortage_cost_per_kg = base_cost_per_kg[x->product] * rank * (x->key ? 2 : 1);
    }
}
