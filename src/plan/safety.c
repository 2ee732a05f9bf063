#include "plan/safety.h"

#include <math.h>
#include <string.h>

#include "calc/distribution.h"

static const double LEVELS[] = {0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, SAFETY_LEVEL_MAX};
enum { LEVEL_COUNT = 11 };
/* A kg of cover is wanted in fewer than half of all futures. derived */
static const double COVER_WORTH = 0.5;

double safety_critical_ratio(double under, double over)
{
    return under / (under + over);
}

double safety_quantity(double mean, double spread, double share)
{
    return mean + spread * normal_quantile(share);
}

/* what the rehearsal is told of a crop */

static int soonest(const struct plan_problem *p, int crop)
{
    int days = p->crops[crop].ways[0].grow_days;
    for (int w = 1; w < p->crops[crop].way_count; w++)
        if (p->crops[crop].ways[w].grow_days < days) days = p->crops[crop].ways[w].grow_days;
    return days < COVER_AHEAD_MAX ? days : COVER_AHEAD_MAX;
}

/* Of the crop in the line's pieces, its own crop or one with it. */
static double line_kg(const struct plan_problem *p, const struct plan_line *l, int crop)
{
    return (double)l->pieces * plan_crop_kg(p, l->product, crop);
}

/* The cover of a dish of several crops is that of its own crop: it brings the others with it. */
static bool is_own(const struct plan_problem *p, const struct plan_line *l, int crop)
{
    return p->products[l->product].crop == crop;
}

static void tell_demand(const struct plan_problem *p, int crop, struct cover_case *c)
{
    double kg[PLAN_DAYS_MAX] = {0}, variance[PLAN_DAYS_MAX] = {0}, most = 0;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        kg[l->day] += line_kg(p, l, crop);
        variance[l->day] += pow(l->spread_pieces * plan_crop_kg(p, l->product, crop), 2);
    }
    for (int d = 0; d < p->day_count; d++) {
        int times = (p->day_count - d % COVER_WEEK + COVER_WEEK - 1) / COVER_WEEK;
        c->mean_kg[d % COVER_WEEK] += kg[d] / times;
    }
    for (int d = 1; d <= c->grow_days; d++) {
        if (d < p->day_count && kg[d] > 0) most = fmax(most, sqrt(variance[d]) / kg[d]);
        c->relative[d] = most;
    }
}

/* By what is wanted of it: costs of a kg short, days its goods keep. */
static void tell_lines(const struct plan_problem *p, int crop, struct cover_case *c)
{
    double kg = 0, keep = 0, order_kg = 0, order_cost = 0, cost = 0;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        double x = line_kg(p, l, crop), worth = plan_line_worth(p, l);
        kg += x;
        keep += x * (l->day - plan_oldest_harvest_day(p, l));
        cost += x * worth;
        order_kg += l->key ? x : 0;
        order_cost += l->key ? x * worth : 0;
    }
    /* what is forecast will be orders one day */
    c->short_cost_per_kg = order_kg > 0 ? order_cost / order_kg : kg > 0 ? cost / kg : 0;
    c->keep_days = kg > 0 ? (int)fmin(COVER_KEEP_MAX, fmax(0, floor(keep / kg))) : 0;
}

static void tell_growing(const struct plan_problem *p, const struct chance_model *m, int crop,
                         struct cover_case *c)
{
    const struct plan_crop *x = &p->crops[crop];
    double yield = plan_way_yield(&x->ways[0]) * m->crops[crop].yield_mean;
    double seed_kg = 0, seed_cost = 0;
    for (int k = 0; k < p->class_count; k++)
        if (x->fills[k].seed_max_kg > 0 && c->chamber_max_kg <= 0) {
            c->chamber_min_kg = x->fills[k].seed_min_kg * yield;
            c->chamber_max_kg = x->fills[k].seed_max_kg * yield;
        }
    for (int i = 0; i < p->seed_lot_count; i++) {
        const struct plan_seed_lot *s = &p->seed_lots[i];
        if (s->seed_item != x->seed_item) continue;
        seed_kg += s->kg * s->yield_factor;
        seed_cost += s->kg * s->cost_per_kg;
    }
    c->start_cost = x->start_cost;
    c->made_cost_per_kg = seed_kg > 0 ? seed_cost / seed_kg / yield : 0;
    c->waste_cost_per_kg = x->waste_cost_per_kg;
    c->hold_cost_per_kg_day = x->hold_cost_per_kg_day;
}

static bool case_of(const struct plan_problem *p, const struct chance_model *m, int crop,
                    const struct safety_wish *wish, struct cover_case *c)
{
    *c = (struct cover_case){.shared_part = m->shared_part,
                             .grow_days = soonest(p, crop),
                             .crop = &m->crops[crop],
                             .seed = m->seed + (uint64_t)crop,
                             .future_count = wish->trial_futures};
    tell_demand(p, crop, c);
    tell_lines(p, crop, c);
    tell_growing(p, m, crop, c);
    double week_kg = 0;
    for (int j = 0; j < COVER_WEEK; j++)
        week_kg += c->mean_kg[j];
    return week_kg > 0 && c->chamber_max_kg > 0;
}

