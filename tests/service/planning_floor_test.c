/* The plan against the floor. */
#include "pages.h"

#include <math.h>

#include "runs.h"
#include "service/planning_floor.h"

static struct house h;
static int32_t today;

static int set_up(void **state)
{
    house_open(&h);
    today = (int32_t)(h.fixed.now_ms / 86400000);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static json_t *floor_seen(int32_t from, int32_t to)
{
    struct view v = house_view(&h, "en");
    json_t *out = NULL;
    assert_ok(view_floor(&v, from, to, &out));
    return out;
}

static void plan(const char *seed_1, const char *seed_2)
{
    house_take(&h,
               "{'kind':'plan-take','starts':[{'day':'%s','place':'C1','item':'MUNG','seed':'%s',"
               "'grow_days':7},{'day':'%s','place':'C2','item':'MUNG','seed':'%s',"
               "'grow_days':7}]}",
               day_text(&h.arena, today), seed_1, day_text(&h.arena, today), seed_2);
}

static const char *kind_at(const json_t *o, const char *place)
{
    return page_text(page_find(json_object_get(o, "starts"), "place", place), "kind");
}

static void what_was_soaked_otherwise_is_named(void **state)
{
    plan("100 kg", "90 kg");
    json_t *o = floor_seen(today, today);
    assert_string_equal(kind_at(o, "C1"), "waiting"); /* the day is not over */
    json_decref(o);
    house_grow(&h, "C1", "100 kg");
    house_grow(&h, "C3", "120 kg"); /* for C2 */
    house_wait(&h, "1 d");
    o = floor_seen(today, today + 30); /* days to come are left out */
    assert_string_equal(page_text(o, "to"), day_text(&h.arena, today + 1));
    assert_string_equal(kind_at(o, "C1"), "kept");
    assert_string_equal(kind_at(o, "C2"), "moved-chamber");
    const json_t *crop = page_find(json_object_get(o, "crops"), "item", "MUNG");
    assert_int_equal(page_number(crop, "planned"), 2);
    assert_int_equal(page_number(crop, "kept"), 1);
    assert_int_equal(page_number(crop, "moved_chamber"), 1);
    assert_int_equal(page_number(crop, "seed_diff_g"), 15000); /* 30 kg more in one of two */
    assert_true(page_null(crop, "harvest_ppm"));
    json_decref(o);
}

static void a_plan_taken_after_the_soaking_does_not_forget_it(void **state)
{
    plan("100 kg", "90 kg");
    house_grow(&h, "C1", "80 kg");
    house_take(&h,
               "{'kind':'plan-take','starts':[{'day':'%s','place':'C3','item':'MUNG','seed':"
               "'90 kg','grow_days':7}]}",
               day_text(&h.arena, today));
    house_wait(&h, "1 d");
    json_t *o = floor_seen(today, today);
    assert_string_equal(kind_at(o, "C1"), "filled"); /* 80 kg instead of 100 */
    assert_string_equal(kind_at(o, "C3"), "gone");
    assert_int_equal(json_array_size(json_object_get(o, "starts")), 2); /* C2 was taken back */
    json_decref(o);
}

static void what_no_plan_meant_stands_too(void **state)
{
    house_grow(&h, "C1", "100 kg");
    house_wait(&h, "1 d");
    json_t *o = floor_seen(today, today);
    assert_string_equal(kind_at(o, "C1"), "added");
    json_decref(o);
    struct view v = house_view(&h, "en");
    json_t *none;
    assert_code(view_floor(&v, today, today - 1, &none), FIELD_RANGE);
    assert_code(view_floor(&v, today - 200, today, &none), FIELD_RANGE);
}

static void depart(const char *place, const char *why, const char *more)
{
    house_take(&h,
               "{'kind':'plan-departure','person':4,'place':'%s','day':'%s','departure':'%s'%s}",
               place, day_text(&h.arena, today), why, more);
}

static const json_t *departure_at(const json_t *o, const char *place)
{
    return json_object_get(page_find(json_object_get(o, "starts"), "place", place), "departure");
}

static const json_t *reason_of(const json_t *o, const char *reason)
{
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(o, "reasons"), i, one)
    {
        const char *is = json_string_value(json_object_get(one, "reason"));
        if (reason == NULL ? is == NULL : is != NULL && strcmp(is, reason) == 0) {
            return one;
        }
    }
    return NULL;
}

