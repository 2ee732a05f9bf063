#include "plan/model.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>

#include "plan/mix.h"
#include "plan/pool.h"

/* The solver meets rows to 1e-7 of their scale; wider breaches are no rounding. */
static const double BREACH_MAX = 1e-5;

struct plan_window plan_window_whole(const struct plan_frame *f)
{
    return (struct plan_window){0, f->p->day_count, NULL, false};
}

struct plan_window plan_window_relaxed(void)
{
    return (struct plan_window){0, 0, NULL, false};
}

static void option_columns(struct plan_model *m, struct plan_window window)
{
    const struct plan_frame *f = m->f;
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        double low = 0, high = f->pools[x->pool].chamber_count;
        bool before = x->day < window.whole_from, after = x->day >= window.whole_until;
        if (window.kept && (before || (after && window.later_kept)))
            low = high = window.kept->counts[o];
        m->n[o] =
            lp_column(m->lp, 'n', f->p->crops[x->crop].start_cost, low, high, !before && !after);
        int grades = f->blends[x->blend].grade_count;
        for (int i = x->first_fill; i < x->first_fill + grades; i++)
            m->fill[i] =
                lp_column(m->lp, 'f', f->grades[f->fills[i].grade].cost_per_kg, 0, INFINITY, false);
        for (int side = 0; side < 2; side++) {
            lp_row_begin(m->lp);
            for (int i = x->first_fill; i < x->first_fill + grades; i++)
                lp_term(m->lp, m->fill[i], 1);
            lp_term(m->lp, m->n[o], -(side ? x->seed_max_kg : x->seed_min_kg));
            lp_row_end(m->lp, side ? '<' : '>', 0);
        }
    }
}

/* Counts that are kept keep the choices, too. */
static void choice_columns(struct plan_model *m, struct plan_window window)
{
    const struct plan_frame *f = m->f;
    bool whole = window.whole_until > window.whole_from;
    for (int c = 0; c < f->choice_count; c++) {
        const struct plan_choice *x = &f->choices[c];
        double low = 0, high = 1;
        m->choice[c] = PLAN_NONE;
        if (plan_choice_is_told(f, c)) continue;
        if (window.kept && !whole) low = high = window.kept->choices[x->running] == x->choice;
        m->choice[c] = lp_column(m->lp, 'h', f->p->change_cost, low, high, whole);
    }
    for (int i = 0; i < f->p->running_count; i++) {
        if (f->first_choice[i + 1] == f->first_choice[i]) continue;
        lp_row_begin(m->lp);
        for (int c = f->first_choice[i]; c < f->first_choice[i + 1]; c++)
            if (m->choice[c] != PLAN_NONE) lp_term(m->lp, m->choice[c], 1);
        lp_row_end(m->lp, '<', 1);
    }
}

/* Chambers that a choice takes on the day beyond those told. */
static void choice_chambers(struct plan_model *m, int pool, int day)
{
    const struct plan_frame *f = m->f;
    for (int c = 0; c < f->choice_count; c++) {
        int from, to, frees = plan_choice_frees(f, c, &from, &to);
        if (m->choice[c] == PLAN_NONE || day < from || day >= to ||
            f->pool_of_chamber[f->p->running[f->choices[c].running].chamber] != pool ||
            !plan_choice_counts(f, c, day))
            continue;
        lp_term(m->lp, m->choice[c], -frees);
    }
}

static void chamber_rows(struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    int days = f->p->day_count;
    for (int q = 0; q < f->pool_count; q++) {
        const int *usable = f->pools[q].usable;
        for (int d = 0; d < f->span_days; d++) {
            /* who grows past the last day grew on it: only fewer chambers make such a day bind */
            if (d >= days && f->choice_count == 0 && usable[d] >= usable[days - 1]) continue;
            lp_row_begin(m->lp);
            for (int o = 0; o < f->option_count; o++) {
                const struct plan_option *x = &f->options[o];
                if (x->pool == q && x->day <= d && d < x->last_day + f->p->cleaning_days)
                    lp_term(m->lp, m->n[o], 1);
            }
            choice_chambers(m, q, d);
            int left = usable[d] - f->busy_fixed[q * f->span_days + d];
            lp_row_end(m->lp, '<', left > 0 ? left : 0);
        }
    }
}

