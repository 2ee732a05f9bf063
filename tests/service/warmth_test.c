/* What a chamber's log does to the day it is due. In the tests' house nothing grows below 10 C, the
 * set point is 19.5 C and 1950 degree-hours are wanted: 9.5 of them an hour. */
#include "logs.h"
#include "pages.h"
#include "plans.h"
#include "runs.h"

#include "service/view_chambers.h"
#include "service/view_today.h"
#include "service/warmth_kept.h"

#define HOUR_MS INT64_C(3600000)
#define MINUTE_MS INT64_C(60000)

enum { SET_MC = 19500, COLD_MC = 16500 };

static struct house h;
static int64_t warm_ms; /* the end of the lead, on a whole hour */

static int set_up(void **state)
{
    house_open(&h);
    house_wait(&h, "50 min");
    house_grow(&h, "C1", "100 kg");
    warm_ms = h.fixed.now_ms + h.lg->profile->planning.lead_ms;
    assert_int_equal(warm_ms % HOUR_MS, 0);
    house_wait(&h, "6 d");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static struct chamber_run run_with(struct warmth_kept *kept)
{
    struct chamber_run *runs;
    size_t count;
    runs_of(&h, kept, &runs, &count);
    assert_int_equal(count, 1);
    return runs[0];
}

static int64_t ready_ms(void)
{
    struct chamber_run run = run_with(NULL);
    int64_t ms;
    assert_ok(chamber_ready(profile_crop(h.lg->profile, "MUNG"), &run.warmth, &ms));
    return ms;
}

static int64_t at_set_point_ms(void)
{
    return runs_ready(h.lg->profile, "MUNG", warm_ms - h.lg->profile->planning.lead_ms);
}

static void seal_hours(const char *series, int from, int to, int32_t mc)
{
    for (int i = from; i < to; i++) {
        logs_seal(&h, series, warm_ms + i * HOUR_MS, mc);
    }
}

static json_t *chambers(struct view *v)
{
    json_t *out;
    assert_ok(view_chambers(v, &out));
    return out;
}

/* Is the chamber to be harvested on that house day, as Today has it? */
static bool today_harvests(struct view *v, int32_t day)
{
    json_t *out;
    assert_ok(view_today(v, day, NULL, &out));
    bool does = page_find(json_object_get(out, "lines"), "key", "harvest:C1") != NULL;
    json_decref(out);
    return does;
}

/* Three degrees less for 95 h 50 min, the rest at the set point: 287.5 degree-hours, and at 9.5 an
 * hour 30.26 h later. */
static void four_cold_days_are_the_same_day_later_everywhere(void **state)
{
    struct view v = house_view(&h, "en");
    seal_hours("chamber-1", 0, 96, COLD_MC);
    int64_t later_ms = ready_ms() - at_set_point_ms();
    assert_in_range(later_ms, 30.26 * HOUR_MS, 30.27 * HOUR_MS);
    struct chamber_run run = run_with(NULL);
    assert_int_equal(run.warmth.log_ms, warm_ms + 95 * HOUR_MS + 50 * MINUTE_MS);
    assert_int_equal(run.warmth.heat_mc_h, 6500 * (96 * 6 - 1) / 6);
    int64_t due_ms;
    int later_days;
    const struct profile *p = h.lg->profile;
    assert_ok(chamber_due(p, profile_crop(p, "MUNG"), &run, h.fixed.now_ms, &due_ms));
    assert_ok(chamber_later_days(p, profile_crop(p, "MUNG"), &run, &later_days));
    assert_in_range(later_days, 1, 2);
    json_t *list = chambers(&v), *one;
    const json_t *c = json_array_get(json_object_get(list, "chambers"), 0);
    assert_int_equal(page_number(c, "ready_ms"), ready_ms());
    assert_int_equal(page_number(c, "later_days"), later_days);
    assert_non_null(strstr(page_text(c, "reckoned"), "reckoned by its log up to "));
    assert_non_null(strstr(page_text(c, "reckoned"), "later than at its set point"));
    assert_ok(view_chamber(&v, "C1", &one));
    assert_int_equal(page_number(one, "ready_ms"), ready_ms());
    const json_t *curve = json_object_get(one, "predicted");
    assert_int_equal(page_number(json_array_get(curve, json_array_size(curve) - 1), "heat_ch"),
                     1950);
    json_decref(list);
    json_decref(one);
    struct planning_case plan;
    assert_ok(planning_read(h.store, NULL, p, h.fixed.now_ms, &h.arena, &plan));
    assert_int_equal(plan.problem.first_day + plan.problem.running[0].harvest_day,
                     due_ms / PLANS_DAY_MS);
    assert_int_equal(plan.warmth[0].later_days, later_days);
    for (int i = -3; i <= 3; i++) {
        assert_int_equal(today_harvests(&v, (int32_t)(due_ms / PLANS_DAY_MS) + i), i == 0);
    }
    assert_int_equal(plan.warmth[0].warmth.log_ms, run.warmth.log_ms);
}

static void without_a_log_it_stands_at_the_set_point(void **state)
{
    struct view v = house_view(&h, "en");
    seal_hours("chamber-2", 0, 4, COLD_MC); /* another's */
    assert_int_equal(ready_ms(), at_set_point_ms());
    assert_int_equal(run_with(NULL).warmth.log_ms, 0);
    json_t *list = chambers(&v);
    const json_t *c = json_array_get(json_object_get(list, "chambers"), 0);
    assert_string_equal(page_text(c, "reckoned"),
                        "reckoned at its set point, as no log says otherwise");
    assert_int_equal(page_number(c, "later_days"), 0);
    json_decref(list);
}

/* From the first reading to the last: 110 min of cold and 70 of silence that a line bridges. */
static void a_short_silence_is_bridged(void **state)
{
    seal_hours("C1", 0, 1, COLD_MC);
    seal_hours("C1", 2, 3, COLD_MC);
    assert_int_equal(run_with(NULL).warmth.heat_mc_h, 6500 * 170 / 60);
}

/* 130 minutes of silence stand at the set point. */
static void a_long_silence_stands_at_the_set_point(void **state)
{
    seal_hours("C1", 0, 1, COLD_MC);
    seal_hours("C1", 3, 4, COLD_MC);
    assert_int_equal(run_with(NULL).warmth.heat_mc_h, (6500 * 100 + 9500 * 130) / 60);
}

/* So does what comes before the first reading and after the last. */
static void before_and_after_stand_at_the_set_point(void **state)
{
    seal_hours("C1", 24, 25, COLD_MC);
    struct chamber_run run = run_with(NULL);
    assert_int_equal(run.warmth.heat_mc_h, 9500 * 24 + 6500 * 50 / 60);
    assert_int_equal(
        chamber_heat(profile_crop(h.lg->profile, "MUNG"), &run.warmth, warm_ms + 48 * HOUR_MS),
        run.warmth.heat_mc_h + 9500 * (24 * 60 - 50) / 60);
}

static void what_was_measured_while_it_soaked_does_not_count(void **state)
{
    seal_hours("C1", -3, 0, 30000);
    struct chamber_run run = run_with(NULL);
    assert_int_equal(run.warmth.heat_mc_h, 0);
    assert_int_equal(run.warmth.log_ms, 0);
    assert_int_equal(ready_ms(), at_set_point_ms());
}

/* A day of a broken sensor does not move the harvest, and is said. */
static void a_broken_sensor_is_left_out(void **state)
{
    struct view v = house_view(&h, "en");
    seal_hours("C1", 0, 2, SET_MC);
    seal_hours("C1", 2, 14, 85000);
    seal_hours("C1", 14, 26, -20000);
    seal_hours("C1", 26, 28, SET_MC);
    struct chamber_run run = run_with(NULL);
    assert_int_equal(run.warmth.left_out, 24);
    assert_in_range(ready_ms() - at_set_point_ms(), 0, 1000); /* rounded to 1/1000 degree-hour */
    json_t *list = chambers(&v);
    const json_t *c = json_array_get(json_object_get(list, "chambers"), 0);
    assert_non_null(strstr(page_text(c, "reckoned"),
                           "left out: readings that no chamber can have, in 24 h of the log"));
    json_decref(list);
}

/* The bounds themselves still count: 50 C is above what it grows fastest at. */
static void the_bounds_themselves_count(void **state)
{
    seal_hours("C1", 0, 1, WARMTH_HIGH_MC);
    seal_hours("C1", 1, 2, WARMTH_LOW_MC);
    struct chamber_run run = run_with(NULL);
    assert_int_equal(run.warmth.left_out, 0);
    assert_int_equal(run.warmth.log_ms, warm_ms + 110 * MINUTE_MS);
    seal_hours("C1", 2, 3, WARMTH_HIGH_MC + 1);
    assert_int_equal(run_with(NULL).warmth.left_out, 1);
    assert_int_equal(run_with(NULL).warmth.log_ms, warm_ms + 110 * MINUTE_MS);
}

/* One of two channels is broken: the other is the chamber. */
static void a_broken_channel_is_left_out_of_the_mean(void **state)
{
    const int32_t mc[] = {COLD_MC, 120000};
    struct series_piece piece = logs_piece(&h, warm_ms, 2, mc);
    house_take(&h, "{'kind':'seal','series':'C1','bytes_b64':'%s'}",
               base64_text(&h.arena, piece.bytes, piece.len));
    struct chamber_run run = run_with(NULL);
    assert_int_equal(run.warmth.heat_mc_h, 6500 * 50 / 60);
    assert_int_equal(run.warmth.left_out, 1);
}

/* The goal is reached on the way, and stays where it was when more is measured. */
static void the_moment_it_was_ready_stays(void **state)
{
    house_wait(&h, "1 d");
    seal_hours("C1", 0, 140, 24500);
    int64_t reached_ms = ready_ms();
    struct chamber_run run = run_with(NULL);
    assert_true(run.warmth.log_ms > reached_ms);
    assert_int_equal(run.warmth.until_ms, reached_ms);
    assert_int_equal(run.warmth.heat_mc_h, 1950000);
    assert_in_range(reached_ms - warm_ms, 134 * HOUR_MS, 135 * HOUR_MS); /* 1950 / 14.5: 134.48 */
    seal_hours("C1", 140, 142, 24500);
    assert_int_equal(ready_ms(), reached_ms);
}

static void same_as_without(struct warmth_kept *kept, const struct warmth *was, bool is_other)
{
    for (int i = 0; i < 2; i++) { /* reckoned, then found */
        struct warmth with = run_with(kept).warmth, without = run_with(NULL).warmth;
        assert_int_equal(with.heat_mc_h, without.heat_mc_h);
        assert_int_equal(with.until_ms, without.until_ms);
        assert_int_equal(with.log_ms, without.log_ms);
        assert_int_equal(with.left_out, without.left_out);
        assert_int_equal(with.heat_mc_h != was->heat_mc_h, is_other);
    }
}

/* What is kept follows the record: later pieces, earlier ones, replaced and struck ones. */
static void what_is_kept_follows_the_record(void **state)
{
    struct warmth_kept *kept = warmth_kept_new();
    struct warmth was = run_with(kept).warmth;
    seal_hours("C1", 10, 12, COLD_MC);
    same_as_without(kept, &was, true);
    was = run_with(kept).warmth;
    logs_seal(&h, "C1", warm_ms + 12 * HOUR_MS, COLD_MC); /* the next hour */
    same_as_without(kept, &was, true);
    was = run_with(kept).warmth;
    logs_seal(&h, "C1", warm_ms + 5 * HOUR_MS, 24500); /* one that came late */
    same_as_without(kept, &was, true);
    was = run_with(kept).warmth;
    int64_t entry = logs_replace(&h, "C1", warm_ms + 11 * HOUR_MS, COLD_MC, 24500);
    same_as_without(kept, &was, true);
    struct warmth replaced = run_with(kept).warmth;
    house_take(&h, "{'kind':'strike','person':2,'entry':%lld,'reason':'wrong sensor'}",
               (long long)entry);
    same_as_without(kept, &replaced, true);
    same_as_without(kept, &was, false); /* as it was before it was replaced */
    house_take(&h, "{'kind':'water','lot':'%s','source':'WATER','litres':'1200 L'}",
               run_with(NULL).code);
    same_as_without(kept, &was, false);
    warmth_kept_free(kept);
}

/* A profile with another base or set point is answered for itself. */
static void another_crop_is_reckoned_anew(void **state)
{
    struct warmth_kept *kept = warmth_kept_new();
    seal_hours("C1", 0, 10, COLD_MC);
    struct chamber_run run = run_with(kept);
    struct crop crop = *profile_crop(h.lg->profile, "MUNG");
    crop.heat_base_mc += 1000;
    struct chamber_ask ask = {.store = h.store,
                              .kept = kept,
                              .profile = h.lg->profile,
                              .now_ms = h.fixed.now_ms,
                              .arena = &h.arena};
    struct warmth_ask of = chamber_warmth_ask(&ask, &crop, &run);
    struct warmth other;
    assert_ok(warmth_struck(h.store, &of.struck));
    assert_ok(warmth_read(&of, &other));
    assert_int_equal(run.warmth.heat_mc_h, 6500 * 590 / 60);
    assert_int_equal(other.heat_mc_h, 5500 * 590 / 60);
    warmth_kept_free(kept);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(four_cold_days_are_the_same_day_later_everywhere),
        TEST(without_a_log_it_stands_at_the_set_point),
        TEST(a_short_silence_is_bridged),
        TEST(a_long_silence_stands_at_the_set_point),
        TEST(before_and_after_stand_at_the_set_point),
        TEST(what_was_measured_while_it_soaked_does_not_count),
        TEST(a_broken_sensor_is_left_out),
        TEST(the_bounds_themselves_count),
        TEST(a_broken_channel_is_left_out_of_the_mean),
        TEST(the_moment_it_was_ready_stays),
        TEST(what_is_kept_follows_the_record),
        TEST(another_crop_is_reckoned_anew),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
