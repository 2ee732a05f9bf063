#include "plan/tonight.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIES_MAX = 48, ROUND_FIRST = 8, DAYS_AFTER = 3, FILLINGS = 5 };
/* What the futures of one crop may take: fewer are played where crops grow long for many groups.
 */
static const size_t TABLE_BYTES = (size_t)16 << 20;
/* Of what it cost to make: left at the end it may still be wasted. common practice */
static const double END_WORTH = 0.8;

struct telling {
    const struct tonight_ask *ask;
    struct arena *arena;
    int crop, class_index, future_count;
    struct evening_case c;
    struct evening_want *wants;
    struct evening_lot *lots;
};

static int keep_of(const struct plan_problem *p, const struct plan_line *l)
{
    int days = l->day - plan_oldest_harvest_day(p, l);
    return days < 0 ? 0 : days > EVENING_KEEP_MAX ? EVENING_KEEP_MAX : days;
}

/* what is wanted */

struct want_key {
    int priority, keep_days;
};

static int want_for(struct want_key *keys, int *count, struct want_key k)
{
    int at = 0;
    while (at < *count && (keys[at].priority < k.priority ||
                           (keys[at].priority == k.priority && keys[at].keep_days < k.keep_days)))
        at++;
    if (at < *count && keys[at].priority == k.priority && keys[at].keep_days == k.keep_days)
        return at;
    if (*count == EVENING_WANTS_MAX) return at < *count ? at : *count - 1;
    memmove(&keys[at + 1], &keys[at], (size_t)(*count - at) * sizeof *keys);
    keys[at] = k;
    ++*count;
    return at;
}

static bool is_of(const struct telling *x, const struct plan_line *l)
{
    return plan_crop_kg(x->ask->p, l->product, x->crop) > 0;
}

static void tell_line(const struct plan_problem *p, const struct plan_line *l, int crop,
                      struct evening_want *w)
{
    int keep = keep_of(p, l);
    double piece_kg = plan_crop_kg(p, l->product, crop), worth = plan_line_worth(p, l);
    double spread = l->spread_pieces * piece_kg;
    w->mean_kg[l->day] += (double)l->pieces * piece_kg;
    w->spread_kg[l->day] = hypot(w->spread_kg[l->day], spread);
    if (keep > w->keep_days) w->keep_days = keep;
    if (worth > w->short_cost_per_kg) w->short_cost_per_kg = worth;
}

/* Days beyond the plan's are as the same weekday before them. */
static void tell_later(const struct plan_problem *p, struct evening_want *w)
{
    double most = 0;
    for (int d = 1; d < EVENING_DAYS_MAX; d++) {
        if (d >= p->day_count) {
            int as = d - 7 > 0 ? d - 7 : 0;
            w->mean_kg[d] = w->mean_kg[as];
            w->spread_kg[d] = w->spread_kg[as];
        }
        if (w->mean_kg[d] > 0) most = fmax(most, w->spread_kg[d] / w->mean_kg[d]);
        w->relative[d] = most;
    }
}

static void tell_wants(struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    struct want_key keys[EVENING_WANTS_MAX];
    int count = 0;
    for (int i = 0; i < p->line_count; i++)
        if (is_of(x, &p->lines[i]))
            want_for(
                keys, &count,
                (struct want_key){p->groups[p->lines[i].group].priority, keep_of(p, &p->lines[i])});
    x->wants = ARENA_ARRAY(x->arena, struct evening_want, (size_t)count + 1);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        if (!is_of(x, l) || l->day >= EVENING_DAYS_MAX) continue;
        int at =
            want_for(keys, &count, (struct want_key){p->groups[l->group].priority, keep_of(p, l)});
        tell_line(p, l, x->crop, &x->wants[at]);
    }
    for (int w = 0; w < count; w++)
        tell_later(p, &x->wants[w]);
    x->c.wants = x->wants;
    x->c.want_count = count;
}

/* chambers */

static int class_of(const struct plan_problem *p, int crop)
{
    int best = PLAN_NONE, most = 0;
    for (int k = 0; k < p->class_count; k++) {
        int count = 0;
        for (int i = 0; i < p->chamber_count; i++)
            count += p->chambers[i].class_index == k;
        if (p->crops[crop].fills[k].seed_max_kg > 0 && count > most) {
            most = count;
            best = k;
        }
    }
    return best;
}