static void seed_rows(struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    const struct plan_problem *p = f->p;
    int *use = ARENA_ARRAY(m->lp->arena, int, (size_t)p->seed_lot_count *(size_t)p->day_count + 1);
    for (int d = 0; d < p->day_count; d++)
        for (int g = 0; g < f->grade_count; g++) {
            lp_row_begin(m->lp);
            int used = 0;
            for (int i = 0; i < f->fill_count; i++)
                if (f->fills[i].grade == g && f->options[f->fills[i].option].day == d) {
                    lp_term(m->lp, m->fill[i], 1);
                    used++;
                }
            for (int i = 0; used > 0 && i < f->grades[g].lot_count; i++) {
                int lot = f->grades[g].lots[i];
                if (!plan_lot_usable(&p->seed_lots[lot], d)) continue;
                int column = lp_column(m->lp, 'v', 0, 0, INFINITY, false);
                use[lot * p->day_count + d] = column + 1;
                lp_term(m->lp, column, -1);
            }
            lp_row_end(m->lp, '=', 0);
        }
    for (int l = 0; l < p->seed_lot_count; l++) {
        lp_row_begin(m->lp);
        for (int d = 0; d < p->day_count; d++)
            if (use[l * p->day_count + d]) lp_term(m->lp, use[l * p->day_count + d] - 1, 1);
        lp_row_end(m->lp, '<', fmax(0, f->lot_kg[l]));
    }
}

static void goods_columns(struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    for (int n = 0; n < f->node_count; n++) {
        const struct plan_node *x = &f->nodes[n];
        m->waste[n] =
            lp_column(m->lp, 'w', f->p->crops[x->crop].waste_cost_per_kg, 0, INFINITY, false);
        m->end[n] =
            x->end_value > 0 ? lp_column(m->lp, 'e', -x->end_value, 0, INFINITY, false) : PLAN_NONE;
    }
    int room = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (int n = 0; n < f->node_count; n++)
            for (int c = 0; c < f->cell_count; c++) {
                if (!plan_serves(f, n, c)) continue;
                if (pass == 0) {
                    room++;
                    continue;
                }
                double cost = plan_serve_cost(f, n, c);
                m->arcs[m->arc_count++] =
                    (struct plan_arc){n, c, lp_column(m->lp, 'x', cost, 0, INFINITY, false)};
            }
        if (pass == 0) m->arcs = ARENA_ARRAY(m->lp->arena, struct plan_arc, (size_t)room + 1);
    }
}

/* Of what the option gives, what is of the node; PLAN_NONE: what is harvested after the last day.
 */
static double share_in(const struct plan_option *o, int node)
{
    double share = 0;
    for (int h = 0; h < o->harvest_count; h++)
        share += o->harvests[h].node == node ? o->harvests[h].share : 0;
    return share;
}

static bool harvested_on(const struct plan_harvest *harvests, int count, int day)
{
    for (int h = 0; h < count; h++)
        if (harvests[h].day == day) return true;
    return false;
}

/* What a choice gives the node beyond what is told. */
static void choice_goods(struct plan_model *m, int node)
{
    const struct plan_frame *f = m->f;
    for (int c = 0; c < f->choice_count; c++) {
        if (m->choice[c] == PLAN_NONE) continue;
        const struct plan_choice *x = &f->choices[c];
        const struct plan_choice *told = &f->choices[plan_choice_told(f, x->running)];
        double kg =
            (x->node == node ? x->packed_kg : 0) - (told->node == node ? told->packed_kg : 0);
        if (kg != 0) lp_term(m->lp, m->choice[c], -kg);
    }
}

/* Of what is in a dish beside its own crop, as much by each day as the own crop packed by then asks
 * for, and no more in all. */
static void with_rows(struct plan_model *m, int cell)
{
    const struct plan_frame *f = m->f;
    const struct plan_cell *c = &f->cells[cell];
    for (int d = 0; d <= c->day; d++) {
        bool packs = d == c->day;
        for (int i = 0; i < m->arc_count && !packs; i++)
            packs = m->arcs[i].cell == c->own && plan_pack_day(f, m->arcs[i].node) == d;
        if (!packs) continue;
        lp_row_begin(m->lp);
        for (int i = 0; i < m->arc_count; i++) {
            int day = plan_pack_day(f, m->arcs[i].node);
            if (day == PLAN_NONE || day > d) continue;
            if (m->arcs[i].cell == cell) lp_term(m->lp, m->arcs[i].column, 1);
            if (m->arcs[i].cell == c->own) lp_term(m->lp, m->arcs[i].column, -c->each);
        }
        lp_row_end(m->lp, d == c->day ? '=' : '>', 0);
    }
}

