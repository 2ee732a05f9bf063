#include "plan/intake_explain.h"

#include <math.h>
#include <string.h>
#include <time.h>

#include "base/check.h"
#include "plan/intake_construct.h"
#include "plan/intake_model.h"

/* Enough of anything; a number the solver still reckons well with. */
#define PLENTY 1e7
#define TELLS_KG 1e-3
/* So much dearer is a line made that is asked whether it could be met at any price. */
#define AT_ANY_PRICE 1e4
#define FRUIT_STEP_KG 100.0
#define STORE_STEP 100.0
#define HOUR_STEP 1.0
#define TELLS_COST 1e-6
#define PLANNED_S 10.0

/* What a way of planning makes of a problem: by cell of the plan's frame, which depends on lines
 * only. */
struct verdict {
    double cost, *short_kg, sum_kg;
};

struct asking {
    struct arena *arena;
    const struct intake_plan *plan;
    const struct intake_problem *p;
    const struct intake_explain *how;
    bool by_solver, is_broken; /* is_broken: the solver failed or the time is over */
    struct verdict base;
    uint64_t candidates;
    struct verdict without[INTAKE_LIMITS_MAX];
};

const char *intake_limit_id(enum intake_limit limit)
{
    static const char *const ids[] = {"fruit", "store", "machine", "life", "worth", "whole"};
    return ids[limit];
}

int intake_bar_bit(const struct intake_problem *p, struct intake_bar bar)
{
    CHECK(bar.limit <= INTAKE_MACHINE);
    return bar.index + (bar.limit == INTAKE_FRUIT   ? 0
                        : bar.limit == INTAKE_STORE ? p->good_count
                                                    : p->good_count + p->store_count);
}

struct intake_bar intake_bar_of_bit(const struct intake_problem *p, int bit)
{
    if (bit < p->good_count) return (struct intake_bar){INTAKE_FRUIT, bit};
    bit -= p->good_count;
    if (bit < p->store_count) return (struct intake_bar){INTAKE_STORE, bit};
    return (struct intake_bar){INTAKE_MACHINE, bit - p->store_count};
}

/* Problems that differ by a limit */

static double *raised(struct arena *a, const double *limit, int day_count, double by)
{
    double *out = ARENA_ARRAY(a, double, (size_t)day_count);
    for (int d = 0; d < day_count; d++)
        out[d] = limit[d] + by;
    return out;
}

static double least_price(const struct intake_problem *p, int good)
{
    double price = INFINITY;
    for (int i = 0; i < p->offer_count; i++)
        if (p->offers[i].good == good) price = fmin(price, p->offers[i].price_per_kg);
    return isfinite(price) ? price : 0;
}

static void more_fruit(struct arena *a, struct intake_problem *p, int good, double kg)
{
    int count = p->offer_count;
    struct intake_offer *offers = ARENA_ARRAY(a, struct intake_offer, (size_t)count + 1);
    if (count > 0) memcpy(offers, p->offers, (size_t)count * sizeof *offers);
    offers[count] = (struct intake_offer){.code = "more",
                                          .good = good,
                                          .kg_a_day = kg,
                                          .kg_in_all = kg,
                                          .price_per_kg = least_price(p, good)};
    p->offers = offers;
    p->offer_count = count + 1;
}

static void more_room(struct arena *a, struct intake_problem *p, int store, double by)
{
    struct intake_store *stores = ARENA_ARRAY(a, struct intake_store, (size_t)p->store_count);
    memcpy(stores, p->stores, (size_t)p->store_count * sizeof *stores);
    struct intake_store *s = &stores[store];
    s->limit = raised(a, s->limit, p->day_count, by);
    if (s->tank_size > 0) s->tank_count += (int)fmin(1e6, ceil(by / s->tank_size));
    p->stores = stores;
}

/* By plenty also on its days of rest, which may be what makes a line short; by a step only on the
 * days it works. */
