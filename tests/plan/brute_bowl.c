#include "brute_bowl.h"

#include <math.h>

#include "base/check.h"

enum { COLUMNS = 240, ROWS = 240, STARTS = 40, ASKS = 60 };

/* Maximise gain x; rows x <= limit with limit >= 0, x >= 0: x = 0 is a beginning. */
struct program {
    double row[ROWS][COLUMNS + ROWS + 1]; /* columns, one slack a row, limit */
    double gain[COLUMNS + ROWS + 1];
    int basic[ROWS];
    int columns, rows;
};

static int column(struct program *x, double gain)
{
    CHECK(x->columns < COLUMNS);
    x->gain[x->columns] = gain;
    return x->columns++;
}

static double *row(struct program *x, double limit)
{
    CHECK(x->rows < ROWS && limit >= 0);
    x->row[x->rows][COLUMNS + ROWS] = fmin(limit, 1e7);
    x->row[x->rows][COLUMNS + x->rows] = 1;
    x->basic[x->rows] = COLUMNS + x->rows;
    return x->row[x->rows++];
}

static void pivot(struct program *x, int at, int enters)
{
    double *by = x->row[at], over = by[enters];
    for (int c = 0; c <= COLUMNS + ROWS; c++)
        by[c] /= over;
    for (int r = -1; r < x->rows; r++) {
        double *to = r < 0 ? x->gain : x->row[r], factor = to[enters];
        if (r == at || fabs(factor) < 1e-13) continue;
        for (int c = 0; c <= COLUMNS + ROWS; c++)
            to[c] -= factor * by[c];
    }
    x->basic[at] = enters;
}

/* Bland's rule, so that it ends. -> the most gained */
static double solve(struct program *x)
{
    for (;;) {
        int enters = 0, leaves = -1;
        while (enters < COLUMNS + x->rows && !(x->gain[enters] > 1e-9))
            enters++;
        if (enters >= COLUMNS + x->rows) return -x->gain[COLUMNS + ROWS];
        double least = INFINITY;
        for (int r = 0; r < x->rows; r++) {
            if (!(x->row[r][enters] > 1e-9)) continue;
            double ratio = x->row[r][COLUMNS + ROWS] / x->row[r][enters];
            if (ratio < least - 1e-12 || (ratio <= least + 1e-12 && x->basic[r] < x->basic[leaves]))
                leaves = r;
            least = fmin(least, ratio);
        }
        CHECK(leaves >= 0);
        pivot(x, leaves, enters);
    }
}

struct bowls {
    const struct plan_problem *p;
    struct start {
        int crop, day, count;
    } starts[STARTS];
    int start_count, tried;
    /* a line on each day on which it may leave */
    struct ask {
        const struct plan_line *line;
        int day;
    } asks[ASKS];
    int ask_count;
    double best;
    struct program *program;
    int *goods; /* column by (crop * days + harvest day) * asks + ask; PLAN_NONE */
    int *packs; /* column by stock * asks + ask; PLAN_NONE */
};

static double own_kg(const struct plan_product *x)
{
    return x->crop_kg > 0 ? x->crop_kg : x->net_kg;
}

/* Of the other crop in a piece. */
static double with_kg(const struct plan_product *x)
{
    return x->with_count > 0 ? x->with[0].kg : 0;
}

static double yield_of(const struct plan_problem *p, int crop)
{
    return p->crops[crop].ways[0].packed_kg_per_seed_kg * p->seed_lots[crop].yield_factor;
}

/* What the line takes of the other crop in place of what it orders; NULL: nothing. */
static const struct plan_swap *swap_of(const struct plan_problem *p, const struct plan_line *line)
{
    const struct plan_swap *found = NULL;
    for (int i = 0; i < p->swap_count; i++) {
        const struct plan_swap *x = &p->swaps[i];
        if (x->from_product != line->product || (x->groups && !x->groups[line->group])) continue;
        CHECK(!found && p->products[x->to_product].crop != p->products[line->product].crop);
        found = x;
    }
    return found;
}

/* As what the crop's goods go to the line; PLAN_NONE: not at all. */
static int goes_as(const struct plan_problem *p, const struct plan_line *line, int crop)
{
    const struct plan_product *x = &p->products[line->product];
    const struct plan_swap *swap = swap_of(p, line);
    if (x->crop == crop || with_kg(x) > 0) return line->product;
    return swap && p->products[swap->to_product].crop == crop ? swap->to_product : PLAN_NONE;
}

static bool is_fresh(const struct plan_problem *p, const struct ask *ask, int product,
                     int harvest_day)
{
    return product != PLAN_NONE && harvest_day <= ask->day &&
           harvest_day + p->products[product].life_days - ask->day >=
               p->groups[ask->line->group].remaining_days;
}

/* Kg of what is wanted that a kg of the product stands for: a piece for a piece. */
static double stands_for(const struct plan_problem *p, const struct plan_line *line, int product)
{
    return product == line->product
               ? 1
               : p->products[line->product].net_kg / p->products[product].net_kg;
}

