/* Harvests early and late in a plan. */
#include "plans.h"

#include <math.h>

#include "runs.h"

/* Wanted a day before a start of tomorrow is ready: it is started all the same and cut a day early,
 * and the plan taken remembers it. */
static void a_batch_may_be_cut_a_day_early(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_seed(&h);
    plans_read(&h, &c);
    int crop = c.problem.products[0].crop, grow_days = c.problem.crops[crop].ways[0].grow_days;
    double whole = c.problem.crops[crop].ways[0].packed_kg_per_seed_kg;
    int wanted_day = c.problem.frozen_days + grow_days - 1;
    assert_true(plan_ready_day(&c.problem, 0, c.problem.frozen_days) <= wanted_day);
    plans_order(&h, "EARLY", wanted_day, 400);
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900},
                                           {.item = "MUNG", .days = 1, .yield = 1050}};
    struct profile with = *h.lg->profile;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.crops[crop].way_count, 1);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.met_pieces[0], 0);
    with.planning.early_late = early_late;
    with.planning.early_late_count = 2;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.crops[crop].way_count, 3);
    const struct plan_way *ways = c.problem.crops[crop].ways;
    assert_int_equal(ways[1].grow_days, grow_days - 1);
    assert_int_equal(ways[2].grow_days, grow_days + 1);
    assert_true(fabs(ways[1].packed_kg_per_seed_kg - 0.9 * whole) < 1e-9);
    assert_true(fabs(ways[2].packed_kg_per_seed_kg - 1.05 * whole) < 1e-9);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.met_pieces[0], 400);
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    assert_int_equal(json_integer_value(json_object_get(
                         json_array_get(json_object_get(plan, "starts"), 0), "off_days")),
                     -1);
    json_decref(plan);
    assert_ok(house_send_json(&h, planning_take(&c, &outcome, NULL, 0, &h.arena)));
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.taken_count, 1);
    assert_int_equal(c.problem.taken[0].way, 1);
    /* a house that no longer allows it plans the start for its own day */
    plans_read(&h, &c);
    assert_int_equal(c.problem.taken[0].way, 0);
    house_close(&h);
}

static const json_t *first_of(const json_t *plan, const char *list)
{
    const json_t *first = json_array_get(json_object_get(plan, list), 0);
    assert_non_null(first);
    return first;
}

static const char *text(const json_t *o, const char *key)
{
    const char *value = json_string_value(json_object_get(o, key));
    assert_non_null(value);
    return value;
}

/* The plan that the search finds; no other program is asked. */
static void search_for(struct house *h, const struct planning_case *c, struct plan_outcome *out)
{
    struct improve_options options = {.solver = {.seconds = 60}, .seed = 1, .moves = 20000};
    assert_ok(plan_make(&h->arena, &c->problem, &options, out));
}

/* Whoever lists what is to be harvested has the one lot a day early, with nine tenths of it. */
static void lists_follow(struct house *h, const struct profile *with)
{
    struct yield_history history;
    struct chamber_yield early, whole;
    struct chamber_run *runs;
    size_t count;
    int64_t due_ms;
    int32_t own_day;
    runs_of(h, NULL, &runs, &count);
    assert_int_equal(runs[0].off_days, -1);
    const struct crop *crop = profile_crop(with, "MUNG");
    own_day = runs_own_day(with, "MUNG", runs[0].start_ms);
    assert_ok(chamber_due(with, crop, &runs[0], h->fixed.now_ms, &due_ms));
    assert_int_equal(due_ms / PLANS_DAY_MS, own_day - 1);
    assert_ok(chamber_history(h->store, with, crop, &history));
    assert_ok(chamber_yield(with, &runs[0], crop, &history, h->fixed.now_ms, &early));
    /* a house that says nothing of that day shows the whole */
    assert_ok(chamber_yield(h->lg->profile, &runs[0], crop, &history, h->fixed.now_ms, &whole));
    assert_int_equal(whole.mg, 800000000);
    assert_int_equal(early.mg, 720000000);
    assert_int_equal(early.low_mg, whole.low_mg / 10 * 9);
    assert_int_equal(early.high_mg, whole.high_mg / 10 * 9);
}

/* A lot that is wanted the day before it is ready: the plan cuts it then and says so; taken, the
 * choice stands, shows in the lists of what is to be harvested and as no bad luck. */
