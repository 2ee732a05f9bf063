#include "plan/evening.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/distribution.h"
#include "plan/draw.h"

enum { OF_NEWS = 70, OF_EVENING, OF_LOT, OF_CROP };
enum { MADE_ROOM = EVENING_KEEP_MAX + 2 * EVENING_DAYS_MAX };
static const double NOTHING_KG = 1e-6;

struct luck {
    double ratio;
    int late;
};

struct evening_futures {
    int leads;             /* days ahead that are looked at, today included */
    double *expected;      /* ((future * day_count + day) * (want_count + 1) + want) * leads + days
                              ahead; the last want: all together */
    struct luck *evenings; /* future * day_count + day */
    struct luck *lots;     /* future * lot_count + lot */
    double *weight;        /* by future */
};

static int leads_of(const struct evening_case *c)
{
    return c->grow_days + EVENING_FILL_MAX + 1;
}

/* Is an evening planned by the rule? What could not be harvested any more brings nothing. */
static bool starts_on(const struct evening_case *c, int day)
{
    return day > c->tonight && day + c->grow_days < c->day_count;
}

/* drawing */

/* Part of a day's variance that is still open so many days ahead. */
static double open_part(const struct evening_want *w, int day, int ahead)
{
    return w->relative[day] > 0 ? pow(w->relative[ahead] / w->relative[day], 2) : 0;
}

/* Expectations of one want, evening by evening, in two futures whose news are opposite (antithetic
 * variates: Hammersley, Morton 1956, A new Monte Carlo technique - from memory): what one has
 * dearer by the other has cheaper, and fewer futures tell two starts apart. out: of the first
 * evening; step: to the next. */
static void draw_want(const struct evening_case *c, uint32_t pair, int want, int leads,
                      double *const out[2], size_t step)
{
    const struct evening_want *w = &c->wants[want];
    double news[EVENING_DAYS_MAX] = {0}, known[EVENING_DAYS_MAX];
    struct draw d;
    for (int day = 0; day < EVENING_DAYS_MAX; day++)
        known[day] = 1;
    draw_begin(&d, c->seed, pair, draw_thing(OF_NEWS, want, 0, 0));
    double shared = sqrt(c->shared_part), own = sqrt(1 - c->shared_part), two[2] = {0, 0};
    for (int t = 0, drawn = 0; t < c->day_count; t++) {
        if (t > 0) draw_normals(&d, two);
        double all = two[0] * shared;
        drawn = 1;
        for (int l = 0; l < (starts_on(c, t) ? leads : 1); l++) {
            int day = t + l;
            double open = open_part(w, day, l);
            if (t > 0 && w->spread_kg[day] > 0) {
                if (drawn == 2) draw_normals(&d, two);
                drawn = drawn == 2 ? 1 : 2;
                double part = sqrt(fmax(0, known[day] - open)) * w->spread_kg[day];
                news[day] += part * (all + own * two[drawn == 2]);
                known[day] = fmin(known[day], open);
            }
            size_t at = (size_t)t * step + (size_t)l;
            out[0][at] = fmax(0, w->mean_kg[day] + news[day]);
            out[1][at] = fmax(0, w->mean_kg[day] - news[day]);
        }
    }
}

static int late_of(const struct evening_case *c, double unit)
{
    const struct chance_crop *x = c->crop;
    int late = x->shift_count > 0 ? x->shift_days[(int)(unit * x->shift_count)] : 0;
    return late < 1 - c->grow_days ? 1 - c->grow_days : late;
}

/* A number in (0, 1) for each future, one in each of as many equal parts, in any order (McKay,
 * Beckman, Conover 1979, A Comparison of Three Methods for Selecting Values of Input Variables -
 * from memory): what befalls one in a hundred then befalls its share of few futures too. */
static void draw_parts(struct draw *d, double *out, int count)
{
    for (int f = 0; f < count; f++) {
        int at = (int)(draw_unit(d) * (f + 1));
        out[f] = out[at];
        out[at] = f;
    }
    for (int f = 0; f < count; f++)
        out[f] = (out[f] + draw_unit(d)) / count;
}

/* What all batches share, by future. first: which of the batches that may be barred is the first
 * that is; batches: none. */
struct goods_draw {
    int count, batches, told;
    double *of_mean, *barred, *own, *is_barred, *late;
    int *first;
};

static bool may_be_barred(const struct evening_lot *l)
{
    return !l->is_here && !l->is_passed;
}

