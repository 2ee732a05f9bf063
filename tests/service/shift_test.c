#include "service/shift.h"

#include "fixture.h"

#include "base/civil.h"

enum { HOUR_MS = 3600000 };

static struct arena arena;

static int set_up(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    assert_ok(civil_zone_use("Europe/Vienna"));
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    arena_release(&arena);
    return 0;
}

static void is_in_force(const struct profile *p, int64_t ms, const char *name, int64_t start_ms,
                        int64_t end_ms)
{
    struct shift s = shift_at(p, &arena, ms);
    assert_string_equal(s.name, name);
    assert_int_equal(s.start_ms, start_ms);
    assert_int_equal(s.end_ms, end_ms);
}

/* Europe/Vienna is an hour east of UTC in March until the 29th, 01:00 UTC, then two (IANA tz
 * database, published (seen)). */
static void without_names_a_day_is_cut_into_spans(void **state)
{
    (void)state;
    struct profile p = {.day_starts_min = 4 * 60, .shift_ms = 8 * HOUR_MS};
    const int64_t t = SITE_START_MS; /* 2026-03-02T04:00Z: 05:00 there; the day began at 03:00Z */
    is_in_force(&p, t, "1", t - HOUR_MS, t + 7 * HOUR_MS);
    is_in_force(&p, t - HOUR_MS, "1", t - HOUR_MS, t + 7 * HOUR_MS);
    is_in_force(&p, t - HOUR_MS - 1, "3", t - 9 * HOUR_MS, t - HOUR_MS);
    is_in_force(&p, t + 7 * HOUR_MS, "2", t + 7 * HOUR_MS, t + 15 * HOUR_MS);
    /* the house day of the 28th begins at 03:00Z and is still under way at 01:30Z of the 29th, when
     * the clocks have changed: its third shift began at 19:00Z and ends an hour early, at 02:00Z */
    int64_t change = t + INT64_C(27) * 24 * HOUR_MS - 2 * HOUR_MS - HOUR_MS / 2;
    is_in_force(&p, change, "3", change - 6 * HOUR_MS - HOUR_MS / 2, change + HOUR_MS / 2);
    p.shift_ms = 0;
    is_in_force(&p, t + 7 * HOUR_MS, "1", t - HOUR_MS, t + 23 * HOUR_MS);
}

static struct profile_shift three[] = {{"early", 4 * 60}, {"late", 12 * 60}, {"night", 20 * 60}};

static void named_shifts_begin_by_the_wall_clock(void **state)
{
    (void)state;
    struct profile p = {
        .day_starts_min = 4 * 60, .shift_ms = 9 * HOUR_MS, .shifts = three, .shift_count = 3};
    const int64_t t = SITE_START_MS;
    is_in_force(&p, t, "early", t - HOUR_MS, t + 7 * HOUR_MS);
    is_in_force(&p, t + 7 * HOUR_MS, "late", t + 7 * HOUR_MS, t + 15 * HOUR_MS);
    is_in_force(&p, t + 22 * HOUR_MS, "night", t + 15 * HOUR_MS, t + 23 * HOUR_MS);
    assert_int_equal(shift_at(&p, &arena, t + 22 * HOUR_MS).day, shift_at(&p, &arena, t).day);
    /* the night of the 28th loses the hour of the clock change: 19:00Z to 02:00Z */
    int64_t change = t + INT64_C(27) * 24 * HOUR_MS - 2 * HOUR_MS - HOUR_MS / 2;
    is_in_force(&p, change, "night", change - 6 * HOUR_MS - HOUR_MS / 2, change + HOUR_MS / 2);
}

static void a_shift_is_found_by_its_name(void **state)
{
    (void)state;
    struct profile p = {.day_starts_min = 4 * 60, .shifts = three, .shift_count = 3};
    struct shift s;
    int32_t day = day_from_ymd(2026, 3, 2);
    assert_ok(shift_named(&p, &arena, day, "late", &s));
    assert_int_equal(s.start_ms, SITE_START_MS + 7 * HOUR_MS);
    assert_int_equal(s.day, day);
    struct result r = shift_named(&p, &arena, day, "noon", &s);
    assert_code(r, FIELD_CHOICE);
    assert_string_equal(result_sentence(&arena, &r),
                        "shift is \"noon\"; it must be one of early, late, night.");
    p = (struct profile){.day_starts_min = 4 * 60, .shift_ms = 9 * HOUR_MS};
    assert_ok(shift_named(&p, &arena, day, "3", &s));
    assert_int_equal(s.end_ms - s.start_ms, 6 * HOUR_MS); /* what is left of the day */
    assert_code(shift_named(&p, &arena, day, "4", &s), FIELD_CHOICE);
}

static void a_title_is_of_the_reader_s_language(void **state)
{
    (void)state;
    assert_string_equal(shift_title(&arena, "en", "early"), "Early shift");
    assert_string_equal(shift_title(&arena, "es", "night"), "Turno de noche");
    assert_string_equal(shift_title(&arena, "es", "2"), "Turno 2");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(without_names_a_day_is_cut_into_spans),
        TEST(named_shifts_begin_by_the_wall_clock),
        TEST(a_shift_is_found_by_its_name),
        TEST(a_title_is_of_the_reader_s_language),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
