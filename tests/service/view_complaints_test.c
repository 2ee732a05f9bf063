/* Complaints against what left, and those alike. */
#include "view_support.h"

#include "released.h"
#include "service/view_registers.h"

static json_t *complaints(void)
{
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_ok(view_complaints(&v, &out));
    return out;
}

static void complain(const char *kind)
{
    house_take(&h,
               "{'kind':'complaint','lot':'%s','complaint':'%s','what':'sour smell','customer':"
               "'COTYLEDON','pieces':2,'person':8}",
               packed, kind);
}

static void those_alike_are_counted_and_ask_from_three_on(void **state)
{
    complain("spoiled");
    complain("label");
    json_t *o = complaints();
    assert_int_equal(json_array_size(at_key(o, "complaints")), 2);
    assert_int_equal(json_array_size(at_key(o, "alike")), 0);
    json_decref(o);
    complain("spoiled");
    o = complaints();
    const json_t *a = json_array_get(at_key(o, "alike"), 0);
    assert_int_equal(number_at(a, "count"), 2);
    assert_true(json_is_false(at_key(a, "asks")));
    json_decref(o);
    complain("spoiled");
    o = complaints();
    a = json_array_get(at_key(o, "alike"), 0);
    assert_string_equal(text_at(a, "complaint"), "spoiled");
    assert_true(json_is_true(at_key(a, "asks")));
    assert_int_equal(json_array_size(at_key(a, "lots")), 1);
    json_decref(o);
    house_wait(&h, "31 d");
    o = complaints();
    assert_int_equal(json_array_size(at_key(o, "alike")), 0);
    assert_int_equal(json_array_size(at_key(o, "complaints")), 4);
    json_decref(o);
}

/* 2 complaints on the 800 packs of 20 cases: 2.5 a thousand; exact 95 % interval 0.302905
 * to 9.001418 a thousand (computed here: binomial tails by bisection). */
static void a_month_stands_against_the_packs_that_left(void **state)
{
    json_t *o = complaints();
    assert_int_equal(json_array_size(at_key(o, "months")), 0);
    json_decref(o);
    complain("spoiled");
    o = complaints();
    const json_t *m = json_array_get(at_key(o, "months"), 0);
    assert_int_equal(number_at(m, "packs"), 0);
    assert_true(json_is_null(at_key(m, "rate_ppm"))); /* none left: nothing to divide by */
    json_decref(o);
    house_take(&h, "%s", ship_text(range(1, 20)));
    complain("label");
    o = complaints();
    m = json_array_get(at_key(o, "months"), 0);
    assert_int_equal(number_at(m, "complaints"), 2);
    assert_int_equal(number_at(m, "packs"), 800);
    assert_int_equal(number_at(m, "rate_ppm"), 2500);
    assert_int_equal(number_at(m, "low_ppm"), 302);
    assert_int_equal(number_at(m, "high_ppm"), 9002);
    json_decref(o);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(those_alike_are_counted_and_ask_from_three_on),
        T(a_month_stands_against_the_packs_that_left),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
