#include "service/shift_folder.h"

#include <sys/stat.h>

#include "base/civil.h"
#include "fixture.h"

enum { HOUR_MS = 3600000 };

/* Europe/Vienna is an hour east of UTC in March until the 29th, 01:00 UTC, then two (IANA tz
 * database, published (seen)). */
static void a_shift_begins_with_the_house_day_or_a_shift_later(void **state)
{
    (void)state;
    struct profile p = {.day_starts_min = 4 * 60, .shift_ms = 8 * HOUR_MS};
    assert_ok(civil_zone_use("Europe/Vienna"));
    /* 2026-03-02T04:00Z is 05:00 there; the day began at 04:00, 03:00Z */
    assert_int_equal(shift_began_ms(&p, SITE_START_MS), SITE_START_MS - HOUR_MS);
    assert_int_equal(shift_began_ms(&p, SITE_START_MS - HOUR_MS), SITE_START_MS - HOUR_MS);
    assert_int_equal(shift_began_ms(&p, SITE_START_MS - HOUR_MS - 1), SITE_START_MS - 9 * HOUR_MS);
    assert_int_equal(shift_began_ms(&p, SITE_START_MS + 7 * HOUR_MS), SITE_START_MS + 7 * HOUR_MS);
    /* the house day of the 28th begins at 03:00Z and is still under way at 01:30Z of the 29th, when
     * the clocks have changed: its third shift began at 19:00Z */
    int64_t change = SITE_START_MS + INT64_C(27) * 24 * HOUR_MS - 2 * HOUR_MS - HOUR_MS / 2;
    assert_int_equal(shift_began_ms(&p, change), change - 6 * HOUR_MS - HOUR_MS / 2);
    p.shift_ms = 0;
    assert_int_equal(shift_began_ms(&p, SITE_START_MS + 7 * HOUR_MS), SITE_START_MS - HOUR_MS);
}

static bool there(const char *path)
{
    struct stat s;
    return stat(path, &s) == 0 && s.st_size > 1000;
}

static int64_t heads_of(struct site *s)
{
    struct plant *reader;
    bool row;
    assert_ok(plant_open_read(PLANT, &reader));
    struct statement *q = store_prepare(reader->store, Q_HEAD_LAST);
    assert_ok(store_step(q, &row));
    int64_t size = row ? store_int(q, 0) : 0;
    plant_close(reader);
    return size;
}

static void at_its_start_the_head_is_signed_and_the_sheets_are_there(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    struct serving *serving;
    struct shift_folder *folder;
    static const char *const kinds[] = {"soak", "harvest", "checks", "weights"};
    site_open(&s);
    site_house(&s, NULL);
    int64_t entries = entries_of(&s, PLANT);
    assert_int_equal(heads_of(&s), 0);
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    assert_ok(serving_start(plant, &serving));
    assert_ok(shift_folder_start(serving, "en", &folder));
    for (int i = 0; i < 1000 && !there("p/sheets/2026-03-02-weights.pdf"); i++) {
        usleep(10000);
    }
    shift_folder_stop(folder);
    serving_stop(serving);
    plant_close(plant);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        assert_true(there(arena_printf(&s.arena, "p/sheets/2026-03-02-%s.pdf", kinds[i])));
    }
    assert_int_equal(heads_of(&s), entries);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_shift_begins_with_the_house_day_or_a_shift_later),
        cmocka_unit_test_setup_teardown(at_its_start_the_head_is_signed_and_the_sheets_are_there,
                                        folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