static bool is_out(const struct plan_chamber *c, int day)
{
    for (int i = 0; i < c->outage_count; i++)
        if (c->outages[i].from_day <= day && day <= c->outages[i].to_day) return true;
    return false;
}

/* Is it a start of the crop that is to be decided? */
static bool is_open(const struct telling *x, const struct plan_placed *s)
{
    return s->crop == x->crop && s->way == 0 && s->day == x->c.tonight &&
           x->ask->p->chambers[s->chamber].class_index == x->class_index;
}

static bool is_later(const struct telling *x, const struct plan_placed *s)
{
    return s->crop == x->crop && s->day > x->c.tonight;
}

static void tell_chambers(struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    for (int i = 0; i < p->chamber_count; i++) {
        if (p->chambers[i].class_index != x->class_index) continue;
        int from = plan_chamber_free_day(p, i, NULL);
        for (int d = from > 0 ? from : 0; d < EVENING_DAYS_MAX; d++)
            x->c.chambers[d] += !is_out(&p->chambers[i], d);
    }
    for (int i = 0; i < x->ask->planned_count; i++) {
        const struct plan_placed *s = &x->ask->planned[i];
        if (is_open(x, s) || is_later(x, s) ||
            p->chambers[s->chamber].class_index != x->class_index)
            continue;
        for (int d = s->day; d < s->last_day + p->cleaning_days && d < EVENING_DAYS_MAX; d++)
            x->c.chambers[d]--;
    }
}

/* Starts of each evening that the day's limits and other crops in the plan leave; nothing on days
 * whose harvest would find nobody at work. */
static void tell_starts(struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    int grow = x->c.grow_days;
    for (int d = 0; d < EVENING_DAYS_MAX; d++) {
        x->c.starts_max[d] = d < p->day_count ? p->days[d].starts_max : INT_MAX;
        if (d + grow < p->day_count && p->days[d + grow].harvests_max < x->c.starts_max[d])
            x->c.starts_max[d] = p->days[d + grow].harvests_max;
    }
    for (int i = 0; i < x->ask->planned_count; i++) {
        const struct plan_placed *s = &x->ask->planned[i];
        if (is_open(x, s) || is_later(x, s) || s->day >= EVENING_DAYS_MAX) continue;
        if (x->c.starts_max[s->day] != INT_MAX) x->c.starts_max[s->day]--;
    }
}

/* Seed of the crop that can be soaked on the evening beside what others take. */
static double seed_tonight(const struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    const struct plan_day *day = &p->days[x->c.tonight];
    double most = fmin(day->treat_seed_kg, day->soak_seed_kg), here = 0;
    for (int i = 0; i < p->seed_lot_count; i++)
        if (p->seed_lots[i].seed_item == p->crops[x->crop].seed_item &&
            p->seed_lots[i].markets != 0 && plan_lot_usable(&p->seed_lots[i], x->c.tonight))
            here += p->seed_lots[i].kg;
    for (int i = 0; i < x->ask->planned_count; i++) {
        const struct plan_placed *s = &x->ask->planned[i];
        if (is_open(x, s)) continue;
        if (s->day == x->c.tonight) most -= s->seed_kg;
        if (s->day <= x->c.tonight && p->crops[s->crop].seed_item == p->crops[x->crop].seed_item)
            here -= s->seed_kg;
    }
    return fmin(most, here);
}

/* goods */

/* The day they may be sold from in some market they may go to; PLAN_NEVER. */
static int sold_from(const struct plan_problem *p, uint32_t markets, const int *ready_day)
{
    int day = PLAN_NEVER;
    for (int m = 0; m < p->market_count; m++)
        if (markets >> m & 1 && ready_day[m] < day) day = ready_day[m];
    return day;
}

static void add_lot(struct telling *x, struct evening_lot l)
{
    if (l.sell_day < l.made_day) l.sell_day = l.made_day;
    if (l.kg <= 0 || l.sell_day >= EVENING_DAYS_MAX || l.made_day < -EVENING_KEEP_MAX ||
        x->c.lot_count == EVENING_LOTS_MAX)
        return;
    x->lots[x->c.lot_count++] = l;
}

