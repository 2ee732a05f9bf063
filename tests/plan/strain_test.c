#include "plan/strain.h"
#include "untied.h"

static double sum(const double *x, int count)
{
    double all = 0;
    for (int i = 0; i < count; i++)
        all += x[i];
    return all;
}

static void nothing_bound_nothing_priced(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, untied_make(*state, 2));
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = untied_search(*state, f, 2, 500);
    assert_true(s->started_count > 0);
    assert_false(strain_price(*state, s, 0, &prices));
    assert_close(sum(prices.grade, f->grade_count), 0, 0);
    assert_close(sum(prices.treat, f->p->day_count), 0, 0);
    search_release(s);
}

/* One start that wants 20 kg of the 12 kg of seed there are, on a day that treats 12 kg. */
static void what_is_overstepped_gets_dearer_and_cheaper_again(void **state)
{
    struct handmade h;
    handmade_init(&h);
    handmade_want(&h, 6, 100);
    h.lots[0].kg = 12;
    h.days[2].treat_seed_kg = 12;
    h.days[6].pack_kg = 60;
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = search_new(*state, f, &prices, 1);
    int *counts = ARENA_ARRAY(*state, int, (size_t)f->option_count);
    for (int o = 0; o < f->option_count; o++)
        counts[o] = f->options[o].day == 2;
    search_start_from(s, counts, s->choices);
    assert_true(strain_price(*state, s, 0, &prices));
    assert_true(prices.grade[0] > 0 && prices.treat[2] > 0 && prices.pack[6] > 0);
    assert_close(sum(prices.treat, h.p.day_count), prices.treat[2], 0);
    assert_close(sum(prices.soak, h.p.day_count), 0, 0);
    /* nothing started, nothing used */
    search_release(s);
    s = search_new(*state, f, &prices, 1);
    double before = prices.grade[0];
    assert_true(strain_price(*state, s, 1, &prices));
    assert_true(prices.grade[0] < before && prices.grade[0] >= 0);
    search_release(s);
}

/* 25 kg of dishes take 2.5 kg of an ingredient; 1 kg is there, 1 kg may be used until day 5 only.
 */
static void an_ingredient_overstepped_gets_its_price(void **state)
{
    struct handmade h;
    handmade_init(&h);
    h.p.products = &h.products[1];
    h.p.ingredient_count = 1;
    h.ingredient_per_piece[0] = 0.025;
    h.ingredient.lot_count = 2;
    h.ingredient_lots[0] = (struct plan_ingredient_lot){1, 0, 90};
    h.ingredient_lots[1] = (struct plan_ingredient_lot){1, 0, 5};
    handmade_want(&h, 6, 100);
    struct plan_frame *f = plan_frame_make(*state, &h.p);
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = search_new(*state, f, &prices, 1);
    int *counts = ARENA_ARRAY(*state, int, (size_t)f->option_count);
    for (int o = 0; o < f->option_count; o++)
        counts[o] = f->options[o].day == 2;
    search_start_from(s, counts, s->choices);
    assert_true(strain_price(*state, s, 0, &prices));
    /* in all, and from day 6 on */
    assert_true(prices.until[9] > 0 && prices.from[6] > 0);
    assert_close(sum(prices.until, 10), prices.until[9], 0);
    assert_close(sum(prices.from, 10), prices.from[6], 0);
    search_release(s);
    /* a dear one is not taken: the search sees the price */
    prices.until[9] = 1000;
    s = search_new(*state, f, &prices, 1);
    search_start_from(s, counts, s->choices);
    assert_int_equal(s->flows[0]->met_ug[0], 0);
    search_release(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(nothing_bound_nothing_priced),
        EACH(what_is_overstepped_gets_dearer_and_cheaper_again),
        EACH(an_ingredient_overstepped_gets_its_price),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_strain", tests, NULL, NULL);
}
