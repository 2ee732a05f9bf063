#include "plan/dish.h"

#include <math.h>

static int last_day(const struct plan_problem *p, int day, int late_days)
{
    return day + late_days < p->day_count ? day + late_days : p->day_count - 1;
}

int plan_dish_days(const struct plan_problem *p, const struct plan_line *line)
{
    return 1 + last_day(p, line->day, p->groups[line->group].late_days) - line->day;
}

/* A cell once more, for goods that leave on a later day: just as much younger. */
static struct plan_cell leaving_on(const struct plan_frame *f, int cell, int day)
{
    struct plan_cell c = f->cells[cell];
    int late_days = day - c.day;
    c.day = day;
    c.oldest_harvest_day += late_days;
    c.late_cost_per_kg = c.own == PLAN_NONE ? late_days * c.late_cost_per_kg_day : 0;
    c.want = cell;
    c.later = PLAN_NONE;
    return c;
}

/* The dish of the line's own day. */
static void make_dish(struct plan_frame *f, int cell, const struct plan_product *product)
{
    struct plan_dish *dish = &f->dishes[f->dish_count];
    double own_kg = plan_piece_kg(f->p, f->cells[cell].product);
    *dish = (struct plan_dish){cell, f->cell_count, product->with_count};
    f->cells[cell].dish = f->dish_count++;
    f->cells[cell].late_days = 0;
    for (int i = 0; i < product->with_count; i++) {
        struct plan_cell c = f->cells[cell];
        c.crop = product->with[i].crop;
        c.product = PLAN_NONE;
        c.mix = f->with_mix;
        c.own = cell;
        c.want = f->cell_count;
        c.each = product->with[i].kg / own_kg;
        c.kg *= c.each;
        c.shortage_cost_per_kg = 0;
        f->cells[f->cell_count++] = c;
    }
}

/* The same on a later day. -> its number */
static int make_later(struct plan_frame *f, int first, int before, int day)
{
    const struct plan_dish *of = &f->dishes[first], *last = &f->dishes[before];
    int own = f->cell_count;
    f->dishes[f->dish_count] = (struct plan_dish){own, own + 1, of->count};
    for (int i = 0; i <= of->count; i++) {
        struct plan_cell c = leaving_on(f, i == 0 ? of->own : of->first + i - 1, day);
        c.dish = f->dish_count;
        if (i > 0) c.own = own;
        f->cells[i == 0 ? last->own : last->first + i - 1].later = f->cell_count;
        f->cells[f->cell_count++] = c;
    }
    return f->dish_count++;
}

void plan_dishes_make(struct plan_frame *f)
{
    int count = f->cell_count, room = 0;
    for (int i = 0; i < f->p->line_count; i++)
        room += plan_dish_days(f->p, &f->p->lines[i]);
    f->dishes = ARENA_ARRAY(f->arena, struct plan_dish, (size_t)room + 1);
    for (int c = 0; c < count; c++) {
        if (f->cells[c].product == PLAN_NONE) continue;
        const struct plan_product *product = &f->p->products[f->cells[c].product];
        if (product->with_count == 0) continue;
        int late_days = f->cells[c].late_days, first = f->dish_count, before = first;
        make_dish(f, c, product);
        for (int d = f->cells[c].day + 1; d <= last_day(f->p, f->cells[c].day, late_days); d++)
            if (plan_open_day(f->p, d) == d) before = make_later(f, first, before, d);
    }
}

int plan_dish_slot(const struct plan_frame *f, int cell)
{
    const struct plan_cell *c = &f->cells[cell];
    return c->own == PLAN_NONE ? 0 : 1 + cell - f->dishes[c->dish].first;
}

double plan_dish_room_kg(const struct plan_frame *f, int dish, const double *tally, int day)
{
    const struct plan_dish *x = &f->dishes[dish];
    int days = f->p->day_count;
    double room_kg = INFINITY;
    for (int i = 0; i < x->count; i++) {
        const double *with = &tally[(1 + i) * days];
        double left_kg = 0, each = f->cells[x->first + i].each;
        for (int d = 0; d < days; d++) {
            left_kg += with[d] / each - tally[d];
            if (d >= day) room_kg = fmin(room_kg, left_kg);
        }
    }
    return fmax(0, room_kg);
}

double plan_dish_kg(const struct plan_frame *f, const double *tally, int slot)
{
    double kg = 0;
    for (int d = 0; d < f->p->day_count; d++)
        kg += tally[slot * f->p->day_count + d];
    return kg;
}