static void a_lot_that_grows_is_cut_on_the_day_the_plan_chose(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c, again;
    struct plan_outcome outcome, kept;
    struct planning_why why;
    house_open(&h);
    const char *lot = house_grow(&h, "C2", "100 kg");
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900},
                                           {.item = "MUNG", .days = 1, .yield = 1050},
                                           {.item = "URD", .days = 1, .yield = 1050}};
    struct profile with = *h.lg->profile;
    house_wait(&h, "1 d");
    plans_read(&h, &c);
    assert_int_equal(c.problem.running[0].other_count, 0);
    int ready = c.problem.running[0].harvest_day;
    double whole_kg = c.problem.running[0].packed_kg;
    plans_order(&h, "EARLY", ready - 1, 400);
    with.planning.early_late = early_late;
    with.planning.early_late_count = 3;
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    const struct plan_running *r = &c.problem.running[0];
    assert_int_equal(r->other_count, 2);
    assert_int_equal(r->told, 0);
    assert_int_equal(plan_running_day(r, 1), ready - 1);
    assert_int_equal(plan_running_day(r, 2), ready + 1);
    assert_true(fabs(plan_running_kg(r, 1) - 0.9 * whole_kg) < 1e-6 * whole_kg);
    search_for(&h, &c, &outcome);
    assert_int_equal(outcome.improvement.plan->choices[0], 1);
    assert_int_equal(outcome.met_pieces[0], 400);
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    planning_why(&c, &outcome, &with, &h.arena, &why);
    planning_board(&c, &outcome, &why, &h.arena, "en", plan);
    const json_t *running = first_of(plan, "running");
    assert_string_equal(text(running, "harvest"), plans_day(&h, ready - 1));
    assert_string_equal(text(running, "ready"), plans_day(&h, ready));
    assert_int_equal(json_integer_value(json_object_get(running, "off_days")), -1);
    const char *begin = arena_printf(
        &h.arena, "Harvest %s one day early, on %s: ", lot,
        words_day(&h.arena, "en", (int32_t)(h.fixed.now_ms / PLANS_DAY_MS) + ready - 1));
    assert_int_equal(strncmp(text(running, "sentence"), begin, strlen(begin)), 0);
    json_decref(plan);
    /* against the plan without the choice, and against what is taken: nothing */
    struct plan_outcome at_once;
    assert_ok(planning_at_once(&c, &h.arena, &at_once));
    json_t *d = planning_difference(&c, &at_once, true, &c, &outcome, &h.arena, "en");
    assert_string_equal(text(first_of(d, "harvests"), "before"), plans_day(&h, ready));
    assert_string_equal(text(first_of(d, "harvests"), "after"), plans_day(&h, ready - 1));
    json_decref(d);
    assert_ok(house_send_json(&h, planning_take(&c, &outcome, NULL, 0, &h.arena)));
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &again));
    assert_int_equal(again.problem.running[0].told, 1);
    assert_ok(planning_at_once(&again, &h.arena, &kept));
    assert_int_equal(kept.improvement.plan->choices[0], 1);
    d = planning_difference(&again, &kept, true, &again, &kept, &h.arena, "en");
    assert_int_equal(json_array_size(json_object_get(d, "harvests")), 0);
    json_decref(d);
    lists_follow(&h, &with);
    /* a plan after it that cuts the lot on its own day says so, too */
    kept.improvement.plan = plan_copy(&h.arena, kept.improvement.plan);
    kept.improvement.plan->choices[0] = 0;
    assert_ok(house_send_json(&h, planning_take(&again, &kept, NULL, 0, &h.arena)));
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &again));
    assert_int_equal(again.problem.running[0].told, 0);
    house_close(&h);
}

/* What is overdue bears what a late lot does; other days begin tomorrow. */
static void an_overdue_lot_bears_what_a_late_one_does(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    house_open(&h);
    house_grow(&h, "C2", "100 kg");
    house_wait(&h, "1 d");
    plans_read(&h, &c);
    int ready = c.problem.running[0].harvest_day;
    double whole_kg = c.problem.running[0].packed_kg;
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900},
                                           {.item = "MUNG", .days = 1, .yield = 800},
                                           {.item = "MUNG", .days = 2, .yield = 600}};
    struct profile with = *h.lg->profile;
    with.planning.early_late = early_late;
    with.planning.early_late_count = 3;
    house_wait(&h, arena_printf(&h.arena, "%d d", ready + 1));
    assert_ok(planning_read(h.store, NULL, &with, h.fixed.now_ms, &h.arena, &c));
    const struct plan_running *r = &c.problem.running[0];
    assert_int_equal(r->harvest_day, 0);
    assert_int_equal(r->off_days, 1);
    assert_int_equal(r->other_count, 1);
    assert_int_equal(plan_running_day(r, 1), 1);
    assert_true(fabs(plan_running_kg(r, 0) - 0.8 * whole_kg) < 1e-6 * whole_kg);
    assert_true(fabs(plan_running_kg(r, 1) - 0.6 * whole_kg) < 1e-6 * whole_kg);
    /* the pages count it so, too */
    struct chamber_run *runs;
    size_t count;
    struct yield_history history;
    struct chamber_yield late;
    runs_of(&h, NULL, &runs, &count);
    const struct crop *crop = profile_crop(&with, "MUNG");
    assert_ok(chamber_history(h.store, &with, crop, &history));
    assert_ok(chamber_yield(&with, &runs[0], crop, &history, h.fixed.now_ms, &late));
    assert_int_equal(late.mg, 640000000);
    house_close(&h);
}

