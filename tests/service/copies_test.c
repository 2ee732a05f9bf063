#include "fixture.h"

#include "base/civil.h"
#include "base/file.h"
#include "service/copies.h"
#include "service/health.h"

static void times_of_day(void **state)
{
    (void)state;
    int minutes;
    assert_ok(copies_time("03:15", &minutes));
    assert_int_equal(minutes, 195);
    assert_ok(copies_time("23:59", &minutes));
    static const char *const bad[] = {"24:00", "3:15", "03:60", "0315", "::::::", "12:3:", ""};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_code(copies_time(bad[i], &minutes), FIELD_RANGE);
    }
}

/* The start is 04:00 UTC on 2 March (fixture.h). */
static void one_copy_a_day_after_its_time(void **state)
{
    (void)state;
    struct copies_rule rule = {.to = "copies", .at_min = 4 * 60};
    const int64_t day_ms = 86400000;
    assert_ok(civil_zone_use("UTC"));
    assert_true(copies_due(&rule, SITE_START_MS));
    assert_false(copies_due(&rule, SITE_START_MS - 1));
    rule.last_ms = SITE_START_MS;
    assert_false(copies_due(&rule, SITE_START_MS + 60000));
    assert_false(copies_due(&rule, SITE_START_MS + day_ms - 60000));
    assert_true(copies_due(&rule, SITE_START_MS + day_ms));
    assert_true(copies_due(&rule, SITE_START_MS + 3 * day_ms));
    rule.to = NULL;
    assert_false(copies_due(&rule, SITE_START_MS + day_ms));
}

static void the_copy_is_made_by_itself_and_health_tells_of_it(void **state)
{
    (void)state;
    struct site s;
    struct copies *copies;
    struct copies_rule rule = {.to = "copies", .at_min = 0}, kept;
    struct plant *reader;
    json_t *health;
    site_open(&s);
    site_house(&s, NULL);
    assert_ok(copies_read(PLANT, &s.arena, &kept));
    assert_null(kept.to);
    assert_ok(copies_write(PLANT, &rule));
    assert_ok(copies_start(PLANT, s.world, &copies));
    for (int i = 0; i < 1000 && kept.last_ms == 0; i++) {
        usleep(10000);
        assert_ok(copies_read(PLANT, &s.arena, &kept));
    }
    copies_stop(copies);
    assert_int_equal(kept.last_ms, SITE_START_MS);
    assert_true(entries_of(&s, kept.last_path) > 1);
    assert_ok(plant_open_read(PLANT, &reader));
    assert_ok(health_read(reader, &s.arena, &health));
    assert_int_equal(number_in(json_object_get(health, "backup"), "at_ms"), SITE_START_MS);
    assert_true(json_is_true(json_object_get(json_object_get(health, "backup"), "checked")));
    json_decref(health);
    plant_close(reader);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_of_day),
        cmocka_unit_test(one_copy_a_day_after_its_time),
        cmocka_unit_test_setup_teardown(the_copy_is_made_by_itself_and_health_tells_of_it,
                                        folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