static void tell_lots(struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    double yield = x->ask->model->crops[x->crop].yield_mean;
    x->lots = ARENA_ARRAY(x->arena, struct evening_lot, EVENING_LOTS_MAX);
    for (int i = 0; i < p->stock_count; i++) {
        const struct plan_stock *s = &p->stock[i];
        if (s->crop == x->crop)
            add_lot(x, (struct evening_lot){.made_day = s->harvest_day,
                                            .sell_day = sold_from(p, s->markets, s->ready_day),
                                            .kg = s->kg,
                                            .is_here = true,
                                            .is_day_known = true,
                                            .is_passed = s->batch == NULL});
    }
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *r = &p->running[i];
        struct tonight_known known = {false, false};
        if (r->crop != x->crop) continue;
        if (x->ask->running) known = x->ask->running[i];
        add_lot(x, (struct evening_lot){.made_day = r->harvest_day,
                                        .sell_day = sold_from(p, r->markets, r->ready_day),
                                        .kg = r->packed_kg * yield,
                                        .seed_relative = r->seed_relative,
                                        .is_day_known = known.day,
                                        .is_passed = known.passed});
    }
    for (int i = 0; i < x->ask->planned_count; i++) {
        const struct plan_placed *s = &x->ask->planned[i];
        if (s->crop != x->crop || is_open(x, s) || is_later(x, s)) continue;
        int ready[PLAN_MARKETS_MAX];
        for (int m = 0; m < p->market_count; m++)
            ready[m] = plan_ready_day(p, m, s->day);
        add_lot(x, (struct evening_lot){.made_day = s->harvest_day,
                                        .sell_day = sold_from(p, s->markets, ready),
                                        .kg = s->packed_kg});
    }
    x->c.lots = x->lots;
}

/* growing */

static void tell_growing(struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    const struct plan_crop *crop = &p->crops[x->crop];
    struct evening_case *c = &x->c;
    double kg = 0, factor = 0, cost = 0;
    for (int i = 0; i < p->seed_lot_count; i++) {
        const struct plan_seed_lot *s = &p->seed_lots[i];
        if (s->seed_item != crop->seed_item || s->markets == 0 || !plan_lot_usable(s, c->tonight))
            continue;
        kg += s->kg;
        factor += s->kg * s->yield_factor;
        cost += s->kg * s->cost_per_kg;
    }
    c->seed_min_kg = crop->fills[x->class_index].seed_min_kg;
    c->seed_max_kg = crop->fills[x->class_index].seed_max_kg;
    c->kg_per_seed_kg = plan_way_yield(&crop->ways[0]) * x->ask->model->crops[x->crop].yield_mean *
                        (kg > 0 ? factor / kg : 0);
    c->seed_cost_per_kg = kg > 0 ? cost / kg : 0;
    c->start_cost = crop->start_cost;
    c->waste_cost_per_kg = crop->waste_cost_per_kg;
    c->hold_cost_per_kg_day = crop->hold_cost_per_kg_day;
    c->ready_days = plan_ready_day(p, 0, c->tonight) - c->tonight;
    c->cleaning_days = p->cleaning_days;
    if (c->kg_per_seed_kg > 0)
        c->end_value_per_kg =
            END_WORTH * (c->start_cost / c->seed_max_kg + c->seed_cost_per_kg) / c->kg_per_seed_kg;
}

/* As cover.h has it: of days and batches as they are on average. */
static void tell_deviation(struct telling *x)
{
    struct evening_case *c = &x->c;
    int days = x->ask->p->day_count < EVENING_DAYS_MAX ? x->ask->p->day_count : EVENING_DAYS_MAX;
    double spread[EVENING_GROW_MAX], batch[EVENING_GROW_MAX], mean = 0;
    for (int w = 0; w < c->want_count; w++)
        for (int d = 0; d < days; d++)
            mean += c->wants[w].mean_kg[d] / days;
    for (int l = 0; l < c->grow_days; l++) {
        double variance = 0;
        for (int w = 0; w < c->want_count; w++) {
            double kg = 0;
            for (int d = 0; d < days; d++)
                kg += c->wants[w].mean_kg[d] / days;
            variance += pow(c->wants[w].relative[l + 1] * kg, 2);
        }
        spread[l] = sqrt(variance);
        batch[l] = mean;
    }
    c->deviation_kg = cover_deviation_kg(c->crop, spread, c->grow_days, batch, c->grow_days);
}

