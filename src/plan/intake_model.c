#include "plan/intake_model.h"

#include <math.h>
#include <stdio.h>

/* The solver meets rows to 1e-7 of their scale; wider breaches are no rounding. */
static const double ROW_BREACH_MAX = 1e-5, PLAN_BREACH_MAX = 1e-3;

static int *columns_new(struct arena *a, int count)
{
    int *list = ARENA_ARRAY(a, int, (size_t)count + 1);
    for (int i = 0; i < count; i++)
        list[i] = PLAN_NONE;
    return list;
}

/* What a use gives that is too old already leaves at a cost. */
static double use_cost(const struct intake_frame *f, int use, int birth, int day)
{
    const struct intake_use *u = &f->p->uses[use];
    double cost = u->cost_per_kg;
    for (int k = 0; k < u->part_count; k++)
        if (intake_given(f, use, k, birth, day) == PLAN_NONE)
            cost += u->parts[k].share * f->p->goods[u->parts[k].good].out_cost_per_kg;
    return cost;
}

static void make_uses(struct arena *a, struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    int days = f->p->day_count, births = f->birth_count;
    m->use = columns_new(a, f->p->use_count * births * days);
    for (int u = 0; u < f->p->use_count; u++)
        for (int b = 0; b < births; b++)
            for (int d = 0; d < days; d++)
                if (intake_usable(f, u, b, d))
                    m->use[(u * births + b) * days + d] =
                        lp_column(m->lp, 'u', use_cost(f, u, b, d), 0, INFINITY, false);
}

static void make_fruit(struct arena *a, struct intake_model *m)
{
    const struct intake_problem *p = m->f->p;
    int days = p->day_count;
    m->buy = columns_new(a, p->offer_count * days);
    m->turn = columns_new(a, p->delivery_count);
    for (int i = 0; i < p->offer_count; i++) {
        const struct intake_offer *o = &p->offers[i];
        lp_row_begin(m->lp);
        for (int d = o->lead_days; d < days; d++) {
            int c = lp_column(m->lp, 'b', o->price_per_kg, 0, o->kg_a_day, false);
            m->buy[i * days + d] = c;
            if (isfinite(o->kg_in_all)) lp_term(m->lp, c, 1);
        }
        lp_row_end(m->lp, '<', isfinite(o->kg_in_all) ? o->kg_in_all : 0);
    }
    for (int i = 0; i < p->delivery_count; i++)
        m->turn[i] =
            lp_column(m->lp, 't', p->deliveries[i].turn_cost_per_kg, 0, p->deliveries[i].kg, false);
}

static void make_stock(struct arena *a, struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    int days = f->p->day_count;
    m->stock = columns_new(a, f->node_count * days);
    m->out = columns_new(a, f->node_count * days);
    for (int n = 0; n < f->node_count; n++) {
        const struct intake_good *g = &f->p->goods[n / f->birth_count];
        if (!f->can_be[n]) continue;
        for (int d = f->first_day[n]; d <= f->last_day[n]; d++) {
            m->out[n * days + d] = lp_column(m->lp, 'o', g->out_cost_per_kg, 0, INFINITY, false);
            if (d == f->last_day[n] && intake_ends(f, n)) continue;
            m->stock[n * days + d] =
                lp_column(m->lp, 's', g->hold_cost_per_kg_day, 0, INFINITY, false);
        }
    }
}

static void make_sales(struct arena *a, struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    m->sale = columns_new(a, f->cell_count * f->birth_count);
    for (int c = 0; c < f->cell_count; c++) {
        int z = lp_column(m->lp, 'z', f->cells[c].cost_per_kg, 0, INFINITY, false);
        lp_row_begin(m->lp);
        lp_term(m->lp, z, 1);
        for (int b = 0; b < f->birth_count; b++) {
            if (!intake_serves(f, intake_node(f, f->cells[c].good, b), c)) continue;
            int x = lp_column(m->lp, 'x', 0, 0, INFINITY, false);
            m->sale[c * f->birth_count + b] = x;
            lp_term(m->lp, x, 1);
        }
        lp_row_end(m->lp, '=', f->cells[c].kg);
    }
}

/* Terms of every node's balance, gathered before rows are written: a row is closed before the next
 * begins. */
struct ledger {
    struct lp_term *terms;
    int *rows; /* of each term: node * days + day */
    int count, room;
};

static void enter(struct ledger *l, int row, int column, double value)
{
    if (column == PLAN_NONE || row == PLAN_NONE) return;
    l->rows[l->count] = row;
    l->terms[l->count++] = (struct lp_term){column, value};
}

