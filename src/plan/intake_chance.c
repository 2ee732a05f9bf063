#include "plan/intake_chance.h"

#include <math.h>
#include <string.h>

#include "plan/intake_follow.h"

/* Kinds of things that have luck of their own. */
enum { OF_MEAN, OF_DAY, OF_DELIVERY, OF_LEVEL, OF_LINE };

struct playing {
    const struct intake_plan *plan;
    const struct intake_luck *luck;
    const struct intake_problem *asked; /* the plan's */
    uint32_t future;
    /* a future's own: the deliveries as told, then one for each good and day that may come late */
    struct intake_problem p;
    struct intake_delivery *deliveries;
    struct plan_line *lines;
    struct intake_frame *f;
    struct intake_wanted *wanted;
    double *mean; /* intake_first_part of the use + part */
    struct arena one;
    int *product_part;   /* by use: its part that is sold; PLAN_NONE */
    double *level;       /* by product * group_count + group */
    double *got, *wants; /* sums of pieces by line */
    struct sums {
        double sum, squares;
    } wanted_kg, short_kg, left_kg, no_room_kg, cost;
    struct intake_chance *out;
};

/* Fruit of each delivery's good may come on any day from its own on: it comes late. */
static void add_late(struct arena *a, struct playing *x)
{
    const struct intake_problem *p = x->asked;
    x->deliveries = ARENA_ARRAY(a, struct intake_delivery,
                                (size_t)(p->delivery_count + p->good_count * p->day_count) + 1);
    for (int i = 0; i < p->delivery_count; i++)
        x->deliveries[i] = p->deliveries[i];
    for (int g = 0; g < p->good_count; g++)
        for (int d = 0; d < p->day_count; d++)
            x->deliveries[p->delivery_count + g * p->day_count + d] =
                (struct intake_delivery){.key = "", .good = g, .day = d};
    x->p.deliveries = x->deliveries;
    x->p.delivery_count = p->delivery_count + p->good_count * p->day_count;
}

static void find_products(struct arena *a, struct playing *x)
{
    const struct intake_problem *p = x->asked;
    x->product_part = ARENA_ARRAY(a, int, (size_t)p->use_count + 1);
    for (int u = 0; u < p->use_count; u++) {
        x->product_part[u] = PLAN_NONE;
        for (int k = 0; k < p->uses[u].part_count; k++)
            for (int i = 0; i < p->product_count; i++)
                if (p->products[i].good == p->uses[u].parts[k].good &&
                    x->product_part[u] == PLAN_NONE)
                    x->product_part[u] = k;
    }
}

static void begin(struct arena *a, struct playing *x)
{
    const struct intake_problem *p = x->asked;
    size_t parts = (size_t)intake_first_part(p, p->use_count);
    x->p = *p;
    add_late(a, x);
    x->lines = ARENA_ARRAY(a, struct plan_line, (size_t)p->line_count + 1);
    memcpy(x->lines, p->lines, sizeof *x->lines * (size_t)p->line_count);
    x->p.lines = x->lines;
    x->f = intake_frame_make(a, &x->p); /* births and cells are the plan's */
    x->wanted = intake_wanted_new(a, x->f);
    x->wanted->rooms_bind = true;
    x->wanted->share = ARENA_ARRAY(a, double, parts *(size_t)p->day_count + 1);
    x->mean = ARENA_ARRAY(a, double, parts + 1);
    x->level = ARENA_ARRAY(a, double, (size_t)(p->product_count * p->group_count) + 1);
    x->got = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    x->wants = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    memcpy(x->wanted->buy_kg, x->plan->buy_kg,
           sizeof(double) * (size_t)(p->offer_count * p->day_count));
    intake_wanted_out(x->plan, x->wanted);
    find_products(a, x);
    x->out->future_count = x->luck->future_count;
    x->out->lines = ARENA_ARRAY(a, struct chance_line, (size_t)p->line_count + 1);
    x->out->costs = ARENA_ARRAY(a, double, (size_t)x->luck->future_count);
    x->out->days = ARENA_ARRAY(a, struct chance_line, (size_t)p->day_count);
    arena_init(&x->one, ARENA_LIMIT_DEFAULT);
}

/* Shares of a use on a day, and with them what it takes. */
static void draw_use(struct playing *x, int use, int day)
{
    const struct intake_problem *p = x->asked;
    const struct intake_use *u = &p->uses[use];
    int first = intake_first_part(p, use), births = x->f->birth_count, of = x->product_part[use];
    double shares[INTAKE_LIMITS_MAX], times = 1;
    struct draw d;
    draw_begin(&d, x->luck->seed, x->future, draw_thing(OF_DAY, use, day, 0));
    intake_luck_day(&x->luck->uses[use], u, &x->mean[first], &d, shares);
    for (int k = 0; k < u->part_count; k++)
        x->wanted->share[(first + k) * p->day_count + day] = shares[k];
    if (of != PLAN_NONE && shares[of] > 0) times = u->parts[of].share / shares[of];
    for (int b = 0; b < births; b++) {
        int at = (use * births + b) * p->day_count + day;
        x->wanted->use_kg[at] = x->plan->use_kg[at] * times;
    }
}

static void draw_uses(struct playing *x)
{
    const struct intake_problem *p = x->asked;
    for (int u = 0; u < p->use_count; u++) {
        struct draw d;
        draw_begin(&d, x->luck->seed, x->future, draw_thing(OF_MEAN, u, 0, 0));
        intake_luck_mean(&x->luck->uses[u], &p->uses[u], &d, &x->mean[intake_first_part(p, u)]);
        for (int day = 0; day < p->day_count; day++)
            draw_use(x, u, day);
    }
}

