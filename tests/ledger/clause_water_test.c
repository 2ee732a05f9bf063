/* Readings of the wash water around each lot. WASHED-1 was washed from three hours before packing,
 * WASHED-2 from two, WASHED-3 from one, each for 50 minutes; the water was read three hours and
 * five minutes before, and five minutes before. */
#include "clause_world.h"

static struct clause_world w;

static int set_up(void **state)
{
    world_open(&w);
    return 0;
}

static int tear_down(void **state)
{
    world_close(&w);
    return 0;
}

/* Takes the two readings away again. */
static void without_readings(void)
{
    size_t kept = 0;
    for (size_t i = 0; i < w.e.check_count; i++) {
        if (strcmp(w.e.checks[i].kind, "water-reading") != 0) {
            w.e.checks[kept++] = w.e.checks[i];
        }
    }
    w.e.check_count = kept;
}

/* Each of these lots has a line with that reason, and nothing else is unmet. */
static void unmet(enum code code, const char *lots)
{
    world_judge(&w);
    size_t found = 0, wanted = 0;
    for (const char *p = lots; *p != '\0'; p++) {
        wanted++;
    }
    for (size_t i = 0; i < w.list.line_count; i++) {
        const struct clause_line *line = &w.list.lines[i];
        if (line->state == CLAUSE_UNMET) {
            assert_string_equal(line->clause, "water");
            assert_string_equal(line->place, "WASH");
            assert_int_equal(line->reason.code, code);
            assert_non_null(strchr(lots, line->lot_code[strlen("WASHED-")]));
            found++;
        }
    }
    assert_int_equal(found, wanted);
}

static void read_on_both_sides_it_is_met(void **state)
{
    world_judge(&w);
    assert_int_equal(w.list.unmet, 0);
    size_t lines = 0;
    for (size_t i = 0; i < w.list.line_count; i++) {
        const struct clause_line *line = &w.list.lines[i];
        lines += line->place != NULL && strcmp(line->place, "WASH") == 0 &&
                 strcmp(line->clause, "water") == 0;
    }
    assert_int_equal(lines, 3); /* one a washed lot */
}

static void nothing_read_before(void **state)
{
    without_readings();
    world_water_reading(&w, PACK_MS - HOURS(2) - MINUTES(30), true);
    world_water_reading(&w, PACK_MS - MINUTES(5), true);
    unmet(CODE_CLAUSE_WASH_BEFORE, "1");
}

static void nothing_read_after(void **state)
{
    without_readings();
    world_water_reading(&w, PACK_MS - HOURS(3), true); /* at the very moment it went in */
    world_water_reading(&w, PACK_MS - HOURS(1), true);
    unmet(CODE_CLAUSE_WASH_AFTER, "3");
}

static void out_before_it_came_in(void **state)
{
    world_water_reading(&w, PACK_MS - HOURS(2) - MINUTES(5), false);
    world_judge(&w);
    /* two came into water known to be out; WASHED-1 was gone, but since the reading before it the
     * water is not known */
    assert_int_equal(w.list.unmet, 3);
    world_water_reading(&w, PACK_MS - HOURS(2) - MINUTES(1), true);
    unmet(CODE_CLAUSE_WASH_OUT, "1"); /* put right before WASHED-2 came in */
}

static void out_while_it_was_there(void **state)
{
    world_water_reading(&w, PACK_MS - HOURS(1) + MINUTES(10), false);
    world_water_reading(&w, PACK_MS - HOURS(1) + MINUTES(20), true);
    /* WASHED-1 and -2 left before that reading and are the product since the last good one */
    unmet(CODE_CLAUSE_WASH_OUT, "123");
}

static void a_good_and_a_bad_one_at_one_moment_are_bad(void **state)
{
    world_water_reading(&w, PACK_MS - MINUTES(5), false);
    unmet(CODE_CLAUSE_WASH_OUT, "123");
}

static void readings_too_far_apart(void **state)
{
    without_readings();
    world_water_reading(&w, PACK_MS - HOURS(3) - MINUTES(5), true);
    world_water_reading(&w, PACK_MS + MINUTES(56), true);
    unmet(CODE_CLAUSE_WASH_GAP, "123"); /* four hours and a minute; four are allowed */
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(read_on_both_sides_it_is_met), T(nothing_read_before),
        T(nothing_read_after),           T(out_before_it_came_in),
        T(out_while_it_was_there),       T(a_good_and_a_bad_one_at_one_moment_are_bad),
        T(readings_too_far_apart),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