/* false: it can't be rehearsed. */
static bool tell(struct telling *x)
{
    const struct plan_problem *p = x->ask->p;
    const struct plan_crop *crop = &p->crops[x->crop];
    int grow = crop->ways[0].grow_days, keep = 0;
    x->class_index = class_of(p, x->crop);
    if (x->class_index == PLAN_NONE || crop->ways[0].part_count > 0 || grow > EVENING_GROW_MAX)
        return false;
    x->c = (struct evening_case){.crop = &x->ask->model->crops[x->crop],
                                 .shared_part = x->ask->model->shared_part,
                                 .seed = x->ask->model->seed + (uint64_t)x->crop,
                                 .tonight = p->frozen_days,
                                 .grow_days = grow};
    tell_wants(x);
    if (x->c.want_count == 0) return false;
    for (int w = 0; w < x->c.want_count; w++)
        if (x->wants[w].keep_days > keep) keep = x->wants[w].keep_days;
    int most = EVENING_DAYS_MAX - grow - EVENING_FILL_MAX - 1;
    x->c.day_count = x->c.tonight + grow + keep + 1 + DAYS_AFTER;
    if (x->c.day_count > most) x->c.day_count = most;
    if (x->c.tonight + grow >= x->c.day_count) return false;
    tell_chambers(x);
    tell_starts(x);
    tell_lots(x);
    tell_growing(x);
    tell_deviation(x);
    x->future_count = evening_room(&x->c, TABLE_BYTES);
    if (x->future_count > x->ask->future_count) x->future_count = x->ask->future_count;
    return x->c.kg_per_seed_kg > 0;
}

/* tries */

struct
try {
    struct evening_rule rule;
    struct evening_start start;
    double weight, weight_squares, sum;
    double less, less_weighted, less_squares; /* than the first: times the weight, times its square,
                                                 and the square of the first of these */
    int futures;
};

static int compare_tries(const void *a, const void *b)
{
    const struct try *x = a, *y = b;
    double p = x->sum / x->weight, q = y->sum / y->weight;
    if (p < q) return -1;
    if (p > q) return 1;
    return (x->start.count > y->start.count) - (x->start.count < y->start.count);
}

/* Plays the tries from the futures they have had to `until`. first: what to compare with. */
static void play_tries(const struct telling *x, const struct evening_futures *futures,
                       struct try *tries, int count, int until, double *first)
{
    for (int i = 0; i < count; i++)
        for (; tries[i].futures < until; tries[i].futures++) {
            int f = tries[i].futures;
            double cost = evening_play(&x->c, futures, f, &tries[i].rule, &tries[i].start);
            if (i == 0) first[f] = cost;
            double weight = evening_weight(futures, f);
            tries[i].weight += weight;
            tries[i].sum += weight * cost;
            tries[i].less += weight * (first[f] - cost);
            tries[i].weight_squares += weight * weight;
            tries[i].less_weighted += weight * weight * (first[f] - cost);
            tries[i].less_squares += pow(weight * (first[f] - cost), 2);
        }
}

/* The best of the tries is put second, the first stays. */
static struct try *best_try(const struct telling *x, const struct evening_futures *futures,
                            struct try *tries, int count)
{
    int most = x->future_count;
    double *first = ARENA_ARRAY(x->arena, double, (size_t)most);
    /* four: of either half of the futures */
    for (int until = most < 4 * ROUND_FIRST ? 4 : most / ROUND_FIRST;; until *= 2) {
        if (until > most) until = most;
        play_tries(x, futures, tries, count, until, first);
        qsort(tries + 1, (size_t)(count - 1), sizeof *tries, compare_tries);
        if (until == most || count <= 1) break;
        count = 1 + (count - 1 + 1) / 2;
    }
    return count > 1 && compare_tries(&tries[1], &tries[0]) < 0 ? &tries[1] : &tries[0];
}

static int chambers_tonight(const struct telling *x)
{
    int least = x->c.starts_max[x->c.tonight];
    int end = x->c.tonight + x->c.grow_days + x->c.cleaning_days;
    for (int d = x->c.tonight; d < end && d < EVENING_DAYS_MAX; d++)
        if (x->c.chambers[d] < least) least = x->c.chambers[d];
    return least;
}