static void goods_rows(struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    int arc = 0; /* arcs come node by node */
    for (int n = 0; n < f->node_count; n++) {
        lp_row_begin(m->lp);
        for (; arc < m->arc_count && m->arcs[arc].node == n; arc++)
            lp_term(m->lp, m->arcs[arc].column, 1);
        if (m->end[n] != PLAN_NONE) lp_term(m->lp, m->end[n], 1);
        lp_term(m->lp, m->waste[n], 1);
        for (int i = 0; i < f->fill_count; i++) {
            double share = share_in(&f->options[f->fills[i].option], n);
            if (share > 0) lp_term(m->lp, m->fill[i], -f->fills[i].packed_kg_per_kg * share);
        }
        choice_goods(m, n);
        lp_row_end(m->lp, '=', f->nodes[n].given_kg);
    }
    for (int c = 0; c < f->cell_count; c++) {
        if (f->cells[c].own != PLAN_NONE) {
            with_rows(m, c);
            continue;
        }
        if (f->cells[c].want != c) continue; /* in the row of its want */
        lp_row_begin(m->lp);
        for (int i = 0; i < m->arc_count; i++)
            if (f->cells[m->arcs[i].cell].want == c)
                lp_term(m->lp, m->arcs[i].column,
                        1 / plan_serve_ratio(f, m->arcs[i].node, m->arcs[i].cell));
        lp_term(m->lp, lp_column(m->lp, 'u', f->cells[c].shortage_cost_per_kg, 0, INFINITY, false),
                1);
        lp_row_end(m->lp, '=', f->cells[c].kg);
    }
}

static void end_rows(struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    for (int k = 0; k < f->p->crop_count; k++) {
        const struct plan_crop *crop = &f->p->crops[k];
        m->standing[k] = PLAN_NONE;
        double wanted_kg = fmax(0, crop->end_kg_wanted - f->fixed_end_kg[k]);
        if (wanted_kg > 0 && crop->end_value_per_kg > 0) {
            m->standing[k] = lp_column(m->lp, 's', -crop->end_value_per_kg, 0, INFINITY, false);
            lp_row_begin(m->lp);
            lp_term(m->lp, m->standing[k], 1);
            for (int i = 0; i < f->fill_count; i++) {
                const struct plan_option *x = &f->options[f->fills[i].option];
                double share = x->crop == k ? share_in(x, PLAN_NONE) : 0;
                if (share > 0) lp_term(m->lp, m->fill[i], -f->fills[i].packed_kg_per_kg * share);
            }
            lp_row_end(m->lp, '<', 0);
        }
        lp_row_begin(m->lp);
        for (int n = 0; n < f->node_count; n++)
            if (f->nodes[n].crop == k && m->end[n] != PLAN_NONE) lp_term(m->lp, m->end[n], 1);
        if (m->standing[k] != PLAN_NONE) lp_term(m->lp, m->standing[k], 1);
        lp_row_end(m->lp, '<', wanted_kg);
    }
}

static void count_row(struct plan_model *m, int day, bool harvests, int limit)
{
    if (limit == INT_MAX) return;
    const struct plan_frame *f = m->f;
    for (int i = 0; i < f->fixed_count; i++)
        limit -= harvests ? harvested_on(f->fixed[i].harvests, f->fixed[i].harvest_count, day)
                          : f->p->taken[f->fixed[i].taken].day == day;
    for (int i = 0; harvests && i < f->p->running_count; i++)
        limit -= plan_running_day(&f->p->running[i], f->p->running[i].told) == day;
    lp_row_begin(m->lp);
    for (int c = 0; harvests && c < f->choice_count; c++) {
        if (m->choice[c] == PLAN_NONE) continue;
        int told = f->choices[plan_choice_told(f, f->choices[c].running)].day;
        int more = (f->choices[c].day == day) - (told == day);
        if (more != 0) lp_term(m->lp, m->choice[c], more);
    }
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        if (harvests ? harvested_on(x->harvests, x->harvest_count, day) : x->day == day)
            lp_term(m->lp, m->n[o], 1);
    }
    lp_row_end(m->lp, '<', limit > 0 ? limit : 0);
}

static void seed_day_row(struct plan_model *m, int day, double limit_kg)
{
    if (!isfinite(limit_kg)) return;
    const struct plan_frame *f = m->f;
    for (int i = 0; i < f->fixed_count; i++)
        if (f->p->taken[f->fixed[i].taken].day == day)
            limit_kg -= f->p->taken[f->fixed[i].taken].seed_kg;
    lp_row_begin(m->lp);
    for (int i = 0; i < f->fill_count; i++)
        if (f->options[f->fills[i].option].day == day) lp_term(m->lp, m->fill[i], 1);
    lp_row_end(m->lp, '<', fmax(0, limit_kg));
}

