#include "fixture.h"

#include <dirent.h>

#include "base/file.h"
#include "ledger/view.h"

static struct house_start good_start(void)
{
    return (struct house_start){.profile = PROFILE_FILE,
                                .zone = "Europe/Vienna",
                                .manager = 1,
                                .name = "Hilum 1",
                                .password = PASSWORD};
}

static void write_text(const char *path, const char *text)
{
    assert_ok(file_write(path, text, strlen(text), 0644));
}

static const char good_lines[] =
    "# what stands in the house\n"
    "{\"kind\":\"place\",\"code\":\"STORE\",\"place_kind\":\"store\"}\n"
    "\n"
    "{\"kind\":\"place\",\"code\":\"C1\",\"place_kind\":\"chamber\"}\r\n"
    "{\"kind\":\"person\",\"number\":2,\"role\":\"quality\"}\n"
    "{\"kind\":\"partner\",\"code\":\"NODE\",\"role\":\"customer\",\"market\":\"EU\"}";

static void a_house_stands_after_its_start(void **state)
{
    (void)state;
    struct site s;
    struct house_made made;
    struct house_start start = good_start();
    site_open(&s);
    write_text("house.jsonl", good_lines);
    start.house = "house.jsonl";
    assert_ok(house_start("deep/p", s.world, &start, &s.arena, &made));
    assert_int_equal(made.entries, 6); /* the manager, the profile, four lines */
    assert_string_equal(made.profile, "sprout-house");
    assert_int_equal(entries_of(&s, "deep/p"), 6);
    assert_int_equal(places_named(&s, "deep/p", "C1"), 1);
    assert_true(stands_in(&s, "deep/p/plant.zone", "Europe/Vienna"));
    struct door *door;
    assert_ok(door_open("deep/p", s.world, &door));
    json_t *signed_by_manager = take_of(&s, "{'kind':'person','number':3,'role':'line'}");
    json_object_set_new(signed_by_manager, "password", json_string(PASSWORD));
    assert_ok(post(door, signed_by_manager));
    door_close(door);
    site_close(&s);
}

/* The password itself is kept nowhere. */
static void the_managers_password_is_kept_as_a_hash(void **state)
{
    (void)state;
    struct site s;
    site_open(&s);
    site_house(&s, NULL);
    DIR *folder = opendir(PLANT);
    assert_non_null(folder);
    int files = 0;
    for (const struct dirent *e = readdir(folder); e != NULL; e = readdir(folder)) {
        if (e->d_name[0] != '.') {
            const char *path = arena_printf(&s.arena, "%s/%s", PLANT, e->d_name);
            assert_false(stands_in(&s, path, PASSWORD));
            files++;
        }
    }
    closedir(folder);
    assert_true(files >= 3);
    assert_true(stands_in(&s, "p/plant.db", "$argon2id$"));
    site_close(&s);
}

static void a_bad_line_is_named_and_nothing_is_left(void **state)
{
    (void)state;
    static const struct {
        const char *lines;
        enum code code;
        int line;
    } cases[] = {
        {"{\"kind\":\"place\",\"code\":\"A\",\"place_kind\":\"store\"}\n"
         "# a remark\n"
         "{\"kind\":\"place\",\"code\":\"B\",\"place_kind\":\"moon\"}\n",
         CODE_FIELD_CHOICE, 3},
        {"\n\n{\"kind\":\"place\",\"code\":\"A\",\"place_kind\":\"store\"\n", CODE_JSON_BAD, 3},
        {"{\"kind\":\"moult\"}\n", CODE_KIND_UNKNOWN, 1},
        {"{\"kind\":\"place\",\"code\":\"A\",\"place_kind\":\"store\"}\n[]\n", CODE_FIELD_TYPE, 2},
        {"{\"kind\":\"place\",\"code\":\"A\",\"place_kind\":\"store\",\"colour\":\"green\"}\n",
         CODE_FIELD_UNKNOWN, 1},
        {"{\"kind\":\"partner\",\"code\":\"N\",\"role\":\"customer\",\"market\":\"MOON\"}\n",
         CODE_FIELD_CHOICE, 1},
    };
    struct site s;
    site_open(&s);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct house_start start = good_start();
        struct house_made made;
        start.house = "house.jsonl";
        write_text("house.jsonl", cases[i].lines);
        struct result r = house_start(PLANT, s.world, &start, &s.arena, &made);
        assert_int_equal(r.code, cases[i].code);
        assert_int_equal(r.line, cases[i].line);
        assert_false(file_exists(PLANT));
    }
    site_close(&s);
}

