/* Holds with what they cover. */
#include "view_support.h"

#include "service/view_holds.h"

static void open_holds_stand_with_what_they_cover(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    const char *seed = house_deliver(&h, "SL-1");
    struct view v = view_as(&h, 2, "quality");
    json_t *out;
    assert_ok(view_holds(&v, true, &out));
    assert_int_equal(json_array_size(at_key(out, "holds")), 0);
    json_decref(out);
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use','load'],"
               "'needs':'calibration','reason':'smell','person':4}",
               seed);
    const char *code = house_answer(&h, "hold");
    assert_ok(view_holds(&v, true, &out));
    const json_t *hold = json_array_get(at_key(out, "holds"), 0);
    assert_string_equal(text_at(hold, "hold"), code);
    assert_string_equal(text_at(hold, "kind"), "quality");
    assert_int_equal(json_array_size(at_key(hold, "stops")), 2);
    assert_string_equal(text_at(hold, "needs"), "calibration");
    assert_string_equal(text_at(hold, "reason"), "smell");
    assert_int_equal(number_at(hold, "by"), 4);
    assert_int_equal(number_at(hold, "placed_ms"), h.fixed.now_ms);
    assert_string_equal(json_string_value(json_array_get(at_key(hold, "lots"), 0)), seed);
    assert_int_equal(number_at(hold, "covered"), 1);
    assert_int_equal(number_at(hold, "units"), 0);
    assert_true(json_is_null(at_key(hold, "lifted_ms")));
    json_decref(out);
    int64_t evidence = house_take(&h, "{'kind':'calibrate','instrument':'SCALE','as_found_error':0,"
                                      "'uncertainty':50000,'due':'2027-01-01T00:00:00Z','ok':true,"
                                      "'person':2}");
    house_take(&h, "{'kind':'lift','hold':'%s','evidence':%lld,'person':2}", code,
               (long long)evidence);
    assert_ok(view_holds(&v, true, &out));
    assert_int_equal(json_array_size(at_key(out, "holds")), 0);
    json_decref(out);
    assert_ok(view_holds(&v, false, &out));
    hold = json_array_get(at_key(out, "holds"), 0);
    assert_string_equal(text_at(hold, "hold"), code);
    assert_int_equal(number_at(hold, "lifted_ms"), h.fixed.now_ms);
    json_decref(out);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(open_holds_stand_with_what_they_cover),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
