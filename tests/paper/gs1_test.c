#include "paper/gs1.h"

#include "../support.h"
#include "base/civil.h"

static struct arena arena;

static int arena_open(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return 0;
}

static int arena_shut(void **state)
{
    arena_release(&arena);
    return 0;
}

static void keys_are_refused_with_the_place(void **state)
{
    struct result r = gs1_key_check("95201234x6788", "gtin");
    assert_code(r, KEY_DIGIT);
    assert_string_equal(r.field, "gtin");
    assert_int_equal(r.column, 9);
    assert_string_equal(result_sentence(&arena, &r),
                        "gtin is \"95201234x6788\": character 9 is not a digit. Write the number "
                        "without blanks or dashes.");
    r = gs1_key_check("9520123456787", "gtin");
    assert_code(r, KEY_CHECK);
    assert_int_equal(r.column, 13);
    assert_string_equal(r.value[2], "8");
    assert_code(gs1_key_check("", "gtin"), KEY_LENGTH);
    assert_code(gs1_key_check("952012345679", "gtin"), KEY_CHECK);
    assert_code(gs1_key_check("95201234567881", "gtin"), KEY_CHECK);
    assert_code(gs1_key_check("952012345678812", "gtin"), KEY_LENGTH);
    assert_code(gs1_key_check("-9520123456788", "gtin"), KEY_DIGIT);
}

/* One wrong digit is always found: 3 has no common divisor with 10. */
static void each_wrong_digit_is_found(void **state)
{
    const char right[] = "952012345678912345";
    assert_ok(gs1_key_check(right, "sscc"));
    for (size_t i = 0; i < 18; i++) {
        for (char c = '0'; c <= '9'; c++) {
            char wrong[sizeof right];
            memcpy(wrong, right, sizeof right);
            wrong[i] = c;
            struct result r = gs1_key_check(wrong, "sscc");
            assert_int_equal(r.code == CODE_OK, c == right[i]);
        }
    }
}

static void gtins_get_fourteen_digits(void **state)
{
    const char *out;
    assert_ok(gs1_gtin14(&arena, "9520123456788", "gtin", &out));
    assert_string_equal(out, "09520123456788");
    assert_ok(gs1_gtin14(&arena, "416000336108", "gtin", &out));
    assert_string_equal(out, "00416000336108");
    assert_ok(gs1_gtin14(&arena, "02345673", "gtin", &out));
    assert_string_equal(out, "00000002345673");
    assert_ok(gs1_gtin14(&arena, "24012345678905", "gtin", &out));
    assert_string_equal(out, "24012345678905");
    /* an SSCC is a key, but not a GTIN */
    assert_code(gs1_gtin14(&arena, "952012345678912345", "gtin", &out), KEY_LENGTH);
}

static void dates_have_six_digits(void **state)
{
    const char *out;
    assert_ok(gs1_date(&arena, day_from_ymd(2026, 3, 7), "day", &out));
    assert_string_equal(out, "260307");
    assert_ok(gs1_date(&arena, day_from_ymd(2000, 1, 1), "day", &out));
    assert_string_equal(out, "000101");
    assert_ok(gs1_date(&arena, day_from_ymd(2099, 12, 31), "day", &out));
    assert_string_equal(out, "991231");
    assert_code(gs1_date(&arena, day_from_ymd(1999, 12, 31), "day", &out), FIELD_RANGE);
    assert_code(gs1_date(&arena, day_from_ymd(2100, 1, 1), "day", &out), FIELD_RANGE);
}

static void net_weights_keep_their_decimals(void **state)
{
    struct gs1_element e;
    assert_ok(gs1_net_weight(&arena, 4985000, 3, "net", &e));
    assert_string_equal(e.ai, "3103");
    assert_string_equal(e.value, "004985");
    assert_ok(gs1_net_weight(&arena, 999999000, 3, "net", &e));
    assert_string_equal(e.value, "999999");
    assert_code(gs1_net_weight(&arena, 1000000000, 3, "net", &e), ELEMENT_LARGE);
    assert_ok(gs1_net_weight(&arena, 1000000000, 2, "net", &e));
    assert_string_equal(e.value, "100000");
    assert_code(gs1_net_weight(&arena, 4985500, 3, "net", &e), ELEMENT_FINE);
    assert_code(gs1_net_weight(&arena, 0, 3, "net", &e), ELEMENT_LARGE);
    assert_code(gs1_net_weight(&arena, -1000, 3, "net", &e), ELEMENT_LARGE);
}

static struct result check_one(const char *ai, const char *value)
{
    struct gs1_element e = {ai, value, "value"};
    struct gs1_string unused;
    return gs1_string_make(&arena, &e, 1, &unused);
}

