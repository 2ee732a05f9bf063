#include <limits.h>

#include "brute.h"
#include "plan/realize.h"
#include "untied.h"

/* Counted anew from the counts, whatever the search believes. */
static void limits_hold(const struct search *s)
{
    const struct plan_frame *f = s->f;
    const struct plan_problem *p = f->p;
    for (int q = 0; q < f->pool_count; q++)
        for (int d = 0; d < f->span_days; d++) {
            int busy = f->busy_fixed[q * f->span_days + d];
            for (int o = 0; o < f->option_count; o++) {
                const struct plan_option *x = &f->options[o];
                if (x->pool == q && x->day <= d && d < x->last_day + p->cleaning_days)
                    busy += s->counts[o];
            }
            assert_true(busy <= f->pools[q].usable[d] || busy == 0 ||
                        busy == f->busy_fixed[q * f->span_days + d]);
        }
    for (int d = 0; d < p->day_count; d++) {
        int starts = 0, harvests = 0, given = 0;
        double seed_kg = 0;
        for (int o = 0; o < f->option_count; o++) {
            starts += f->options[o].day == d ? s->counts[o] : 0;
            for (int k = 0; k < f->options[o].harvest_count; k++)
                harvests += f->options[o].harvests[k].day == d ? s->counts[o] : 0;
            seed_kg += f->options[o].day == d ? s->counts[o] * f->options[o].seed_min_kg : 0;
        }
        for (int i = 0; i < p->running_count; i++)
            given += p->running[i].harvest_day == d;
        for (int i = 0; i < f->fixed_count; i++)
            for (int k = 0; k < f->fixed[i].harvest_count; k++)
                given += f->fixed[i].harvests[k].day == d;
        if (starts > 0) assert_true(starts <= p->days[d].starts_max);
        if (starts > 0) assert_true(seed_kg <= p->days[d].treat_seed_kg + 1e-6);
        if (harvests > 0 && p->days[d].harvests_max != INT_MAX)
            assert_true(harvests + given <= p->days[d].harvests_max);
    }
}

static void counts_keep_every_limit(void **state)
{
    for (uint64_t seed = 1; seed <= 8; seed++) {
        struct plan_frame *f =
            plan_frame_make(*state, instance_make(*state, seed, &instance_small));
        struct search *s = untied_search(*state, f, seed, 2000);
        assert_true(s->tried > 100);
        limits_hold(s);
        search_start_from(s, s->best_counts);
        assert_memory_equal(s->counts, s->best_counts, (size_t)f->option_count * sizeof *s->counts);
        assert_close(s->cost, s->best_cost, 1e-6);
        search_release(s);
        arena_clear(*state);
    }
}

/* Small enough to try every number of starts. */
static void it_finds_what_trying_everything_finds(void **state)
{
    int with_starts = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        struct handmade h;
        struct random r;
        random_seed(&r, seed);
        handmade_init(&h);
        h.p.day_count = 8;
        h.p.chamber_count = 3;
        h.ways[0] = (struct plan_way){"steady", 3, 5, NULL, 0, 0};
        h.ways[1] = (struct plan_way){"slow", 4, 5, NULL, 0, 0};
        h.crop.way_count = 2;
        h.crop.start_cost = (double)random_below(&r, 60);
        h.product.life_days = 1 + (int)random_below(&r, 3);
        for (int d = 0; d < h.p.day_count; d++) {
            h.days[d].starts_max = 1 + (int)random_below(&r, 3);
            h.days[d].harvests_max = 1 + (int)random_below(&r, 2);
            handmade_want(&h, d, (int64_t)random_below(&r, 90));
            h.lines[d].shortage_cost_per_kg = 1 + (double)random_below(&r, 6);
        }
        int tried = 0;
        double best = brute_cost(*state, &h.p, &tried);
        struct plan_frame *f = plan_frame_make(*state, &h.p);
        struct search_prices prices = search_prices_new(*state, f);
        struct search *s = search_new(*state, f, &prices, seed);
        search_anneal(s, 1, 0.002, 20000, NULL);
        assert_close(s->best_cost, best, 1e-6);
        search_start_from(s, s->best_counts);
        with_starts += s->started_count > 0;
        search_release(s);
        arena_clear(*state);
    }
    assert_true(with_starts >= 8);
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
    assert_close(s->cost, cost_of_counts(*state, f, s->counts), 1e-6);
    search_release(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(counts_keep_every_limit),
        EACH(it_finds_what_trying_everything_finds),
        EACH(the_same_seed_goes_the_same_way),
        EACH(whoever_watches_can_end_it),
        EACH(a_judge_decides),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_search", tests, NULL, NULL);
}
