#include "plan/slack.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "plan/mix.h"
#include "plan/pool.h"

/* Below this a limit is used up: a hundredth of a gram is no room for another filling or another
 * pack. */
static const double NOTHING_KG = 1e-5;

static void lower(int *left, int by)
{
    if (*left == INT_MAX) return;
    *left = *left > by ? *left - by : 0;
}

static void lower_kg(double *left, double by_kg)
{
    *left = fmax(0, *left - by_kg);
}

static void take_seed_day(struct plan_slack *s, int day, double kg)
{
    lower_kg(&s->days[day].treat_seed_kg, kg);
    lower_kg(&s->days[day].soak_seed_kg, kg);
}

static void take_harvests(struct plan_slack *s, const struct plan_harvest *harvests, int count,
                          int chambers)
{
    for (int h = 0; h < count; h++)
        if (harvests[h].day < s->f->p->day_count)
            lower(&s->days[harvests[h].day].harvests_max, chambers);
}

static void count_choice(struct plan_slack *s, int choice, int sign)
{
    const struct plan_frame *f = s->f;
    const struct plan_choice *x = &f->choices[choice];
    int from, to, frees = plan_choice_frees(f, choice, &from, &to) * sign;
    int *chambers =
        &s->chambers[f->pool_of_chamber[f->p->running[x->running].chamber] * f->span_days];
    for (int d = from; d < to && !plan_choice_is_told(f, choice); d++)
        if (plan_choice_counts(f, choice, d)) chambers[d] += frees;
    int *harvests = &s->days[x->day].harvests_max;
    if (*harvests != INT_MAX) *harvests -= sign;
}

void slack_choose(struct plan_slack *s, int from, int to)
{
    count_choice(s, from, -1);
    count_choice(s, to, 1);
}

struct plan_slack *slack_new(struct arena *a, const struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    struct plan_slack *s = ARENA_NEW(a, struct plan_slack);
    s->f = f;
    s->chambers = ARENA_ARRAY(a, int, (size_t)f->pool_count *(size_t)f->span_days + 1);
    s->days = ARENA_ARRAY(a, struct plan_day, (size_t)p->day_count);
    s->lot_kg = ARENA_ARRAY(a, double, (size_t)p->seed_lot_count + 1);
    s->works = ARENA_ARRAY(a, double, (size_t)(p->work_count * p->day_count) + 1);
    s->ingredient_kg = ARENA_ARRAY(a, double, (size_t)(p->ingredient_count * p->day_count) + 1);
    memcpy(s->days, p->days, (size_t)p->day_count * sizeof *s->days);
    for (int w = 0; w < p->work_count; w++)
        for (int d = 0; d < p->day_count; d++)
            s->works[w * p->day_count + d] = p->works[w].limit[d];
    for (int l = 0; l < p->seed_lot_count; l++)
        s->lot_kg[l] = fmax(0, f->lot_kg[l]);
    for (int q = 0; q < f->pool_count; q++)
        for (int d = 0; d < f->span_days; d++) {
            int left = f->pools[q].usable[d] - f->busy_fixed[q * f->span_days + d];
            s->chambers[q * f->span_days + d] = left > 0 ? left : 0;
        }
    for (int i = 0; i < f->fixed_count; i++) {
        const struct plan_taken *t = &p->taken[f->fixed[i].taken];
        lower(&s->days[t->day].starts_max, 1);
        take_seed_day(s, t->day, t->seed_kg);
        take_harvests(s, f->fixed[i].harvests, f->fixed[i].harvest_count, 1);
    }
    for (int i = 0; i < p->running_count; i++) {
        int day = plan_running_day(&p->running[i], p->running[i].told);
        if (day < p->day_count) lower(&s->days[day].harvests_max, 1);
    }
    return s;
}

void slack_copy(struct plan_slack *to, const struct plan_slack *from)
{
    const struct plan_frame *f = from->f;
    memcpy(to->chambers, from->chambers,
           (size_t)(f->pool_count * f->span_days) * sizeof *to->chambers);
    memcpy(to->days, from->days, (size_t)f->p->day_count * sizeof *to->days);
    memcpy(to->lot_kg, from->lot_kg, (size_t)f->p->seed_lot_count * sizeof *to->lot_kg);
    memcpy(to->works, from->works,
           (size_t)(f->p->work_count * f->p->day_count) * sizeof *to->works);
    memcpy(to->ingredient_kg, from->ingredient_kg,
           (size_t)(f->p->ingredient_count * f->p->day_count) * sizeof *to->ingredient_kg);
}

