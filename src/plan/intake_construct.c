#include "plan/intake_construct.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NOTHING_KG 1e-6

/* kg nobody has taken yet. It fills no store before somebody does: then for as long as it waited.
 */
struct source {
    int node, day;
    int delivery; /* PLAN_NONE: a lot, or given by a use */
    double kg;
};

struct puller {
    const struct intake_frame *f;
    struct arena *arena;
    struct intake_plan *plan;
    struct source *sources;
    int source_count, source_room;
    double *held;  /* node * days + day: kg of the plan at the day's end */
    double *level; /* store * days + day */
    int *tanks;
    double *hours;      /* left: machine * days + day */
    double *offer_left; /* offer * days + day */
    double *offer_all;
    bool buys;
    /* good * days + day: what there was (supply_now) when a pull there found nothing to take; -1:
     * none did */
    int *dry;
};

/* Who takes what is pulled: a cell, the end, or a use that gives it on to whoever pulled that. */
struct taker {
    int cell, use, part, day; /* PLAN_NONE, PLAN_NONE: the end */
    int until_day;            /* of the use: when what it gives is wanted */
    const struct taker *next;
    double *want; /* of a cell or the end: kg still wanted */
};

static int store_of(const struct puller *x, int node)
{
    return x->f->p->goods[node / x->f->birth_count].store;
}

/* How much of a tank's day the node takes: also the evening before where tanks are cleaned. */
static double tank_fill(const struct puller *x, const struct intake_store *s, int node, int day)
{
    int days = x->f->p->day_count;
    double kg = x->held[node * days + day];
    if (day > 0 && s->cleaned_next_day) kg = fmax(kg, x->held[node * days + day - 1]);
    return kg * x->f->p->goods[node / x->f->birth_count].room_per_kg;
}

static double tank_room(const struct puller *x, int store, int node, int day)
{
    const struct intake_store *s = &x->f->p->stores[store];
    double fill = tank_fill(x, s, node, day);
    int free = s->tank_count - x->tanks[store * x->f->p->day_count + day],
        own = intake_tanks(s, fill);
    /* a hair less: tanks are counted with a tolerance of their own */
    return fmax(0, (own + (free > 0 ? free : 0)) * s->tank_size * (1 - 1e-9) - fill);
}

/* kg of the node that can stand from the evening of one day to that before another. */
static double room_kg(const struct puller *x, int node, int from, int until)
{
    const struct intake_problem *p = x->f->p;
    int store = store_of(x, node), days = p->day_count;
    if (store == PLAN_NONE || from >= until) return INFINITY;
    const struct intake_store *s = &p->stores[store];
    double room = INFINITY;
    for (int d = from; d < until; d++)
        room = fmin(room, s->limit[d] - x->level[store * days + d]);
    int tank_end = s->cleaned_next_day && until < days ? until + 1 : until;
    for (int d = from; d < tank_end && s->tank_size > 0; d++)
        room = fmin(room, tank_room(x, store, node, d));
    return fmax(0, room / p->goods[node / x->f->birth_count].room_per_kg);
}

static void count_tanks(struct puller *x, int store, int node, int from, int until, int by)
{
    const struct intake_store *s = &x->f->p->stores[store];
    int days = x->f->p->day_count;
    for (int d = from; d <= until && d < days; d++)
        x->tanks[store * days + d] += by * intake_tanks(s, tank_fill(x, s, node, d));
}

/* kg below 0: no longer. */
static void hold(struct puller *x, int node, int from, int until, double kg)
{
    const struct intake_problem *p = x->f->p;
    int store = store_of(x, node), days = p->day_count;
    bool tanks = store != PLAN_NONE && p->stores[store].tank_size > 0;
    if (tanks) count_tanks(x, store, node, from, until, -1);
    for (int d = from; d < until; d++) {
        x->held[node * days + d] += kg;
        if (store != PLAN_NONE)
            x->level[store * days + d] += kg * p->goods[node / x->f->birth_count].room_per_kg;
    }
    if (tanks) count_tanks(x, store, node, from, until, 1);
}

static void source_add(struct puller *x, struct source s)
{
    if (s.kg <= NOTHING_KG) return;
    if (x->source_count == x->source_room) {
        int room = x->source_room ? x->source_room * 2 : 256;
        struct source *more = ARENA_ARRAY(x->arena, struct source, (size_t)room);
        if (x->source_count > 0) memcpy(more, x->sources, (size_t)x->source_count * sizeof *more);
        x->sources = more;
        x->source_room = room;
    }
    x->sources[x->source_count++] = s;
}

static double hours_let(const struct puller *x, const struct intake_use *u, int day)
{
    double kg = INFINITY;
    for (int k = 0; k < u->need_count; k++)
        if (u->needs[k].hours_per_kg > 0)
            kg = fmin(kg, fmax(0, x->hours[u->needs[k].machine * x->f->p->day_count + day]) /
                              u->needs[k].hours_per_kg);
    return kg;
}

