/* Instruments held against a reference. */
#include "stock.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    house_wait(&h, "2 h");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *calibrate_text(const char *error, const char *ok)
{
    return house_text(&h,
                      "{'kind':'calibrate','instrument':'PROBE-1','as_found_error':'%s',"
                      "'uncertainty':'80','due':'2026-09-01T00:00:00Z','ok':%s}",
                      error, ok);
}

static struct instrument probe(void)
{
    struct instrument instrument;
    bool found;
    assert_ok(instrument_on(h.store, &h.arena, "PROBE-1", h.fixed.now_ms, &instrument, &found));
    assert_true(found);
    return instrument;
}

/* PROBE-1 is known to 100 mC. */
static void a_calibration_within_its_uncertainty(void **state)
{
    static const char *const errors[] = {"0", "80",
                                         "-80"}; /* after the first it says 80 of itself */
    for (size_t i = 0; i < 3; i++) {
        house_take(&h, "%s", calibrate_text(errors[i], "true"));
        assert_int_equal(house_deviations(&h), 0);
        assert_int_equal(probe().uncertainty, 80);
        house_wait(&h, "1 h");
    }
}

static void the_first_is_held_against_what_the_instrument_was_bought_with(void **state)
{
    house_take(&h, "%s", calibrate_text("-100", "true"));
    assert_int_equal(house_deviations(&h), 0);
    assert_int_equal(house_effect(&h, "calibration", 0, 3), -100);
}

static void an_error_beyond_it_speaks_of_everything_since_the_last_good_one(void **state)
{
    int64_t start_ms = h.fixed.now_ms;
    house_take(&h, "%s", calibrate_text("50", "true"));
    house_wait(&h, "90 min");
    house_take(&h, "%s", calibrate_text("81", "true")); /* 80 since the first */
    house_window(&h, "calibration-off", start_ms, 0, 90);
    house_wait(&h, "30 min");
    house_take(&h, "%s", calibrate_text("-81", "true"));
    house_window(&h, "calibration-off", start_ms, 90, 120);
}

static void an_instrument_found_bad_is_past_its_calibration(void **state)
{
    house_take(&h, "%s", calibrate_text("0", "false"));
    assert_true(house_deviates(&h, "calibration-off"));
    assert_true(probe().due_ms < h.fixed.now_ms);
    house_wait(&h, "1 min");
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'3 C','instrument':'PROBE-1'}");
    assert_true(house_deviates(&h, "calibration-overdue"));
    house_take(&h, "%s", calibrate_text("0", "true"));
    house_wait(&h, "1 min");
    house_take(&h, "{'kind':'cold-check','place':'COLD','temp':'3 C','instrument':'PROBE-1'}");
    assert_int_equal(house_deviations(&h), 0);
}

static void calibrations_that_cannot_be_read(void **state)
{
    house_refused(&h, DECIMAL_FINE, calibrate_text("0.5", "true"));
    house_refused(&h, DECIMAL_BAD, calibrate_text("small", "true"));
    house_refused(&h, FIELD_TYPE, calibrate_text("0", "'yes'"));
    house_refused(&h, INSTRUMENT_UNKNOWN,
                  "{'kind':'calibrate','instrument':'NONE','as_found_error':'0','uncertainty':'1',"
                  "'due':'2026-09-01T00:00:00Z','ok':true}");
    house_refused(&h, FIELD_RANGE,
                  "{'kind':'calibrate','instrument':'PROBE-1','as_found_error':'0','uncertainty':"
                  "'-1','due':'2026-09-01T00:00:00Z','ok':true}");
    house_refused(&h, FIELD_RANGE,
                  "{'kind':'calibrate','instrument':'PROBE-1','as_found_error':'0','uncertainty':"
                  "'1','due':'2026-03-01T00:00:00Z','ok':true}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_calibration_within_its_uncertainty),
        T(the_first_is_held_against_what_the_instrument_was_bought_with),
        T(an_error_beyond_it_speaks_of_everything_since_the_last_good_one),
        T(an_instrument_found_bad_is_past_its_calibration),
        T(calibrations_that_cannot_be_read),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
