/* What a metal detector took out by itself. */
#include "head.h"

static int64_t reject(const char *metal, int passes)
{
    return house_take(&h,
                      "{'kind':'metal-reject','place':'METAL','metal':'%s','what':'in the bin',"
                      "'passes':%d,'person':5}",
                      metal, passes);
}

static void one_is_noted_two_alike_stop_the_line(void **state)
{
    assert_int_equal(house_in_entry(&h, reject("iron", 3), "rejects-stop"), 0);
    assert_int_equal(house_deviations(&h), 0);
    reject("steel", 3); /* another metal */
    assert_int_equal(house_deviations(&h), 0);
    house_wait(&h, "1 h");
    assert_int_equal(house_in_entry(&h, reject("iron", 3), "rejects-stop"), 1);
    assert_true(house_deviates(&h, "rejects-alike"));
    assert_int_equal(house_number(&h, "alike"), 2);
}

static void those_of_another_shift_are_not_counted(void **state)
{
    reject("iron", 3);
    house_wait(&h, "9 h"); /* the profile's shift */
    reject("iron", 3);
    assert_int_equal(house_deviations(&h), 0);
}

static void a_false_reject_says_nothing(void **state)
{
    for (int i = 0; i < 4; i++) {
        reject("none", 3);
        assert_int_equal(house_deviations(&h), 0);
    }
}

static void it_is_passed_again_three_times(void **state)
{
    reject("none", 2);
    assert_true(house_deviates(&h, "reject-not-repassed"));
}

static void only_a_detector_or_its_line_rejects(void **state)
{
    house_refused(&h, FIELD_CHOICE,
                  "{'kind':'metal-reject','place':'COLD','metal':'iron','what':'x','passes':3,"
                  "'person':5}");
    house_refused(&h, FIELD_CHOICE,
                  "{'kind':'metal-reject','place':'PACK','metal':'gold','what':'x','passes':3,"
                  "'person':5}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(one_is_noted_two_alike_stop_the_line), T(those_of_another_shift_are_not_counted),
        T(a_false_reject_says_nothing),          T(it_is_passed_again_three_times),
        T(only_a_detector_or_its_line_rejects),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
