/* Two plans of a hall side by side, in words. */
#include "hall.h"

static void plans_alike_differ_in_nothing(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    hall_read(&h, &c);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    json_t *d = planning_received_difference(&c, &x, &c, &x, &h.arena, "en");
    assert_int_equal(json_array_size(json_object_get(d, "flows")), 0);
    assert_int_equal(json_array_size(json_object_get(d, "lines")), 0);
    json_decref(d);
    house_close(&h);
}

static void what_is_done_otherwise_is_said(void **state)
{
    (void)state;
    struct house h;
    struct planning_received c;
    struct intake_outcome x, none;
    hall_open(&h);
    hall_receive(&h, "HESPERIDIUM-1", "3 t");
    hall_order(&h, "A", "LIME-BOX", 1, 200);
    hall_read(&h, &c);
    assert_ok(planning_received_make(&h.arena, &c, 0, NULL, &x));
    planning_received_follow(&h.arena, &c, &(struct planning_received_taken){0}, &none);
    json_t *d = planning_received_difference(&c, &none, &c, &x, &h.arena, "en"),
           *es = planning_received_difference(&c, &none, &c, &x, &h.arena, "es");
    const json_t *flows = json_object_get(d, "flows");
    int64_t sold = 0;
    const char *day = "";
    size_t i;
    json_t *o;
    json_array_foreach(flows, i, o)
    {
        const char *act = json_string_value(json_object_get(o, "act")),
                   *next = json_string_value(json_object_get(o, "day"));
        assert_true(strcmp(day, next) <= 0);
        assert_string_not_equal(act, "made");
        day = next;
        sold += strcmp(act, "sold") == 0 ? json_integer_value(json_object_get(o, "after_g")) : 0;
    }
    json_t *sums = planning_received_sums(&c, &x, &h.arena);
    assert_int_equal(json_integer_value(json_object_get(sums, "sold_g")), sold);
    assert_int_equal(json_integer_value(json_object_get(sums, "booked")), 200);
    assert_int_equal(json_integer_value(json_object_get(sums, "booked_met")), 200);
    assert_int_equal(json_integer_value(json_object_get(sums, "short_orders")), 0);
    const json_t *line = json_array_get(json_object_get(d, "lines"), 0);
    assert_string_equal(json_string_value(json_object_get(line, "order")), "A");
    assert_non_null(strstr(json_string_value(json_object_get(line, "sentence")), "200 of 200"));
    assert_string_not_equal(
        json_string_value(json_object_get(json_array_get(flows, 0), "sentence")),
        json_string_value(
            json_object_get(json_array_get(json_object_get(es, "flows"), 0), "sentence")));
    json_decref(sums);
    json_decref(d);
    json_decref(es);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plans_alike_differ_in_nothing),
        cmocka_unit_test(what_is_done_otherwise_is_said),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