/* Every other pair of futures has a batch barred, the first of them drawn as it falls when one is;
 * the others have none. Each half weighs what it is likely (stratified and weighted sampling:
 * Rubinstein 1981, Simulation and the Monte Carlo Method - from memory): what is rare and dear is
 * seen often enough to tell two starts apart. */
static void draw_barred(const struct evening_case *c, struct draw *d, struct goods_draw *g,
                        double *weight)
{
    const struct chance_crop *crop = c->crop;
    draw_parts(d, g->is_barred, g->count);
    for (int f = 0; f < g->count; f++) {
        double p = crop->barred > 0 ? draw_beta(d, crop->barred, crop->passed) : 0;
        double some = -expm1(g->batches * log1p(-p));
        bool halved = g->count >= 4 && some > 0, has = f % 4 >= 2;
        double of = !halved ? 1 : has ? some : 0; /* what the first is drawn of */
        g->barred[f] = p;
        g->first[f] = p > 0 && of > 0
                          ? (int)fmin(g->batches, log1p(-g->is_barred[f] * of) / log1p(-p))
                          : g->batches;
        weight[f] = !halved ? 1 : 2 * (has ? some : 1 - some);
    }
}

/* One batch in all futures; step: from one future's to the next one's. */
static void draw_batch(const struct evening_case *c, struct goods_draw *g, uint64_t thing,
                       const struct evening_lot *lot, struct luck *out, int step)
{
    double relative = lot && lot->seed_relative > 0 ? lot->seed_relative : c->crop->mean_relative;
    int batch = lot && !may_be_barred(lot) ? -1 : g->told++;
    struct draw d;
    draw_begin(&d, c->seed, 0, thing);
    draw_parts(&d, g->own, g->count);
    draw_parts(&d, g->late, g->count);
    for (int f = 0; f < g->count; f++) {
        bool after = batch > g->first[f] && draw_unit(&d) < g->barred[f];
        double own = draw_lognormal_of(normal_quantile(g->own[f]), c->crop->yield_relative);
        double seed = draw_lognormal_of(g->of_mean[f], relative);
        out[(size_t)f * (size_t)step] =
            (struct luck){batch == g->first[f] || after ? 0 : seed * own,
                          lot && lot->is_day_known ? 0 : late_of(c, g->late[f])};
    }
}

static void draw_goods(struct arena *a, const struct evening_case *c, int count,
                       struct evening_futures *x)
{
    size_t size = (size_t)count;
    struct goods_draw g = {.count = count,
                           .batches = c->day_count - c->grow_days - c->tonight,
                           .of_mean = ARENA_ARRAY(a, double, size),
                           .barred = ARENA_ARRAY(a, double, size),
                           .own = ARENA_ARRAY(a, double, size),
                           .is_barred = ARENA_ARRAY(a, double, size),
                           .late = ARENA_ARRAY(a, double, size),
                           .first = ARENA_ARRAY(a, int, size)};
    struct draw d;
    for (int i = 0; i < c->lot_count; i++)
        g.batches += may_be_barred(&c->lots[i]);
    draw_begin(&d, c->seed, 0, draw_thing(OF_CROP, 0, 0, 0));
    draw_parts(&d, g.of_mean, count);
    for (int f = 0; f < count; f++)
        g.of_mean[f] = normal_quantile(g.of_mean[f]);
    draw_barred(c, &d, &g, x->weight);
    for (int t = c->tonight; t + c->grow_days < c->day_count; t++)
        draw_batch(c, &g, draw_thing(OF_EVENING, t, 0, 0), NULL, &x->evenings[t], c->day_count);
    for (int i = 0; i < c->lot_count; i++) {
        const struct evening_lot *l = &c->lots[i];
        if (!l->is_here)
            draw_batch(c, &g, draw_thing(OF_LOT, i, 0, 0), l, &x->lots[i], c->lot_count);
        for (int f = 0; f < count && l->is_here; f++)
            x->lots[f * c->lot_count + i] = (struct luck){1, 0};
    }
}

static size_t table_of(const struct evening_case *c)
{
    return (size_t)c->day_count * (size_t)(c->want_count + 1) * (size_t)leads_of(c);
}

int evening_room(const struct evening_case *c, size_t bytes)
{
    size_t count = bytes / (table_of(c) * sizeof(double));
    return count < 8 ? 8 : count > INT_MAX ? INT_MAX : (int)count;
}