static void take_hours(struct puller *x, const struct intake_use *u, int day, double kg)
{
    for (int k = 0; k < u->need_count; k++)
        x->hours[u->needs[k].machine * x->f->p->day_count + day] -= kg * u->needs[k].hours_per_kg;
}

static double give(struct puller *x, const struct taker *t, int birth, double kg);

/* A use takes kg of a birth as far as its machines, the room of what it gives and whoever wants
 * that go; what it gives besides becomes a source. -> kg taken */
static double give_use(struct puller *x, const struct taker *t, int birth, double kg)
{
    const struct intake_frame *f = x->f;
    const struct intake_use *u = &f->p->uses[t->use];
    int node = intake_given(f, t->use, t->part, birth, t->day), days = f->p->day_count;
    if (node == PLAN_NONE || !intake_usable(f, t->use, birth, t->day)) return 0;
    int last = f->births[node % f->birth_count] + f->p->goods[node / f->birth_count].keep_days;
    if (last < t->until_day) return 0;
    double share = u->parts[t->part].share;
    kg = fmin(kg, hours_let(x, u, t->day));
    kg = fmin(kg, room_kg(x, node, t->day, t->until_day) / share);
    if (kg <= NOTHING_KG) return 0;
    take_hours(x, u, t->day, kg);
    hold(x, node, t->day, t->until_day, kg * share);
    double taken = give(x, t->next, node % f->birth_count, kg * share) / share;
    take_hours(x, u, t->day, taken - kg);
    hold(x, node, t->day, t->until_day, (taken - kg) * share);
    x->plan->use_kg[(t->use * f->birth_count + birth) * days + t->day] += taken;
    for (int k = 0; k < u->part_count; k++) {
        int besides = intake_given(f, t->use, k, birth, t->day);
        if (k != t->part && besides != PLAN_NONE)
            source_add(x, (struct source){besides, t->day, PLAN_NONE, taken * u->parts[k].share});
    }
    return taken;
}

static double give(struct puller *x, const struct taker *t, int birth, double kg)
{
    if (t->use != PLAN_NONE) return give_use(x, t, birth, kg);
    double taken = fmin(kg, *t->want);
    if (t->cell != PLAN_NONE) x->plan->sale_kg[t->cell * x->f->birth_count + birth] += taken;
    *t->want -= taken;
    return taken;
}

/* What is pulled: kg of a good born on oldest_day or later, there on a day, worth so much a kg. */
struct wish {
    int good, oldest_day, day;
    double kg, worth;
};

/* Oldest first. */
static int next_source(const struct puller *x, const struct wish *w, int after_born, int after)
{
    const struct intake_frame *f = x->f;
    int best = PLAN_NONE, best_born = 0;
    for (int i = 0; i < x->source_count; i++) {
        const struct source *s = &x->sources[i];
        int born = f->births[s->node % f->birth_count];
        if (s->node / f->birth_count != w->good || s->kg <= NOTHING_KG || s->day > w->day ||
            born < w->oldest_day || born + f->p->goods[w->good].keep_days < w->day)
            continue;
        if (born < after_born || (born == after_born && i <= after)) continue;
        if (best != PLAN_NONE && born >= best_born) continue;
        best = i;
        best_born = born;
    }
    return best;
}

static double pull_sources(struct puller *x, const struct wish *w, const struct taker *t,
                           bool *found)
{
    double got = 0;
    int born = -INTAKE_KEEP_MAX - 1, at = PLAN_NONE;
    while (w->kg - got > NOTHING_KG && (at = next_source(x, w, born, at)) != PLAN_NONE) {
        struct source s = x->sources[at];
        *found = true;
        born = x->f->births[s.node % x->f->birth_count];
        double kg = fmin(fmin(s.kg, w->kg - got), room_kg(x, s.node, s.day, w->day));
        if (kg <= NOTHING_KG) continue;
        hold(x, s.node, s.day, w->day, kg);
        double taken = give(x, t, s.node % x->f->birth_count, kg);
        hold(x, s.node, s.day, w->day, taken - kg);
        x->sources[at].kg -= taken;
        got += taken;
    }
    return got;
}

static double pull(struct puller *x, const struct wish *w, const struct taker *t, bool *found);

/* What a kg taken in is worth, if what is wanted is worth that much. */
static double worth_of_input(const struct intake_problem *p, const struct intake_use *u, int part,
                             double worth)
{
    double sum = worth * u->parts[part].share - u->cost_per_kg;
    for (int k = 0; k < u->part_count; k++)
        if (k != part) sum -= u->parts[k].share * p->goods[u->parts[k].good].out_cost_per_kg;
    return sum;
}