/* What was told last counts; what nobody told of is counted by itself. */
static void why_a_start_departed_is_told_and_counted(void **state)
{
    plan("100 kg", "90 kg");
    depart("C2", "people-short", ""); /* before the day is over */
    house_grow(&h, "C1", "80 kg");
    house_grow(&h, "C3", "100 kg");
    house_wait(&h, "3 d");
    depart("C1", "decided-otherwise", "");
    depart("C1", "seed-short", ",'what':'one sack torn'");
    json_t *o = floor_seen(today, today + 3);
    const json_t *told = departure_at(o, "C1");
    assert_string_equal(page_text(told, "reason"), "seed-short");
    assert_string_equal(page_text(told, "what"), "one sack torn");
    assert_int_equal(page_number(told, "by"), 4);
    assert_string_equal(page_text(departure_at(o, "C2"), "reason"), "people-short");
    assert_true(page_null(departure_at(o, "C2"), "what"));
    assert_int_equal(json_array_size(json_object_get(o, "reasons")), 2);
    assert_int_equal(page_number(reason_of(o, "seed-short"), "filled"), 1);
    assert_int_equal(page_number(reason_of(o, "people-short"), "moved"), 1); /* C3 for C2 */
    json_decref(o);
}

static void what_nobody_told_of_is_counted_by_itself(void **state)
{
    plan("100 kg", "90 kg");
    house_grow(&h, "C1", "100 kg");
    house_wait(&h, "1 d");
    json_t *o = floor_seen(today, today);
    assert_true(json_is_null(departure_at(o, "C1")));
    assert_int_equal(json_array_size(json_object_get(o, "reasons")), 1); /* as planned is none */
    assert_int_equal(page_number(reason_of(o, NULL), "gone"), 1);
    json_decref(o);
}

/* One start got 20 of 100 kg less: with ten as planned before it, 20 of 1100. */
static void seed_that_starts_do_not_get_is_learned(void **state)
{
    struct view v = house_view(&h, "en");
    struct floor_seed *seed;
    size_t count;
    assert_ok(floor_learn(&v, &seed, &count));
    assert_int_equal(count, 0);
    plan("100 kg", "90 kg");
    house_grow(&h, "C1", "80 kg");
    house_wait(&h, "1 d");
    v = house_view(&h, "en");
    assert_ok(floor_learn(&v, &seed, &count));
    assert_int_equal(count, 1);
    assert_string_equal(seed[0].item, "MUNG");
    assert_true(fabs(seed[0].less - 20.0 / 1100.0) < 1e-9);
    json_t *o = floor_seen(today, today);
    const json_t *crop = page_find(json_object_get(o, "crops"), "item", "MUNG");
    assert_int_equal(page_number(crop, "seed_counted_ppm"), 981818);
    json_decref(o);
    house_wait(&h, "30 d"); /* it is long ago */
    v = house_view(&h, "en");
    assert_ok(floor_learn(&v, &seed, &count));
    assert_int_equal(count, 0);
}

/* 100 kg of seed bear 800 kg on their own day, 720 a day early where the profile says nine tenths:
 * the 648 kg harvested then are nine tenths of what was to be expected, not 81 hundredths (computed
 * here). */
static void what_is_cut_early_is_held_against_what_that_day_bears(void **state)
{
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900}};
    struct profile with = *h.lg->profile;
    int32_t own_day;
    with.planning.early_late = early_late;
    with.planning.early_late_count = 1;
    plan("100 kg", "90 kg");
    const char *lot = house_grow(&h, "C1", "100 kg");
    own_day = runs_own_day(&with, "MUNG", h.fixed.now_ms);
    struct view v = house_view(&h, "en");
    v.profile = &with;
    json_t *o;
    assert_ok(view_floor(&v, today, today, &o)); /* it grows: its own day is expected */
    const json_t *start = page_find(json_object_get(o, "starts"), "place", "C1");
    assert_int_equal(page_number(start, "expected_g"), 800000);
    json_decref(o);
    h.fixed.now_ms = (int64_t)(own_day - 1) * 86400000 + (int64_t)6 * 3600000;
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'rest','mass':'648 kg','place':'WASH'}",
               lot);
    v.now_ms = h.fixed.now_ms;
    assert_ok(view_floor(&v, today, today, &o));
    start = page_find(json_object_get(o, "starts"), "place", "C1");
    assert_int_equal(page_number(start, "expected_g"), 720000);
    assert_int_equal(
        page_number(page_find(json_object_get(o, "crops"), "item", "MUNG"), "harvest_ppm"), 900000);
    json_decref(o);
    /* a profile that says nothing of that day leaves the standard */
    v.profile = h.lg->profile;
    assert_ok(view_floor(&v, today, today, &o));
    assert_int_equal(
        page_number(page_find(json_object_get(o, "crops"), "item", "MUNG"), "harvest_ppm"), 810000);
    json_decref(o);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_was_soaked_otherwise_is_named),
        TEST(a_plan_taken_after_the_soaking_does_not_forget_it),
        TEST(what_no_plan_meant_stands_too),
        TEST(why_a_start_departed_is_told_and_counted),
        TEST(what_nobody_told_of_is_counted_by_itself),
        TEST(seed_that_starts_do_not_get_is_learned),
        TEST(what_is_cut_early_is_held_against_what_that_day_bears),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