static void enter_uses(const struct intake_model *m, struct ledger *l)
{
    const struct intake_frame *f = m->f;
    int days = f->p->day_count;
    for (int u = 0; u < f->p->use_count; u++)
        for (int b = 0; b < f->birth_count; b++)
            for (int d = 0; d < days; d++) {
                int column = m->use[(u * f->birth_count + b) * days + d];
                const struct intake_use *use = &f->p->uses[u];
                if (column == PLAN_NONE) continue;
                enter(l, intake_node(f, use->good, b) * days + d, column, 1);
                for (int k = 0; k < use->part_count; k++) {
                    int node = intake_given(f, u, k, b, d);
                    if (node != PLAN_NONE) enter(l, node * days + d, column, -use->parts[k].share);
                }
            }
}

static void enter_all(const struct intake_model *m, struct ledger *l, double *given)
{
    const struct intake_frame *f = m->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    for (int i = 0; i < f->node_count * days; i++) {
        enter(l, i, m->stock[i], 1);
        enter(l, i, m->out[i], 1);
        if (i % days > 0) enter(l, i, m->stock[i - 1], -1);
    }
    for (int n = 0; n < f->node_count; n++)
        given[n * days] += f->given_kg[n];
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        int row = intake_node(f, d->good, intake_birth(f, d->day)) * days + d->day;
        given[row] += d->kg;
        enter(l, row, m->turn[i], 1);
    }
    for (int i = 0; i < p->offer_count * days; i++)
        enter(l,
              intake_node(f, p->offers[i / days].good, intake_birth(f, i % days)) * days + i % days,
              m->buy[i], -1);
    enter_uses(m, l);
    for (int i = 0; i < f->cell_count * f->birth_count; i++) {
        const struct intake_cell *c = &f->cells[i / f->birth_count];
        enter(l, intake_node(f, c->good, i % f->birth_count) * days + c->day, m->sale[i], 1);
    }
}

static void balance(struct arena *a, struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count, rows = f->node_count * days, parts = 1;
    for (int u = 0; u < p->use_count; u++)
        parts += (1 + p->uses[u].part_count) * f->birth_count * days;
    struct ledger l = {0};
    l.room = parts + 3 * rows + p->delivery_count + p->offer_count * days +
             f->cell_count * f->birth_count;
    l.terms = ARENA_ARRAY(a, struct lp_term, (size_t)l.room);
    l.rows = ARENA_ARRAY(a, int, (size_t)l.room);
    double *given = ARENA_ARRAY(a, double, (size_t)rows + 1);
    enter_all(m, &l, given);
    /* by row: count, then place */
    int *start = ARENA_ARRAY(a, int, (size_t)rows + 2),
        *order = ARENA_ARRAY(a, int, (size_t)l.room);
    for (int i = 0; i < l.count; i++)
        start[l.rows[i] + 1]++;
    for (int r = 0; r < rows; r++)
        start[r + 1] += start[r];
    int *at = ARENA_ARRAY(a, int, (size_t)rows + 1);
    for (int i = 0; i < l.count; i++)
        order[start[l.rows[i]] + at[l.rows[i]]++] = i;
    for (int r = 0; r < rows; r++) {
        lp_row_begin(m->lp);
        for (int i = start[r]; i < start[r + 1]; i++)
            lp_term(m->lp, l.terms[order[i]].column, l.terms[order[i]].value);
        lp_row_end(m->lp, '=', given[r]);
    }
}

static void machines(struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    for (int i = 0; i < p->machine_count; i++)
        for (int d = 0; d < days; d++) {
            if (isinf(p->machines[i].hours[d])) continue;
            lp_row_begin(m->lp);
            for (int u = 0; u < p->use_count; u++) {
                double hours = 0;
                for (int k = 0; k < p->uses[u].need_count; k++)
                    if (p->uses[u].needs[k].machine == i) hours += p->uses[u].needs[k].hours_per_kg;
                for (int b = 0; b < f->birth_count && hours > 0; b++) {
                    int column = m->use[(u * f->birth_count + b) * days + d];
                    if (column != PLAN_NONE) lp_term(m->lp, column, hours);
                }
            }
            lp_row_end(m->lp, '<', p->machines[i].hours[d]);
        }
}

static void stores(struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    for (int s = 0; s < p->store_count; s++)
        for (int d = 0; d < days; d++) {
            if (isinf(p->stores[s].limit[d])) continue;
            lp_row_begin(m->lp);
            for (int n = 0; n < f->node_count; n++) {
                const struct intake_good *g = &p->goods[n / f->birth_count];
                if (g->store == s && m->stock[n * days + d] != PLAN_NONE)
                    lp_term(m->lp, m->stock[n * days + d], g->room_per_kg);
            }
            lp_row_end(m->lp, '<', p->stores[s].limit[d]);
        }
}

