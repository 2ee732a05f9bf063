/* The plan in force as the page shows it. */
#include "plans.h"

#include "hall.h"
#include "pages.h"
#include "service/view_plan.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static json_t *seen(struct result (*view)(struct view *v, json_t **out))
{
    struct view v = house_view(&h, "en");
    json_t *out = NULL;
    assert_ok(view(&v, &out));
    return out;
}

static void starts_that_were_taken(void **state)
{
    (void)state;
    json_t *o = seen(view_plan);
    assert_int_equal(json_array_size(json_object_get(o, "taken")), 0);
    assert_true(page_null(o, "job"));
    json_decref(o);
    house_take(&h, "{'kind':'plan-take','starts':[{'day':'2026-03-02','place':'C1','item':'MUNG',"
                   "'seed':'100 kg','grow_days':7},{'day':'2026-03-04','place':'C2','item':'MUNG',"
                   "'seed':'90.5 kg','grow_days':8}]}");
    house_wait(&h, "1 d");
    o = seen(view_plan);
    const json_t *taken = json_object_get(o, "taken");
    assert_int_equal(json_array_size(taken), 1); /* the first day is past */
    const json_t *start = json_array_get(taken, 0);
    assert_string_equal(page_text(start, "day"), "2026-03-04");
    assert_string_equal(page_text(start, "place"), "C2");
    assert_int_equal(page_number(start, "seed_mg"), 90500000);
    assert_int_equal(page_number(start, "grow_days"), 8);
    assert_true(page_null(start, "seed_lot"));
    json_decref(o);
}

/* What is taken serves its order, and what the order was told can be held against it. */
static void the_plan_in_force_is_shown_with_what_it_gives(void **state)
{
    (void)state;
    struct planning_case c;
    struct plan_outcome outcome;
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    json_t *o = seen(view_plan);
    const json_t *plan = json_object_get(o, "plan");
    assert_int_equal(json_array_size(json_object_get(plan, "starts")), 0); /* nothing is taken */
    assert_int_equal(page_number(json_object_get(plan, "sums"), "booked_met"), 0);
    const json_t *gap = json_array_get(json_object_get(plan, "shorts"), 0);
    assert_string_equal(page_text(gap, "limit"), "not-taken");
    assert_non_null(strstr(page_text(gap, "sentence"), "starts nothing more for it"));
    json_decref(o);
    plans_read(&h, &c);
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    assert_ok(house_send_json(&h, planning_take(&c, &outcome, NULL, 0, &h.arena)));
    o = seen(view_plan);
    plan = json_object_get(o, "plan");
    assert_int_equal(json_array_size(json_object_get(plan, "starts")), outcome.start_count);
    assert_int_equal(page_number(json_object_get(plan, "sums"), "booked_met"), 1600);
    const json_t *told = page_find(json_object_get(o, "promised"), "order", "O-1");
    const json_t *one = json_array_get(json_object_get(told, "told"), 0);
    assert_int_equal(page_number(one, "pieces"), 1600);
    assert_string_equal(page_text(one, "day"), plans_day(&h, 14));
    json_decref(o);
}

/* A hall that receives fruit: the plan taken last as things stand now, and no chambers. */
static void fruit_that_comes_is_shown_as_taken(void **state)
{
    (void)state;
    struct house hall;
    struct planning_received c;
    struct intake_outcome x;
    json_t *o = NULL;
    hall_open_asking(&hall, NULL, "98.5 %");
    hall_receive(&hall, "HESPERIDIUM-1", "3 t");
    hall_order(&hall, "A", "LIME-BOX", 1, 200);
    struct view v = house_view(&hall, "en");
    assert_ok(view_plan(&v, &o));
    assert_true(json_is_true(json_object_get(o, "receives")));
    assert_true(page_null(o, "plan"));
    assert_int_equal(page_number(o, "service_ppm"), 985000);
    const json_t *plan = json_object_get(o, "received");
    assert_true(page_null(plan, "taken"));
    assert_non_null(
        strstr(page_text(json_array_get(json_object_get(plan, "shorts"), 0), "sentence"),
               "the plan taken"));
    json_decref(o);
    hall_read(&hall, &c);
    assert_ok(planning_received_make(&hall.arena, &c, 0, NULL, &x));
    assert_ok(house_send_json(&hall, planning_received_take(&c, &x, &hall.arena)));
    assert_ok(view_plan(&v, &o));
    plan = json_object_get(o, "received");
    assert_int_equal(page_number(json_object_get(plan, "taken"), "entry"),
                     house_entry(&hall, "plan-take").seq);
    assert_int_equal(page_number(json_array_get(json_object_get(plan, "orders"), 0), "met"), 200);
    assert_int_equal(json_array_size(json_object_get(o, "promised")), 1);
    json_decref(o);
    house_close(&hall);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(starts_that_were_taken),
        TEST(the_plan_in_force_is_shown_with_what_it_gives),
        cmocka_unit_test(fruit_that_comes_is_shown_as_taken),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
