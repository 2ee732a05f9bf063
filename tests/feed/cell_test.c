#include "feed/cell.h"

#include "support.h"

static struct mapping with(char decimal, char thousands, bool day_first)
{
    return (struct mapping){.decimal = decimal, .thousands = thousands, .day_first = day_first};
}

static struct cell cell(const char *text)
{
    return (struct cell){.text = text,
                         .len = strlen(text),
                         .line = 7,
                         .column = 9,
                         .header = "Weight",
                         .mapped = true};
}

static void numbers_follow_the_mapping(void **state)
{
    static const struct {
        char decimal, thousands;
        const char *text;
        int64_t thousandths;
    } rows[] = {
        {'.', 0, "12.5", 12500},
        {'.', 0, "-12.5", -12500},
        {'.', 0, "+7", 7000},
        {'.', 0, "0012.500000", 12500},
        {',', 0, "12,5", 12500},
        {',', '.', "1.234,5", 1234500},
        {'.', ',', "1,234,567", 1234567000},
        {'.', ' ', "12 345.678", 12345678},
        {'.', '\'', "1'000", 1000000},
        {',', '.', "999", 999000},
        {'.', 0, "-0", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mapping m = with(rows[i].decimal, rows[i].thousands, false);
        struct cell c = cell(rows[i].text);
        int64_t value = -1;
        bool rounded = true;
        assert_int_equal(cell_number(&m, &c, 3, CELL_EXACT, &value, &rounded).code, CODE_OK);
        assert_int_equal(value, rows[i].thousandths);
        assert_false(rounded);
    }
}

static void what_is_no_number_is_refused(void **state)
{
    static const struct {
        char decimal, thousands;
        const char *text;
    } rows[] = {
        {'.', 0, ""},
        {'.', 0, "-"},
        {'.', 0, ".5"},
        {'.', 0, "5."},
        {'.', 0, "1.2.3"},
        {'.', 0, "1,5"},
        {',', 0, "1.5"},
        {'.', 0, "1e3"},
        {'.', 0, "0x10"},
        {'.', 0, "12 kg"},
        {'.', ',', "12,34"},
        {'.', ',', "1,2345"},
        {'.', ',', "1234,567"},
        {'.', ',', "1,234,5"},
        {'.', ',', ",123"},
        {',', '.', "1,234.5"},
        {'.', 0, "--1"},
        {'.', 0, "NaN"},
        {'.', 0, "1.5-"},
        {'.', 0, "9223372036854775808"},
        {'.', 0, "99999999999999999999999999999999999999999"},
        {'.', 0, "1.2345"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mapping m = with(rows[i].decimal, rows[i].thousands, false);
        struct cell c = cell(rows[i].text);
        int64_t value;
        bool rounded;
        struct result r = cell_number(&m, &c, 3, CELL_EXACT, &value, &rounded);
        assert_int_equal(r.code, CODE_FIELD_RANGE);
        assert_string_equal(r.field, "Weight");
        assert_int_equal(r.line, 7);
        assert_int_equal(r.column, 9);
    }
}

static void finer_numbers_are_rounded_where_it_is_allowed(void **state)
{
    static const struct {
        const char *text;
        int64_t tenths;
        bool rounded;
    } rows[] = {
        {"1.25", 13, true}, {"-1.25", -13, true}, {"1.2499999", 12, true}, {"1.20000", 12, false},
        {"0.95", 10, true}, {"0.04", 0, true},    {"-0.05", -1, true},
    };
    struct mapping m = with('.', 0, false);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cell c = cell(rows[i].text);
        int64_t value;
        bool rounded;
        assert_int_equal(cell_number(&m, &c, 1, CELL_ROUNDED, &value, &rounded).code, CODE_OK);
        assert_int_equal(value, rows[i].tenths);
        assert_int_equal(rounded, rows[i].rounded);
    }
}

static void days_follow_the_mapping(void **state)
{
    static const struct {
        bool day_first;
        const char *text;
        int year, month, day;
    } rows[] = {
        {false, "2026-03-01", 2026, 3, 1},          {false, "2028-02-29", 2028, 2, 29},
        {false, "2026-03-01 00:00:00", 2026, 3, 1}, {false, "2026-03-01T00:00", 2026, 3, 1},
        {true, "01.03.2026", 2026, 3, 1},           {true, "1.3.26", 2026, 3, 1},
        {true, "01/03/2026", 2026, 3, 1},           {true, "31-12-2026", 2026, 12, 31},
        {true, "01.03.2026 00:00", 2026, 3, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mapping m = with('.', 0, rows[i].day_first);
        struct cell c = cell(rows[i].text);
        int32_t day = 0;
        assert_int_equal(cell_day(&m, &c, &day).code, CODE_OK);
        assert_int_equal(day, day_from_ymd(rows[i].year, rows[i].month, rows[i].day));
    }
}

/* "1.000" packs from a house that writes thousands so are not one. */
static void a_count_that_may_be_a_thousand_is_refused(void **state)
{
    static const struct {
        char decimal, thousands;
        const char *text;
        int64_t high, count; /* 0: refused */
    } rows[] = {
        {'.', 0, "1.000", 100000, 0},      {'.', 0, "120.000", 1000000, 0},
        {',', 0, "1,000", 100000, 0},      {'.', 0, "1.00", 100000, 1},
        {'.', 0, "1000", 100000, 1000},    {'.', 0, "1.0000", 100000, 1},
        {'.', ',', "1.000", 100000, 1},    {'.', ',', "1,000", 100000, 1000},
        {',', '.', "1.000", 100000, 1000}, {',', '.', "1,000", 100000, 1},
        {'.', 0, "98.000", 100, 98}, /* no hundred seeds are 98000 */
        {'.', 0, "0.000", 100000, 0},      {'.', 0, "1234.000", 10000000, 1234},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mapping m = with(rows[i].decimal, rows[i].thousands, false);
        struct cell c = cell(rows[i].text);
        int64_t count = 0;
        struct result r = cell_count(&m, &c, 1, rows[i].high, &count);
        assert_int_equal(r.code, rows[i].count > 0 ? CODE_OK : CODE_FIELD_RANGE);
        assert_int_equal(count, rows[i].count);
    }
}

static void what_is_no_day_is_refused(void **state)
{
    static const struct {
        bool day_first;
        const char *text;
    } rows[] = {
        {false, "01.03.2026"},
        {false, "2026-3-1"},
        {false, "2026-02-29"},
        {false, "2026-13-01"},
        {false, "2026-03-01 05:30"},
        {false, "20260301"},
        {false, "1970-12-31"},
        {false, "2026-03-01Z"},
        {true, "2026-03-01"},
        {true, "03/13/2026"},
        {true, "1.3.026"},
        {true, "1.3"},
        {true, "1.3-2026"},
        {true, "1.3.20260"},
        {true, "29.02.2026"},
        {false, ""},
        {false, "2026-03-01 00:00:00+01:00"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct mapping m = with('.', 0, rows[i].day_first);
        struct cell c = cell(rows[i].text);
        int32_t day;
        struct result r = cell_day(&m, &c, &day);
        assert_int_equal(r.code, CODE_FEED_DATE);
        assert_int_equal(r.line, 7);
        assert_int_equal(r.column, 9);
    }
}

static void stamps_keep_their_fields(void **state)
{
    struct mapping m = with('.', 0, false);
    struct stamp s;
    struct cell c = cell("2026-03-01 05:30:07.25 +05:30");
    assert_int_equal(cell_stamp(&m, &c, &s).code, CODE_OK);
    assert_int_equal(s.day_ms, ((5 * 60 + 30) * 60 + 7) * 1000 + 250);
    assert_true(s.has_time && s.has_offset);
    assert_int_equal(s.offset_min, 330);
    c = cell("2026-03-01T05:30-0330");
    assert_int_equal(cell_stamp(&m, &c, &s).code, CODE_OK);
    assert_int_equal(s.offset_min, -210);
    c = cell("2026-03-01 05:30:07.123456");
    assert_int_equal(cell_stamp(&m, &c, &s).code, CODE_OK);
    assert_int_equal(s.day_ms % 1000, 123);
    assert_false(s.has_offset);
    static const char *const bad[] = {
        "2026-03-01 24:00",       "2026-03-01 05:60",  "2026-03-01 05:30:60",
        "2026-03-01 5",           "2026-03-01 05:30 ", "2026-03-01 05:30+1",
        "2026-03-01 05:30:07.",   "2026-03-01  05:30", "2026-03-01 05:30 am",
        "2026-03-01 05:30+25:00", "2026-03-01T"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        c = cell(bad[i]);
        assert_int_equal(cell_stamp(&m, &c, &s).code, CODE_FEED_DATE);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        FEED_TEST(numbers_follow_the_mapping),
        FEED_TEST(what_is_no_number_is_refused),
        FEED_TEST(finer_numbers_are_rounded_where_it_is_allowed),
        FEED_TEST(days_follow_the_mapping),
        FEED_TEST(a_count_that_may_be_a_thousand_is_refused),
        FEED_TEST(what_is_no_day_is_refused),
        FEED_TEST(stamps_keep_their_fields),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