/* One node's tanks on a day. -> their column */
static int tank_column(struct intake_model *m, int store, int node, int day, bool is_whole)
{
    const struct intake_store *s = &m->f->p->stores[store];
    const struct intake_good *g = &m->f->p->goods[node / m->f->birth_count];
    int days = m->f->p->day_count, now = m->stock[node * days + day],
        before = day > 0 && s->cleaned_next_day ? m->stock[node * days + day - 1] : PLAN_NONE;
    if (now == PLAN_NONE && before == PLAN_NONE) return PLAN_NONE;
    int column = lp_column(m->lp, 'n', 0, 0, s->tank_count, is_whole);
    for (int i = 0; i < 2; i++) {
        int stock = i == 0 ? now : before;
        if (stock == PLAN_NONE) continue;
        lp_row_begin(m->lp);
        lp_term(m->lp, stock, g->room_per_kg);
        lp_term(m->lp, column, -s->tank_size);
        lp_row_end(m->lp, '<', 0);
    }
    return column;
}

static void tanks(struct arena *a, struct intake_model *m, bool is_whole)
{
    const struct intake_frame *f = m->f;
    const struct intake_problem *p = f->p;
    int *columns = ARENA_ARRAY(a, int, (size_t)f->node_count + 1);
    for (int s = 0; s < p->store_count; s++)
        for (int d = 0; p->stores[s].tank_size > 0 && d < p->day_count; d++) {
            int count = 0;
            for (int n = 0; n < f->node_count; n++) {
                if (p->goods[n / f->birth_count].store != s) continue;
                int column = tank_column(m, s, n, d, is_whole);
                if (column != PLAN_NONE) columns[count++] = column;
            }
            lp_row_begin(m->lp);
            for (int i = 0; i < count; i++)
                lp_term(m->lp, columns[i], 1);
            lp_row_end(m->lp, '<', p->stores[s].tank_count);
        }
}

static void end(struct intake_model *m)
{
    const struct intake_frame *f = m->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    for (int g = 0; g < p->good_count; g++) {
        const struct intake_good *good = &p->goods[g];
        if (!(good->end_kg_wanted > 0) || !(good->end_value_per_kg > 0)) continue;
        int e = lp_column(m->lp, 'e', -good->end_value_per_kg, 0, good->end_kg_wanted, false);
        lp_row_begin(m->lp);
        lp_term(m->lp, e, 1);
        for (int b = 0; b < f->birth_count; b++) {
            int n = intake_node(f, g, b);
            if (!intake_ends(f, n) && m->stock[n * days + days - 1] != PLAN_NONE)
                lp_term(m->lp, m->stock[n * days + days - 1], -1);
        }
        lp_row_end(m->lp, '<', 0);
    }
}

struct intake_model *intake_model_make(struct arena *a, const struct intake_frame *f, bool is_whole)
{
    struct intake_model *m = ARENA_NEW(a, struct intake_model);
    *m = (struct intake_model){.f = f, .lp = lp_new(a), .is_exact = true};
    for (int s = 0; s < f->p->store_count && !is_whole; s++)
        if (f->p->stores[s].tank_size > 0) m->is_exact = false;
    make_uses(a, m);
    make_fruit(a, m);
    make_stock(a, m);
    make_sales(a, m);
    balance(a, m);
    machines(m);
    stores(m);
    tanks(a, m, is_whole);
    end(m);
    return m;
}

static void read_into(double *to, const int *columns, int count, const double *values)
{
    for (int i = 0; i < count; i++)
        to[i] = columns[i] == PLAN_NONE || values[columns[i]] < 1e-9 ? 0 : values[columns[i]];
}

static struct result broken(double breach)
{
    char text[100];
    snprintf(text, sizeof text, "its plan breaks a rule of the problem by %.2g", breach);
    return FAIL1(SOLVER_GARBLED, "", text);
}

struct result intake_model_read(struct arena *a, const struct intake_model *m, const double *values,
                                struct intake_plan **out)
{
    const struct intake_frame *f = m->f;
    int days = f->p->day_count, births = f->birth_count;
    *out = NULL;
    double breach = lp_breach(m->lp, values);
    if (!(breach <= ROW_BREACH_MAX)) return broken(breach);
    struct intake_plan *plan = intake_plan_new(a, f);
    read_into(plan->use_kg, m->use, f->p->use_count * births * days, values);
    read_into(plan->sale_kg, m->sale, f->cell_count * births, values);
    read_into(plan->buy_kg, m->buy, f->p->offer_count * days, values);
    read_into(plan->turn_kg, m->turn, f->p->delivery_count, values);
    read_into(plan->out_kg, m->out, f->node_count * days, values);
    intake_let_go(a, plan);
    breach = m->is_exact ? intake_breach(a, plan) : 0;
    if (!(breach <= PLAN_BREACH_MAX)) return broken(breach);
    *out = plan;
    return RESULT_OK;
}