/* Goods taken on their harvest day, a kg of each crop counting so much, and of each mix where it
 * matters (NULL: not). */
static void goods_day_row(struct plan_model *m, int day, double limit, const double *per_kg,
                          const struct plan_mix *mixes)
{
    if (!isfinite(limit)) return;
    const struct plan_frame *f = m->f;
    lp_row_begin(m->lp);
    for (int n = 0, arc = 0; n < f->node_count; n++) {
        const struct plan_node *x = &f->nodes[n];
        bool counts = x->harvest_day == day && !x->is_stock;
        double factor = per_kg[x->crop];
        counts = counts && factor > 0;
        for (; arc < m->arc_count && m->arcs[arc].node == n; arc++)
            if (counts)
                lp_term(m->lp, m->arcs[arc].column,
                        factor * (mixes ? mixes[f->cells[m->arcs[arc].cell].mix].pack_kg : 1));
        if (counts && m->end[n] != PLAN_NONE) lp_term(m->lp, m->end[n], factor);
    }
    lp_row_end(m->lp, '<', limit);
}

static void day_rows(struct arena *a, struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    double *bed = ARENA_ARRAY(a, double, (size_t)f->p->crop_count);
    double *one = ARENA_ARRAY(a, double, (size_t)f->p->crop_count);
    for (int k = 0; k < f->p->crop_count; k++) {
        bed[k] = f->p->crops[k].bed_kg_per_packed_kg;
        one[k] = 1;
    }
    for (int d = 0; d < f->p->day_count; d++) {
        const struct plan_day *x = &f->p->days[d];
        count_row(m, d, false, x->starts_max);
        count_row(m, d, true, x->harvests_max);
        seed_day_row(m, d, x->treat_seed_kg);
        seed_day_row(m, d, x->soak_seed_kg);
        goods_day_row(m, d, x->harvest_bed_kg, bed, NULL);
        goods_day_row(m, d, x->wash_bed_kg, bed, NULL);
        goods_day_row(m, d, x->pack_kg, one, f->mixes);
        for (int w = 0; w < f->p->work_count; w++)
            goods_day_row(m, d, f->p->works[w].limit[d], f->p->works[w].per_packed_kg, NULL);
    }
}

/* What is packed on a day takes each ingredient from lots that may be used on it. */
static void ingredient_rows(struct plan_model *m, int ingredient)
{
    const struct plan_frame *f = m->f;
    const struct plan_ingredient *x = &f->p->ingredients[ingredient];
    int days = f->p->day_count;
    int *use = ARENA_ARRAY(m->lp->arena, int, (size_t)(x->lot_count * days) + 1);
    for (int d = 0; d < days; d++) {
        int used = 0;
        lp_row_begin(m->lp);
        for (int i = 0; i < m->arc_count; i++) {
            double takes = f->mixes[f->cells[m->arcs[i].cell].mix].takes[ingredient];
            if (takes <= 0 || plan_pack_day(f, m->arcs[i].node) != d) continue;
            lp_term(m->lp, m->arcs[i].column, takes);
            used++;
        }
        for (int l = 0; used > 0 && l < x->lot_count; l++) {
            if (x->lots[l].from_day > d || x->lots[l].last_day < d) continue;
            int column = lp_column(m->lp, 'z', 0, 0, INFINITY, false);
            use[l * days + d] = column + 1;
            lp_term(m->lp, column, -1);
        }
        lp_row_end(m->lp, '=', 0);
    }
    for (int l = 0; l < x->lot_count; l++) {
        lp_row_begin(m->lp);
        for (int d = 0; d < days; d++)
            if (use[l * days + d]) lp_term(m->lp, use[l * days + d] - 1, 1);
        lp_row_end(m->lp, '<', x->lots[l].kg);
    }
}

static void taken_rows(struct plan_model *m)
{
    const struct plan_frame *f = m->f;
    for (int w = 0; w < f->wish_count; w++) {
        const struct plan_wish *x = &f->wishes[w];
        lp_row_begin(m->lp);
        lp_term(m->lp, lp_column(m->lp, 'c', f->p->change_cost, 0, INFINITY, false), 1);
        for (int o = 0; o < f->option_count; o++)
            if (f->options[o].day == x->day && f->options[o].crop == x->crop &&
                f->options[o].way == x->way && f->options[o].pool == x->pool)
                lp_term(m->lp, m->n[o], 1);
        lp_row_end(m->lp, '>', x->count);
    }
    /* on a frozen day as many new starts of a crop as taken ones fell away */
    for (int d = 0; d < f->p->frozen_days; d++)
        for (int k = 0; k < f->p->crop_count; k++) {
            lp_row_begin(m->lp);
            for (int o = 0; o < f->option_count; o++)
                if (f->options[o].day == d && f->options[o].crop == k) lp_term(m->lp, m->n[o], 1);
            lp_row_end(m->lp, '<', plan_dropped(f, d, k));
        }
}

