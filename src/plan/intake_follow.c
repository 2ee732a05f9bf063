#include "plan/intake_follow.h"

#include <math.h>
#include <stdlib.h>

#define NOTHING_KG 1e-6
#define ROUNDING_KG 1e-7

struct follower {
    const struct intake_frame *f;
    const struct intake_wanted *wanted;
    struct intake_plan *plan;
    double *stock;     /* by node, now */
    double *hours;     /* by machine, left today */
    double *use_left;  /* use * birth_count + birth: still wanted today */
    double *any_left;  /* by use: of whatever age */
    double *gone;      /* by good: given too old today, gone at once */
    double *offer_all; /* by offer, left of kg_in_all */
    double *before;    /* by node, at the end of the day before */
    double *met;       /* by cell */
    int *cells;        /* dearest first */
    int *shortest;     /* nodes, those first whose life ends first */
    int *first_part;   /* by use */
    struct intake_fared fared;
};

struct intake_wanted *intake_wanted_new(struct arena *a, const struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    struct intake_wanted *w = ARENA_NEW(a, struct intake_wanted);
    size_t days = (size_t)p->day_count;
    w->use_kg = ARENA_ARRAY(a, double, (size_t)(p->use_count * f->birth_count) * days + 1);
    w->buy_kg = ARENA_ARRAY(a, double, (size_t)p->offer_count *days + 1);
    w->turn_kg = ARENA_ARRAY(a, double, (size_t)p->delivery_count + 1);
    w->out_kg = ARENA_ARRAY(a, double, (size_t)p->good_count *days + 1);
    return w;
}

int intake_first_part(const struct intake_problem *p, int use)
{
    int count = 0;
    for (int u = 0; u < use; u++)
        count += p->uses[u].part_count;
    return count;
}

void intake_wanted_out(const struct intake_plan *plan, struct intake_wanted *w)
{
    const struct intake_frame *f = plan->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    for (int i = 0; i < f->node_count * days; i++)
        w->out_kg[i / (f->birth_count * days) * days + i % days] += plan->out_kg[i];
    for (int i = 0; i < p->use_count * f->birth_count * days; i++) {
        int use = i / (f->birth_count * days), birth = i / days % f->birth_count, day = i % days;
        const struct intake_use *u = &p->uses[use];
        for (int k = 0; k < u->part_count && plan->use_kg[i] > 0; k++)
            if (intake_given(f, use, k, birth, day) == PLAN_NONE)
                w->out_kg[u->parts[k].good * days + day] += plan->use_kg[i] * u->parts[k].share;
    }
}

void intake_wanted_done(const struct intake_frame *f, struct intake_wanted *w, int use,
                        int born_day, double kg)
{
    for (int any_age = 0; any_age < 2; any_age++)
        for (int b = 0; b < f->birth_count; b++) {
            if (!any_age && f->births[b] != born_day) continue;
            double *wanted = &w->use_kg[(use * f->birth_count + b) * f->p->day_count];
            double less = fmin(kg, *wanted);
            *wanted -= less;
            kg -= less;
        }
}

static void comes(struct follower *x, int day)
{
    const struct intake_problem *p = x->f->p;
    int birth = intake_birth(x->f, day);
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        if (d->day != day) continue;
        x->plan->turn_kg[i] = fmin(x->wanted->turn_kg[i], d->kg);
        x->fared.cost += x->plan->turn_kg[i] * d->turn_cost_per_kg;
        x->stock[intake_node(x->f, d->good, birth)] += d->kg - x->plan->turn_kg[i];
    }
    for (int i = 0; i < p->offer_count; i++) {
        const struct intake_offer *o = &p->offers[i];
        int at = i * p->day_count + day;
        if (day < o->lead_days) continue;
        double kg = fmin(fmin(x->wanted->buy_kg[at], o->kg_a_day), x->offer_all[i]);
        x->plan->buy_kg[at] = kg;
        x->fared.cost += kg * o->price_per_kg;
        x->offer_all[i] -= kg;
        x->stock[intake_node(x->f, o->good, birth)] += kg;
    }
}

