/* The chambers in every state they can be in. */
#include "view_support.h"

#include "service/view_chambers.h"

static json_t *chambers_of(struct house *h)
{
    struct view v = view_as(h, 4, "grower");
    json_t *out;
    assert_ok(view_chambers(&v, &out));
    return out;
}

static const json_t *chamber(const json_t *out, const char *code)
{
    const json_t *one = with_text(at_key(out, "chambers"), "place", code);
    assert_non_null(one);
    return one;
}

static void a_chamber_goes_from_clean_to_clean(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *out = chambers_of(&h);
    assert_int_equal(json_array_size(at_key(out, "chambers")), 3);
    assert_string_equal(text_at(chamber(out, "C1"), "state"), "to-clean");
    assert_string_equal(text_at(chamber(out, "C1"), "tone"), "due");
    assert_true(json_is_null(at_key(chamber(out, "C1"), "lot")));
    json_decref(out);
    house_clean(&h, "C1", 0);
    out = chambers_of(&h);
    assert_string_equal(text_at(chamber(out, "C1"), "state"), "empty");
    assert_string_equal(text_at(chamber(out, "C1"), "tone"), "done");
    json_decref(out);
    const char *lot = house_grow(&h, "C1", "100 kg");
    int64_t start_ms = h.fixed.now_ms;
    house_wait(&h, "9 h");
    out = chambers_of(&h);
    const json_t *c = chamber(out, "C1");
    assert_string_equal(text_at(c, "state"), "soaking");
    assert_string_equal(text_at(c, "lot"), lot);
    assert_int_equal(number_at(c, "start_ms"), start_ms);
    assert_int_equal(number_at(c, "age_h"), 9);
    assert_int_equal(number_at(c, "seed_mg"), 100000000);
    assert_int_equal(number_at(c, "share_left_ppm"), 1000000);
    /* 10 h, then 1950 C h at 9.5 C over the base (computed here) */
    assert_int_equal(number_at(c, "ready_ms"), start_ms + 10 * HOUR_MS + 738947369);
    assert_int_equal(number_at(c, "expected_mg"), 800000000);
    assert_int_equal(number_at(c, "expected_low_mg"), 736000000);
    assert_int_equal(number_at(c, "expected_high_mg"), 864000000);
    json_decref(out);
    house_wait(&h, "2 h");
    out = chambers_of(&h);
    assert_string_equal(text_at(chamber(out, "C1"), "state"), "growing");
    assert_string_equal(text_at(chamber(out, "C1"), "tone"), "waiting");
    json_decref(out);
    house_wait(&h, "206 h");
    out = chambers_of(&h);
    assert_string_equal(text_at(chamber(out, "C1"), "state"), "ready");
    json_decref(out);
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               lot);
    out = chambers_of(&h);
    assert_int_equal(number_at(chamber(out, "C1"), "share_left_ppm"), 500000);
    assert_int_equal(number_at(chamber(out, "C1"), "expected_mg"), 400000000);
    json_decref(out);
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'rest','mass':'400 kg','place':'WASH'}",
               lot);
    out = chambers_of(&h);
    assert_string_equal(text_at(chamber(out, "C1"), "state"), "to-clean");
    json_decref(out);
    house_close(&h);
}

static void what_is_held_or_out_of_service_says_so(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *lot = house_grow(&h, "C1", "100 kg");
    json_t *out = chambers_of(&h);
    assert_int_equal(number_at(chamber(out, "C1"), "holds"), 0); /* the laboratory's is none */
    json_decref(out);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],"
               "'needs':'decision','reason':'smell'}",
               lot);
    house_take(&h, "{'kind':'place','code':'C2','place_kind':'chamber','in_service':false}");
    out = chambers_of(&h);
    assert_string_equal(text_at(chamber(out, "C1"), "tone"), "stopped");
    assert_int_equal(number_at(chamber(out, "C1"), "holds"), 1);
    assert_string_equal(text_at(chamber(out, "C2"), "state"), "out-of-service");
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_chamber_goes_from_clean_to_clean),
        cmocka_unit_test(what_is_held_or_out_of_service_says_so),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