/* Is level x a better answer to the wish than y? */
static bool is_better(const struct safety_wish *wish, const struct cover_score *x,
                      const struct cover_score *y)
{
    bool enough = x->service >= wish->service, was_enough = y->service >= wish->service;
    if (wish->service <= 0 || (enough && was_enough)) return x->cost_per_kg < y->cost_per_kg;
    return enough || (!was_enough && x->service > y->service);
}

struct result safety_levels(struct arena *a, const struct plan_problem *p,
                            const struct chance_model *model, const struct safety_wish *wish,
                            struct safety *out, struct cover_score *score)
{
    TRY(plan_problem_check(p));
    if (!(wish->service >= 0 && wish->service <= 1))
        return FAIL1(PLAN_FIELD, "service", "it must be from 0 to 1");
    if (!(wish->least >= 0 && wish->least <= SAFETY_LEVEL_MAX))
        return FAIL1(PLAN_FIELD, "least", "it must be from 0 to 5");
    if (wish->trial_futures < 1 || wish->trial_futures > CHANCE_FUTURES_MAX)
        return FAIL1(PLAN_FIELD, "trial_futures", "it must be from 1 to 100000");
    TRY(chance_check(p, model));
    out->level = ARENA_ARRAY(a, double, (size_t)p->crop_count + 1);
    for (int k = 0; k < p->crop_count; k++) {
        struct cover_case c;
        struct cover_score scores[LEVEL_COUNT] = {{0, 1}};
        int least = 0;
        while (LEVELS[least] < wish->least)
            least++;
        int best = least;
        if (case_of(p, model, k, wish, &c)) {
            cover_rehearse(a, &c, LEVELS, LEVEL_COUNT, scores);
            for (int i = least + 1; i < LEVEL_COUNT; i++)
                if (is_better(wish, &scores[i], &scores[best])) best = i;
        }
        out->level[k] = LEVELS[best];
        if (score) score[k] = scores[best];
    }
    return RESULT_OK;
}

/* the problem with safety in it */

static const struct plan_crop *mean_crops(struct arena *a, const struct plan_problem *p,
                                          const struct chance_model *model)
{
    struct plan_crop *crops = ARENA_ARRAY(a, struct plan_crop, (size_t)p->crop_count + 1);
    for (int k = 0; k < p->crop_count; k++) {
        crops[k] = p->crops[k];
        struct plan_way *ways = ARENA_ARRAY(a, struct plan_way, (size_t)crops[k].way_count);
        for (int w = 0; w < crops[k].way_count; w++) {
            ways[w] = p->crops[k].ways[w];
            ways[w].packed_kg_per_seed_kg *= model->crops[k].yield_mean;
        }
        crops[k].ways = ways;
    }
    return crops;
}

static const struct plan_running *mean_running(struct arena *a, const struct plan_problem *p,
                                               const struct chance_model *model)
{
    struct plan_running *list = ARENA_ARRAY(a, struct plan_running, (size_t)p->running_count + 1);
    for (int i = 0; i < p->running_count; i++) {
        list[i] = p->running[i];
        list[i].packed_kg *= model->crops[list[i].crop].yield_mean;
    }
    return list;
}

struct share {
    double variance, kg, cost_kg; /* by product and group */
};

/* Goods of the crop harvested until the day: what grows, and what must still be started for what is
 * wanted until then. -> batches */
static int batches_of(struct arena *a, const struct plan_problem *p, const struct chance_model *m,
                      int crop, int until, double wanted_kg, double **out)
{
    double yield = m->crops[crop].yield_mean, full_kg = 0;
    int count = 0;
    for (int k = 0; k < p->class_count; k++)
        full_kg = fmax(full_kg, p->crops[crop].fills[k].seed_max_kg *
                                    plan_way_yield(&p->crops[crop].ways[0]) * yield);
    for (int i = 0; i < p->stock_count; i++)
        if (p->stock[i].crop == crop) wanted_kg -= p->stock[i].kg;
    double *batch = ARENA_ARRAY(a, double, (size_t)(p->running_count + p->chamber_count) + 1);
    for (int i = 0; i < p->running_count; i++) {
        if (p->running[i].crop != crop || p->running[i].harvest_day > until) continue;
        batch[count++] = p->running[i].packed_kg * yield;
        wanted_kg -= batch[count - 1];
    }
    for (int i = 0; i < p->chamber_count && wanted_kg > 0 && full_kg > 0; i++) {
        batch[count] = fmin(full_kg, wanted_kg);
        wanted_kg -= batch[count++];
    }
    *out = batch;
    return count;
}