static void draw_deliveries(struct playing *x)
{
    const struct intake_problem *p = x->asked;
    for (int i = p->delivery_count; i < x->p.delivery_count; i++)
        x->deliveries[i].kg = x->wanted->turn_kg[i] = 0;
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *told = &p->deliveries[i];
        const struct intake_came_list *came = &x->luck->came[i];
        struct intake_came now = {.share = 1};
        if (came->count >= INTAKE_LUCK_MIN) {
            struct draw d;
            draw_begin(&d, x->luck->seed, x->future, draw_thing(OF_DELIVERY, i, told->day, 0));
            now = came->list[(int)(draw_unit(&d) * came->count)];
        }
        int day = told->day + now.late_days;
        int at = now.late_days == 0 ? i : p->delivery_count + told->good * p->day_count + day;
        x->deliveries[i].kg = x->wanted->turn_kg[i] = 0;
        if (day >= p->day_count) continue;
        x->deliveries[at].kg += told->kg * now.share;
        x->wanted->turn_kg[at] += x->plan->turn_kg[i] * now.share;
    }
}

static void draw_lines(struct playing *x)
{
    const struct intake_problem *p = x->asked;
    struct draw d;
    for (int i = 0; i < p->product_count * p->group_count; i++) {
        draw_begin(&d, x->luck->seed, x->future,
                   draw_thing(OF_LEVEL, i / p->group_count, i % p->group_count, 0));
        x->level[i] = draw_normal(&d);
    }
    for (int c = 0; c < x->f->cell_count; c++)
        x->f->cells[c].kg = 0;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        if (!l->key && l->spread_pieces > 0 && l->pieces > 0) {
            draw_begin(&d, x->luck->seed, x->future,
                       draw_thing(OF_LINE, l->product, l->group, l->day));
            x->lines[i].pieces =
                draw_shared_pieces(&d, (double)l->pieces, l->spread_pieces, x->luck->shared_part,
                                   x->level[l->product * p->group_count + l->group]);
        }
        x->f->cells[x->f->cell_of_line[i]].kg += intake_line_kg(&x->p, &x->lines[i]);
    }
}

static void add(struct sums *s, double value)
{
    s->sum += value;
    s->squares += value * value;
}

static void count(struct playing *x, const int64_t *met, const struct intake_fared *fared)
{
    const struct intake_problem *p = x->asked;
    bool whole[INTAKE_DAYS_MAX];
    double wanted = 0, missed = 0;
    for (int d = 0; d < p->day_count; d++)
        whole[d] = true;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &x->lines[i];
        double piece = p->products[l->product].net_kg;
        bool is_met = met[i] >= l->pieces;
        x->out->lines[i].met += is_met;
        whole[l->day] = whole[l->day] && is_met;
        x->got[i] += (double)met[i];
        x->wants[i] += (double)l->pieces;
        wanted += (double)l->pieces * piece;
        missed += (double)(l->pieces - met[i]) * piece;
    }
    for (int d = 0; d < p->day_count; d++)
        x->out->days[d].met += whole[d];
    add(&x->wanted_kg, wanted);
    add(&x->short_kg, missed);
    add(&x->left_kg, fared->left_kg);
    add(&x->no_room_kg, fared->no_room_kg);
    add(&x->cost, fared->cost);
    x->out->costs[x->future] = fared->cost;
}

static struct chance_total total(const struct sums *s, int n)
{
    double mean = s->sum / n, variance = n > 1 ? (s->squares - s->sum * mean) / (n - 1) : 0;
    return (struct chance_total){mean, sqrt(fmax(0, variance) / n)};
}

static void finish(struct playing *x)
{
    const struct intake_problem *p = x->asked;
    int n = x->luck->future_count;
    double got[INTAKE_DAYS_MAX] = {0}, wants[INTAKE_DAYS_MAX] = {0};
    for (int i = 0; i < p->line_count; i++) {
        struct chance_line *l = &x->out->lines[i];
        double piece = p->products[p->lines[i].product].net_kg;
        l->met /= n;
        l->share = x->wants[i] > 0 ? x->got[i] / x->wants[i] : 1;
        l->late_met = l->met;
        l->late_share = l->share;
        got[p->lines[i].day] += x->got[i] * piece;
        wants[p->lines[i].day] += x->wants[i] * piece;
    }
    for (int d = 0; d < p->day_count; d++) {
        struct chance_line *l = &x->out->days[d];
        l->late_met = l->met /= n;
        l->late_share = l->share = wants[d] > 0 ? got[d] / wants[d] : 1;
    }
    x->out->wanted_kg = total(&x->wanted_kg, n);
    x->out->short_kg = total(&x->short_kg, n);
    x->out->left_kg = total(&x->left_kg, n);
    x->out->no_room_kg = total(&x->no_room_kg, n);
    x->out->cost = total(&x->cost, n);
    arena_release(&x->one);
}

struct intake_chance intake_chance_of(struct arena *a, const struct intake_plan *plan,
                                      const struct intake_luck *luck)
{
    struct intake_chance out = {0};
    struct playing *x = ARENA_NEW(a, struct playing);
    x->plan = plan;
    x->asked = plan->f->p;
    x->luck = luck;
    x->out = &out;
    begin(a, x);
    for (int i = 0; i < luck->future_count; i++) {
        x->future = (uint32_t)i;
        draw_uses(x);
        draw_deliveries(x);
        draw_lines(x);
        struct intake_fared fared;
        const struct intake_plan *how = intake_follow(&x->one, x->f, x->wanted, &fared);
        count(x, intake_met_pieces(&x->one, how), &fared);
        arena_clear(&x->one);
    }
    finish(x);
    return out;
}