uint32_t slack_start_blocks(const struct plan_slack *s, int day, const struct plan_way *way,
                            int pool, double seed_kg)
{
    const struct plan_frame *f = s->f;
    uint32_t blocks = 0;
    seed_kg = fmax(seed_kg, NOTHING_KG);
    for (int d = day; d < day + plan_way_days(way) + f->p->cleaning_days; d++)
        if (s->chambers[pool * f->span_days + d] < 1) blocks |= 1u << PLAN_LIMIT_CHAMBERS;
    if (s->days[day].starts_max < 1) blocks |= 1u << PLAN_LIMIT_STARTS;
    if (s->days[day].treat_seed_kg < seed_kg) blocks |= 1u << PLAN_LIMIT_TREATMENT;
    if (s->days[day].soak_seed_kg < seed_kg) blocks |= 1u << PLAN_LIMIT_SOAKING;
    for (int h = 0; h < plan_way_harvests(way); h++) {
        int harvest_day = day + plan_way_harvest_days(way, h);
        if (harvest_day < f->p->day_count && s->days[harvest_day].harvests_max < 1)
            blocks |= 1u << PLAN_LIMIT_HARVESTS;
    }
    return blocks;
}

double slack_grade_kg(const struct plan_slack *s, int grade, int day)
{
    const struct plan_grade *g = &s->f->grades[grade];
    double kg = 0;
    for (int i = 0; i < g->lot_count; i++)
        if (plan_lot_usable(&s->f->p->seed_lots[g->lots[i]], day)) kg += s->lot_kg[g->lots[i]];
    return kg;
}

uint32_t slack_seed_blocks(const struct plan_slack *s, int day, int blend, double seed_kg)
{
    const struct plan_blend *b = &s->f->blends[blend];
    double kg = 0;
    for (int g = b->first_grade; g < b->first_grade + b->grade_count; g++)
        kg += slack_grade_kg(s, g, day);
    return kg < fmax(seed_kg, NOTHING_KG) - 1e-9 ? 1u << PLAN_LIMIT_SEED : 0;
}

/* Packed kg of the crop that what is left of a work lets through. */
static double work_lets_through_kg(const struct plan_slack *s, int work, int crop, int day)
{
    double per_kg = s->f->p->works[work].per_packed_kg[crop];
    return per_kg > 0 ? s->works[work * s->f->p->day_count + day] / per_kg : INFINITY;
}

/* Kg of crop that what is left of an ingredient lets through on the day. */
static double ingredient_lets_through_kg(const struct plan_slack *s, int ingredient, int day,
                                         int mix)
{
    const struct plan_problem *p = s->f->p;
    double takes = s->f->mixes[mix].takes[ingredient];
    if (takes <= 0) return INFINITY;
    const double *used_kg = &s->ingredient_kg[ingredient * p->day_count];
    return plan_ingredient_left(p, ingredient, used_kg, day) / takes;
}

int slack_lacks(const struct plan_slack *s, int day, int mix)
{
    for (int i = 0; i < s->f->p->ingredient_count; i++)
        if (ingredient_lets_through_kg(s, i, day, mix) < NOTHING_KG) return i;
    return PLAN_NONE;
}

static double ingredients_let_through_kg(const struct plan_slack *s, int day, int mix)
{
    double kg = INFINITY;
    for (int i = 0; mix > 0 && i < s->f->p->ingredient_count; i++)
        kg = fmin(kg, ingredient_lets_through_kg(s, i, day, mix));
    return kg;
}

uint32_t slack_goods_blocks(const struct plan_slack *s, int crop, int harvest_day, int mix)
{
    uint32_t blocks = 0;
    if (harvest_day < 0 || harvest_day >= s->f->p->day_count) return 0;
    const struct plan_day *d = &s->days[harvest_day];
    double factor = s->f->p->crops[crop].bed_kg_per_packed_kg;
    if (d->harvest_bed_kg < NOTHING_KG * factor) blocks |= 1u << PLAN_LIMIT_HARVEST;
    if (d->wash_bed_kg < NOTHING_KG * factor) blocks |= 1u << PLAN_LIMIT_WASHING;
    bool packs = s->f->mixes[mix].pack_kg > 0;
    if (packs && d->pack_kg < NOTHING_KG) blocks |= 1u << PLAN_LIMIT_PACKING;
    for (int w = 0; w < s->f->p->work_count; w++)
        if (work_lets_through_kg(s, w, crop, harvest_day) < NOTHING_KG)
            blocks |= 1u << (PLAN_LIMIT_WORK + w);
    if (mix > 0 && slack_lacks(s, harvest_day, mix) != PLAN_NONE)
        blocks |= 1u << PLAN_LIMIT_INGREDIENT;
    return blocks;
}