static void more_hours(struct arena *a, struct intake_problem *p, int machine, double by)
{
    struct intake_machine *machines =
        ARENA_ARRAY(a, struct intake_machine, (size_t)p->machine_count);
    memcpy(machines, p->machines, (size_t)p->machine_count * sizeof *machines);
    const double *was = machines[machine].hours;
    double *hours = raised(a, was, p->day_count, by);
    for (int d = 0; d < p->day_count && by < PLENTY; d++)
        if (was[d] <= 0) hours[d] = was[d];
    machines[machine].hours = hours;
    p->machines = machines;
}

static void more_of(struct arena *a, struct intake_problem *p, int bit, double by)
{
    struct intake_bar bar = intake_bar_of_bit(p, bit);
    if (bar.limit == INTAKE_FRUIT)
        more_fruit(a, p, bar.index, by);
    else if (bar.limit == INTAKE_STORE)
        more_room(a, p, bar.index, by);
    else
        more_hours(a, p, bar.index, by);
}

static struct intake_problem without(struct arena *a, const struct intake_problem *p, uint64_t bits)
{
    struct intake_problem out = *p;
    for (int b = 0; b < INTAKE_LIMITS_MAX; b++)
        if (bits >> b & 1) more_of(a, &out, b, PLENTY);
    return out;
}

/* Verdicts */

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* The relaxed program: tanks that hold parts. */
static const struct intake_plan *solve(struct asking *q, struct arena *a,
                                       const struct intake_frame *f)
{
    struct intake_plan *plan = NULL;
    struct solver_options o = *q->how->solver;
    struct solver_answer answer;
    o.seconds = fmin(PLANNED_S, q->how->until_s - now_s());
    if (o.seconds < 0.05) return NULL;
    struct intake_model *m = intake_model_make(a, f, false);
    struct result r = solver_run(a, &o, lp_text(a, m->lp), m->lp->column_count, &answer);
    if (r.code != CODE_OK || answer.status != SOLVER_SOLVED) return NULL;
    r = intake_model_read(a, m, answer.values, &plan);
    return r.code == CODE_OK ? plan : NULL;
}

static struct verdict judge(struct asking *q, const struct intake_problem *p)
{
    int cells = q->plan->f->cell_count;
    struct verdict v = {.short_kg = ARENA_ARRAY(q->arena, double, (size_t)cells + 1)};
    if (q->is_broken) return v;
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    const struct intake_frame *f = intake_frame_make(&scratch, p);
    const struct intake_plan *plan =
        q->by_solver ? solve(q, &scratch, f) : intake_construct(&scratch, f);
    q->is_broken = plan == NULL;
    if (plan) {
        const double *met = intake_met_kg(&scratch, plan);
        v.cost = intake_cost(&scratch, plan);
        for (int c = 0; c < cells; c++) {
            v.short_kg[c] = fmax(0, f->cells[c].kg - met[c]);
            v.sum_kg += v.short_kg[c];
        }
    }
    arena_release(&scratch);
    return v;
}

static bool is_full(double used, double limit)
{
    return isfinite(limit) && used >= limit * (1 - 1e-4) - 1e-6;
}

/* Fruit that comes from outside, and every store and machine that is full on some day. */
static uint64_t find_candidates(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_problem *p = plan->f->p;
    int days = p->day_count;
    uint64_t bits = 0;
    int *tanks = ARENA_ARRAY(a, int, (size_t)(p->store_count * days) + 1);
    const double *level = intake_levels(a, plan, intake_stock(a, plan), tanks),
                 *hours = intake_hours(a, plan);
    for (int g = 0; g < p->good_count; g++) {
        bool made = false;
        for (int u = 0; u < p->use_count; u++)
            for (int k = 0; k < p->uses[u].part_count; k++)
                made |= p->uses[u].parts[k].good == g;
        for (int i = 0; i < p->offer_count; i++)
            made &= p->offers[i].good != g;
        if (!made) bits |= UINT64_C(1) << g;
    }
    for (int i = 0; i < p->store_count * days; i++) {
        const struct intake_store *s = &p->stores[i / days];
        if (is_full(level[i], s->limit[i % days]) ||
            (s->tank_size > 0 && tanks[i] >= s->tank_count))
            bits |= UINT64_C(1) << (p->good_count + i / days);
    }
    for (int i = 0; i < p->machine_count * days; i++)
        if (is_full(hours[i], p->machines[i / days].hours[i % days]))
            bits |= UINT64_C(1) << (p->good_count + p->store_count + i / days);
    return bits;
}