static void lost(struct follower *x, int good, double kg)
{
    x->fared.left_kg += kg;
    x->fared.cost += kg * x->f->p->goods[good].out_cost_per_kg;
}

static double hours_let(const struct follower *x, const struct intake_use *u)
{
    double kg = INFINITY;
    for (int k = 0; k < u->need_count; k++)
        if (u->needs[k].hours_per_kg > 0)
            kg = fmin(kg, fmax(0, x->hours[u->needs[k].machine]) / u->needs[k].hours_per_kg);
    return kg;
}

/* -> kg taken in of a birth */
static double use(struct follower *x, int use, int birth, int day, double want)
{
    const struct intake_frame *f = x->f;
    const struct intake_use *u = &f->p->uses[use];
    int node = intake_node(f, u->good, birth);
    double kg = fmin(fmin(want, hours_let(x, u)), x->stock[node]);
    if (kg <= NOTHING_KG || !intake_usable(f, use, birth, day)) return 0;
    x->stock[node] -= kg;
    x->plan->use_kg[(use * f->birth_count + birth) * f->p->day_count + day] += kg;
    x->fared.cost += kg * u->cost_per_kg;
    const double *share = x->wanted->share;
    for (int k = 0; k < u->part_count; k++) {
        int given = intake_given(f, use, k, birth, day);
        double made = kg * (share ? share[(x->first_part[use] + k) * f->p->day_count + day]
                                  : u->parts[k].share);
        *(given != PLAN_NONE ? &x->stock[given] : &x->gone[u->parts[k].good]) += made;
        if (given == PLAN_NONE) lost(x, u->parts[k].good, made);
    }
    for (int k = 0; k < u->need_count; k++)
        x->hours[u->needs[k].machine] -= kg * u->needs[k].hours_per_kg;
    return kg;
}

/* -> whether anything was done */
static bool use_round(struct follower *x, int day, bool any_age)
{
    const struct intake_frame *f = x->f;
    bool more = false;
    for (int i = 0; i < f->p->use_count * f->birth_count; i++) {
        double *left = any_age ? &x->any_left[i / f->birth_count] : &x->use_left[i];
        double kg = use(x, i / f->birth_count, i % f->birth_count, day, *left);
        *left -= kg;
        more = more || kg > 0;
    }
    return more;
}

/* A use may wait for what another gives: as many rounds as there are steps. */
static void uses(struct follower *x, int day)
{
    const struct intake_frame *f = x->f;
    const struct intake_problem *p = f->p;
    for (int m = 0; m < p->machine_count; m++)
        x->hours[m] = p->machines[m].hours[day];
    for (int i = 0; i < p->use_count * f->birth_count; i++)
        x->use_left[i] = x->wanted->use_kg[i * p->day_count + day];
    for (int round = 0; round < p->use_count && use_round(x, day, false); round++) {
    }
    for (int u = 0; u < p->use_count; u++) {
        x->any_left[u] = 0;
        for (int b = 0; b < f->birth_count; b++)
            x->any_left[u] += x->use_left[u * f->birth_count + b];
    }
    for (int round = 0; round < p->use_count && use_round(x, day, true); round++) {
    }
}

static void sales(struct follower *x, int day)
{
    const struct intake_frame *f = x->f;
    for (int i = 0; i < f->cell_count; i++) {
        const struct intake_cell *c = &f->cells[x->cells[i]];
        double want = c->day == day ? c->kg : 0;
        for (int b = 0; b < f->birth_count && want > NOTHING_KG; b++) {
            int node = intake_node(f, c->good, b);
            if (!intake_serves(f, node, x->cells[i]) || x->stock[node] <= NOTHING_KG) continue;
            double kg = fmin(want, x->stock[node]);
            x->plan->sale_kg[x->cells[i] * f->birth_count + b] += kg;
            x->stock[node] -= kg;
            x->met[x->cells[i]] += kg;
            want -= kg;
        }
    }
}