/* Deviation of what is in hand by day `until`. shares: of its products and groups. */
static double deviation_of(struct arena *a, const struct plan_problem *p,
                           const struct chance_model *m, int crop, int until, struct share *shares)
{
    double *spread = ARENA_ARRAY(a, double, (size_t)until + 1), *batch, wanted_kg = 0;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        if (!is_own(p, l, crop) || l->day > until) continue;
        struct share *s = &shares[l->product * p->group_count + l->group];
        double variance = pow(l->spread_pieces * plan_piece_kg(p, l->product), 2);
        spread[l->day] += variance;
        s->variance += variance;
        s->kg += plan_line_kg(p, l);
        s->cost_kg += plan_line_kg(p, l) * l->shortage_cost_per_kg;
        wanted_kg += plan_line_kg(p, l);
    }
    for (int d = 0; d <= until; d++)
        spread[d] = sqrt(spread[d]);
    int batches = batches_of(a, p, m, crop, until, wanted_kg, &batch);
    return cover_deviation_kg(&m->crops[crop], spread, until + 1, batch, batches);
}

/* Shares kg of cover among products and groups: as uncertain, else as large, as each is. */
static void share_cover(const struct plan_problem *p, const struct share *shares, int day,
                        double kg, struct plan_line *lines, int *count)
{
    int series = p->product_count * p->group_count;
    double sum = 0;
    bool by_spread = false;
    for (int i = 0; i < series; i++)
        by_spread |= shares[i].variance > 0;
    for (int i = 0; i < series; i++)
        sum += by_spread ? sqrt(shares[i].variance) : shares[i].kg;
    for (int i = 0; i < series && sum > 0; i++) {
        double part = (by_spread ? sqrt(shares[i].variance) : shares[i].kg) / sum;
        int product = i / p->group_count;
        int64_t pieces = llround(kg * part / plan_piece_kg(p, product));
        if (pieces <= 0 || shares[i].kg <= 0) continue;
        lines[(*count)++] = (struct plan_line){.product = product,
                                               .group = i % p->group_count,
                                               .day = day,
                                               .pieces = pieces,
                                               .shortage_cost_per_kg =
                                                   COVER_WORTH * shares[i].cost_kg / shares[i].kg};
    }
}

/* The cover of the first day a start of today can serve, and what it grows by on later days on
 * which something is wanted. */
static void add_cover(struct arena *a, const struct plan_problem *p, const struct chance_model *m,
                      int crop, double level, struct plan_line *lines, int *count)
{
    int series = p->product_count * p->group_count, first = plan_open_day(p, soonest(p, crop));
    double before = 0;
    for (int day = first; day < p->day_count && level > 0; day++) {
        bool wanted = day == first;
        for (int i = 0; i < p->line_count && !wanted; i++)
            wanted = p->lines[i].day == day && is_own(p, &p->lines[i], crop);
        if (!wanted) continue;
        struct share *shares = ARENA_ARRAY(a, struct share, (size_t)series + 1);
        double kg = level * deviation_of(a, p, m, crop, day, shares);
        share_cover(p, shares, day, kg - before, lines, count);
        before = fmax(before, kg);
    }
}

struct plan_problem *safety_problem(struct arena *a, const struct plan_problem *p,
                                    const struct chance_model *model, const struct safety *safety)
{
    struct plan_problem *out = ARENA_NEW(a, struct plan_problem);
    *out = *p;
    out->crops = mean_crops(a, p, model);
    out->running = mean_running(a, p, model);
    int series = p->product_count * p->group_count;
    struct plan_line *lines =
        ARENA_ARRAY(a, struct plan_line, (size_t)(p->line_count + series * p->day_count) + 1);
    if (p->line_count > 0) memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
    for (int k = 0; k < p->crop_count; k++)
        add_cover(a, p, model, k, safety->level[k], lines, &out->line_count);
    out->lines = lines;
    return out;
}

/* the plan */

/* Leaves the lines of p: what serves a cover serves nobody yet. */
static void strip(struct plan_outcome *o, int line_count)
{
    int sales = 0, shorts = 0, purposes = 0;
    for (int i = 0; i < o->sale_count; i++)
        if (o->sales[i].line < line_count) o->sales[sales++] = o->sales[i];
    for (int i = 0; i < o->short_count; i++)
        if (o->shorts[i].line < line_count) o->shorts[shorts++] = o->shorts[i];
    for (int i = 0; i < o->purpose_count; i++)
        if (o->purposes[i].line < line_count) o->purposes[purposes++] = o->purposes[i];
    o->sale_count = sales;
    o->short_count = shorts;
    o->purpose_count = purposes;
}

struct result safety_finish(struct arena *a, const struct plan_problem *p,
                            const struct chance_model *model, struct safety_choice *choice)
{
    const struct plan_outcome *o = &choice->outcome;
    const struct plan_problem *chosen = plan_problem_chosen(a, p, o->improvement.plan->choices);
    TRY(chance_of(a, chosen, o->starts, o->start_count, model, &choice->chance));
    strip(&choice->outcome, p->line_count);
    return RESULT_OK;
}

struct result safety_plan(struct arena *a, const struct plan_problem *p,
                          const struct chance_model *model, const struct safety_wish *wish,
                          const struct improve_options *options, struct safety_choice *out)
{
    *out = (struct safety_choice){0};
    TRY(safety_levels(a, p, model, wish, &out->safety, NULL));
    TRY(plan_make(a, safety_problem(a, p, model, &out->safety), options, &out->outcome));
    return safety_finish(a, p, model, out);
}
