#include "base/random.h"
#include "instance.h"
#include "plan/mix.h"
#include "support.h"

static void a_kg_of_crop_carries_what_its_pieces_take(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.products = h.products;
    h.p.product_count = 2;
    h.p.ingredient_count = 1;
    h.ingredient_per_piece[1] = 0.02;
    handmade_want(&h, 6, 10);
    handmade_want(&h, 6, 10);
    h.lines[1].product = 1;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    /* 0.25 kg in a pack of 0.5 kg with 0.02 kg of sesame */
    assert_close(plan_pack_kg(&h.p, 1), 2, 1e-12);
    assert_close(plan_takes(&h.p, 0, 1), 0.08, 1e-12);
    assert_close(plan_line_kg(&h.p, &h.lines[1]), 2.5, 1e-12);
    assert_int_equal(f->mix_count, 2);
    assert_int_equal(f->cell_count, 2);
    assert_int_equal(f->cells[f->cell_of_line[0]].mix, 0);
    const struct plan_mix *mix = &f->mixes[f->cells[f->cell_of_line[1]].mix];
    assert_close(mix->pack_kg, 2, 1e-12);
    assert_close(mix->takes[0], 0.08, 1e-12);
}

static void what_takes_alike_is_one_mix(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.products = h.products;
    h.p.product_count = 2;
    h.p.ingredient_count = 1;
    h.products[1] = (struct plan_product){"large", 0, 3, 3, 0, NULL, 0};
    h.ingredient_per_piece[0] = 0.01;
    h.ingredient_per_piece[1] = 0.03;
    handmade_want(&h, 6, 10);
    handmade_want(&h, 6, 10);
    h.lines[1].product = 1;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    assert_int_equal(f->mix_count, 2);
    assert_int_equal(f->mix_of_product[0], 1);
    assert_int_equal(f->mix_of_product[1], 1);
    assert_int_equal(f->cell_count, 1);
    assert_close(f->cells[0].kg, 40, 1e-12);
    /* without ingredients there is the crop alone */
    h.p.ingredient_count = 0;
    assert_int_equal(plan_frame_make(*state, &h.p)->mix_count, 1);
}

/* Hall: for every set of days with the one asked for, its lots hold what the set uses. */
static double left_by_sets(const struct plan_problem *p, const double *used, int day)
{
    const struct plan_ingredient *x = &p->ingredients[0];
    double least = INFINITY;
    for (unsigned set = 0; set < 1U << p->day_count; set++) {
        if (!(set >> day & 1)) continue;
        double have = 0;
        for (int l = 0; l < x->lot_count; l++) {
            bool meets = false;
            for (int d = 0; d < p->day_count; d++)
                meets = meets ||
                        ((set >> d & 1) && x->lots[l].from_day <= d && x->lots[l].last_day >= d);
            have += meets ? x->lots[l].kg : 0;
        }
        for (int d = 0; d < p->day_count; d++)
            have -= set >> d & 1 ? used[d] : 0;
        least = fmin(least, have);
    }
    return least;
}

static void what_is_left_of_it_is_exact(void **state)
{
    struct random r;
    int some = 0;
    (void)state;
    random_seed(&r, 5);
    for (int i = 0; i < 300; i++) {
        struct handmade h;
        handmade_init(&h);
        h.p.day_count = 8;
        h.p.ingredient_count = 1;
        h.ingredient.lot_count = 4;
        for (int l = 0; l < 4; l++) {
            int from = (int)random_below(&r, 8) - 1;
            h.ingredient_lots[l] = (struct plan_ingredient_lot){(double)random_below(&r, 20), from,
                                                                from + (int)random_below(&r, 6)};
        }
        double used[8] = {0};
        for (int k = 0; k < 12; k++) {
            int day = (int)random_below(&r, 8);
            double left = plan_ingredient_left(&h.p, 0, used, day);
            assert_close(left, fmax(0, left_by_sets(&h.p, used, day)), 1e-9);
            some += left > 0;
            used[day] += floor(left * random_unit(&r));
        }
    }
    assert_true(some > 1000);
}

static void sums_until_and_from_a_day(void **state)
{
    struct handmade h;
    (void)state;
    handmade_init(&h);
    h.p.ingredient_count = 1;
    h.ingredient.lot_count = 3;
    h.ingredient_lots[0] = (struct plan_ingredient_lot){5, -3, 2};
    h.ingredient_lots[1] = (struct plan_ingredient_lot){7, 4, 30};
    h.ingredient_lots[2] = (struct plan_ingredient_lot){9, -9, -1}; /* gone */
    assert_close(plan_ingredient_until(&h.p, 0, 3), 5, 0);
    assert_close(plan_ingredient_until(&h.p, 0, 4), 12, 0);
    assert_close(plan_ingredient_from(&h.p, 0, 0), 12, 0);
    assert_close(plan_ingredient_from(&h.p, 0, 3), 7, 0);
}

static void what_is_packed_takes_nothing_more(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.stock_count = 2;
    h.stock[0] = (struct plan_stock){"packed", 0, 0, -1, 10, 1, h.ready_day, NULL, NULL, NULL};
    h.stock[1] =
        (struct plan_stock){"loose", 0, PLAN_NONE, -1, 10, 1, h.ready_day, NULL, NULL, NULL};
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    assert_int_equal(plan_pack_day(f, f->node_of_stock[0]), PLAN_NONE);
    assert_int_equal(plan_pack_day(f, f->node_of_stock[1]), 0);
    assert_int_equal(plan_pack_day(f, f->options[0].node), f->options[0].harvest_day);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_kg_of_crop_carries_what_its_pieces_take),
        EACH(what_takes_alike_is_one_mix),
        EACH(what_is_left_of_it_is_exact),
        EACH(sums_until_and_from_a_day),
        EACH(what_is_packed_takes_nothing_more),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_mix", tests, NULL, NULL);
}