static void let_go(struct follower *x, int node, int day, double kg)
{
    x->plan->out_kg[node * x->f->p->day_count + day] += kg;
    x->stock[node] -= kg;
    lost(x, node / x->f->birth_count, kg);
}

static void leaves(struct follower *x, int day)
{
    const struct intake_frame *f = x->f;
    int days = f->p->day_count;
    for (int g = 0; g < f->p->good_count; g++) {
        double want = x->wanted->out_kg[g * days + day] - x->gone[g];
        x->gone[g] = 0;
        for (int b = 0; b < f->birth_count && want > NOTHING_KG; b++) {
            int node = intake_node(f, g, b);
            double kg = day <= f->last_day[node] ? fmin(want, x->stock[node]) : 0;
            if (kg <= NOTHING_KG) continue;
            let_go(x, node, day, kg);
            want -= kg;
        }
    }
    for (int n = 0; n < f->node_count; n++)
        if (day == f->last_day[n] && intake_ends(f, n) && x->stock[n] > ROUNDING_KG)
            let_go(x, n, day, x->stock[n]);
}

static void no_room(struct follower *x, int node, int day, double kg)
{
    let_go(x, node, day, kg);
    x->fared.no_room_kg += kg;
}

static void fill_room(struct follower *x, int store, int day)
{
    const struct intake_frame *f = x->f;
    double over = -f->p->stores[store].limit[day];
    for (int n = 0; n < f->node_count; n++) {
        const struct intake_good *g = &f->p->goods[n / f->birth_count];
        if (g->store == store) over += fmax(0, x->stock[n]) * g->room_per_kg;
    }
    for (int i = 0; i < f->node_count && over > NOTHING_KG; i++) {
        int n = x->shortest[i];
        const struct intake_good *g = &f->p->goods[n / f->birth_count];
        if (g->store != store || x->stock[n] <= NOTHING_KG) continue;
        double kg = fmin(x->stock[n], over / g->room_per_kg);
        no_room(x, n, day, kg);
        over -= kg * g->room_per_kg;
    }
}

/* Tanks that a node keeps from others whatever leaves today: those of the evening before. */
static int tanks_kept(const struct follower *x, const struct intake_store *s, int node, int day)
{
    const struct intake_good *g = &x->f->p->goods[node / x->f->birth_count];
    if (day == 0 || !s->cleaned_next_day) return 0;
    return intake_tanks(s, fmax(0, x->before[node]) * g->room_per_kg);
}

static void fill_tanks(struct follower *x, int store, int day)
{
    const struct intake_frame *f = x->f;
    const struct intake_store *s = &f->p->stores[store];
    int over = -s->tank_count;
    for (int n = 0; n < f->node_count; n++) {
        const struct intake_good *g = &f->p->goods[n / f->birth_count];
        if (g->store != store) continue;
        int kept = tanks_kept(x, s, n, day),
            used = intake_tanks(s, fmax(0, x->stock[n]) * g->room_per_kg);
        over += used > kept ? used : kept;
    }
    for (int i = 0; i < f->node_count && over > 0; i++) {
        int n = x->shortest[i];
        const struct intake_good *g = &f->p->goods[n / f->birth_count];
        if (g->store != store) continue;
        int kept = tanks_kept(x, s, n, day),
            used = intake_tanks(s, fmax(0, x->stock[n]) * g->room_per_kg),
            less = used - kept < over ? used - kept : over;
        if (less <= 0) continue;
        no_room(x, n, day, x->stock[n] - (used - less) * s->tank_size / g->room_per_kg);
        over -= less;
    }
}

static void rooms(struct follower *x, int day)
{
    const struct intake_problem *p = x->f->p;
    for (int s = 0; s < p->store_count && x->wanted->rooms_bind; s++) {
        if (p->stores[s].tank_size > 0) fill_tanks(x, s, day);
        fill_room(x, s, day);
    }
}