/* Grows whenever something new can be pulled. */
static int supply_now(const struct puller *x)
{
    return 2 * x->source_count + (x->buys ? 1 : 0);
}

static double pull_use(struct puller *x, const struct wish *w, const struct taker *t, int use,
                       int part, int day, bool *found)
{
    const struct intake_problem *p = x->f->p;
    const struct intake_use *u = &p->uses[use];
    int good = u->good, days = p->day_count, keep = p->goods[good].keep_days;
    struct taker through = {
        .cell = PLAN_NONE, .use = use, .part = part, .day = day, .until_day = w->day, .next = t};
    struct wish in = {.good = good,
                      .oldest_day = day - keep,
                      .day = day,
                      .kg = fmin(w->kg / u->parts[part].share, hours_let(x, u, day)),
                      .worth = worth_of_input(p, u, part, w->worth)};
    bool any_age = true;
    if (u->keeps_age) {
        int oldest = w->day - p->goods[w->good].keep_days;
        oldest = oldest > w->oldest_day ? oldest : w->oldest_day;
        any_age = oldest <= in.oldest_day;
        in.oldest_day = any_age ? in.oldest_day : oldest;
    } else if (day < w->oldest_day || day + p->goods[w->good].keep_days < w->day) {
        return 0;
    }
    if (in.kg <= NOTHING_KG || in.worth <= -p->goods[good].out_cost_per_kg) return 0;
    if (x->dry[good * days + day] == supply_now(x)) return 0;
    bool input = false;
    double got = pull(x, &in, &through, &input);
    if (!input && any_age) x->dry[good * days + day] = supply_now(x);
    *found = *found || input;
    return got * u->parts[part].share;
}

static double pull_uses(struct puller *x, const struct wish *w, const struct taker *t, bool *found)
{
    const struct intake_problem *p = x->f->p;
    double got = 0;
    for (int u = 0; u < p->use_count; u++)
        for (int k = 0; k < p->uses[u].part_count; k++) {
            if (p->uses[u].parts[k].good != w->good) continue;
            int day = w->day < p->day_count ? w->day : p->day_count - 1;
            for (; day >= 0 && w->kg - got > NOTHING_KG; day--) {
                struct wish rest = *w;
                rest.kg -= got;
                got += pull_use(x, &rest, t, u, k, day, found);
            }
        }
    return got;
}

static double pull_offers(struct puller *x, const struct wish *w, const struct taker *t,
                          bool *found)
{
    const struct intake_problem *p = x->f->p;
    int days = p->day_count;
    double got = 0;
    for (int i = 0; i < p->offer_count && x->buys; i++) {
        const struct intake_offer *o = &p->offers[i];
        if (o->good != w->good || o->price_per_kg >= w->worth) continue;
        int earliest = o->lead_days > w->oldest_day ? o->lead_days : w->oldest_day;
        int day = w->day < days ? w->day : days - 1;
        for (; day >= earliest && w->kg - got > NOTHING_KG; day--) {
            int node = intake_node(x->f, o->good, intake_birth(x->f, day));
            double kg = fmin(fmin(x->offer_left[i * days + day], x->offer_all[i]), w->kg - got);
            if (day + p->goods[o->good].keep_days < w->day || kg <= NOTHING_KG) continue;
            *found = true;
            kg = fmin(kg, room_kg(x, node, day, w->day));
            if (kg <= NOTHING_KG) continue;
            hold(x, node, day, w->day, kg);
            double taken = give(x, t, node % x->f->birth_count, kg);
            hold(x, node, day, w->day, taken - kg);
            x->plan->buy_kg[i * days + day] += taken;
            x->offer_left[i * days + day] -= taken;
            x->offer_all[i] -= taken;
            got += taken;
        }
    }
    return got;
}

static double pull(struct puller *x, const struct wish *w, const struct taker *t, bool *found)
{
    struct wish rest = *w;
    double got = pull_sources(x, &rest, t, found);
    rest.kg = w->kg - got;
    if (rest.kg > NOTHING_KG) got += pull_uses(x, &rest, t, found);
    rest.kg = w->kg - got;
    if (rest.kg > NOTHING_KG) got += pull_offers(x, &rest, t, found);
    return got;
}

