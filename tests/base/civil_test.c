#include "../support.h"

#include <time.h>

#include "base/civil.h"
#include "base/random.h"

static int use_utc(void **state)
{
    (void)state;
    return civil_zone_use("UTC").code != CODE_OK;
}

static void only_zones_of_the_machine_are_taken(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "",
        "Europe/Nowhere",
        "../../etc/passwd",
        "/usr/share/zoneinfo/UTC",
        "Europe",
        "Europe/..",
        "UTC0",
        ":UTC",
        "CET-1CEST,M3.5.0,M10.5.0/3",
        "zone.tab",
        "Europe/Vienna\n",
        " UTC",
        "Europe//../Europe/Vienna",
        "A23456789012345678901234567890123456789012345678901234567890123456789",
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_code(civil_zone_use(bad[i]), ZONE_UNKNOWN);
        assert_string_equal(civil_zone(), "UTC");
    }
    assert_ok(civil_zone_use("America/Argentina/Ushuaia"));
    assert_string_equal(civil_zone(), "America/Argentina/Ushuaia");
    assert_ok(civil_zone_use("Etc/GMT+5"));
    assert_int_equal(civil_offset_min(0), -300);
}

static void the_machines_zone_does_not_leak_in(void *argument)
{
    (void)argument;
    setenv("TZ", "Asia/Kolkata", 1);
    if (strcmp(civil_zone(), "UTC") != 0 || civil_offset_min(0) != 0) {
        _exit(1);
    }
}

static void without_a_choice_it_is_utc(void **state)
{
    (void)state;
    assert_int_equal(child_status(the_machines_zone_does_not_leak_in, NULL), 0);
}

static void times_with_an_offset(void **state)
{
    (void)state;
    assert_ok(civil_zone_use("Asia/Tokyo")); /* must not matter */
    static const struct {
        const char *text;
        int64_t ms;
    } cases[] = {
        {"1970-01-01T00:00:00Z", 0},
        {"2026-03-01T05:30:00.250+01:00", 1772339400250},
        {"2026-03-01t04:30:00.25z", 1772339400250},
        {"2026-03-01 04:30Z", 1772339400000},
        {"2026-03-01 04:30:00.123456789Z", 1772339400123},
        {"2026-02-28T23:00:00-05:30", 1772339400000},
        {"2026-03-01T04:30:00-00:00", 1772339400000},
        {"1969-12-31T23:59:59.999Z", -1},
        {"2024-02-29T00:00:00Z", 1709164800000},
        {"0001-01-01T00:00:00Z", -62135596800000},
        {"9999-12-31T23:59:59Z", 253402300799000},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int64_t ms = 0;
        assert_ok(civil_read(cases[i].text, "at", &ms));
        assert_true(ms == cases[i].ms);
    }
}

static void what_is_no_time_is_refused(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "",
        "2026-03-01",
        "2026-03-01T05",
        "2026-3-1T05:30Z",
        "2026-02-29T05:30Z",
        "2026-13-01T05:30Z",
        "2026-00-01T05:30Z",
        "2026-04-31T05:30Z",
        "2026-03-00T05:30Z",
        "0000-03-01T05:30Z",
        "2026-03-01T24:00Z",
        "2026-03-01T05:60Z",
        "2026-03-01T05:30:60Z",
        "2026-03-01T05:30:00.Z",
        "2026-03-01T05:30:00.1234567890Z",
        "2026-03-01T05:30:00+1:00",
        "2026-03-01T05:30:00+0100",
        "2026-03-01T05:30:00+24:00",
        "2026-03-01T05:30:00+01:60",
        "2026-03-01T05:30:00Z ",
        "2026-03-01  05:30:00Z",
        "2026-03-01X05:30:00Z",
        "+2026-03-01T05:30:00Z",
        "20260301T053000Z",
        "5:30",
        "yesterday",
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        int64_t ms = 77;
        struct result r = civil_read(bad[i], "at", &ms);
        assert_code(r, TIME_BAD);
        assert_string_equal(r.value[0], bad[i]);
        assert_true(ms == 77);
    }
}