/* 100 kg of seed in a chamber until six in the morning so many days after its own day. */
static const char *grown(struct house *h, const char *place, int off_days)
{
    const struct crop *crop = profile_crop(h->lg->profile, "MUNG");
    const char *lot = house_grow(h, place, "100 kg");
    int32_t own_day;
    assert_int_equal(crop->expansion_std, 8000);
    own_day = runs_own_day(h->lg->profile, "MUNG", h->fixed.now_ms);
    int64_t until_ms = (int64_t)(own_day + off_days) * PLANS_DAY_MS + (int64_t)6 * 3600000;
    h->fixed.now_ms = until_ms;
    return lot;
}

static void meant_early(struct house *h, const char *lot)
{
    house_take(h,
               "{'kind':'plan-take','starts':[],'harvests':[{'lot':'%s','day':'%s',"
               "'off_days':-1}]}",
               lot, plans_day(h, 1));
}

static void harvest(struct house *h, const char *lot, const char *mass)
{
    house_take(h, "{'kind':'harvest','lot':'%s','share':'rest','mass':'%s','place':'WASH'}", lot,
               mass);
}

static void expect_ratio(struct house *h, const struct profile *with, int batches, double ratio)
{
    struct yield_history history;
    assert_ok(chamber_history(h->store, with, profile_crop(with, "MUNG"), &history));
    assert_int_equal(history.batch_count, batches);
    assert_true(fabs(history.mean_ratio - ratio) < 1e-9);
}

/* Cut a day early by the plan, it gave 648 of 800 kg, which is 720 of a whole batch: the house's
 * yields learn nothing bad of it (computed here: 648 / 0.9 / 800). */
static void what_was_cut_early_on_purpose_is_no_poor_batch(void **state)
{
    (void)state;
    struct house h;
    struct yield_history history;
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900}};
    house_open(&h);
    struct profile with = *h.lg->profile;
    with.planning.early_late = early_late;
    with.planning.early_late_count = 1;
    const char *lot = grown(&h, "C2", -1);
    meant_early(&h, lot);
    harvest(&h, lot, "648 kg");
    expect_ratio(&h, &with, 1, 0.9);
    /* a house that no longer says what a day early bears leaves it out */
    assert_ok(chamber_history(h.store, h.lg->profile, profile_crop(&with, "MUNG"), &history));
    assert_int_equal(history.batch_count, 0);
    /* one that nobody meant to be cut early counts as it is where nothing is said of its day */
    lot = grown(&h, "C1", -1);
    harvest(&h, lot, "648 kg");
    expect_ratio(&h, h.lg->profile, 1, 0.81);
    /* and as on its own day where something is */
    expect_ratio(&h, &with, 2, 0.9);
    house_close(&h);
}

/* The plan had it cut early, the floor let it stand until its own day: it is a batch like others,
 * also in a house that says nothing of a day early (computed here: 720 / 800). */
static void what_was_only_meant_early_is_counted_as_it_is(void **state)
{
    (void)state;
    struct house h;
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900},
                                           {.item = "MUNG", .days = 1, .yield = 1050}};
    house_open(&h);
    struct profile with = *h.lg->profile;
    with.planning.early_late = early_late;
    with.planning.early_late_count = 2;
    const char *lot = house_grow(&h, "C2", "100 kg");
    int64_t start_ms = h.fixed.now_ms, ready_ms;
    int32_t own_day;
    own_day = runs_own_day(&with, "MUNG", start_ms);
    ready_ms = runs_ready(&with, "MUNG", start_ms);
    house_wait(&h, "1 d");
    meant_early(&h, lot);
    house_wait(&h,
               arena_printf(&h.arena, "%d d", own_day - (int32_t)(h.fixed.now_ms / PLANS_DAY_MS)));
    harvest(&h, lot, "720 kg");
    expect_ratio(&h, &with, 1, 0.9);
    expect_ratio(&h, h.lg->profile, 1, 0.9);
    /* ready past the hour of harvest, and harvested that evening: not early */
    lot = house_grow(&h, "C1", "100 kg");
    start_ms = h.fixed.now_ms;
    own_day = runs_own_day(&with, "MUNG", start_ms);
    ready_ms = runs_ready(&with, "MUNG", start_ms);
    assert_int_equal(ready_ms / PLANS_DAY_MS, own_day - 1);
    house_wait(&h, "216 h");
    assert_true(ready_ms <= h.fixed.now_ms && h.fixed.now_ms / PLANS_DAY_MS == own_day - 1);
    harvest(&h, lot, "720 kg");
    expect_ratio(&h, &with, 2, 0.9);
    /* a day late bears a twentieth more (computed here: 756 / 1.05) */
    lot = grown(&h, "C3", 1);
    harvest(&h, lot, "756 kg");
    expect_ratio(&h, &with, 3, 0.9);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_batch_may_be_cut_a_day_early),
        cmocka_unit_test(a_lot_that_grows_is_cut_on_the_day_the_plan_chose),
        cmocka_unit_test(an_overdue_lot_bears_what_a_late_one_does),
        cmocka_unit_test(what_was_cut_early_on_purpose_is_no_poor_batch),
        cmocka_unit_test(what_was_only_meant_early_is_counted_as_it_is),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
