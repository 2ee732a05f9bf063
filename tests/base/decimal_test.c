#include "../support.h"

#include "base/decimal.h"
#include "base/random.h"

static void numbers_are_read_exactly(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int scale;
        enum code code;
        int64_t value;
    } cases[] = {
        {"12.5", 3, CODE_OK, 12500},
        {"-12.5", 3, CODE_OK, -12500},
        {"+0.001", 3, CODE_OK, 1},
        {"-0", 0, CODE_OK, 0},
        {"007", 0, CODE_OK, 7},
        {"0.1000000000000000000000000", 1, CODE_OK, 1},
        {"9223372036854775807", 0, CODE_OK, INT64_MAX},
        {"-9223372036854775808", 0, CODE_OK, INT64_MIN},
        {"9223372036854775.807", 3, CODE_OK, INT64_MAX},
        {"9223372036854775808", 0, CODE_DECIMAL_LARGE, 0},
        {"-9223372036854775809", 0, CODE_DECIMAL_LARGE, 0},
        {"9223372036854776", 3, CODE_DECIMAL_LARGE, 0},
        {"99999999999999999999999", 0, CODE_DECIMAL_LARGE, 0},
        {"0.0005", 3, CODE_DECIMAL_FINE, 0},
        {"1.01", 1, CODE_DECIMAL_FINE, 0},
        {"1.5", 0, CODE_DECIMAL_FINE, 0},
        {"", 3, CODE_DECIMAL_BAD, 0},
        {"-", 3, CODE_DECIMAL_BAD, 0},
        {".5", 3, CODE_DECIMAL_BAD, 0},
        {"5.", 3, CODE_DECIMAL_BAD, 0},
        {"1.2.3", 3, CODE_DECIMAL_BAD, 0},
        {"--1", 3, CODE_DECIMAL_BAD, 0},
        {"1e3", 3, CODE_DECIMAL_BAD, 0},
        {"1,5", 3, CODE_DECIMAL_BAD, 0},
        {" 1", 3, CODE_DECIMAL_BAD, 0},
        {"1 ", 3, CODE_DECIMAL_BAD, 0},
        {"nan", 3, CODE_DECIMAL_BAD, 0},
        {"0x10", 3, CODE_DECIMAL_BAD, 0},
        {"\xd9\xa3", 3, CODE_DECIMAL_BAD, 0}, /* a digit of another script */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int64_t value = 0;
        struct result r = decimal_read(cases[i].text, cases[i].scale, "mass", &value);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_true(value == cases[i].value);
        if (r.code != CODE_OK) {
            assert_string_equal(r.field, "mass");
            assert_string_equal(r.value[0], cases[i].text);
        }
    }
}

static void numbers_are_written_exactly(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    assert_string_equal(decimal_text(&a, 12500, 3, false), "12.5");
    assert_string_equal(decimal_text(&a, 12500, 3, true), "12.500");
    assert_string_equal(decimal_text(&a, -5, 3, false), "-0.005");
    assert_string_equal(decimal_text(&a, 0, 2, true), "0.00");
    assert_string_equal(decimal_text(&a, 0, 2, false), "0");
    assert_string_equal(decimal_text(&a, 1200, 0, false), "1200");
    assert_string_equal(decimal_text(&a, INT64_MIN, 18, true), "-9.223372036854775808");
    assert_string_equal(decimal_text(&a, INT64_MIN, 0, false), "-9223372036854775808");
    arena_release(&a);
}

static void what_is_written_reads_back(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 24);
    struct random r;
    random_seed(&r, 5);
    for (int i = 0; i < 20000; i++) {
        int scale = (int)random_below(&r, 19);
        int64_t value = (int64_t)random_u64(&r) >> random_below(&r, 64), back = 0;
        assert_ok(decimal_read(decimal_text(&a, value, scale, i % 2 == 0), scale, "x", &back));
        assert_true(back == value);
        arena_clear(&a);
    }
    arena_release(&a);
}

typedef struct result reader(const char *text, const char *field, int64_t *out);

