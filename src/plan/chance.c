#include "plan/chance.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "plan/chance_inner.h"
#include "plan/draw.h"

/* Kinds of things that have luck of their own. */
enum { OF_MEAN, OF_BARRING, OF_START, OF_RUNNING, OF_LEVEL, OF_LINE, OF_RETESTING };

struct result chance_check(const struct plan_problem *p, const struct chance_model *m)
{
    if (m->future_count < 1 || m->future_count > CHANCE_FUTURES_MAX)
        return FAIL1(PLAN_FIELD, "future_count", "it must be from 1 to 100000");
    if (!(m->shared_part >= 0 && m->shared_part <= 1))
        return FAIL1(PLAN_FIELD, "shared_part", "it must be from 0 to 1");
    for (int k = 0; k < p->crop_count; k++) {
        const struct chance_crop *c = &m->crops[k];
        if (!(isfinite(c->yield_mean) && c->yield_mean > 0))
            return FAIL1(PLAN_FIELD, "yield_mean", "it must be above 0");
        if (!(isfinite(c->seed_less) && c->seed_less < 1))
            return FAIL1(PLAN_FIELD, "seed_less", "it must be below 1");
        if (!(c->yield_relative >= 0 && c->yield_relative <= 1 && c->mean_relative >= 0 &&
              c->mean_relative <= 1))
            return FAIL1(PLAN_FIELD, "yield_relative", "it must be from 0 to 1");
        if (!(c->barred >= 0 && (c->barred <= 0 || c->passed > 0)))
            return FAIL1(PLAN_FIELD, "barred", "barred and passed must be above 0");
        if (!(c->barred_early >= 0 && c->barred_early <= c->barred))
            return FAIL1(PLAN_FIELD, "barred_early", "it must be from 0 to barred");
        if (!(c->retested >= 0 && (c->retested <= 0 || c->once > 0)))
            return FAIL1(PLAN_FIELD, "retested", "retested and once must be above 0");
    }
    return RESULT_OK;
}

/* goods */

/* Packed kg of a start at the problem's own yields, whatever those of the plan were. */
static double start_kg(const struct plan_problem *p, const struct plan_placed *s)
{
    double yield = plan_way_yield(&p->crops[s->crop].ways[s->way]), kg = 0;
    for (int i = 0; i < s->part_count; i++)
        kg += s->parts[i].kg * p->seed_lots[s->parts[i].lot].yield_factor * yield;
    return kg;
}

static double start_cost(const struct plan_problem *p, const struct plan_placed *s, double soaked)
{
    double cost = p->crops[s->crop].start_cost;
    for (int i = 0; i < s->part_count; i++)
        cost += soaked * s->parts[i].kg * p->seed_lots[s->parts[i].lot].cost_per_kg;
    return cost;
}

/* soaked: of the seed planned. All harvests of a start have one luck. */
static struct goods goods_of_start(const struct plan_problem *p, const struct plan_placed *s,
                                   const struct plan_harvest *harvest, double soaked)
{
    struct goods g = {.crop = s->crop,
                      .product = PLAN_NONE,
                      .start_day = s->day,
                      .harvest_day = harvest->day,
                      .chamber = s->chamber,
                      .markets = s->markets,
                      .planned_kg = soaked * start_kg(p, s) * harvest->share,
                      .thing = draw_thing(OF_START, s->chamber, s->day, s->crop)};
    for (int m = 0; m < p->market_count; m++) {
        g.once_day[m] = plan_ready_day_tested(p, m, s->day, false);
        g.again_day[m] = plan_ready_day_tested(p, m, s->day, true);
    }
    return g;
}

static void set_ready(struct goods *g, int markets, const int *once_day, const int *again_day)
{
    memcpy(g->once_day, once_day, (size_t)markets * sizeof *once_day);
    memcpy(g->again_day, again_day, (size_t)markets * sizeof *again_day);
}