static bool cheaper(const struct verdict *than, const struct verdict *v)
{
    return v->cost < than->cost - TELLS_COST * fmax(1, fabs(than->cost));
}

/* By how much more a cell gets without the limit. */
static double relief(const struct asking *q, int bit, int cell)
{
    if (!(q->candidates >> bit & 1) || !cheaper(&q->base, &q->without[bit])) return 0;
    return q->base.short_kg[cell] - q->without[bit].short_kg[cell];
}

/* Limits that can't be given back without the cells being short again, when all are lifted. */
static uint64_t least_set(struct asking *q, const bool *open)
{
    uint64_t lifted = q->candidates;
    int cells = q->plan->f->cell_count;
    struct intake_problem p = without(q->arena, q->p, lifted);
    struct verdict all = judge(q, &p);
    for (int b = 0; b < INTAKE_LIMITS_MAX; b++) {
        if (!(lifted >> b & 1)) continue;
        p = without(q->arena, q->p, lifted & ~(UINT64_C(1) << b));
        struct verdict v = judge(q, &p);
        double worse = 0;
        for (int c = 0; c < cells; c++)
            if (open[c]) worse += v.short_kg[c] - all.short_kg[c];
        if (worse <= TELLS_KG) lifted &= ~(UINT64_C(1) << b);
    }
    return lifted;
}

/* Why a cell is short though no one limit alone helps. */
static void rest(struct asking *q, const bool *open, struct intake_bar *bars, uint64_t *also)
{
    const struct intake_frame *f = q->plan->f;
    struct intake_problem lifted = without(q->arena, q->p, q->candidates), dear = lifted;
    struct verdict all = judge(q, &lifted);
    struct plan_line *lines = ARENA_ARRAY(q->arena, struct plan_line, (size_t)q->p->line_count + 1);
    for (int i = 0; i < q->p->line_count; i++) {
        lines[i] = q->p->lines[i];
        lines[i].shortage_cost_per_kg = (lines[i].shortage_cost_per_kg + 1) * AT_ANY_PRICE;
    }
    dear.lines = lines;
    struct verdict any_price = judge(q, &dear);
    uint64_t set = 0;
    for (int c = 0; c < f->cell_count && set == 0; c++)
        if (open[c] && all.short_kg[c] < q->base.short_kg[c] - TELLS_KG) set = least_set(q, open);
    for (int c = 0; c < f->cell_count; c++) {
        if (!open[c]) continue;
        if (q->base.short_kg[c] <= TELLS_KG) {
            bars[c].limit = INTAKE_WHOLE;
        } else if (set != 0 && all.short_kg[c] < q->base.short_kg[c] - TELLS_KG) {
            int first = 0;
            while (!(set >> first & 1))
                first++;
            bars[c] = intake_bar_of_bit(q->p, first);
            also[c] = set & ~(UINT64_C(1) << first);
        } else {
            bars[c].limit =
                any_price.short_kg[c] < q->base.short_kg[c] - TELLS_KG ? INTAKE_WORTH : INTAKE_LIFE;
        }
    }
}