/* A kg of the crop given to the line is no waste; of its own crop or in its place it also is none
 * short, but may be late. */
static double gain_of(const struct plan_problem *p, const struct ask *ask, int crop,
                      int harvest_day)
{
    const struct plan_line *line = ask->line;
    const struct plan_crop *x = &p->crops[crop];
    int product = goes_as(p, line, crop);
    double gain = x->waste_cost_per_kg - x->hold_cost_per_kg_day * (ask->day - harvest_day);
    double late = p->groups[line->group].late_cost_per_kg_day * (ask->day - line->day);
    if (product != line->product) gain -= swap_of(p, line)->cost_per_kg;
    return p->products[product].crop == crop
               ? gain + (line->shortage_cost_per_kg - late) * stands_for(p, line, product)
               : gain;
}

static void goods_columns(struct bowls *b)
{
    const struct plan_problem *p = b->p;
    for (int k = 0; k < 2; k++)
        for (int d = 0; d < p->day_count; d++)
            for (int i = 0; i < b->ask_count; i++) {
                const struct ask *ask = &b->asks[i];
                bool goes = is_fresh(p, ask, goes_as(p, ask->line, k), d);
                b->goods[(k * p->day_count + d) * b->ask_count + i] =
                    goes ? column(b->program, gain_of(p, ask, k, d)) : PLAN_NONE;
            }
    for (int s = 0; s < p->stock_count; s++)
        for (int i = 0; i < b->ask_count; i++) {
            const struct ask *ask = &b->asks[i];
            const struct plan_stock *x = &p->stock[s];
            bool goes = goes_as(p, ask->line, x->crop) == x->product &&
                        is_fresh(p, ask, x->product, x->harvest_day);
            b->packs[s * b->ask_count + i] =
                goes ? column(b->program, gain_of(p, ask, x->crop, x->harvest_day)) : PLAN_NONE;
        }
}

/* What grows on each day, and more of it for more seed. -> cost of all of that wasted */
static double goods_rows(struct bowls *b)
{
    const struct plan_problem *p = b->p;
    double cost = 0;
    for (int k = 0; k < 2; k++)
        for (int d = 0; d < p->day_count; d++) {
            double *all = row(b->program, 0);
            double *limit = &all[COLUMNS + ROWS], seed_cost = p->seed_lots[k].cost_per_kg;
            for (int i = 0; i < b->ask_count; i++) {
                int c = b->goods[(k * p->day_count + d) * b->ask_count + i];
                if (c != PLAN_NONE) all[c] = 1;
            }
            for (int s = 0; s < b->start_count; s++) {
                const struct start *x = &b->starts[s];
                const struct plan_fill *fill = &p->crops[k].fills[0];
                if (x->crop != k || x->day + p->crops[k].ways[0].grow_days != d || x->count == 0)
                    continue;
                double least_kg = fill->seed_min_kg * x->count,
                       waste = p->crops[k].waste_cost_per_kg;
                int more = column(b->program, -seed_cost - yield_of(p, k) * waste);
                row(b->program, (fill->seed_max_kg - fill->seed_min_kg) * x->count)[more] = 1;
                all[more] = -yield_of(p, k);
                *limit += least_kg * yield_of(p, k);
                cost += least_kg * (seed_cost + yield_of(p, k) * waste);
            }
        }
    for (int s = 0; s < p->stock_count; s++) {
        double *all = row(b->program, p->stock[s].kg);
        for (int i = 0; i < b->ask_count; i++)
            if (b->packs[s * b->ask_count + i] != PLAN_NONE)
                all[b->packs[s * b->ask_count + i]] = 1;
        cost += p->stock[s].kg * p->crops[p->stock[s].crop].waste_cost_per_kg;
    }
    return cost;
}

/* The other crop in a dish by each day, and in all. */
static void bowl_rows(struct bowls *b, int ask)
{
    const struct plan_problem *p = b->p;
    const struct plan_product *x = &p->products[b->asks[ask].line->product];
    double each = with_kg(x) / own_kg(x);
    for (int until = 0; until <= p->day_count; until++) {
        double *all = row(b->program, 0);
        bool whole = until == p->day_count; /* no more of it than is packed */
        for (int d = 0; d < p->day_count && (whole || d <= until); d++) {
            int own = b->goods[(x->crop * p->day_count + d) * b->ask_count + ask];
            int with = b->goods[(x->with[0].crop * p->day_count + d) * b->ask_count + ask];
            if (own != PLAN_NONE) all[own] = whole ? -each : each;
            if (with != PLAN_NONE) all[with] = whole ? 1 : -1;
        }
    }
}

