/* The plan against the floor. */
#include "pages.h"

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

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_was_soaked_otherwise_is_named),
        TEST(a_plan_taken_after_the_soaking_does_not_forget_it),
        TEST(what_no_plan_meant_stands_too),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
