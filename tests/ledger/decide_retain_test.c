/* Retained samples and the way of a sample from hand to hand. */
#include "head.h"

static const char *packed;

static int open_packed(void **state)
{
    house_open(&h);
    packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    return 0;
}

static void what_is_kept_back_leaves_the_lot(void **state)
{
    int64_t mg = house_balance(&h, packed, UNIT_MG),
            pieces = house_balance(&h, packed, UNIT_PIECES);
    const char *unit = house_case(&h, packed, 3).code;
    house_take(&h, "{'kind':'retain','units':['%s'],'place':'COLD','until':'%s','person':5}", unit,
               house_time(&h, 20 * 1440));
    const char *code = house_answer(&h, "retained");
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), pieces - 40);
    assert_int_equal(house_account(&h, "sample", "pc"), 40);
    assert_int_equal(house_account(&h, "sample", "mg"), mg - house_balance(&h, packed, UNIT_MG));
    assert_string_equal(house_case(&h, packed, 3).state, "retained");
    house_sums(&h);
    /* it can't be shipped any more */
    house_rule(&h, UNIT_GONE, "unit-gone",
               house_text(&h,
                          "{'kind':'retain','units':['%s'],'place':'COLD','until':'%s','person':5}",
                          unit, house_time(&h, 20 * 1440)));
    house_take(&h, "{'kind':'retain-end','retained':'%s','what':'thrown away','person':2}", code);
    house_refused(
        &h, SAMPLE_UNKNOWN,
        house_text(&h, "{'kind':'retain-end','retained':'%s','what':'again','person':2}", code));
}

static void a_sample_that_came_warm_or_open_is_a_deviation(void **state)
{
    const char *growing = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "49 h");
    const char *sample = house_sample(&h, growing);
    house_take(&h, "{'kind':'custody','sample':'%s','to':'courier','temp':'4 C','person':4}",
               sample);
    assert_int_equal(house_deviations(&h), 0);
    house_take(&h,
               "{'kind':'custody','sample':'%s','to':'laboratory','temp':'8.1 C','seal':'whole',"
               "'person':4}",
               sample);
    assert_true(house_deviates(&h, "custody-broken"));
    house_take(&h, "{'kind':'custody','sample':'%s','to':'laboratory','seal':'broken','person':4}",
               sample);
    assert_true(house_deviates(&h, "custody-broken"));
    house_refused(&h, SAMPLE_UNKNOWN,
                  "{'kind':'custody','sample':'X','to':'laboratory','person':4}");
}

#define P(function) cmocka_unit_test_setup_teardown(function, open_packed, head_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        P(what_is_kept_back_leaves_the_lot),
        P(a_sample_that_came_warm_or_open_is_a_deviation),
    };
    RUN(tests);
}