static void changes_of_the_clock_are_asked_about(void **state)
{
    (void)state;
    assert_ok(civil_zone_use("Europe/Vienna"));
    int64_t ms = 0;
    assert_code(civil_read("2026-03-29T02:30", "start", &ms), TIME_GAP);
    assert_code(civil_read("2026-10-25T02:30", "start", &ms), TIME_TWICE);
    assert_code(civil_read("2026-10-25T02:00:00", "start", &ms), TIME_TWICE);
    assert_ok(civil_read("2026-10-25T03:00:00", "start", &ms));
    assert_ok(civil_read("2026-10-25T01:59:59", "start", &ms));
    assert_ok(civil_read("2026-03-29T01:59:59", "start", &ms));
    assert_ok(civil_read("2026-03-29T03:00:00", "start", &ms));
    assert_true(ms == 1774746000000);
    assert_ok(civil_read("2026-10-25T02:30+01:00", "start", &ms));

    struct civil c = {.year = 2026, .month = 10, .day = 25, .hour = 2, .minute = 30, .ms = 7};
    int64_t summer, winter;
    assert_ok(civil_to_ms(&c, 120, "start", &summer));
    assert_ok(civil_to_ms(&c, 60, "start", &winter));
    assert_true(winter - summer == 3600000 && summer % 1000 == 7);
    assert_code(civil_to_ms(&c, 180, "start", &ms), TIME_TWICE);
    assert_code(civil_to_ms(&c, CIVIL_NO_OFFSET, "start", &ms), TIME_TWICE);
    c.month = 11; /* the preference only settles what is unclear */
    assert_ok(civil_to_ms(&c, 120, "start", &ms));
    assert_int_equal(civil_offset_min(ms), 60);
    c.day = 31;
    assert_code(civil_to_ms(&c, 60, "start", &ms), TIME_BAD);
}

/* The time zone database, 2025b, file europe: Moscow went from +04:00 to +03:00 on 2014-10-26 at
 * 02:00 for good, and neither of the two was summer time. Computed here. */
static void a_repeated_hour_without_summer_time(void **state)
{
    (void)state;
    assert_ok(civil_zone_use("Europe/Moscow"));
    int64_t ms;
    assert_code(civil_read("2014-10-26T01:30", "start", &ms), TIME_TWICE);
    struct civil c = {.year = 2014, .month = 10, .day = 26, .hour = 1, .minute = 30};
    assert_ok(civil_to_ms(&c, 240, "start", &ms));
    assert_true(ms == 1414272600000);
    assert_ok(civil_to_ms(&c, 180, "start", &ms));
    assert_true(ms == 1414276200000);
}

static void instants_come_back_from_local_time(void **state)
{
    (void)state;
    static const char *const zones[] = {"America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu",
                                        "Africa/Casablanca", "Pacific/Apia"};
    struct random r;
    random_seed(&r, 9);
    for (size_t z = 0; z < sizeof zones / sizeof zones[0]; z++) {
        assert_ok(civil_zone_use(zones[z]));
        for (int i = 0; i < 3000; i++) {
            int64_t ms = 946684800000 + (int64_t)random_below(&r, 1577836800000);
            int offset_min = civil_offset_min(ms);
            struct civil c = civil_from_ms(ms, offset_min);
            int64_t back = 0;
            assert_ok(civil_to_ms(&c, offset_min, "at", &back));
            assert_true(back == ms);
        }
    }
}

static void instants_are_written(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 20);
    assert_ok(civil_zone_use("Europe/Vienna"));
    assert_string_equal(civil_text(&a, 1772339400000, 60), "2026-03-01T05:30:00+01:00");
    assert_string_equal(civil_text(&a, 1772339400250, 0), "2026-03-01T04:30:00.250Z");
    assert_string_equal(civil_text(&a, 1772339400000, -330), "2026-02-28T23:00:00-05:30");
    assert_string_equal(civil_text(&a, -1, 0), "1969-12-31T23:59:59.999Z");
    assert_string_equal(civil_short(&a, 1772339400000), "2026-03-01 05:30");
    struct random r;
    random_seed(&r, 10);
    for (int i = 0; i < 3000; i++) {
        int64_t ms = (int64_t)random_below(&r, 8000000000000) - 4000000000000, back = 0;
        int offset_min = (int)random_below(&r, 1600) - 800;
        assert_ok(civil_read(civil_text(&a, ms, offset_min), "at", &back));
        assert_true(back == ms);
        arena_clear(&a);
    }
    arena_release(&a);
}

