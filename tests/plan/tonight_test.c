#include <time.h>

#include "instance.h"
#include "plan/impose.h"
#include "plan/tonight.h"
#include "support.h"

/* A lot of 100 kg is harvested on day 1 and 150 kg are ordered for day 4, 60 for day 5. Whatever
 * grows is barred in half of all futures, a lot, tonight's chambers and tomorrow's each by
 * themselves; nothing is started after tomorrow. */
struct scene {
    struct handmade h;
    struct chance_crop crop;
    struct chance_model model;
    double level;
    struct safety safety;
    struct tonight_ask ask;
};

static const double WANTED[2] = {150, 60}; /* on days 4 and 5 */

static void plan_now(struct arena *a, struct scene *s)
{
    struct plan_outcome o;
    plan_of(a, safety_problem(a, &s->h.p, &s->model, &s->safety), NULL, &o);
    s->ask.planned = o.starts;
    s->ask.planned_count = o.start_count;
}

static void scene_init(struct arena *a, struct scene *s)
{
    *s = (struct scene){.crop = {.yield_mean = 1, .barred = 1e6, .passed = 1e6}};
    handmade_init(&s->h);
    s->h.p.chamber_count = 6;
    s->h.group.remaining_days = 0;
    s->h.running[0] = (struct plan_running){
        "lot-r", 5, 0, 1, 100, 1, s->h.ready_day, NULL, 0, 0, 0, NULL, NULL, false, 0};
    s->h.p.running_count = 1;
    handmade_want(&s->h, 4, (int64_t)WANTED[0]);
    handmade_want(&s->h, 5, (int64_t)WANTED[1]);
    for (int d = 2; d < 20; d++)
        s->h.days[d].starts_max = 0;
    s->model = (struct chance_model){&s->crop, 0, 11, 100};
    s->safety = (struct safety){&s->level};
    s->ask = (struct tonight_ask){
        .p = &s->h.p, .model = &s->model, .safety = &s->safety, .future_count = 1600};
    plan_now(a, s);
}

/* What one future costs: kg of the lot, of tonight and of tomorrow that really come. The lot keeps
 * until day 4, tonight's for day 5 as well. */
static double outcome_cost(double lot_kg, double tonight_kg, double tomorrow_kg)
{
    double first = fmin(WANTED[0], lot_kg), left = WANTED[0] - first;
    double second = fmin(left, tonight_kg);
    double short_kg = left - second, kept = tonight_kg - second;
    double of_kept = fmin(WANTED[1], kept);
    double of_new = fmin(WANTED[1] - of_kept, tomorrow_kg);
    short_kg += WANTED[1] - of_kept - of_new;
    double waste = lot_kg - first + kept - of_kept + tomorrow_kg - of_new;
    return 10 * short_kg + 0.1 * (3 * first + of_kept) + 0.5 * waste;
}

static double start_cost(int count, double seed_kg)
{
    return count * (10 + 2 * seed_kg);
}

/* The least cost from tomorrow evening on, when it is known whether the lot came: by trying every
 * number of chambers and every filling. */
static double tomorrow_best(double lot_kg, double tonight_kg)
{
    double best = INFINITY;
    for (int n = 0; n <= 3; n++)
        for (double seed = 10; seed <= 20 && (n > 0 || seed <= 10); seed += 2.5) {
            double cost = start_cost(n, seed);
            for (int luck = 0; luck < 4; luck++)
                cost +=
                    outcome_cost(lot_kg, luck & 1 ? tonight_kg : 0, luck & 2 ? n * seed * 5 : 0) /
                    4;
            best = fmin(best, cost);
        }
    return best;
}

/* Dynamic programming: tonight's start, then the best of tomorrow in either case. */
static double exact(int count, double seed_kg)
{
    double kg = count * seed_kg * 5;
    return start_cost(count, seed_kg) + (tomorrow_best(0, kg) + tomorrow_best(100, kg)) / 2;
}

static void tonights_start_is_the_best_there_is(void **state)
{
    struct scene s;
    struct tonight x;
    scene_init(*state, &s);
    tonight_choose(*state, &s.ask, &x);
    assert_true(x.is_done);
    assert_int_equal(x.day, 0);
    const struct tonight_crop *c = &x.crops[0];
    assert_true(c->is_rehearsed);
    double best = exact(0, 0);
    for (int n = 1; n <= c->planned_count + 1; n++)
        for (double seed = 10; seed <= 20; seed += 2.5)
            best = fmin(best, exact(n, seed));
    double chosen = exact(c->count, c->count > 0 ? c->seed_kg / c->count : 0);
    double planned =
        exact(c->planned_count, c->planned_count > 0 ? c->planned_seed_kg / c->planned_count : 0);
    /* the estimate has an error: three of its own */
    if (chosen > best + 3 * c->saved_error)
        fail_msg("%d chambers of %g kg cost %g, not %g", c->count, c->seed_kg, chosen, best);
    assert_true(chosen < planned - 30);
    assert_true(x.is_changed);
    assert_true(c->saved > 0 && c->saved_error > 0);
    assert_int_equal(c->future_count, 1600);
}