struct plan_model *plan_model_make(struct arena *a, const struct plan_frame *f,
                                   struct plan_window window)
{
    struct plan_model *m = ARENA_NEW(a, struct plan_model);
    m->f = f;
    m->lp = lp_new(a);
    m->n = ARENA_ARRAY(a, int, (size_t)f->option_count + 1);
    m->fill = ARENA_ARRAY(a, int, (size_t)f->fill_count + 1);
    m->end = ARENA_ARRAY(a, int, (size_t)f->node_count + 1);
    m->waste = ARENA_ARRAY(a, int, (size_t)f->node_count + 1);
    m->standing = ARENA_ARRAY(a, int, (size_t)f->p->crop_count + 1);
    m->choice = ARENA_ARRAY(a, int, (size_t)f->choice_count + 1);
    option_columns(m, window);
    choice_columns(m, window);
    chamber_rows(m);
    seed_rows(m);
    goods_columns(m);
    goods_rows(m);
    end_rows(m);
    day_rows(a, m);
    for (int i = 0; i < f->p->ingredient_count; i++)
        ingredient_rows(m, i);
    taken_rows(m);
    return m;
}

/* Whole counts bring whole bounds: fills and flows a rounding beyond them are drawn back. */
static void clear_rounding(struct arena *a, struct plan *plan)
{
    const struct plan_frame *f = plan->f;
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        double kg = plan_option_seed_kg(plan, o), most = x->seed_max_kg * plan->counts[o];
        if (kg <= most) continue;
        for (int i = x->first_fill; i < x->first_fill + f->blends[x->blend].grade_count; i++)
            plan->seed_kg[i] *= most / kg;
    }
    double *made = plan_node_kg(a, plan), *used = plan_node_used_kg(a, plan);
    for (int i = 0; i < plan->flow_count; i++) {
        struct plan_flow *x = &plan->flows[i];
        if (used[x->node] > made[x->node]) x->kg *= made[x->node] / used[x->node];
    }
    for (int n = 0; n < f->node_count; n++)
        if (used[n] > made[n]) plan->end_kg[n] *= made[n] / used[n];
    double *met = plan_cell_met_kg(a, plan);
    for (int i = 0; i < plan->flow_count; i++) {
        struct plan_flow *x = &plan->flows[i];
        int want = f->cells[x->cell].want;
        if (met[want] > f->cells[want].kg) x->kg *= f->cells[want].kg / met[want];
    }
}

struct result plan_model_read(struct arena *a, const struct plan_model *m, const double *values,
                              struct plan **out)
{
    double breach = lp_breach(m->lp, values);
    if (!(breach <= BREACH_MAX)) {
        char text[80];
        snprintf(text, sizeof text, "its plan breaks a rule of the problem by %.2g", breach);
        return FAIL1(SOLVER_GARBLED, "", text);
    }
    struct plan *plan = plan_new(a, m->f);
    for (int o = 0; o < m->f->option_count; o++)
        plan->counts[o] = (int)lround(values[m->n[o]]);
    for (int i = 0; i < m->f->fill_count; i++) {
        double kg = fmax(0, values[m->fill[i]]);
        plan->seed_kg[i] = plan->counts[m->f->fills[i].option] > 0 ? kg : 0;
    }
    for (int c = 0; c < m->f->choice_count; c++)
        if (m->choice[c] != PLAN_NONE && values[m->choice[c]] > 0.5)
            plan->choices[m->f->choices[c].running] = m->f->choices[c].choice;
    for (int n = 0; n < m->f->node_count; n++)
        if (m->end[n] != PLAN_NONE) plan->end_kg[n] = fmax(0, values[m->end[n]]);
    for (int i = 0; i < m->arc_count; i++)
        if (values[m->arcs[i].column] > 1e-9)
            plan_flow_add(plan, m->arcs[i].node, m->arcs[i].cell, values[m->arcs[i].column]);
    clear_rounding(a, plan);
    plan_flows_tidy(plan);
    *out = plan;
    return RESULT_OK;
}