static void elements_are_refused_with_the_place(void **state)
{
    struct result r = check_one("10", "P26 066");
    assert_code(r, ELEMENT_CHARACTER);
    assert_int_equal(r.column, 4);
    assert_code(check_one("10", "Größe"), ELEMENT_CHARACTER);
    assert_code(check_one("10", "A\x1d"), ELEMENT_CHARACTER);
    assert_code(check_one("10", ""), ELEMENT_LENGTH);
    assert_code(check_one("10", "123456789012345678901"), ELEMENT_LENGTH);
    assert_ok(check_one("10", "12345678901234567890"));
    assert_code(check_one("21", "123456789012345678901"), ELEMENT_LENGTH);
    assert_code(check_one("00", "95201234567891234"), ELEMENT_LENGTH);
    assert_code(check_one("00", "952012345678912344"), KEY_CHECK);
    assert_code(check_one("37", "123456789"), ELEMENT_LENGTH);
    assert_code(check_one("37", "12x"), ELEMENT_CHARACTER);
    assert_code(check_one("3103", "12345"), ELEMENT_LENGTH);
    assert_code(check_one("3106", "123456"), ELEMENT_UNKNOWN);
    assert_code(check_one("99", "A"), ELEMENT_UNKNOWN);
    assert_code(check_one("", "A"), ELEMENT_UNKNOWN);
    /* the whole set and nothing but it */
    for (int c = 1; c < 256; c++) {
        char value[2] = {(char)c, '\0'};
        bool in_set = strchr("!\"%&'()*+,-./_:;<=>?0123456789"
                             "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz",
                             c) != NULL;
        r = check_one("10", value);
        assert_int_equal(r.code, in_set ? CODE_OK : CODE_ELEMENT_CHARACTER);
    }
}

/* A day 00 may be read; it is never printed. */
static void a_date_has_a_day(void **state)
{
    struct result r = check_one("17", "260300");
    assert_code(r, ELEMENT_DATE);
    assert_int_equal(r.column, 5);
    r = check_one("17", "261301");
    assert_code(r, ELEMENT_DATE);
    assert_int_equal(r.column, 3);
    assert_code(check_one("15", "260001"), ELEMENT_DATE);
    assert_code(check_one("11", "260332"), ELEMENT_DATE);
    assert_ok(check_one("13", "261231"));
}

static void separators_stand_only_between(void **state)
{
    const struct gs1_element elements[] = {
        {"01", "09520123456788", "gtin"},
        {"10", "ABC", "lot"},
        {"17", "260314", "use_by"},
        {"21", "7", "case"},
    };
    struct gs1_string s;
    assert_ok(gs1_string_make(&arena, elements, 4, &s));
    assert_string_equal(s.bracketed, "(01)09520123456788(10)ABC(17)260314(21)7");
    assert_string_equal(s.scanned, "010952012345678810ABC\x1d"
                                   "17260314217");
    assert_int_equal(s.chars, strlen(s.scanned));
    assert_ok(gs1_string_make(&arena, elements, 2, &s));
    assert_string_equal(s.scanned, "010952012345678810ABC");
}

static void one_value_for_each_identifier(void **state)
{
    const struct gs1_element twice[] = {
        {"01", "09520123456788", "gtin"}, {"10", "A", "lot"}, {"10", "B", "lot"}};
    struct result r = gs1_elements_check(twice, 3);
    assert_code(r, ELEMENT_TWICE);
    assert_string_equal(result_sentence(&arena, &r),
                        "(10) stands on one label with two values, A and B. Keep one.");
    const struct gs1_element same[] = {
        {"01", "09520123456788", "gtin"}, {"10", "A", "lot"}, {"10", "A", "lot"}};
    assert_ok(gs1_elements_check(same, 3));
    const struct gs1_element weights[] = {
        {"01", "99520123456781", "gtin"}, {"3103", "004985", "net"}, {"3102", "000499", "net"}};
    assert_code(gs1_elements_check(weights, 3), ELEMENT_CLASH);
}

static void a_string_is_read_back(void **state)
{
    struct arena a;
    struct gs1_element e[3];
    size_t count;
    (void)state;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_true(gs1_string_read(&a, "(01)09520123456788(10)AB-1(21)7", e, 3, &count));
    assert_int_equal(count, 3);
    assert_string_equal(e[0].ai, "01");
    assert_string_equal(e[0].value, "09520123456788");
    assert_string_equal(e[1].value, "AB-1");
    assert_string_equal(e[2].ai, "21");
    assert_string_equal(e[2].value, "7");
    assert_true(gs1_string_read(&a,
                                "]C1010952012345678810AB-1\x1d"
                                "3103001250",
                                e, 3, &count));
    assert_int_equal(count, 3);
    assert_string_equal(e[1].value, "AB-1"); /* up to its separator */
    assert_string_equal(e[2].ai, "3103");
    assert_string_equal(e[2].value, "001250");
    assert_true(gs1_string_read(&a, "00095201234567891235", e, 3, &count));
    assert_string_equal(e[0].ai, "00");
    assert_false(gs1_string_read(&a, "0109520123", e, 3, &count)); /* too short */
    assert_false(gs1_string_read(&a, "(99)X", e, 3, &count));      /* not known here */
    assert_false(gs1_string_read(&a, "(10AB", e, 3, &count));      /* no bracket */
    assert_false(gs1_string_read(&a, "M250-20782-01", e, 3, &count));
    assert_false(gs1_string_read(&a, "", e, 3, &count));
    assert_false(gs1_string_read(&a, "(10)A(21)B(37)4(11)260401", e, 3, &count)); /* no room */
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_string_is_read_back),
        cmocka_unit_test_setup_teardown(keys_are_refused_with_the_place, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(each_wrong_digit_is_found, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(gtins_get_fourteen_digits, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(dates_have_six_digits, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(net_weights_keep_their_decimals, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(elements_are_refused_with_the_place, arena_open,
                                        arena_shut),
        cmocka_unit_test_setup_teardown(a_date_has_a_day, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(separators_stand_only_between, arena_open, arena_shut),
        cmocka_unit_test_setup_teardown(one_value_for_each_identifier, arena_open, arena_shut),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