/* What the day's end costs. */
static void evening(struct follower *x)
{
    const struct intake_frame *f = x->f;
    for (int n = 0; n < f->node_count; n++) {
        x->before[n] = x->stock[n];
        x->fared.cost +=
            fmax(0, x->stock[n]) * f->p->goods[n / f->birth_count].hold_cost_per_kg_day;
    }
}

/* What is short, and what still has a day of life. */
static void last_evening(struct follower *x)
{
    const struct intake_frame *f = x->f;
    for (int c = 0; c < f->cell_count; c++)
        x->fared.cost += fmax(0, f->cells[c].kg - x->met[c]) * f->cells[c].cost_per_kg;
    for (int g = 0; g < f->p->good_count; g++) {
        double end = 0;
        for (int b = 0; b < f->birth_count; b++)
            if (!intake_ends(f, intake_node(f, g, b)))
                end += fmax(0, x->stock[intake_node(f, g, b)]);
        x->fared.cost -= fmin(end, f->p->goods[g].end_kg_wanted) * f->p->goods[g].end_value_per_kg;
    }
}

/* Few: an insertion. */
static int *dearest_first(struct arena *a, const struct intake_frame *f)
{
    int *order = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    for (int i = 0; i < f->cell_count; i++) {
        int at = i;
        while (at > 0 && f->cells[order[at - 1]].cost_per_kg < f->cells[i].cost_per_kg) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = i;
    }
    return order;
}

static int life_end(const struct intake_frame *f, int node)
{
    return f->births[node % f->birth_count] + f->p->goods[node / f->birth_count].keep_days;
}

/* A sort by counting would need the span of lives; an insertion over what is nearly in order. */
static int *shortest_first(struct arena *a, const struct intake_frame *f)
{
    int *order = ARENA_ARRAY(a, int, (size_t)f->node_count + 1);
    for (int i = 0; i < f->node_count; i++) {
        int at = i;
        while (at > 0 && life_end(f, order[at - 1]) > life_end(f, i)) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = i;
    }
    return order;
}

struct intake_plan *intake_follow(struct arena *a, const struct intake_frame *f,
                                  const struct intake_wanted *wanted, struct intake_fared *out)
{
    const struct intake_problem *p = f->p;
    struct follower x = {.f = f,
                         .wanted = wanted,
                         .plan = intake_plan_new(a, f),
                         .stock = ARENA_ARRAY(a, double, (size_t)f->node_count + 1),
                         .hours = ARENA_ARRAY(a, double, (size_t)p->machine_count + 1),
                         .use_left =
                             ARENA_ARRAY(a, double, (size_t)(p->use_count * f->birth_count) + 1),
                         .any_left = ARENA_ARRAY(a, double, (size_t)p->use_count + 1),
                         .gone = ARENA_ARRAY(a, double, (size_t)p->good_count + 1),
                         .offer_all = ARENA_ARRAY(a, double, (size_t)p->offer_count + 1),
                         .before = ARENA_ARRAY(a, double, (size_t)f->node_count + 1),
                         .met = ARENA_ARRAY(a, double, (size_t)f->cell_count + 1),
                         .cells = dearest_first(a, f),
                         .shortest = wanted->rooms_bind ? shortest_first(a, f) : NULL,
                         .first_part = ARENA_ARRAY(a, int, (size_t)p->use_count + 1)};
    for (int u = 0; u < p->use_count; u++)
        x.first_part[u] = intake_first_part(p, u);
    for (int n = 0; n < f->node_count; n++)
        x.stock[n] = f->given_kg[n];
    for (int i = 0; i < p->offer_count; i++)
        x.offer_all[i] = p->offers[i].kg_in_all;
    for (int d = 0; d < p->day_count; d++) {
        comes(&x, d);
        uses(&x, d);
        sales(&x, d);
        leaves(&x, d);
        rooms(&x, d);
        evening(&x);
    }
    last_evening(&x);
    if (out) *out = x.fared;
    return x.plan;
}
