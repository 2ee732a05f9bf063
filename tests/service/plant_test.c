#include "fixture.h"

#include <sys/stat.h>

#include "base/file.h"

static unsigned mode_of(const char *path)
{
    struct stat st;
    assert_int_equal(stat(path, &st), 0);
    return st.st_mode & 07777;
}

static void a_new_plant_is_a_folder_of_files(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    assert_ok(plant_create("deep/down/p", s.world));
    assert_int_equal(mode_of("deep/down/p/plant.db"), 0600);
    assert_int_equal(mode_of("deep/down/p/plant.key"), 0600);
    size_t len;
    bytes_of(&s, "deep/down/p/plant.key", &len);
    assert_int_equal(len, 32);
    assert_int_equal(entries_of(&s, "deep/down/p"), 0);
    site_close(&s);
}

static void what_stands_in_the_folder_is_left_as_it_is(void **state)
{
    (void)state;
    static const char *const kept[] = {"plant.db", "plant.key", "plant.heads"};
    struct site s;
    site_open(&s);
    for (size_t i = 0; i < 3; i++) {
        const char *folder = arena_printf(&s.arena, "p%zu", i);
        const char *path = arena_printf(&s.arena, "%s/%s", folder, kept[i]);
        assert_ok(folder_make(folder));
        assert_ok(file_write(path, "of another house", 16, 0600));
        assert_code(plant_create(folder, s.world), STORE_EXISTS);
        assert_true(stands_in(&s, path, "of another house"));
        for (size_t k = 0; k < 3; k++) {
            const char *other = arena_printf(&s.arena, "%s/%s", folder, kept[k]);
            assert_int_equal(file_exists(other), k == i);
        }
    }
    site_close(&s);
}

static void a_plant_keeps_what_it_was_told(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    site_open(&s);
    site_bare(&s);
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    assert_int_equal(plant->ledger->next_seq, 2);
    assert_false(plant->shortened);
    plant_close(plant);
    assert_ok(plant_open_read(PLANT, &plant));
    assert_null(plant->ledger);
    plant_close(plant);
    assert_int_equal(entries_of(&s, PLANT), 1);
    site_close(&s);
}

static void open_elsewhere(void *argument)
{
    struct site *s = argument;
    struct plant *plant;
    struct result r = plant_open_write(PLANT, s->world, &plant);
    _exit(r.code == CODE_STORE_BUSY ? 7 : 1);
}

static void a_second_writer_is_kept_out(void **state)
{
    (void)state;
    struct site s;
    struct plant *first, *second, *reader;
    site_open(&s);
    site_bare(&s);
    assert_ok(plant_open_write(PLANT, s.world, &first));
    struct result r = plant_open_write(PLANT, s.world, &second);
    assert_code(r, STORE_BUSY);
    assert_string_equal(r.value[0], arena_printf(&s.arena, "process %d", (int)getpid()));
    assert_null(second);
    int status = child_status(open_elsewhere, &s);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 7);
    assert_ok(plant_open_read(PLANT, &reader)); /* who only reads is let in */
    plant_close(reader);
    plant_close(first);
    assert_ok(plant_open_write(PLANT, s.world, &second));
    plant_close(second);
    site_close(&s);
}

static void hold_and_die(void *argument)
{
    struct site *s = argument;
    struct plant *plant;
    struct result r = plant_open_write(PLANT, s->world, &plant);
    _exit(r.code == CODE_OK ? 0 : 1); /* without closing it */
}

static void a_writer_that_died_leaves_the_plant_open(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    site_open(&s);
    site_bare(&s);
    assert_int_equal(child_status(hold_and_die, &s), 0);
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    plant_close(plant);
    site_close(&s);
}

static void a_plant_that_is_not_there_is_named(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    site_open(&s);
    struct result r = plant_open_write("nowhere", s.world, &plant);
    assert_code(r, PLANT_MISSING);
    assert_string_equal(r.value[0], "nowhere");
    assert_null(plant);
    assert_code(plant_open_read("nowhere", &plant), PLANT_MISSING);
    assert_false(file_exists("nowhere")); /* looking makes nothing */
    site_close(&s);
}

static void a_plant_needs_its_zone_and_its_key(void **state)
{
    (void)state;
    struct site s;
    struct plant *plant;
    site_open(&s);
    assert_ok(plant_create(PLANT, s.world));
    assert_code(plant_open_write(PLANT, s.world, &plant), FILE_OPEN);
    assert_code(plant_zone_set(PLANT, "Seed/Coat"), ZONE_UNKNOWN);
    assert_false(file_exists("p/plant.zone"));
    assert_ok(plant_zone_set(PLANT, "Europe/Vienna"));
    assert_ok(file_write("p/plant.key", "too short", 9, 0600));
    struct result r = plant_open_write(PLANT, s.world, &plant);
    assert_code(r, FILE_READ);
    assert_string_equal(r.value[0], "p/plant.key");
    assert_ok(plant_open_read(PLANT, &plant)); /* reading signs nothing */
    plant_close(plant);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_new_plant_is_a_folder_of_files, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_stands_in_the_folder_is_left_as_it_is, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_plant_keeps_what_it_was_told, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_second_writer_is_kept_out, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_writer_that_died_leaves_the_plant_open, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_plant_that_is_not_there_is_named, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_plant_needs_its_zone_and_its_key, folder_enter,
                                        folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