/* Nothing is barred, one order is left, the lot and one chamber serve it: nothing costs less. */
static void a_plan_that_nothing_can_spoil_stays_as_it_is(void **state)
{
    struct scene s;
    struct tonight x;
    scene_init(*state, &s);
    s.crop.barred = 0;
    s.h.p.line_count = 1;
    plan_now(*state, &s);
    tonight_choose(*state, &s.ask, &x);
    assert_true(x.is_done);
    assert_false(x.is_changed);
    assert_int_equal(x.crops[0].count, x.crops[0].planned_count);
    assert_close(x.crops[0].saved, 0, 0);
    int tonight = 0;
    for (int i = 0; i < s.ask.planned_count; i++)
        tonight += s.ask.planned[i].day == 0;
    assert_int_equal(x.start_count, tonight);
}

/* What is known of the running lot counts: known to come, less is started than otherwise. */
static void what_is_known_of_running_lots_is_used(void **state)
{
    struct scene s;
    struct tonight unknown, known;
    const struct tonight_known passed[1] = {{true, true}};
    scene_init(*state, &s);
    tonight_choose(*state, &s.ask, &unknown);
    s.ask.running = passed;
    tonight_choose(*state, &s.ask, &known);
    assert_true(known.crops[0].seed_kg < unknown.crops[0].seed_kg);
}

static void the_same_problem_gives_the_same_starts(void **state)
{
    struct scene s;
    struct tonight x, y;
    scene_init(*state, &s);
    s.ask.future_count = 64;
    tonight_choose(*state, &s.ask, &x);
    tonight_choose(*state, &s.ask, &y);
    assert_int_equal(x.start_count, y.start_count);
    assert_memory_equal(x.starts, y.starts, (size_t)x.start_count * sizeof *x.starts);
    assert_true(x.crops[0].saved == y.crops[0].saved);
}

static void what_cannot_be_rehearsed_stays_as_planned(void **state)
{
    struct scene s;
    struct tonight x;
    scene_init(*state, &s);
    static const struct plan_part parts[2] = {{0, 0.5, 1}, {1, 0.5, 1}};
    s.h.ways[0].parts = parts;
    s.h.ways[0].part_count = 2;
    plan_now(*state, &s);
    tonight_choose(*state, &s.ask, &x);
    assert_true(x.is_done);
    assert_false(x.is_changed);
    assert_false(x.crops[0].is_rehearsed);
    scene_init(*state, &s);
    atomic_bool stop = true;
    s.ask.stop = &stop;
    tonight_choose(*state, &s.ask, &x);
    assert_false(x.is_done);
    scene_init(*state, &s);
    s.h.p.frozen_days = s.h.p.day_count;
    tonight_choose(*state, &s.ask, &x);
    assert_false(x.is_done);
}

/* On every invented house: starts on free chambers that take the crop, within their fillings and
 * the day's limits, so that they can be imposed; and in a bounded time. */
static void any_house_can_be_rehearsed(void **state)
{
    int rehearsed = 0, imposed = 0, changed = 0;
    clock_t from = clock();
    for (uint64_t seed = 1; seed <= 30; seed++) {
        struct plan_problem *p = instance_make(*state, seed, &instance_small);
        struct chance_crop crops[2] = {
            {.yield_mean = 1.05, .yield_relative = 0.1, .barred = 1, .passed = 50},
            {.yield_mean = 1.1, .yield_relative = 0.2, .mean_relative = 0.05}};
        struct chance_model model = {crops, 0.2, seed, 50};
        double levels[2] = {1, 2};
        struct safety safety = {levels};
        struct plan_outcome o;
        const struct plan_problem *q = safety_problem(*state, p, &model, &safety);
        plan_of(*state, q, NULL, &o);
        struct tonight_ask ask = {.p = p,
                                  .model = &model,
                                  .safety = &safety,
                                  .planned = o.starts,
                                  .planned_count = o.start_count,
                                  .future_count = 32};
        struct tonight x;
        struct imposed with;
        tonight_choose(*state, &ask, &x);
        for (int k = 0; k < p->crop_count && x.is_done; k++)
            rehearsed += x.crops[k].is_rehearsed;
        for (int i = 0; i < x.start_count; i++) {
            const struct plan_taken *t = &x.starts[i];
            const struct plan_fill *f =
                &p->crops[t->crop].fills[p->chambers[t->chamber].class_index];
            assert_int_equal(t->day, x.day);
            assert_true(t->seed_kg >= f->seed_min_kg - 1e-6 && t->seed_kg <= f->seed_max_kg + 1e-6);
            for (int j = 0; j < i; j++)
                assert_int_not_equal(t->chamber, x.starts[j].chamber);
        }
        changed += x.is_changed;
        if (x.is_changed) imposed += impose(*state, q, x.starts, x.start_count, &with);
    }
    assert_true(rehearsed > 20);
    assert_true(changed > 5);
    /* the few that can't be: seed that is short, chambers that fall out on the way */
    assert_true(imposed * 10 >= changed * 8);
    assert_true((double)(clock() - from) / CLOCKS_PER_SEC < 60);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        EACH(tonights_start_is_the_best_there_is),
        EACH(a_plan_that_nothing_can_spoil_stays_as_it_is),
        EACH(what_is_known_of_running_lots_is_used),
        EACH(the_same_problem_gives_the_same_starts),
        EACH(what_cannot_be_rehearsed_stays_as_planned),
        EACH(any_house_can_be_rehearsed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