struct evening_futures *evening_draw(struct arena *a, const struct evening_case *c, int count)
{
    struct evening_futures *x = ARENA_NEW(a, struct evening_futures);
    int even = (count + 1) / 2 * 2;
    x->leads = leads_of(c);
    CHECK(c->day_count + x->leads <= EVENING_DAYS_MAX);
    size_t step = (size_t)(c->want_count + 1) * (size_t)x->leads;
    x->expected = ARENA_ARRAY(a, double, (size_t)even *table_of(c));
    x->evenings = ARENA_ARRAY(a, struct luck, (size_t)(count * c->day_count));
    x->lots = ARENA_ARRAY(a, struct luck, (size_t)(count * c->lot_count) + 1);
    for (int f = 0; f < even; f += 2) {
        double *first = &x->expected[(size_t)(f * c->day_count) * step];
        double *second = first + (size_t)c->day_count * step;
        for (int w = 0; w < c->want_count; w++)
            draw_want(
                c, (uint32_t)f / 2, w, x->leads,
                (double *[2]){first + (size_t)(w * x->leads), second + (size_t)(w * x->leads)},
                step);
    }
    for (int t = 0; t < even * c->day_count; t++) {
        double *day = &x->expected[(size_t)t * step], *all = day + c->want_count * x->leads;
        for (int i = 0; i < c->want_count * x->leads; i++)
            all[i % x->leads] += day[i];
    }
    x->weight = ARENA_ARRAY(a, double, (size_t)count + 1);
    draw_goods(a, c, count, x);
    return x;
}

double evening_weight(const struct evening_futures *futures, int future)
{
    return futures->weight[future];
}

/* playing */

/* fmin minds what is no number and is called for it; here is where a rehearsal spends its time. */
static inline double least(double a, double b)
{
    return a < b ? a : b;
}

struct playing {
    const struct evening_case *c;
    int leads, keep_days;
    const double *expected;
    const struct luck *evenings, *lots;
    double made[MADE_ROOM];             /* by day of harvest + EVENING_KEEP_MAX: kg left */
    double comes[2 * EVENING_DAYS_MAX]; /* by expected day of harvest: kg not yet harvested */
    double overdue_kg;
    double soaked[EVENING_DAYS_MAX];
    int used[EVENING_DAYS_MAX]; /* chambers */
    double cost;
};

static const double *expected_on(const struct playing *x, int day, int want)
{
    return x->expected + (day * (x->c->want_count + 1) + want) * x->leads;
}

static int last_of(const struct playing *x, int day)
{
    return day < x->c->day_count ? day : x->c->day_count;
}

/* Goods that are expected, until they come. */
static void lots_begin(struct playing *x)
{
    for (int i = 0; i < x->c->lot_count; i++) {
        const struct evening_lot *l = &x->c->lots[i];
        if (l->is_here && l->sell_day <= 0)
            x->made[l->made_day + EVENING_KEEP_MAX] += l->kg;
        else if (l->made_day < 2 * EVENING_DAYS_MAX)
            x->comes[l->made_day > 0 ? l->made_day : 0] += l->kg;
    }
}

static void goods_come(struct playing *x, int day, int made_day, int expected_day, double kg,
                       double ratio)
{
    if (made_day >= day - x->keep_days)
        x->made[made_day + EVENING_KEEP_MAX] += kg * ratio;
    else
        x->cost += kg * ratio * x->c->waste_cost_per_kg; /* too old before it may be sold */
    if (expected_day >= day)
        x->comes[expected_day] -= kg;
    else
        x->overdue_kg -= kg;
}

static void lots_come(struct playing *x, int day)
{
    x->overdue_kg += day > 0 ? x->comes[day - 1] : 0;
    for (int i = 0; i < x->c->lot_count; i++) {
        const struct evening_lot *l = &x->c->lots[i];
        if (l->is_here && l->sell_day <= 0) continue;
        int late = x->lots[i].late, expected = l->made_day > 0 ? l->made_day : 0;
        int sell = l->sell_day + late;
        if ((sell > 0 ? sell : 0) != day) continue;
        int made = l->is_here ? l->made_day : l->made_day + late;
        goods_come(x, day, made < day ? made : day, expected, l->kg, x->lots[i].ratio);
    }
    for (int s = x->c->tonight; s < day; s++) {
        if (x->soaked[s] <= 0) continue;
        int made = s + x->c->grow_days + x->evenings[s].late, ready = s + x->c->ready_days;
        if (day != (made > ready ? made : ready)) continue;
        goods_come(x, day, made, s + x->c->grow_days, x->soaked[s], x->evenings[s].ratio);
        x->soaked[s] = 0;
    }
}

