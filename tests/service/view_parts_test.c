/* What of a lot a hold can name: its cases one by one, and the runs it was on. */
#include "view_support.h"

#include "minutes.h"
#include "service/view_parts.h"

static void cases_say_which_are_held(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct house_batch b = house_batch(&h, "C1", false);
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_ok(view_parts(&v, b.packed, &out));
    const json_t *cases = at_key(out, "cases");
    size_t count = json_array_size(cases);
    assert_true(count >= 3);
    assert_int_equal(number_at(out, "more"), 0);
    const char *second = arena_copy(&h.arena, text_at(json_array_get(cases, 1), "code"));
    for (size_t i = 0; i < count; i++) {
        assert_true(json_is_false(at_key(json_array_get(cases, i), "held")));
        assert_string_equal(text_at(json_array_get(cases, i), "state"), "here");
    }
    json_decref(out);
    house_take(&h,
               "{'kind':'hold','hold_kind':'damage','units':['%s'],'stops':['load'],'needs':"
               "'decision','reason':'crushed'}",
               second);
    assert_ok(view_parts(&v, b.packed, &out));
    cases = at_key(out, "cases");
    assert_int_equal(json_array_size(cases), count);
    for (size_t i = 0; i < count; i++) {
        const json_t *one = json_array_get(cases, i);
        assert_int_equal(json_is_true(at_key(one, "held")),
                         strcmp(text_at(one, "code"), second) == 0);
    }
    json_decref(out);
    assert_code(view_parts(&v, "NONE", &out), LOT_UNKNOWN);
    house_close(&h);
}

static void runs_say_when_the_lot_was_on_them(void **state)
{
    (void)state;
    struct house h;
    struct minutes m;
    minutes_open(&h, &m);
    minutes_start_run(&h, &m, "600 s");
    const char *washed = minutes_wash(&h, &m, m.lots[0], 10, 20);
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_ok(view_parts(&v, washed, &out));
    const json_t *runs = at_key(out, "runs");
    assert_int_equal(json_array_size(runs), 1);
    const json_t *run = json_array_get(runs, 0);
    assert_int_equal(number_at(run, "from_ms"), m.start_ms + 10 * 60000);
    assert_int_equal(number_at(run, "to_ms"), m.start_ms + 20 * 60000);
    assert_int_equal(number_at(run, "start_ms"), m.start_ms);
    assert_true(json_is_null(at_key(run, "end_ms")));
    assert_int_equal(json_array_size(at_key(out, "cases")), 0);
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cases_say_which_are_held),
        cmocka_unit_test(runs_say_when_the_lot_was_on_them),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