static void find_bars(struct asking *q, bool *open, struct intake_bar *bars, uint64_t *also)
{
    const struct intake_frame *f = q->plan->f;
    bool any = false;
    q->base = judge(q, q->p);
    for (int b = 0; b < INTAKE_LIMITS_MAX; b++)
        if (q->candidates >> b & 1) {
            struct intake_problem p = without(q->arena, q->p, UINT64_C(1) << b);
            q->without[b] = judge(q, &p);
        }
    for (int c = 0; c < f->cell_count; c++) {
        double most = TELLS_KG;
        int best = PLAN_NONE;
        if (!open[c]) continue;
        /* of equals a machine or store: fruit that came on the very day would need no room, too */
        for (int b = INTAKE_LIMITS_MAX - 1; b >= 0; b--)
            if (relief(q, b, c) > most) {
                most = relief(q, b, c) + TELLS_KG;
                best = b;
            }
        for (int b = 0; b < INTAKE_LIMITS_MAX; b++)
            if (b != best && relief(q, b, c) > TELLS_KG) also[c] |= UINT64_C(1) << b;
        if (best != PLAN_NONE) bars[c] = intake_bar_of_bit(q->p, best);
        open[c] = best == PLAN_NONE;
        any |= open[c];
    }
    if (any) rest(q, open, bars, also);
}

static double step_of(const struct intake_problem *p, struct intake_bar bar)
{
    if (bar.limit == INTAKE_FRUIT) return FRUIT_STEP_KG;
    if (bar.limit == INTAKE_MACHINE) return HOUR_STEP;
    return p->stores[bar.index].tank_size > 0 ? p->stores[bar.index].tank_size : STORE_STEP;
}

static int find_gains(struct asking *q, uint64_t named, struct intake_gain *gains)
{
    int count = 0;
    for (int b = 0; b < INTAKE_LIMITS_MAX; b++) {
        if (!(named >> b & 1)) continue;
        struct intake_problem p = *q->p;
        struct intake_bar bar = intake_bar_of_bit(q->p, b);
        double step = step_of(q->p, bar);
        more_of(q->arena, &p, b, step);
        struct verdict v = judge(q, &p);
        gains[count++] = (struct intake_gain){.bar = bar,
                                              .step = step,
                                              .saved_cost = fmax(0, q->base.cost - v.cost),
                                              .met_kg = q->base.sum_kg - v.sum_kg};
    }
    return count;
}

static int list_shorts(const struct asking *q, const int64_t *met, struct intake_short *list,
                       const struct intake_bar *bars, const uint64_t *also, uint64_t *named)
{
    int count = 0;
    for (int i = 0; i < q->p->line_count; i++) {
        int c = q->plan->f->cell_of_line[i];
        if (met[i] >= q->p->lines[i].pieces) continue;
        list[count++] = (struct intake_short){i, q->p->lines[i].pieces - met[i], bars[c], also[c]};
        *named |= also[c];
        if (bars[c].limit <= INTAKE_MACHINE) *named |= UINT64_C(1) << intake_bar_bit(q->p, bars[c]);
    }
    return count;
}

int intake_shorts(struct arena *a, const struct intake_plan *plan, const int64_t *met_pieces,
                  const struct intake_explain *how, struct intake_short **out,
                  struct intake_gain **out_gains, int *out_gain_count)
{
    const struct intake_problem *p = plan->f->p;
    size_t cells = (size_t)plan->f->cell_count + 1;
    int count = 0;
    *out = ARENA_ARRAY(a, struct intake_short, (size_t)p->line_count + 1);
    *out_gains = ARENA_ARRAY(a, struct intake_gain, INTAKE_LIMITS_MAX);
    *out_gain_count = 0;
    for (int turn = how->solver ? 0 : 1; turn < 2; turn++) {
        struct asking q = {.arena = a, .plan = plan, .p = p, .how = how, .by_solver = turn == 0};
        struct intake_bar *bars = ARENA_ARRAY(a, struct intake_bar, cells);
        uint64_t *also = ARENA_ARRAY(a, uint64_t, cells), named = 0;
        bool *open = ARENA_ARRAY(a, bool, cells), any = false;
        for (int i = 0; i < p->line_count; i++)
            if (met_pieces[i] < p->lines[i].pieces) open[plan->f->cell_of_line[i]] = any = true;
        if (!any) return 0;
        q.candidates = find_candidates(a, plan);
        find_bars(&q, open, bars, also);
        count = list_shorts(&q, met_pieces, *out, bars, also, &named);
        *out_gain_count = find_gains(&q, named, *out_gains);
        if (!q.is_broken) break;
    }
    return count;
}