static void quantities_need_their_unit(void **state)
{
    (void)state;
    static const struct {
        reader *read;
        const char *text;
        enum code code;
        int64_t value;
    } cases[] = {
        {mass_read, "942 kg", CODE_OK, 942000000},
        {mass_read, "942.5kg", CODE_OK, 942500000},
        {mass_read, "300 g", CODE_OK, 300000},
        {mass_read, "0.001 g", CODE_OK, 1},
        {mass_read, "12 mg", CODE_OK, 12},
        {mass_read, "1.2 t", CODE_OK, 1200000000},
        {mass_read, "-2 g", CODE_OK, -2000},
        {mass_read, "942", CODE_UNIT_BAD, 0},
        {mass_read, "942 KG", CODE_UNIT_BAD, 0},
        {mass_read, "942 lb", CODE_UNIT_BAD, 0},
        {mass_read, "942 kg net", CODE_UNIT_BAD, 0},
        {mass_read, "942 kg ", CODE_UNIT_BAD, 0},
        {mass_read, "kg", CODE_DECIMAL_BAD, 0},
        {mass_read, " 942 kg", CODE_DECIMAL_BAD, 0},
        {mass_read, "9,42 kg", CODE_UNIT_BAD, 0},
        {mass_read, "0.5 mg", CODE_DECIMAL_FINE, 0},
        {mass_read, "0.0000005 kg", CODE_DECIMAL_FINE, 0},
        {mass_read, "9223372036855 kg", CODE_DECIMAL_LARGE, 0},
        {temp_read, "85 C", CODE_OK, 85000},
        {temp_read, "85.25 \u00b0C", CODE_OK, 85250},
        {temp_read, "-1.5", CODE_OK, -1500},
        {temp_read, "185 F", CODE_UNIT_BAD, 0},
        {temp_read, "C", CODE_DECIMAL_BAD, 0},
        {temp_read, "85.0001 C", CODE_DECIMAL_FINE, 0},
        {duration_read, "40 s", CODE_OK, 40000},
        {duration_read, "12.5 s", CODE_OK, 12500},
        {duration_read, "12 min", CODE_OK, 720000},
        {duration_read, "1.5 h", CODE_OK, 5400000},
        {duration_read, "2 d", CODE_OK, 172800000},
        {duration_read, "250 ms", CODE_OK, 250},
        {duration_read, "-1 s", CODE_FIELD_RANGE, 0},
        {duration_read, "40", CODE_UNIT_BAD, 0},
        {duration_read, "40 m", CODE_UNIT_BAD, 0},
        {duration_read, "9223372036854775 d", CODE_DECIMAL_LARGE, 0},
        {percent_read, "12.5 %", CODE_OK, 125000},
        {percent_read, "12.5%", CODE_OK, 125000},
        {percent_read, "0.0001%", CODE_OK, 1},
        {percent_read, "100 %", CODE_OK, 1000000},
        {percent_read, "12.5", CODE_UNIT_BAD, 0},
        {percent_read, "12.5 ppm", CODE_UNIT_BAD, 0},
        {percent_read, "%", CODE_DECIMAL_BAD, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int64_t value = 0;
        struct result r = cases[i].read(cases[i].text, "amount", &value);
        if (r.code != cases[i].code) {
            print_error("case \"%s\"\n", cases[i].text);
        }
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_true(value == cases[i].value);
    }
}

static void masses_show_no_more_than_the_scale_had(void **state)
{
    (void)state;
    static const struct {
        int64_t mg, division_mg;
        const char *text;
    } cases[] = {
        {942500000, 0, "942.5 kg"},
        {942000001, 0, "942.000001 kg"},
        {300000, 0, "300 g"},
        {-1, 0, "-0.001 g"},
        {0, 0, "0 g"},
        {942512345, 500000, "942.5 kg"},
        {942000000, 500000, "942.0 kg"},
        {942550000, 100000, "942.6 kg"},
        {-942550000, 100000, "-942.6 kg"},
        {942512345, 1000000, "943 kg"},
        {942499999, 1000000, "942 kg"},
        {945000000, 10000000, "950 kg"},
        {251234, 100, "251.2 g"},
        {251234, 1000, "251 g"},
        {251234, 1, "251.234 g"},
        {999999999, 1000000, "1000 kg"},
        {999999, 1000, "1.000 kg"},
        {999400, 1000, "999 g"},
        {40000, 100000, "0 g"},
        {INT64_MAX, 1000000, "9223372036854 kg"}, /* one more would not fit */
    };
    struct arena a;
    arena_init(&a, 1 << 20);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_string_equal(mass_text(&a, cases[i].mg, cases[i].division_mg), cases[i].text);
    }
    arena_release(&a);
}

static void whole_numbers_stand_before_their_end(void **state)
{
    (void)state;
    static const struct {
        int64_t value;
        const char *text;
    } cases[] = {{0, "0"},
                 {-7, "-7"},
                 {1000, "1000"},
                 {INT64_MAX, "9223372036854775807"},
                 {INT64_MIN, "-9223372036854775808"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char room[INTEGER_TEXT_MAX + 1] = "", *end = room + INTEGER_TEXT_MAX;
        const char *from = integer_before(end, cases[i].value);
        assert_true(from >= room);
        assert_string_equal(from, cases[i].text);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read_exactly),
        cmocka_unit_test(numbers_are_written_exactly),
        cmocka_unit_test(what_is_written_reads_back),
        cmocka_unit_test(quantities_need_their_unit),
        cmocka_unit_test(masses_show_no_more_than_the_scale_had),
        cmocka_unit_test(whole_numbers_stand_before_their_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
