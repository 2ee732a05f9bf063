#include "service/shift_folder.h"

#include <sys/stat.h>

#include "fixture.h"

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
    static const char *const kinds[] = {"soak", "harvest", "checks", "weights", "day", "doses"};
    site_open(&s);
    site_house(&s, NULL);
    int64_t entries = entries_of(&s, PLANT);
    assert_int_equal(heads_of(&s), 0);
    assert_ok(plant_open_write(PLANT, s.world, &plant));
    assert_ok(serving_start(plant, &serving));
    assert_ok(shift_folder_start(serving, "en", &folder));
    for (int i = 0; i < 1000 && !there("p/sheets/2026-03-02-early-weights.pdf"); i++) {
        usleep(10000);
    }
    shift_folder_stop(folder);
    serving_stop(serving);
    plant_close(plant);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        assert_true(there(arena_printf(&s.arena, "p/sheets/2026-03-02-early-%s.pdf", kinds[i])));
    }
    assert_int_equal(heads_of(&s), entries);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(at_its_start_the_head_is_signed_and_the_sheets_are_there,
                                        folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
