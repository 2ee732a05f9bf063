#include "head.h"

static void check(const char *instrument, const char *reference, const char *shown)
{
    house_take(&h,
               "{'kind':'instrument-check','instrument':'%s','reference':'%s','shown':'%s',"
               "'person':5}",
               instrument, reference, shown);
}

/* SCALE: division 100 g, uncertainty 50 g; what it can't show can't be asked of it. */
static void within_its_division_it_is_good(void **state)
{
    check("SCALE", "20 kg", "20.1 kg");
    assert_int_equal(house_number(&h, "error"), 100000);
    assert_int_equal(house_deviations(&h), 0);
    check("PROBE-1", "0 C", "-0.1 C");
    assert_int_equal(house_number(&h, "error"), -100);
    assert_int_equal(house_deviations(&h), 0);
}

/* It speaks of the time since it was last found good, not of all time. */
static void off_it_speaks_of_everything_since_the_last_good_one(void **state)
{
    int64_t good_ms = h.fixed.now_ms;
    check("SCALE", "20 kg", "20 kg");
    house_wait(&h, "3 h");
    check("SCALE", "20 kg", "19.8 kg");
    assert_true(house_deviates(&h, "calibration-off"));
    house_window(&h, "calibration-off", good_ms, 0, 180);
    /* and it is not good again by itself */
    house_wait(&h, "1 h");
    check("SCALE", "20 kg", "20 kg");
    assert_true(house_deviates(&h, "calibration-overdue"));
    assert_true(json_is_false(json_object_get(h.answer, "ok")));
    house_take(&h,
               "{'kind':'calibrate','instrument':'SCALE','as_found_error':'0','uncertainty':50000,"
               "'due':'2027-03-01T00:00:00Z','ok':true,'person':2}");
    house_wait(&h, "1 h");
    check("SCALE", "20 kg", "20 kg");
    assert_int_equal(house_deviations(&h), 0);
}

/* A release that rests on its readings is judged again, with the three lists. */
static void a_release_weighed_with_it_is_judged_again(void **state)
{
    struct house_batch b = house_batch(&h, "C1", true);
    house_take(&h, "{'kind':'release','lot':'%s','markets':['US'],'person':2}", b.packed);
    house_wait(&h, "1 h");
    check("PROBE-1", "0 C", "4 C");
    assert_true(house_deviates(&h, "calibration-off"));
    const json_t *held = json_object_get(house_caused(&h, "judged-again"), "held");
    assert_int_equal(json_array_size(held), 1);
    assert_string_equal(json_string_value(json_object_get(json_array_get(held, 0), "lot")),
                        b.packed);
    assert_true(house_stops(&h, b.packed, "load"));
}

static void a_value_in_another_unit_is_refused(void **state)
{
    house_refused(
        &h, UNIT_BAD,
        "{'kind':'instrument-check','instrument':'SCALE','reference':'20 C','shown':'20 kg',"
        "'person':5}");
    house_refused(&h, INSTRUMENT_UNKNOWN,
                  "{'kind':'instrument-check','instrument':'X','reference':'20 kg','shown':'20 kg',"
                  "'person':5}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(within_its_division_it_is_good),
        T(off_it_speaks_of_everything_since_the_last_good_one),
        T(a_release_weighed_with_it_is_judged_again),
        T(a_value_in_another_unit_is_refused),
    };
    RUN(tests);
}
