#include "brute.h"
#include "plan/realize.h"
#include "untied.h"

static void two_ways(struct handmade *h)
{
    h->ways[0] = (struct plan_way){"steady", 3, 5, NULL, 0, 0};
    h->ways[1] = (struct plan_way){"slow", 4, 5, NULL, 0, 0};
    h->crop.way_count = 2;
}

/* Small enough to try every number of starts; goods keep for life_least ... 3 days. */
static void draw_small(struct handmade *h, struct random *r, int life_least)
{
    h->p.day_count = 8;
    h->p.chamber_count = 3;
    h->crop.start_cost = (double)random_below(r, 60);
    h->product.life_days = life_least + (int)random_below(r, (uint64_t)(4 - life_least));
    for (int d = 0; d < h->p.day_count; d++) {
        h->days[d].starts_max = 1 + (int)random_below(r, 3);
        h->days[d].harvests_max = 1 + (int)random_below(r, 2);
        handmade_want(h, d, (int64_t)random_below(r, 90));
        h->lines[d].shortage_cost_per_kg = 1 + (double)random_below(r, 6);
    }
}

static void it_finds_what_trying_everything_finds(void **state)
{
    int with_starts = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct handmade h;
        struct random r;
        random_seed(&r, seed);
        handmade_init(&h);
        two_ways(&h);
        draw_small(&h, &r, 1);
        int tried = 0;
        double best = brute_cost(*state, &h.p, &tried);
        struct plan_frame *f = plan_frame_make(*state, &h.p);
        struct search_prices prices = search_prices_new(*state, f);
        struct search *s = search_new(*state, f, &prices, seed);
        search_anneal(s, 1, 0.002, 20000, NULL);
        assert_close(s->best_cost, best, 1e-6);
        search_start_from(s, s->best_counts, s->best_choices);
        with_starts += s->started_count > 0;
        search_release(s);
        arena_clear(*state);
    }
    assert_true(with_starts >= 8);
}

/* And where results are waited for and each is planned with a second test. */
static void it_finds_what_second_tests_leave(void **state)
{
    int moved = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct handmade h;
        struct random r;
        random_seed(&r, seed);
        handmade_init(&h);
        h.market = (struct plan_market){"home", 24, 4, 44, 24 * (double)(1 + seed % 2)};
        two_ways(&h);
        draw_small(&h, &r, 2);
        int tried = 0;
        double once = brute_cost(*state, &h.p, &tried);
        h.p.retest_planned = true;
        double best = brute_cost(*state, &h.p, &tried);
        moved += best > once + 1e-3;
        struct plan_frame *f = plan_frame_make(*state, &h.p);
        struct search_prices prices = search_prices_new(*state, f);
        struct search *s = search_new(*state, f, &prices, seed);
        search_anneal(s, 1, 0.002, 20000, NULL);
        assert_close(s->best_cost, best, 1e-6);
        search_release(s);
        arena_clear(*state);
    }
    assert_true(moved >= 5);
}

/* And where two lots that grow may be harvested on other days: more stands in the way then. */
static void it_finds_the_days_of_running_lots(void **state)
{
    int off = 0;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        struct handmade h;
        struct random r;
        random_seed(&r, seed);
        handmade_init(&h);
        choose_small(&h, seed);
        h.ways[0].grow_days = 3;
        draw_small(&h, &r, 1);
        int tried = 0;
        double best = brute_cost(*state, &h.p, &tried);
        struct plan_frame *f = plan_frame_make(*state, &h.p);
        struct search_prices prices = search_prices_new(*state, f);
        struct search *s = search_new(*state, f, &prices, seed);
        for (int round = 0; round < 3; round++) /* as hot as improve.c is with few chambers */
            search_anneal(s, round == 2 ? 18 : 3, 0.002, 20000, NULL);
        assert_close(s->best_cost, best, 1e-6);
        for (int i = 0; i < 2; i++)
            off += s->best_choices[i] != h.running[i].told;
        search_release(s);
        arena_clear(*state);
    }
    assert_true(off >= 6);
}

static void the_same_seed_goes_the_same_way(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, untied_make(*state, 5));
    struct search *x = untied_search(*state, f, 11, 1500), *y = untied_search(*state, f, 11, 1500);
    struct search *z = untied_search(*state, f, 12, 1500);
    size_t bytes = (size_t)f->option_count * sizeof *x->counts;
    assert_memory_equal(x->counts, y->counts, bytes);
    assert_true(x->cost == y->cost);
    assert_memory_not_equal(x->counts, z->counts, bytes);
    search_release(x);
    search_release(y);
    search_release(z);
}

static bool enough(void *self)
{
    return ++*(int *)self > 3;
}

static void whoever_watches_can_end_it(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, untied_make(*state, 6));
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = search_new(*state, f, &prices, 1);
    int looks = 0;
    struct search_watch watch = {enough, &looks};
    search_anneal(s, 1, 0.1, INT64_MAX / 2, &watch);
    assert_int_equal(looks, 4);
    search_release(s);
}

static double starts_alone(void *self, const struct search *s)
{
    (void)self;
    int starts = 0;
    for (int o = 0; o < s->f->option_count; o++)
        starts += s->counts[o];
    return starts < 3 ? 1000 * (3 - starts) : 1000 * (starts - 3);
}

/* Whatever a judge wants is what comes out, and the search's own cost is carried along. */
static void a_judge_decides(void **state)
{
    struct plan_frame *f = plan_frame_make(*state, untied_make(*state, 7));
    struct search_prices prices = search_prices_new(*state, f);
    struct search *s = search_new(*state, f, &prices, 3);
    struct search_judge judge = {starts_alone, NULL};
    search_anneal_judged(s, 0.01, 0.001, 500, &judge, NULL);
    assert_close(starts_alone(NULL, s), 0, 0);
    assert_close(s->cost, cost_of_counts(*state, f, s->counts, s->choices), 1e-6);
    search_release(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(it_finds_what_trying_everything_finds),
        EACH(it_finds_what_second_tests_leave),
        EACH(it_finds_the_days_of_running_lots),
        EACH(the_same_seed_goes_the_same_way),
        EACH(whoever_watches_can_end_it),
        EACH(a_judge_decides),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_search", tests, NULL, NULL);
}