double slack_goods_kg(const struct plan_slack *s, int crop, int harvest_day, int mix)
{
    if (harvest_day < 0 || harvest_day >= s->f->p->day_count) return INFINITY;
    const struct plan_day *d = &s->days[harvest_day];
    double factor = s->f->p->crops[crop].bed_kg_per_packed_kg;
    double kg = fmin(d->harvest_bed_kg, d->wash_bed_kg) / factor;
    if (s->f->mixes[mix].pack_kg > 0) kg = fmin(kg, d->pack_kg / s->f->mixes[mix].pack_kg);
    for (int w = 0; w < s->f->p->work_count; w++)
        kg = fmin(kg, work_lets_through_kg(s, w, crop, harvest_day));
    return fmin(kg, ingredients_let_through_kg(s, harvest_day, mix));
}

uint32_t slack_node_blocks(const struct plan_slack *s, int node, int mix)
{
    const struct plan_node *n = &s->f->nodes[node];
    int day = plan_pack_day(s->f, node);
    if (!n->is_stock) return slack_goods_blocks(s, n->crop, n->harvest_day, mix);
    bool lacks = mix > 0 && day != PLAN_NONE && slack_lacks(s, day, mix) != PLAN_NONE;
    return lacks ? 1u << PLAN_LIMIT_INGREDIENT : 0;
}

double slack_node_kg(const struct plan_slack *s, int node, int mix)
{
    const struct plan_node *n = &s->f->nodes[node];
    int day = plan_pack_day(s->f, node);
    if (!n->is_stock) return slack_goods_kg(s, n->crop, n->harvest_day, mix);
    return day != PLAN_NONE ? ingredients_let_through_kg(s, day, mix) : INFINITY;
}

void slack_take_chambers(struct plan_slack *s, int option, int count)
{
    const struct plan_frame *f = s->f;
    const struct plan_option *o = &f->options[option];
    for (int d = o->day; d < o->last_day + f->p->cleaning_days; d++)
        s->chambers[o->pool * f->span_days + d] -= count;
    lower(&s->days[o->day].starts_max, count);
    take_harvests(s, o->harvests, o->harvest_count, count);
}

void slack_take_seed(struct plan_slack *s, int fill, double kg)
{
    const struct plan_frame *f = s->f;
    const struct plan_grade *g = &f->grades[f->fills[fill].grade];
    int day = f->options[f->fills[fill].option].day;
    take_seed_day(s, day, kg);
    for (int i = 0; i < g->lot_count && kg > 0; i++) {
        int lot = g->lots[i];
        if (!plan_lot_usable(&f->p->seed_lots[lot], day)) continue;
        double part = fmin(kg, s->lot_kg[lot]);
        s->lot_kg[lot] -= part;
        kg -= part;
    }
}

void slack_take_goods(struct plan_slack *s, int node, int mix, double kg)
{
    const struct plan_node *n = &s->f->nodes[node];
    int pack_day = plan_pack_day(s->f, node);
    for (int i = 0; mix > 0 && pack_day != PLAN_NONE && i < s->f->p->ingredient_count; i++)
        s->ingredient_kg[i * s->f->p->day_count + pack_day] += kg * s->f->mixes[mix].takes[i];
    if (n->is_stock || n->harvest_day < 0) return;
    double bed_kg = kg * s->f->p->crops[n->crop].bed_kg_per_packed_kg;
    struct plan_day *d = &s->days[n->harvest_day];
    lower_kg(&d->harvest_bed_kg, bed_kg);
    lower_kg(&d->wash_bed_kg, bed_kg);
    lower_kg(&d->pack_kg, kg * s->f->mixes[mix].pack_kg);
    for (int w = 0; w < s->f->p->work_count; w++)
        lower_kg(&s->works[w * s->f->p->day_count + n->harvest_day],
                 kg * s->f->p->works[w].per_packed_kg[n->crop]);
}

struct plan_slack *slack_of_plan(struct arena *a, const struct plan *plan)
{
    const struct plan_frame *f = plan->f;
    struct plan_slack *s = slack_new(a, f);
    for (int i = 0; i < f->p->running_count; i++)
        if (plan->choices[i] != f->p->running[i].told)
            slack_choose(s, plan_choice_told(f, i), plan_chosen(plan, i));
    /* options are in the order of days, which is what taking the soonest useless lot first asks for
     */
    for (int o = 0; o < f->option_count; o++) {
        if (plan->counts[o] == 0) continue;
        slack_take_chambers(s, o, plan->counts[o]);
        const struct plan_option *x = &f->options[o];
        for (int i = x->first_fill; i < x->first_fill + f->blends[x->blend].grade_count; i++)
            slack_take_seed(s, i, plan->seed_kg[i]);
    }
    for (int n = 0; n < f->node_count; n++)
        slack_take_goods(s, n, 0, plan->end_kg[n]);
    for (int i = 0; i < plan->flow_count; i++)
        slack_take_goods(s, plan->flows[i].node, f->cells[plan->flows[i].cell].mix,
                         plan->flows[i].kg);
    return s;
}
