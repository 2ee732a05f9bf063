#include "plan/dish.h"

#include <math.h>

/* The cells of what goes into one dish beside its own crop. */
static void make_with(struct plan_frame *f, int cell, const struct plan_product *product)
{
    struct plan_dish *dish = &f->dishes[f->dish_count];
    double own_kg = plan_piece_kg(f->p, f->cells[cell].product);
    *dish = (struct plan_dish){cell, f->cell_count, product->with_count};
    f->cells[cell].dish = f->dish_count;
    for (int i = 0; i < product->with_count; i++) {
        struct plan_cell c = f->cells[cell];
        c.crop = product->with[i].crop;
        c.product = PLAN_NONE;
        c.mix = f->with_mix;
        c.own = cell;
        c.each = product->with[i].kg / own_kg;
        c.kg *= c.each;
        c.shortage_cost_per_kg = 0;
        f->cells[f->cell_count++] = c;
    }
    f->dish_count++;
}

void plan_dishes_make(struct plan_frame *f)
{
    int count = f->cell_count;
    f->dishes = ARENA_ARRAY(f->arena, struct plan_dish, (size_t)count + 1);
    for (int c = 0; c < count; c++) {
        if (f->cells[c].product == PLAN_NONE) continue;
        const struct plan_product *product = &f->p->products[f->cells[c].product];
        if (product->with_count > 0) make_with(f, c, product);
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