/* Counted on by hand from 1600-01-01, a Saturday (Gregorian calendar): no rule shared with the
 * code. */
static void every_day_of_six_centuries(void **state)
{
    (void)state;
    static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int32_t day = -135140; /* 370 years of 365 days and 90 leap days before 1970 */
    int weekday = 5;
    for (int year = 1600; year < 2200; year++) {
        int leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
        int of_year = 0;
        for (int month = 1; month <= 12; month++) {
            int length = lengths[month - 1] + (month == 2 ? leap : 0);
            for (int d = 1; d <= length; d++, day++) {
                int y, m, dom;
                day_to_ymd(day, &y, &m, &dom);
                assert_true(y == year && m == month && dom == d);
                assert_int_equal(day_from_ymd(year, month, d), day);
                assert_int_equal(day_weekday(day), weekday);
                assert_int_equal(day_of_year(day), ++of_year);
                weekday = (weekday + 1) % 7;
            }
        }
        assert_int_equal(of_year, 365 + leap);
    }
}

static void days_are_read_and_written(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 16);
    int32_t day = 0;
    assert_ok(day_read("2026-03-01", "day", &day));
    assert_int_equal(day, 20513);
    assert_string_equal(day_text(&a, day), "2026-03-01");
    assert_string_equal(day_text(&a, -1), "1969-12-31");
    static const char *const bad[] = {"",           "2026-02-29", "2026-3-01",   "26-03-01",
                                      "2026/03/01", "01.03.2026", "2026-03-01T", "2026-03-011"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_code(day_read(bad[i], "day", &day), DATE_BAD);
    }
    assert_int_equal(day, 20513);
    arena_release(&a);
}

static void a_night_shift_is_one_day(void **state)
{
    (void)state;
    int64_t evening, morning;
    int32_t day;
    assert_ok(day_read("2026-03-01", "day", &day));
    assert_ok(civil_read("2026-03-01T22:00:00+01:00", "at", &evening));
    assert_ok(civil_read("2026-03-02T04:59:59+01:00", "at", &morning));
    assert_int_equal(day_of_house(evening, 60, 300), day);
    assert_int_equal(day_of_house(morning, 60, 300), day);
    assert_int_equal(day_of_house(morning + 1000, 60, 300), day + 1);
    assert_int_equal(day_of_house(-1, 0, 0), -1);
    assert_int_equal(day_of_house(0, 0, 0), 0);
    assert_int_equal(day_of_house(0, -60, 0), -1);
}

static void a_house_day_begins_at_its_hour(void **state)
{
    int32_t day;
    int64_t begin, wanted;
    assert_ok(civil_zone_use("Europe/Berlin"));
    assert_ok(day_read("2026-03-01", "day", &day));
    assert_ok(house_day_begin(day, 300, &begin));
    assert_ok(civil_read("2026-03-01T05:00:00+01:00", "at", &wanted));
    assert_int_equal(begin, wanted);
    assert_int_equal(day_of_house(begin, 60, 300), day);
    assert_int_equal(day_of_house(begin - 1, 60, 300), day - 1);
    /* 2026-03-29 has no 02:30 there: clocks go from 02:00 to 03:00 */
    assert_ok(day_read("2026-03-29", "day", &day));
    assert_ok(house_day_begin(day, 150, &begin));
    assert_ok(civil_read("2026-03-29T03:30:00+02:00", "at", &wanted));
    assert_int_equal(begin, wanted);
    assert_ok(civil_zone_use("UTC"));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_choice_it_is_utc),
        cmocka_unit_test_setup(only_zones_of_the_machine_are_taken, use_utc),
        cmocka_unit_test(a_house_day_begins_at_its_hour),
        cmocka_unit_test(times_with_an_offset),
        cmocka_unit_test(what_is_no_time_is_refused),
        cmocka_unit_test(changes_of_the_clock_are_asked_about),
        cmocka_unit_test(a_repeated_hour_without_summer_time),
        cmocka_unit_test(instants_come_back_from_local_time),
        cmocka_unit_test(instants_are_written),
        cmocka_unit_test(every_day_of_six_centuries),
        cmocka_unit_test(days_are_read_and_written),
        cmocka_unit_test(a_night_shift_is_one_day),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