/* None, and each number of chambers from one fewer than planned to one more, at fillings from the
 * least to the most. */
static int list_starts(const struct telling *x, struct evening_start planned,
                       struct evening_rule rule, struct try *tries)
{
    int count = 0, most = chambers_tonight(x);
    double seed_kg = seed_tonight(x);
    double least = x->c.seed_min_kg, step = (x->c.seed_max_kg - least) / (FILLINGS - 1);
    tries[count++] = (struct try){.rule = rule, .start = planned};
    if (planned.count > 0) tries[count++] = (struct try){.rule = rule};
    for (int n = planned.count - 1; n <= planned.count + 1 && n <= most; n++)
        for (int i = 0; i < FILLINGS && n > 0 && count < TRIES_MAX; i++)
            if (n * (least + step * i) <= seed_kg)
                tries[count++] = (struct try){.rule = rule, .start = {n, least + step * i}};
    return count;
}

static struct evening_rule best_rule(const struct telling *x, const struct evening_futures *futures,
                                     struct evening_start planned, double level)
{
    struct try tries[TRIES_MAX];
    int count = 0;
    tries[count++] = (struct try){.rule = {level, 2}, .start = planned};
    for (int i = -2; i <= 1; i++)
        for (int fill = 0; fill <= EVENING_FILL_MAX; fill++) {
            double l = fmax(0, level + 0.5 * i);
            tries[count++] = (struct try){.rule = {l, fill}, .start = planned};
        }
    return best_try(x, futures, tries, count)->rule;
}

static struct evening_start planned_start(const struct telling *x)
{
    struct evening_start s = {0, 0};
    for (int i = 0; i < x->ask->planned_count; i++) {
        if (!is_open(x, &x->ask->planned[i])) continue;
        s.count++;
        s.seed_kg += x->ask->planned[i].seed_kg;
    }
    if (s.count > 0) s.seed_kg /= s.count;
    return s;
}

/* Of the mean saved, from squares of weight * (saved - mean). */
static double saved_error(const struct try *x, double mean)
{
    double squares =
        x->less_squares - 2 * mean * x->less_weighted + mean * mean * x->weight_squares;
    return sqrt(fmax(0, squares)) / x->weight;
}

static struct evening_start rehearse(struct telling *x, struct tonight_crop *out)
{
    struct evening_futures *futures = evening_draw(x->arena, &x->c, x->future_count);
    struct evening_start planned = planned_start(x);
    struct evening_rule rule = best_rule(x, futures, planned, x->ask->safety->level[x->crop]);
    struct try tries[TRIES_MAX];
    int count = list_starts(x, planned, rule, tries);
    const struct try *best = best_try(x, futures, tries, count);
    double mean = best->less / best->weight;
    *out = (struct tonight_crop){true,
                                 planned.count,
                                 best->start.count,
                                 planned.count * planned.seed_kg,
                                 best->start.count * best->start.seed_kg,
                                 mean,
                                 saved_error(best, mean),
                                 best->futures};
    return best->start;
}

/* the starts */

static void keep(struct tonight *out, const struct plan_placed *s, double seed_kg)
{
    int lot = s->part_count > 0 ? s->parts[0].lot : PLAN_NONE;
    out->starts[out->start_count++] =
        (struct plan_taken){s->day, s->chamber, s->crop, s->way, seed_kg, lot};
}

static bool is_taken(const struct tonight_ask *ask, const struct tonight *out, int chamber,
                     int until)
{
    for (int i = 0; i < out->start_count; i++)
        if (out->starts[i].chamber == chamber) return true;
    for (int i = 0; i < ask->planned_count; i++) {
        const struct plan_placed *s = &ask->planned[i];
        if (s->chamber == chamber && s->day <= out->day &&
            s->last_day + ask->p->cleaning_days > out->day)
            return true;
    }
    for (int d = out->day; d < until; d++)
        if (is_out(&ask->p->chambers[chamber], d)) return true;
    return plan_chamber_free_day(ask->p, chamber, NULL) > out->day;
}

