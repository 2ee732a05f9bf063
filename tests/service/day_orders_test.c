/* Kept orders of a day's jobs: what is given is what the search would find, also from many threads
 * and when there is no room for all. */
#include "../plan/support.h"

#include <pthread.h>

#include "../plan/day_support.h"
#include "service/day_orders.h"

enum { DAYS = 40, THREADS = 4 };

static const struct day_problem *days[DAYS];
static const struct day_sequence *found[DAYS];

static void draw_days(struct arena *a)
{
    struct random r;
    random_seed(&r, 17);
    for (int i = 0; i < DAYS; i++) {
        struct day_kind kind = {.jobs = i % 7,
                                .stages = 4,
                                .trucks = 2,
                                .machines = i % 2 == 0,
                                .families = true,
                                .pauses = true};
        days[i] = day_random(a, &r, &kind);
        found[i] = day_search(a, days[i], DAY_ROUNDS);
    }
}

static void expect_found(struct day_orders *o, struct arena *a, int i)
{
    const struct day_sequence *s = day_orders_sequence(o, a, days[i]), *want = found[i];
    size_t jobs = (size_t)days[i]->job_count, stages = (size_t)days[i]->stage_count;
    assert_ptr_equal(s->p, days[i]);
    assert_int_equal(day_compare(&s->score, &want->score), 0);
    for (size_t j = 0; j < jobs; j++) {
        assert_int_equal(s->order[j], want->order[j]);
    }
    for (size_t k = 0; k < jobs * stages; k++) {
        assert_int_equal(s->runs[k].start, want->runs[k].start);
        assert_int_equal(s->runs[k].end, want->runs[k].end);
        assert_int_equal(s->runs[k].machine, want->runs[k].machine);
    }
    for (int t = 0; t < days[i]->truck_count; t++) {
        assert_int_equal(s->ready[t], want->ready[t]);
    }
}

static void what_is_given_is_what_is_found(void **state)
{
    struct day_orders *o = day_orders_new();
    draw_days(*state);
    for (int i = 0; i < DAYS; i++) {
        expect_found(NULL, *state, i);
        expect_found(o, *state, i);
        expect_found(o, *state, i);
        expect_found(o, *state, i > 3 ? i - 3 : 0);
        expect_found(o, *state, 0);
    }
    day_orders_free(o);
    day_orders_free(NULL);
}

static void *ask(void *orders)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (int i = 0; i < 3 * DAYS; i++) {
        expect_found(orders, &a, (i * 7 + i / DAYS) % DAYS);
        arena_clear(&a);
    }
    arena_release(&a);
    return NULL;
}

static void many_may_ask_at_once(void **state)
{
    struct day_orders *o = day_orders_new();
    pthread_t threads[THREADS];
    draw_days(*state);
    for (int i = 0; i < THREADS; i++) {
        assert_int_equal(pthread_create(&threads[i], NULL, ask, o), 0);
    }
    for (int i = 0; i < THREADS; i++) {
        pthread_join(threads[i], NULL);
    }
    day_orders_free(o);
}

int main(void)
{
    const struct CMUnitTest tests[] = {EACH(what_is_given_is_what_is_found),
                                       EACH(many_may_ask_at_once)};
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