static void serve(struct playing *x, int day)
{
    const struct evening_case *c = x->c;
    for (int w = 0; w < c->want_count; w++) {
        double left = expected_on(x, day, w)[0];
        int keep = c->wants[w].keep_days;
        for (int h = day - keep; h <= day && left > NOTHING_KG; h++) {
            double *here = &x->made[h + EVENING_KEEP_MAX];
            double kg = least(left, *here);
            *here -= kg;
            left -= kg;
            x->cost += kg * (day - h) * c->hold_cost_per_kg_day;
        }
        x->cost += left * c->wants[w].short_cost_per_kg;
    }
    double *old = &x->made[day - x->keep_days + EVENING_KEEP_MAX];
    x->cost += *old * c->waste_cost_per_kg;
    *old = 0;
}

/* What is missing on the day a start of this evening is harvested, when all goes as expected until
 * then: of that day's orders, and of the cover behind them. */
static double missing_kg(const struct playing *x, int day, double cover_kg)
{
    int last = day + x->c->grow_days, keep = x->keep_days, from = day + 1 - keep;
    double plan[EVENING_KEEP_MAX + EVENING_GROW_MAX + 2];
    const double *want = expected_on(x, day, x->c->want_count);
    double left = 0;
    for (int h = from; h <= last; h++)
        plan[h - from] = h <= day ? x->made[h + EVENING_KEEP_MAX] : x->comes[h];
    plan[day + 1 - from] += x->overdue_kg + x->comes[day];
    int oldest = from;
    for (int d = day + 1; d <= last; d++) {
        left = want[d - day] + (d == last ? cover_kg : 0);
        if (oldest < d - keep) oldest = d - keep;
        while (left > NOTHING_KG && oldest <= d) {
            double kg = least(left, plan[oldest - from]);
            plan[oldest - from] -= kg;
            left -= kg;
            if (left > NOTHING_KG) oldest++;
        }
    }
    return left;
}

static bool chamber_is_free(const struct playing *x, int day)
{
    int end = last_of(x, day + x->c->grow_days + x->c->cleaning_days);
    for (int d = day; d < end; d++)
        if (x->used[d] >= x->c->chambers[d]) return false;
    return true;
}

static void start(struct playing *x, int day, double seed_kg)
{
    const struct evening_case *c = x->c;
    double kg = seed_kg * c->kg_per_seed_kg;
    int end = last_of(x, day + c->grow_days + c->cleaning_days);
    x->soaked[day] += kg;
    x->comes[day + c->grow_days] += kg;
    x->cost += c->start_cost + seed_kg * c->seed_cost_per_kg;
    for (int d = day; d < end; d++)
        x->used[d]++;
}

static void start_by_rule(struct playing *x, int day, const struct evening_rule *rule)
{
    const struct evening_case *c = x->c;
    const double *want = expected_on(x, day, c->want_count);
    double missing = missing_kg(x, day, rule->level * c->deviation_kg), more = 0;
    for (int d = 1; d <= rule->fill_days; d++)
        more += want[c->grow_days + d];
    for (int n = 0; missing > NOTHING_KG && n < c->starts_max[day] && chamber_is_free(x, day);
         n++) {
        double seed = (missing + more) / c->kg_per_seed_kg;
        seed = fmin(c->seed_max_kg, fmax(c->seed_min_kg, seed));
        start(x, day, seed);
        missing -= seed * c->kg_per_seed_kg;
    }
}

double evening_play(const struct evening_case *c, const struct evening_futures *futures, int future,
                    const struct evening_rule *rule, const struct evening_start *tonight)
{
    struct playing x = {.c = c, .leads = futures->leads};
    size_t step = (size_t)(c->want_count + 1) * (size_t)futures->leads;
    x.expected = &futures->expected[(size_t)(future * c->day_count) * step];
    x.evenings = &futures->evenings[future * c->day_count];
    x.lots = &futures->lots[future * c->lot_count];
    for (int w = 0; w < c->want_count; w++)
        if (c->wants[w].keep_days > x.keep_days) x.keep_days = c->wants[w].keep_days;
    lots_begin(&x);
    for (int day = 0; day < c->day_count; day++) {
        lots_come(&x, day);
        serve(&x, day);
        if (day == c->tonight)
            for (int i = 0; i < tonight->count; i++)
                start(&x, day, tonight->seed_kg);
        if (starts_on(c, day)) start_by_rule(&x, day, rule);
    }
    for (int h = c->day_count - x.keep_days; h < c->day_count; h++)
        x.cost -= x.made[h + EVENING_KEEP_MAX] * c->end_value_per_kg;
    return x.cost;
}