/* One more: in the chamber idle longest. false: none is free. */
static bool add_start(const struct telling *x, struct tonight *out, double seed_kg)
{
    const struct plan_problem *p = x->ask->p;
    int best = PLAN_NONE, until = out->day + x->c.grow_days + p->cleaning_days;
    for (int i = 0; i < p->chamber_count; i++)
        if (p->chambers[i].class_index == x->class_index && !is_taken(x->ask, out, i, until) &&
            (best == PLAN_NONE || p->chambers[i].idle_since_day < p->chambers[best].idle_since_day))
            best = i;
    if (best == PLAN_NONE) return false;
    out->starts[out->start_count++] =
        (struct plan_taken){out->day, best, x->crop, 0, seed_kg, PLAN_NONE};
    return true;
}

static void choose_crop(struct arena *a, const struct tonight_ask *ask, int crop,
                        struct tonight *out)
{
    struct telling x = {.ask = ask, .arena = a, .crop = crop};
    struct evening_start chosen = {0, 0};
    struct tonight_crop *told = &out->crops[crop];
    bool can = tell(&x);
    if (can) chosen = rehearse(&x, told);
    int left = chosen.count;
    for (int i = 0; i < ask->planned_count; i++) {
        const struct plan_placed *s = &ask->planned[i];
        if (s->day != out->day || s->crop != crop) continue;
        bool open = can && is_open(&x, s);
        if (!open)
            keep(out, s, s->seed_kg);
        else if (left-- > 0)
            keep(out, s, chosen.seed_kg);
    }
    while (left-- > 0 && add_start(&x, out, chosen.seed_kg)) {
    }
    out->is_changed |= can && (told->count != told->planned_count ||
                               fabs(told->seed_kg - told->planned_seed_kg) > 1e-6);
}

/* Of a kg of the product given in place of what the line orders. */
static double worth_given(const struct plan_problem *p, const struct plan_line *l, int product)
{
    double cost = INFINITY;
    for (int i = 0; i < p->swap_count; i++)
        if (p->swaps[i].to_product == product && plan_swap_suits(p, i, l))
            cost = fmin(cost, p->swaps[i].cost_per_kg);
    double ordered = plan_piece_kg(p, l->product) / plan_piece_kg(p, product);
    return fmax(0, l->shortage_cost_per_kg * ordered - cost);
}

/* The problem with what the plan gives of another crop ordered of that one. */
static const struct plan_problem *as_given(struct arena *a, const struct tonight_ask *ask)
{
    struct plan_problem *p = ARENA_NEW(a, struct plan_problem);
    struct plan_line *lines =
        ARENA_ARRAY(a, struct plan_line, (size_t)(ask->p->line_count + ask->sale_count) + 1);
    *p = *ask->p;
    if (p->line_count > 0) memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
    for (int i = 0; i < ask->sale_count; i++) {
        const struct plan_sale *s = &ask->sales[i];
        if (s->line >= ask->p->line_count) continue; /* it serves a cover */
        const struct plan_line *l = &ask->p->lines[s->line];
        if (p->products[l->product].crop == p->products[s->product].crop) continue;
        int64_t pieces = llround(s->kg / plan_piece_kg(p, s->product));
        if (pieces > lines[s->line].pieces) pieces = lines[s->line].pieces;
        double spread = l->spread_pieces * (double)pieces / (double)l->pieces;
        lines[s->line].pieces -= pieces;
        lines[s->line].spread_pieces -= spread;
        lines[p->line_count] = *l;
        lines[p->line_count].product = s->product;
        lines[p->line_count].pieces = pieces;
        lines[p->line_count].spread_pieces = spread;
        lines[p->line_count++].shortage_cost_per_kg = worth_given(p, l, s->product);
    }
    p->lines = lines;
    return p;
}

void tonight_choose(struct arena *a, const struct tonight_ask *ask, struct tonight *out)
{
    struct tonight_ask given = *ask;
    if (ask->p->swap_count > 0) given.p = as_given(a, ask);
    *out = (struct tonight){.day = ask->p->frozen_days};
    out->crops = ARENA_ARRAY(a, struct tonight_crop, (size_t)ask->p->crop_count + 1);
    out->starts =
        ARENA_ARRAY(a, struct plan_taken, (size_t)(ask->planned_count + ask->p->chamber_count) + 1);
    if (out->day >= ask->p->day_count) return;
    for (int k = 0; k < ask->p->crop_count; k++) {
        if (ask->stop && *ask->stop) return;
        choose_crop(a, &given, k, out);
    }
    out->is_done = true;
}