static void list_goods(struct playing *x, const struct plan_placed *starts, int start_count)
{
    const struct plan_problem *p = x->p;
    for (int i = 0; i < p->stock_count; i++) {
        const struct plan_stock *s = &p->stock[i];
        struct goods *g = &x->goods[x->goods_count++];
        *g = (struct goods){.crop = s->crop,
                            .product = s->product,
                            .start_day = PLAN_NONE,
                            .harvest_day = s->harvest_day,
                            .chamber = PLAN_NONE,
                            .is_here = true,
                            .is_certain = s->batch == NULL,
                            .markets = s->markets,
                            .planned_kg = s->kg,
                            .thing = s->batch ? draw_name(s->batch) : 0};
        set_ready(g, p->market_count, s->once_day ? s->once_day : s->ready_day,
                  s->again_day ? s->again_day : s->ready_day);
    }
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *r = &p->running[i];
        struct goods *g = &x->goods[x->goods_count++];
        uint64_t thing = r->lot ? draw_name(r->lot) : draw_thing(OF_RUNNING, i, 0, 0);
        *g = (struct goods){.crop = r->crop,
                            .product = PLAN_NONE,
                            .start_day = PLAN_NONE,
                            .harvest_day = plan_running_day(r, r->told),
                            .chamber = r->chamber,
                            .markets = r->markets,
                            .is_day_known = r->is_day_known,
                            .planned_kg = plan_running_kg(r, r->told),
                            .seed_relative = r->seed_relative,
                            .thing = thing};
        set_ready(g, p->market_count, r->once_day ? r->once_day : r->ready_day,
                  r->again_day ? r->again_day : r->ready_day);
    }
    for (int i = 0; i < start_count; i++) {
        double soaked = 1 - x->m->crops[starts[i].crop].seed_less;
        for (int h = 0; h < starts[i].harvest_count; h++)
            x->goods[x->goods_count++] =
                goods_of_start(p, &starts[i], &starts[i].harvests[h], soaked);
        if (!starts[i].is_fixed) x->fixed_cost += start_cost(p, &starts[i], soaked);
    }
}

struct ordered {
    int first, second, third, index;
};