/* What serves the ask counts in the row of its line. */
static void wanted_terms(struct bowls *b, int ask, double *all)
{
    const struct plan_problem *p = b->p;
    const struct plan_line *line = b->asks[ask].line;
    for (int k = 0; k < 2; k++)
        for (int d = 0; d < p->day_count; d++) {
            int c = b->goods[(k * p->day_count + d) * b->ask_count + ask];
            int product = goes_as(p, line, k);
            if (c != PLAN_NONE && p->products[product].crop == k)
                all[c] = stands_for(p, line, product);
        }
    for (int s = 0; s < p->stock_count; s++)
        if (b->packs[s * b->ask_count + ask] != PLAN_NONE)
            all[b->packs[s * b->ask_count + ask]] = stands_for(p, line, p->stock[s].product);
}

/* -> cost of all of it short */
static double wanted_rows(struct bowls *b)
{
    const struct plan_problem *p = b->p;
    double cost = 0;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_product *x = &p->products[p->lines[i].product];
        double kg = (double)p->lines[i].pieces * own_kg(x), *all = row(b->program, kg);
        cost += kg * p->lines[i].shortage_cost_per_kg;
        for (int k = 0; k < b->ask_count; k++) {
            if (b->asks[k].line != &p->lines[i]) continue;
            wanted_terms(b, k, all);
            if (with_kg(x) > 0) bowl_rows(b, k);
        }
    }
    return cost;
}

static void day_rows(struct bowls *b)
{
    const struct plan_problem *p = b->p;
    for (int d = 0; d < p->day_count; d++) {
        double *pack = row(b->program, p->days[d].pack_kg);
        double *wash = row(b->program, p->days[d].wash_bed_kg);
        for (int k = 0; k < 2; k++)
            for (int i = 0; i < b->ask_count; i++) {
                int c = b->goods[(k * p->day_count + d) * b->ask_count + i];
                if (c == PLAN_NONE) continue;
                const struct plan_product *x = &p->products[goes_as(p, b->asks[i].line, k)];
                wash[c] = p->crops[k].bed_kg_per_packed_kg;
                if (x->crop == k) pack[c] = x->net_kg / own_kg(x);
            }
    }
}

static bool holds(const struct bowls *b)
{
    const struct plan_problem *p = b->p;
    for (int d = 0; d < p->day_count; d++) {
        int starts = 0, harvests = 0, busy = 0;
        for (int i = 0; i < b->start_count; i++) {
            const struct start *s = &b->starts[i];
            int harvest = s->day + p->crops[s->crop].ways[0].grow_days;
            starts += s->day == d ? s->count : 0;
            harvests += harvest == d ? s->count : 0;
            busy += s->day <= d && d < harvest + p->cleaning_days ? s->count : 0;
        }
        if (starts > p->days[d].starts_max || harvests > p->days[d].harvests_max ||
            busy > p->chamber_count)
            return false;
    }
    return true;
}

static void try_all(struct bowls *b, int from)
{
    if (!holds(b)) return;
    if (from < b->start_count) {
        for (int count = 0; count <= b->p->chamber_count; count++) {
            b->starts[from].count = count;
            try_all(b, from + 1);
        }
        b->starts[from].count = 0;
        return;
    }
    *b->program = (struct program){.columns = 0};
    goods_columns(b);
    double cost = goods_rows(b) + wanted_rows(b);
    day_rows(b);
    for (int i = 0; i < b->start_count; i++)
        cost += b->starts[i].count * b->p->crops[b->starts[i].crop].start_cost;
    b->best = fmin(b->best, cost - solve(b->program));
    b->tried++;
}

static void list_asks(struct bowls *b)
{
    const struct plan_problem *p = b->p;
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *line = &p->lines[i];
        int last_day = line->day + p->groups[line->group].late_days;
        for (int d = line->day; d <= last_day && d < p->day_count; d++) {
            if (p->is_shut && p->is_shut[d]) continue;
            CHECK(b->ask_count < ASKS);
            b->asks[b->ask_count++] = (struct ask){line, d};
        }
    }
}

double brute_bowl_cost(struct arena *a, const struct plan_problem *p, int *out_tried)
{
    CHECK(p->crop_count == 2 && p->class_count == 1 && p->market_count == 1);
    CHECK(p->seed_lot_count == 2 && p->running_count == 0 && p->taken_count == 0);
    struct bowls *b = ARENA_NEW(a, struct bowls);
    *b = (struct bowls){.p = p, .best = INFINITY, .program = ARENA_NEW(a, struct program)};
    list_asks(b);
    b->goods = ARENA_ARRAY(a, int, (size_t)(2 * p->day_count * b->ask_count) + 1);
    b->packs = ARENA_ARRAY(a, int, (size_t)(p->stock_count * b->ask_count) + 1);
    for (int k = 0; k < 2; k++)
        for (int d = 0; d + p->crops[k].ways[0].grow_days < p->day_count; d++) {
            CHECK(b->start_count < STARTS);
            b->starts[b->start_count++] = (struct start){k, d, 0};
        }
    try_all(b, 0);
    *out_tried = b->tried;
    return b->best;
}
