#include "plan/tie.h"

double plan_piece_units(const struct plan_frame *f, int product)
{
    return plan_piece_kg(f->p, product) / f->unit_kg[f->p->products[product].crop];
}

void plan_ties_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->tied_to = ARENA_ARRAY(f->arena, int, (size_t)p->crop_count + 1);
    f->unit_kg = ARENA_ARRAY(f->arena, double, (size_t)p->crop_count + 1);
    for (int k = 0; k < p->crop_count; k++) {
        f->tied_to[k] = k;
        f->unit_kg[k] = 1;
    }
    for (int i = 0; i < p->swap_count; i++) {
        int x = p->swaps[i].from_product, y = p->swaps[i].to_product;
        if (f->tied_to[p->products[x].crop] > f->tied_to[p->products[y].crop]) {
            x = p->swaps[i].to_product;
            y = p->swaps[i].from_product;
        }
        int first = f->tied_to[p->products[x].crop], joins = f->tied_to[p->products[y].crop];
        if (first == joins) continue;
        f->has_ties = true;
        double factor = plan_piece_units(f, y) / plan_piece_units(f, x);
        for (int k = 0; k < p->crop_count; k++) {
            if (f->tied_to[k] != joins) continue;
            f->tied_to[k] = first;
            f->unit_kg[k] *= factor;
        }
    }
}
