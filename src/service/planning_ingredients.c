/* What goes into packs beside the crop: recipes of the profile, and what of it the record has. */
#include <assert.h>
#include <string.h>

#include "base/check.h"
#include "ledger/view.h"
#include "service/planning_inner.h"

/* -> PLAN_NONE where there is no room for another */
static int ingredient_of(struct reading *r, const char *item, bool add)
{
    int at = 0;
    while (at < r->ingredient_count && strcmp(r->ingredients[at].code, item) != 0) {
        at++;
    }
    if (at == r->ingredient_count && add && at < PLAN_INGREDIENTS_MAX) {
        r->ingredients[r->ingredient_count++].code = arena_copy(r->arena, item);
    }
    return at < r->ingredient_count ? at : PLAN_NONE;
}

static_assert(PLANNING_DISH_CROPS_MAX == PLAN_WITH_MAX + 1, "the profile and the plan agree");

/* How much of its crop is in a piece; of a dish of several crops the one that the recipe names
 * first is its own. */
static void read_crops(struct reading *r, const struct pack_recipe *x, struct plan_product *out)
{
    struct plan_with *with = ARENA_ARRAY(r->arena, struct plan_with, x->with_count + 1);
    out->crop_kg = (double)x->crop_mg * 1e-6 * PLANNING_FILLED;
    if (x->crop != NULL) {
        out->crop = planning_crop_of(r, x->crop);
    }
    for (size_t i = 0; i < x->with_count; i++) {
        with[i] = (struct plan_with){planning_crop_of(r, x->with[i].item),
                                     (double)x->with[i].mg * 1e-6 * PLANNING_FILLED};
    }
    out->with = with;
    out->with_count = (int)x->with_count;
}

void planning_read_recipes(struct reading *r)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_problem *o = &r->out->problem;
    size_t products = (size_t)o->product_count;
    r->ingredients = ARENA_ARRAY(r->arena, struct plan_ingredient, PLAN_INGREDIENTS_MAX);
    double *kg = ARENA_ARRAY(r->arena, double, PLAN_INGREDIENTS_MAX *products + 1);
    for (size_t i = 0; i < pl->recipe_count; i++) {
        const struct pack_recipe *x = &pl->recipes[i];
        int product = planning_product_of(r, x->item);
        if (product == PLAN_NONE) {
            continue; /* the profile knows more items than the house has */
        }
        read_crops(r, x, &r->products[product]);
        for (size_t k = 0; k < x->take_count; k++) {
            int at = ingredient_of(r, x->takes[k].item, true);
            if (at != PLAN_NONE) {
                kg[(size_t)at * products + (size_t)product] = (double)x->takes[k].mg * 1e-6;
            }
        }
    }
    for (int i = 0; i < r->ingredient_count; i++) {
        r->ingredients[i].kg_per_piece = &kg[(size_t)i * products];
    }
    o->ingredients = r->ingredients;
    o->ingredient_count = r->ingredient_count;
}

/* More lots than the planner takes are joined with the last; they come by their days, so that it is
 * the earlier one that counts. */
static void add_lot(struct plan_ingredient *x, struct plan_ingredient_lot *lots, double kg,
                    int last_day)
{
    if (x->lot_count == PLAN_INGREDIENT_LOTS_MAX) {
        lots[x->lot_count - 1].kg += kg;
    } else {
        lots[x->lot_count++] = (struct plan_ingredient_lot){kg, 0, last_day};
    }
}

bool planning_add_ingredient(struct reading *r, const char *item, double kg, int from_day)
{
    int at = ingredient_of(r, item, false);
    if (at == PLAN_NONE || r->ingredients[at].lot_count == PLAN_INGREDIENT_LOTS_MAX) {
        return false;
    }
    struct plan_ingredient_lot *lots = &r->ingredient_lots[at * PLAN_INGREDIENT_LOTS_MAX];
    lots[r->ingredients[at].lot_count++] = (struct plan_ingredient_lot){kg, from_day, PLAN_NEVER};
    return true;
}

static struct result read_pieces(struct reading *r)
{
    double *kg = ARENA_ARRAY(r->arena, double, (size_t)r->ingredient_count + 1);
    for (int i = 0; i < r->ingredient_count; i++) {
        struct item item;
        bool found;
        TRY(item_by_code(r->store, r->arena, r->ingredients[i].code, &item, &found));
        kg[i] = found ? (double)item.net_mg * 1e-6 : 0;
    }
    r->out->piece_kg = kg;
    return RESULT_OK;
}

struct result planning_read_ingredients(struct reading *r)
{
    TRY(read_pieces(r));
    struct plan_ingredient_lot *lots =
        ARENA_ARRAY(r->arena, struct plan_ingredient_lot,
                    (size_t)r->ingredient_count * PLAN_INGREDIENT_LOTS_MAX + 1);
    r->ingredient_lots = lots;
    for (int i = 0; i < r->ingredient_count; i++) {
        r->ingredients[i].lots = &lots[i * PLAN_INGREDIENT_LOTS_MAX];
    }
    struct statement *q = store_prepare(r->store, Q_PLANNING_INGREDIENTS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int at = ingredient_of(r, store_text(q, 0), false);
        if (at != PLAN_NONE) {
            int last_day = store_is_null(q, 1) ? PLAN_NEVER : (int)(store_int(q, 1) - r->first_day);
            add_lot(&r->ingredients[at], &lots[at * PLAN_INGREDIENT_LOTS_MAX],
                    (double)store_int(q, 2) * 1e-6, last_day);
        }
    }
}