static struct puller *puller_new(struct arena *a, const struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    size_t days = (size_t)p->day_count;
    struct puller *x = ARENA_NEW(a, struct puller);
    *x = (struct puller){.f = f, .arena = a, .plan = intake_plan_new(a, f)};
    x->held = ARENA_ARRAY(a, double, (size_t)f->node_count *days + 1);
    x->level = ARENA_ARRAY(a, double, (size_t)p->store_count *days + 1);
    x->tanks = ARENA_ARRAY(a, int, (size_t)p->store_count *days + 1);
    x->hours = ARENA_ARRAY(a, double, (size_t)p->machine_count *days + 1);
    x->offer_left = ARENA_ARRAY(a, double, (size_t)p->offer_count *days + 1);
    x->offer_all = ARENA_ARRAY(a, double, (size_t)p->offer_count + 1);
    x->dry = ARENA_ARRAY(a, int, (size_t)p->good_count *days + 1);
    for (int i = 0; i < p->good_count * p->day_count; i++)
        x->dry[i] = -1;
    for (int m = 0; m < p->machine_count; m++)
        memcpy(x->hours + (size_t)m * days, p->machines[m].hours, days * sizeof(double));
    for (int i = 0; i < p->offer_count; i++) {
        x->offer_all[i] = p->offers[i].kg_in_all;
        for (int d = 0; d < p->day_count; d++)
            x->offer_left[i * p->day_count + d] = p->offers[i].kg_a_day;
    }
    for (int n = 0; n < f->node_count; n++)
        source_add(x, (struct source){n, 0, PLAN_NONE, f->given_kg[n]});
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        source_add(
            x, (struct source){intake_node(f, d->good, intake_birth(f, d->day)), d->day, i, d->kg});
    }
    return x;
}

struct due {
    int cell, day;
    double cost;
};

static int by_due(const void *a, const void *b)
{
    const struct due *x = a, *y = b;
    if (x->day != y->day) return x->day < y->day ? -1 : 1;
    if (x->cost < y->cost || x->cost > y->cost) return x->cost < y->cost ? 1 : -1;
    return x->cell < y->cell ? -1 : 1;
}

/* What is there first, and only then what can be bought. */
static void pull_for(struct puller *x, const struct wish *w, struct taker *t)
{
    for (int buys = 0; buys < 2 && *t->want > NOTHING_KG; buys++) {
        struct wish rest = *w;
        bool found = false;
        rest.kg = *t->want;
        x->buys = buys == 1;
        pull(x, &rest, t, &found);
    }
}

static void serve_cells(struct puller *x)
{
    const struct intake_frame *f = x->f;
    struct due *order = ARENA_ARRAY(x->arena, struct due, (size_t)f->cell_count + 1);
    for (int c = 0; c < f->cell_count; c++)
        order[c] = (struct due){c, f->cells[c].day, f->cells[c].cost_per_kg};
    qsort(order, (size_t)f->cell_count, sizeof *order, by_due);
    for (int i = 0; i < f->cell_count; i++) {
        const struct intake_cell *c = &f->cells[order[i].cell];
        double want = c->kg;
        struct taker t = {.cell = order[i].cell, .use = PLAN_NONE, .want = &want};
        struct wish w = {.good = c->good,
                         .oldest_day = c->day + c->remaining_days - f->p->goods[c->good].keep_days,
                         .day = c->day,
                         .worth = c->cost_per_kg};
        if (w.oldest_day <= c->day) pull_for(x, &w, &t);
    }
}

/* Day day_count: what stands on the last evening with a day of life left. */
static void serve_end(struct puller *x)
{
    const struct intake_problem *p = x->f->p;
    for (int g = 0; g < p->good_count; g++) {
        double want = p->goods[g].end_kg_wanted;
        struct taker t = {.cell = PLAN_NONE, .use = PLAN_NONE, .want = &want};
        struct wish w = {.good = g,
                         .oldest_day = p->day_count - p->goods[g].keep_days,
                         .day = p->day_count,
                         .worth = p->goods[g].end_value_per_kg};
        if (w.worth > 0) pull_for(x, &w, &t);
    }
}

/* Kept to the end where there is room and life, and it costs no more than to let it go. */
static void settle(struct puller *x, const struct source *s)
{
    const struct intake_problem *p = x->f->p;
    const struct intake_good *g = &p->goods[s->node / x->f->birth_count];
    int days = p->day_count, from = s->day;
    bool may_turn = s->delivery != PLAN_NONE;
    double turn = may_turn ? p->deliveries[s->delivery].turn_cost_per_kg : INFINITY,
           leave = fmin(turn, g->out_cost_per_kg), left = s->kg;
    if (!intake_ends(x->f, s->node) && g->hold_cost_per_kg_day * (days - from) <= leave) {
        double kept = fmin(left, room_kg(x, s->node, from, days));
        hold(x, s->node, from, days, kept);
        left -= kept;
    }
    if (left <= 0) return;
    if (turn < g->out_cost_per_kg)
        x->plan->turn_kg[s->delivery] += left;
    else
        x->plan->out_kg[s->node * days + from] += left;
}

struct intake_plan *intake_construct(struct arena *a, const struct intake_frame *f)
{
    struct puller *x = puller_new(a, f);
    serve_cells(x);
    serve_end(x);
    for (int i = 0; i < x->source_count; i++)
        settle(x, &x->sources[i]);
    intake_let_go(a, x->plan);
    return x->plan;
}
