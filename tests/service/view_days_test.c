/* The ribbon of days: what was, what is due, what will be. */
#include "view_support.h"

#include "service/view_days.h"

static json_t *days_of(struct house *h, int from, int to)
{
    struct view v = view_as(h, 9, "planner");
    json_t *out;
    int32_t now = (int32_t)house_day(h);
    assert_ok(view_days(&v, now + from, now + to, &out));
    return out;
}

static int64_t on(struct house *h, const json_t *out, int days, const char *what)
{
    const char *day = day_text(&h->arena, (int32_t)house_day(h) + days);
    const json_t *one = with_text(at_key(out, "days"), "day", day);
    assert_non_null(one);
    return number_at(one, what);
}

static void a_day_counts_what_it_brought(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_grow(&h, "C1", "100 kg"); /* ready in 215.3 h, past the hour of harvest */
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'O-1','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':40}]}",
               day_text(&h.arena, (int32_t)house_day(&h) + 2));
    json_t *out = days_of(&h, -2, 12);
    assert_int_equal(json_array_size(at_key(out, "days")), 15);
    assert_true(json_is_true(at_key(json_array_get(at_key(out, "days"), 2), "now")));
    assert_false(json_is_true(at_key(json_array_get(at_key(out, "days"), 3), "now")));
    assert_int_equal(on(&h, out, 0, "soak"), 1);
    assert_int_equal(on(&h, out, 0, "harvest"), 0);
    assert_int_equal(on(&h, out, 9, "harvest"), 0);
    assert_int_equal(on(&h, out, 10, "harvest"), 1);
    assert_int_equal(on(&h, out, 2, "ship_pieces"), 40);
    assert_int_equal(on(&h, out, 2, "ship_mg"), 40 * 250000);
    assert_int_equal(on(&h, out, 0, "stopped"), 0); /* the laboratory's hold is none */
    json_decref(out);
    house_wait(&h, "11 d"); /* overdue: wanted today */
    out = days_of(&h, -2, 2);
    assert_int_equal(on(&h, out, -2, "harvest"), 0);
    assert_int_equal(on(&h, out, 0, "harvest"), 1);
    json_decref(out);
    house_close(&h);
}

static void what_is_stopped_counts_on_each_of_its_days(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *seed = house_deliver(&h, "SL-1");
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],"
               "'needs':'decision','reason':'smell'}",
               seed);
    house_wait(&h, "2 d");
    json_t *out = days_of(&h, -3, 1);
    assert_int_equal(on(&h, out, -3, "stopped"), 0);
    assert_int_equal(on(&h, out, -2, "stopped"), 1);
    assert_int_equal(on(&h, out, 0, "stopped"), 1);
    assert_int_equal(on(&h, out, 1, "stopped"), 0); /* nobody knows yet */
    json_decref(out);
    house_close(&h);
}

static void what_left_counts_on_its_day(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    house_take(&h, "{'kind':'ship','customer':'COTYLEDON','units':['%s-0001..%s-0002']}", b.packed,
               b.packed);
    house_wait(&h, "1 d");
    json_t *out = days_of(&h, -2, 0);
    assert_int_equal(on(&h, out, -1, "ship_pieces"), 80);
    assert_int_equal(on(&h, out, -1, "ship_mg"), 80 * 251000);
    assert_int_equal(on(&h, out, -1, "harvest"), 1);
    assert_int_equal(on(&h, out, 0, "ship_pieces"), 0);
    json_decref(out);
    house_close(&h);
}

static void days_out_of_order_are_refused(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 9, "planner");
    json_t *out;
    assert_code(view_days(&v, 20000, 19999, &out), FIELD_RANGE);
    assert_code(view_days(&v, 20000, 20000 + VIEW_DAYS_MAX, &out), FIELD_RANGE);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_day_counts_what_it_brought),
        cmocka_unit_test(what_is_stopped_counts_on_each_of_its_days),
        cmocka_unit_test(what_left_counts_on_its_day),
        cmocka_unit_test(days_out_of_order_are_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