static int by_keys(const void *x, const void *y)
{
    const struct ordered *a = x, *b = y;
    if (a->first != b->first) return a->first < b->first ? -1 : 1;
    if (a->second != b->second) return a->second < b->second ? -1 : 1;
    if (a->third != b->third) return a->third < b->third ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

static void order_chambers(struct arena *a, struct playing *x)
{
    struct ordered *keys = ARENA_ARRAY(a, struct ordered, (size_t)x->goods_count + 1);
    for (int i = 0; i < x->goods_count; i++) {
        const struct goods *g = &x->goods[i];
        if (g->is_here) continue;
        keys[x->chamber_count++] = (struct ordered){g->chamber, g->harvest_day, 0, i};
    }
    qsort(keys, (size_t)x->chamber_count, sizeof *keys, by_keys);
    x->chamber_order = ARENA_ARRAY(a, int, (size_t)x->chamber_count + 1);
    for (int i = 0; i < x->chamber_count; i++)
        x->chamber_order[i] = keys[i].index;
}

/* wanted */

static void list_asked(struct arena *a, struct playing *x)
{
    const struct plan_problem *p = x->p;
    struct ordered *keys = ARENA_ARRAY(a, struct ordered, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++)
        keys[i] = (struct ordered){p->lines[i].day, p->groups[p->lines[i].group].priority,
                                   p->lines[i].key == NULL, i};
    qsort(keys, (size_t)p->line_count, sizeof *keys, by_keys);
    x->asked = ARENA_ARRAY(a, struct asked, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[keys[i].index];
        x->asked[i] =
            (struct asked){.line = keys[i].index,
                           .day = l->day,
                           .market = p->groups[l->group].market,
                           .oldest_day = plan_oldest_harvest_day(p, l),
                           .crop = p->products[l->product].crop,
                           .piece_kg = plan_piece_kg(p, l->product),
                           .late_days = p->groups[l->group].late_days,
                           .late_cost_per_kg_day = p->groups[l->group].late_cost_per_kg_day};
        for (int s = 0; s < p->swap_count; s++) {
            if (!plan_swap_suits(p, s, l)) continue;
            x->asked[i].swaps |= 1u << s;
            x->asked[i].across |= p->products[p->swaps[s].to_product].crop != x->asked[i].crop;
        }
        x->has_across |= x->asked[i].across;
    }
}

/* Pieces of a forecast line: its spread split into what all days share and what is the day's. */
static int64_t pieces_of(const struct playing *x, int line)
{
    const struct plan_line *l = &x->p->lines[line];
    if (l->key || l->spread_pieces <= 0 || l->pieces <= 0) return l->pieces;
    struct draw d;
    draw_begin(&d, x->m->seed, x->future, draw_thing(OF_LINE, l->product, l->group, l->day));
    return draw_shared_pieces(&d, (double)l->pieces, l->spread_pieces, x->m->shared_part,
                              x->level[l->product * x->p->group_count + l->group]);
}

/* one future */

static void draw_levels(struct playing *x)
{
    struct draw d;
    for (int i = 0; i < x->p->product_count; i++)
        for (int g = 0; g < x->p->group_count; g++) {
            draw_begin(&d, x->m->seed, x->future, draw_thing(OF_LEVEL, i, g, 0));
            x->level[i * x->p->group_count + g] = draw_normal(&d);
        }
}

static void draw_goods(const struct playing *x, struct goods *g)
{
    const struct chance_crop *c = &x->m->crops[g->crop];
    struct draw d;
    draw_begin(&d, x->m->seed, x->future, g->thing);
    double own = draw_lognormal(&d, c->yield_relative);
    bool barred = draw_unit(&d) < x->of_barring[g->crop];
    int shift = c->shift_count > 0 ? c->shift_days[(int)(draw_unit(&d) * c->shift_count)] : 0;
    double seed = g->seed_relative > 0 ? g->seed_relative : c->mean_relative;
    double mean = draw_lognormal_of(x->of_mean[g->crop], seed);
    double gives = g->is_here ? 1 : c->yield_mean * mean * own;
    g->delay_days = g->is_here || g->is_day_known ? 0 : shift;
    g->is_retested = draw_unit(&d) < x->of_retesting[g->crop];
    bool barred_early = draw_unit(&d) < x->of_barring_early[g->crop] && !g->is_here;
    g->kg = barred || barred_early ? 0 : g->planned_kg * gives;
}

/* Days from the luck of growing and from chambers emptied late. */
static void settle_days(struct playing *x)
{
    int free_day = 0;
    const struct goods *last = NULL; /* in the chamber */
    for (int i = 0; i < x->chamber_count; i++) {
        struct goods *g = &x->goods[x->chamber_order[i]];
        if (last && g->chamber != last->chamber) last = NULL;
        if (!last) free_day = 0;
        /* a later harvest of the same start waits as long as the first did */
        bool follows = last && g->start_day != PLAN_NONE && last->start_day == g->start_day;
        int wait = follows                                                ? last->delay_days
                   : g->start_day != PLAN_NONE && free_day > g->start_day ? free_day - g->start_day
                                                                          : 0;
        g->day = g->harvest_day + wait + g->delay_days;
        if (g->start_day != PLAN_NONE && g->day <= g->start_day + wait)
            g->day = g->start_day + wait + 1;
        if (g->day < 0) g->day = 0;
        g->delay_days = wait; /* from here on: how much later its laboratory is asked */
        free_day = g->day + x->p->cleaning_days;
        last = g;
    }
}

/* Three shares of batches that sum to one, barred early, barred later and passed, are a Dirichlet
 * of their counts (the gamma representation; from memory): the first of them all and the second of
 * what the first left are beta, each for itself, and both together bar as beta of barred and
 * passed. */
static void draw_barring(struct playing *x, struct draw *d, int crop)
{
    const struct chance_crop *c = &x->m->crops[crop];
    double early = c->barred_early, later = c->barred - early;
    x->of_barring[crop] = later > 0 ? draw_beta(d, later, c->passed) : 0;
    x->of_barring_early[crop] = early > 0 ? draw_beta(d, early, later + c->passed) : 0;
}

static void play_goods(struct playing *x)
{
    struct draw d;
    for (int k = 0; k < x->p->crop_count; k++) {
        const struct chance_crop *c = &x->m->crops[k];
        draw_begin(&d, x->m->seed, x->future, draw_thing(OF_MEAN, k, 0, 0));
        x->of_mean[k] = draw_normal(&d);
        draw_begin(&d, x->m->seed, x->future, draw_thing(OF_BARRING, k, 0, 0));
        draw_barring(x, &d, k);
        draw_begin(&d, x->m->seed, x->future, draw_thing(OF_RETESTING, k, 0, 0));
        x->of_retesting[k] = c->retested > 0 ? draw_beta(&d, c->retested, c->once) : 0;
    }
    for (int i = 0; i < x->goods_count; i++) {
        struct goods *g = &x->goods[i];
        g->day = g->harvest_day;
        g->kg = g->planned_kg;
        if (!g->is_certain) draw_goods(x, g);
    }
    settle_days(x);
}

/* Sorts goods by crop and day, and cuts each day's harvest to what can be processed. */
static void sort_and_process(struct playing *x)
{
    int n = 0;
    memcpy(x->left, x->p->days, (size_t)x->p->day_count * sizeof *x->left);
    memset(x->ingredient_kg, 0,
           (size_t)(x->p->ingredient_count * x->p->day_count) * sizeof *x->ingredient_kg);
    for (int k = 0; k < x->p->crop_count; k++) {
        x->first_of_crop[k] = n;
        for (int i = 0; i < x->goods_count; i++) {
            if (x->goods[i].crop != k) continue;
            int at = n++;
            for (; at > x->first_of_crop[k] && x->goods[x->by_age[at - 1]].day > x->goods[i].day;
                 at--)
                x->by_age[at] = x->by_age[at - 1];
            x->by_age[at] = i;
        }
    }
    x->first_of_crop[x->p->crop_count] = n;
}

static void add(struct sums *s, double x)
{
    s->sum += x;
    s->squares += x * x;
}

/* What stands at the end is worth something up to what is wanted of it; the rest is waste. */
static void close_future(struct playing *x, double wanted, double met, double cost)
{
    const struct plan_problem *p = x->p;
    double waste = 0;
    for (int k = 0; k < p->crop_count; k++) {
        double standing = 0;
        for (int i = x->first_of_crop[k]; i < x->first_of_crop[k + 1]; i++) {
            const struct goods *g = &x->goods[x->by_age[i]];
            if (g->day + x->life_days[k] >= p->day_count) {
                standing += g->kg;
            } else {
                waste += g->kg;
                cost += g->kg * p->crops[k].waste_cost_per_kg;
            }
        }
        cost -= fmin(standing, p->crops[k].end_kg_wanted) * p->crops[k].end_value_per_kg;
    }
    x->out->cost_of[x->future] = cost;
    add(&x->wanted, wanted);
    add(&x->met, met);
    add(&x->missed, wanted - met);
    add(&x->waste, waste);
    add(&x->cost, cost);
}

/* Whole pieces are what counts: a shade of rounding is not a short. */
static bool is_whole(const struct asked *w)
{
    return w->left_kg < w->piece_kg * 1e-3 + CHANCE_NOTHING_KG;
}

static double share_of(const struct asked *w)
{
    return w->want_kg > 0 ? 1 - w->left_kg / w->want_kg : 1;
}

/* What lines from one to another that may still be served on the day are short of, in their order:
 * from what those before them have left. -> kg given */
static double serve_lines(struct playing *x, int from, int to, int day, bool across, double *cost)
{
    double got = 0;
    for (int i = from; i < to; i++) {
        struct asked *w = &x->asked[i];
        if (w->day + w->late_days < day || w->left_kg <= CHANCE_NOTHING_KG) continue;
        if (across && !w->across) continue;
        double kg = across ? chance_serve_across(x, w, day, cost) : chance_serve(x, w, day, cost);
        w->left_kg -= kg;
        got += kg;
    }
    return got;
}

/* The day's lines, then what earlier ones are short of, the oldest first; of each what was ordered
 * for all, then other crops in its place. -> kg given late */
static double serve_day(struct playing *x, int first, int next, int day, double *cost)
{
    double late = 0;
    for (int i = first; i < next; i++)
        x->asked[i].left_kg -= chance_serve(x, &x->asked[i], day, cost);
    if (x->has_across) serve_lines(x, first, next, day, true, cost);
    if (x->takes_late) late = serve_lines(x, 0, first, day, false, cost);
    if (x->takes_late && x->has_across) late += serve_lines(x, 0, first, day, true, cost);
    return late;
}

static void play(struct playing *x)
{
    double wanted = 0, missed = 0, late = 0, cost = x->fixed_cost;
    int next = 0;
    draw_levels(x);
    play_goods(x);
    sort_and_process(x);
    for (int day = 0; day < x->p->day_count; day++) {
        int first = next;
        bool is_open = plan_open_day(x->p, day) == day;
        for (; next < x->p->line_count && x->asked[next].day == day; next++) {
            struct asked *w = &x->asked[next];
            w->want_kg = w->left_kg = (double)pieces_of(x, w->line) * w->piece_kg;
            wanted += w->want_kg;
        }
        if (is_open) late += serve_day(x, first, next, day, &cost);
        for (int i = first; i < next; i++) {
            x->out->lines[x->asked[i].line].met += is_whole(&x->asked[i]);
            x->out->lines[x->asked[i].line].share += share_of(&x->asked[i]);
        }
    }
    for (int i = 0; i < x->p->line_count; i++) {
        const struct asked *w = &x->asked[i];
        x->out->lines[w->line].late_met += is_whole(w);
        x->out->lines[w->line].late_share += share_of(w);
        cost += w->left_kg * x->p->lines[w->line].shortage_cost_per_kg;
        missed += w->left_kg;
    }
    add(&x->late, late);
    close_future(x, wanted, wanted - missed, cost);
}

static struct chance_total total(const struct sums *s, int n)
{
    double mean = s->sum / n;
    double variance = n > 1 ? fmax(0, s->squares - n * mean * mean) / (n - 1) : 0;
    return (struct chance_total){mean, sqrt(variance / n)};
}

static void prepare(struct arena *a, const struct plan_placed *starts, int start_count,
                    struct playing *x)
{
    const struct plan_problem *p = x->p;
    int most = p->stock_count + p->running_count;
    for (int i = 0; i < start_count; i++)
        most += starts[i].harvest_count;
    x->goods = ARENA_ARRAY(a, struct goods, (size_t)most + 1);
    x->by_age = ARENA_ARRAY(a, int, (size_t)most + 1);
    x->first_of_crop = ARENA_ARRAY(a, int, (size_t)p->crop_count + 1);
    x->level = ARENA_ARRAY(a, double, (size_t)(p->product_count * p->group_count) + 1);
    x->left = ARENA_ARRAY(a, struct plan_day, (size_t)p->day_count);
    x->ingredient_kg = ARENA_ARRAY(a, double, (size_t)(p->ingredient_count * p->day_count) + 1);
    x->of_mean = ARENA_ARRAY(a, double, (size_t)p->crop_count + 1);
    x->of_barring = ARENA_ARRAY(a, double, (size_t)p->crop_count + 1);
    x->of_barring_early = ARENA_ARRAY(a, double, (size_t)p->crop_count + 1);
    x->of_retesting = ARENA_ARRAY(a, double, (size_t)p->crop_count + 1);
    x->life_days = ARENA_ARRAY(a, int, (size_t)p->crop_count + 1);
    for (int i = 0; i < p->product_count; i++) {
        for (int k = 0; k < p->crop_count; k++)
            if (plan_crop_kg(p, i, k) > 0 && p->products[i].life_days > x->life_days[k])
                x->life_days[k] = p->products[i].life_days;
    }
    list_goods(x, starts, start_count);
    order_chambers(a, x);
    list_asked(a, x);
    for (int g = 0; g < p->group_count; g++)
        x->takes_late |= p->groups[g].late_days > 0;
}

struct result chance_of(struct arena *a, const struct plan_problem *p,
                        const struct plan_placed *starts, int start_count,
                        const struct chance_model *model, struct chance *out)
{
    TRY(chance_check(p, model));
    *out = (struct chance){.future_count = model->future_count};
    out->lines = ARENA_ARRAY(a, struct chance_line, (size_t)p->line_count + 1);
    out->cost_of = ARENA_ARRAY(a, double, (size_t)model->future_count);
    struct playing x = {.p = p, .m = model, .out = out};
    prepare(a, starts, start_count, &x);
    for (int f = 0; f < model->future_count; f++) {
        x.future = (uint32_t)f;
        play(&x);
    }
    int n = model->future_count;
    for (int i = 0; i < p->line_count; i++) {
        out->lines[i].met /= n;
        out->lines[i].share /= n;
        out->lines[i].late_met /= n;
        out->lines[i].late_share /= n;
    }
    out->wanted_kg = total(&x.wanted, n);
    out->met_kg = total(&x.met, n);
    out->short_kg = total(&x.missed, n);
    out->waste_kg = total(&x.waste, n);
    out->cost = total(&x.cost, n);
    out->late_kg = total(&x.late, n);
    return RESULT_OK;
}