static void what_can_be_known_before_is_asked_before(void **state)
{
    (void)state;
    struct site s;
    struct house_made made;
    site_open(&s);
    struct house_start start = good_start();
    start.profile = "no-such.json";
    assert_code(house_start(PLANT, s.world, &start, &s.arena, &made), FILE_OPEN);
    start = good_start();
    start.house = "no-such.jsonl";
    assert_code(house_start(PLANT, s.world, &start, &s.arena, &made), FILE_OPEN);
    start = good_start();
    start.zone = "Seed/Coat";
    assert_code(house_start(PLANT, s.world, &start, &s.arena, &made), ZONE_UNKNOWN);
    start = good_start();
    start.password = "7 chars";
    assert_code(house_start(PLANT, s.world, &start, &s.arena, &made), FIELD_RANGE);
    start = good_start();
    assert_ok(file_write("zero.jsonl", "{}\n\0{}\n", 7, 0644));
    start.house = "zero.jsonl";
    assert_code(house_start(PLANT, s.world, &start, &s.arena, &made), FILE_READ);
    assert_false(file_exists(PLANT));
    site_close(&s);
}

static void a_bad_profile_is_refused_with_its_line(void **state)
{
    (void)state;
    struct site s;
    struct house_made made;
    size_t len;
    site_open(&s);
    char *text = bytes_of(&s, PROFILE_FILE, &len), *at = strstr(text, "\"day_starts\": \"4 h\"");
    assert_non_null(at);
    int line = 1;
    for (const char *p = text; p < at; p++) {
        line += *p == '\n';
    }
    at[strlen("\"day_starts\": \"")] = 'x';
    assert_ok(file_write("bad.json", text, len, 0644));
    struct house_start start = good_start();
    start.profile = "bad.json";
    struct result r = house_start(PLANT, s.world, &start, &s.arena, &made);
    assert_true(r.code != CODE_OK);
    assert_int_equal(code_exit(r.code), 3);
    assert_int_equal(r.line, line);
    assert_non_null(strstr(r.field, "day_starts"));
    write_text("bad.json", "{\n  \"profile\": \"half\",\n");
    r = house_start(PLANT, s.world, &start, &s.arena, &made);
    assert_code(r, JSON_BAD);
    assert_true(r.line >= 2);
    assert_false(file_exists(PLANT));
    site_close(&s);
}

static void a_house_that_is_there_stays(void **state)
{
    (void)state;
    struct site s;
    struct house_made made;
    struct house_start start = good_start();
    size_t len, len_after;
    site_open(&s);
    site_bare(&s);
    char *key = bytes_of(&s, "p/plant.key", &len);
    struct result r = house_start(PLANT, s.world, &start, &s.arena, &made);
    assert_code(r, STORE_EXISTS);
    assert_int_equal(entries_of(&s, PLANT), 1);
    char *after = bytes_of(&s, "p/plant.key", &len_after);
    assert_int_equal(len, len_after);
    assert_memory_equal(key, after, len);
    site_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_house_stands_after_its_start, folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(the_managers_password_is_kept_as_a_hash, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_bad_line_is_named_and_nothing_is_left, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_can_be_known_before_is_asked_before, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_bad_profile_is_refused_with_its_line, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_house_that_is_there_stays, folder_enter, folder_leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
