/* What the time zone database says of days on which clocks changed, or did not. */
#include "../support.h"

#include "base/civil.h"

static const char source[] =
    "Eggert and others, IANA Time Zone Database (2025b as packaged here) - computed here";

static void zone(const char *name)
{
    struct result r = civil_zone_use(name);
    if (r.code != CODE_OK) {
        print_error("%s: %s\n", name, source);
    }
    assert_ok(r);
}

static int64_t instant(const char *text)
{
    int64_t ms = 0;
    struct result r = civil_read(text, "at", &ms);
    if (r.code != CODE_OK) {
        print_error("%s: %s\n", text, source);
    }
    assert_ok(r);
    return ms;
}

static void assert_same(const char *local, const char *utc)
{
    int64_t got = instant(local), wanted = instant(utc);
    if (got != wanted) {
        print_error("%s in %s is not %s: %s\n", local, civil_zone(), utc, source);
    }
    assert_true(got == wanted);
}

static void assert_unclear(const char *local, enum code code)
{
    int64_t ms;
    struct result r = civil_read(local, "at", &ms);
    if (r.code != code) {
        print_error("%s in %s: %s\n", local, civil_zone(), source);
    }
    assert_code_at(r, code, __FILE__, __LINE__);
}

static void hours_that_do_not_exist(void **state)
{
    (void)state;
    zone("America/New_York");
    assert_unclear("2026-03-08T02:30", CODE_TIME_GAP);
    assert_same("2026-03-08T03:30", "2026-03-08T07:30Z");
    assert_same("2026-03-08T02:30-05:00", "2026-03-08T07:30Z");
    zone("Europe/Amsterdam");
    assert_unclear("2026-03-29T02:30", CODE_TIME_GAP);
}

static void hours_that_come_twice(void **state)
{
    (void)state;
    zone("America/New_York");
    assert_unclear("2026-11-01T01:30", CODE_TIME_TWICE);
    assert_same("2026-11-01T01:30-04:00", "2026-11-01T05:30Z");
    assert_same("2026-11-01T01:30-05:00", "2026-11-01T06:30Z");
    struct civil c = {.year = 2026, .month = 11, .day = 1, .hour = 1, .minute = 30};
    int64_t first, second;
    assert_ok(civil_to_ms(&c, -240, "at", &first));
    assert_ok(civil_to_ms(&c, -300, "at", &second));
    assert_true(first == instant("2026-11-01T05:30Z") && second == instant("2026-11-01T06:30Z"));
}

static void zones_without_summer_time(void **state)
{
    (void)state;
    zone("Asia/Tokyo");
    assert_same("2026-07-02T06:30", "2026-07-01T21:30Z");
    zone("Asia/Seoul");
    assert_same("2026-07-02T06:30", "2026-07-01T21:30Z");
    zone("America/Mexico_City"); /* none since 2022 */
    assert_int_equal(civil_offset_min(instant("2026-07-01T12:00Z")), -360);
    zone("Asia/Kolkata");
    assert_int_equal(civil_offset_min(instant("2026-07-01T12:00Z")), 330);
}

static void ten_days_may_have_239_hours(void **state)
{
    (void)state;
    zone("America/New_York");
    int64_t hours = (instant("2026-03-17T12:00") - instant("2026-03-07T12:00")) / 3600000;
    if (hours != 239) {
        print_error("noon to noon: %s\n", source);
    }
    assert_int_equal(hours, 239);
}

static void days_of_the_year(void **state)
{
    (void)state;
    assert_int_equal(day_of_year(day_from_ymd(2028, 12, 31)), 366);
    assert_int_equal(day_weekday(day_from_ymd(2026, 1, 1)), 3); /* 2026-W01-4, ISO 8601: Thursday */
    assert_int_equal(day_weekday(day_from_ymd(2027, 1, 1)), 4); /* 2026-W53-5 */
    assert_int_equal(day_weekday(day_from_ymd(2024, 12, 30)), 0); /* 2025-W01-1 */
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hours_that_do_not_exist),   cmocka_unit_test(hours_that_come_twice),
        cmocka_unit_test(zones_without_summer_time), cmocka_unit_test(ten_days_may_have_239_hours),
        cmocka_unit_test(days_of_the_year),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
