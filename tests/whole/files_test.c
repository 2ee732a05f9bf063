/* Files that are wrong are refused whole: nothing of them is booked, and the place that is wrong is
 * named. files_test PLUMULE */
#include "plants.h"

#include "base/file.h"

#define AS(plant, person) \
    "--plant", (plant), "--json", "--password-file", "password", "--as", (person)

static const char orders_file[] = "demo/files/orders-2026-03-26.csv";

static char *file_text(struct launch *r, const char *path, size_t *out_len)
{
    char *text;
    assert_ok(file_read(&r->arena, path, 16 << 20, &text, out_len));
    return text;
}

static void file_put(const char *path, const char *bytes, size_t len)
{
    assert_ok(file_write(path, bytes, len, 0644));
}

/* The import is refused with that status and code, at that line (0: none), and books nothing. */
static void assert_refused_file(struct launch *r, const char *kind, const char *path,
                                const char *source, int exit, const char *code, int64_t line)
{
    int64_t before = plant_entries("p");
    RUN_CODE(r, exit, AS("p", "8"), "import", kind, path, "--source", source);
    assert_string_equal(refusal_of(r), code);
    json_t *envelope = run_json(r, 0);
    const json_t *error = json_object_get(envelope, "error");
    assert_int_equal(json_integer_value(json_object_get(error, "line")), line);
    json_decref(envelope);
    assert_int_equal(plant_entries("p"), before);
}

static int64_t lines_in(const char *text)
{
    int64_t count = 0;
    for (; *text != '\0'; text++) {
        count += *text == '\n';
    }
    return count;
}

static void a_file_cut_off_is_refused_whole(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    size_t len;
    plant_copy("p");
    char *text = file_text(r, orders_file, &len);
    int64_t lines = lines_in(text);
    assert_true(lines > 10);
    const char *last = strrchr(text, ';'); /* in the middle of the last row */
    file_put("cut.csv", text, (size_t)(last - text));
    assert_refused_file(r, "orders", "cut.csv", "shop", 3, "feed-truncated", lines);
    file_put("quote.csv", text, len);
    FILE *f = fopen("quote.csv", "a");
    fprintf(f, "\"RADICLE-1;26999;1;M250"); /* a cell that never ends */
    fclose(f);
    assert_refused_file(r, "orders", "quote.csv", "shop", 3, "csv-truncated", lines + 1);
}

static void one_bad_row_refuses_all_rows(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    size_t len;
    char *text = file_text(r, orders_file, &len);
    char *bad = arena_printf(&r->arena, "%sRADICLE-1;77777;1;M250;30.03.2026;12 dozen\r\n", text);
    file_put("number.csv", bad, strlen(bad));
    int64_t before = plant_entries("p");
    RUN_CODE(r, 3, AS("p", "8"), "import", "orders", "number.csv", "--source", "shop");
    assert_int_equal(plant_entries("p"), before);
    bad = arena_printf(&r->arena, "%sNOBODY-9;77777;1;M250;30.03.2026;12\r\n", text);
    file_put("customer.csv", bad, strlen(bad));
    RUN_CODE(r, 5, AS("p", "8"), "import", "orders", "customer.csv", "--source", "shop");
    assert_string_equal(refusal_of(r), "partner-unknown");
    assert_int_equal(plant_entries("p"), before);
    bad = arena_printf(&r->arena, "%sRADICLE-1;77777;1;MUNGSEED;30.03.2026;12\r\n", text);
    file_put("seed.csv", bad, strlen(bad)); /* which no customer orders */
    assert_refused_file(r, "orders", "seed.csv", "shop", 3, "field-choice", lines_in(text) + 1);
    RUN_CODE(r, 3, AS("p", "8"), "import", "orders", "seed.csv", "--source", "shop", "--try");
    assert_string_equal(refusal_of(r), "field-choice");
}

static void a_file_of_another_kind_is_refused(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    int64_t before = plant_entries("p");
    RUN_CODE(r, 3, AS("p", "8"), "import", "orders", "demo/files/house.jsonl", "--source", "shop");
    RUN_CODE(r, 3, AS("p", "8"), "import", "orders", "demo/plant.db", "--source", "shop");
    assert_string_equal(refusal_of(r), "csv-binary");
    RUN_CODE(r, 3, AS("p", "2"), "import", "results", orders_file, "--source", "lab-1");
    RUN_CODE(r, 5, AS("p", "8"), "import", "orders", orders_file, "--source", "nobody");
    assert_string_equal(refusal_of(r), "mapping-missing");
    RUN_CODE(r, 8, AS("p", "8"), "import", "orders", "no-such.csv", "--source", "shop");
    text_write("empty.csv", "");
    RUN_CODE(r, 3, AS("p", "8"), "import", "orders", "empty.csv", "--source", "shop");
    assert_int_equal(plant_entries("p"), before);
}

static void a_file_that_comes_again_books_nothing(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    int64_t before = plant_entries("p");
    RUN_OK(r, AS("p", "8"), "import", "orders", orders_file, "--source", "shop");
    json_t *report = run_json(r, 0);
    assert_true(json_is_false(json_object_get(report, "booked")));
    json_decref(report);
    assert_int_equal(plant_entries("p"), before);
}

static void a_logger_whose_clock_runs_back_is_refused(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    text_write("back.csv", "Datum;Zeit;T1;T2;T3\r\n"
                           "28.03.2026;14:00:00;86,0;86,1;86,2\r\n"
                           "28.03.2026;14:00:02;86,0;86,1;86,2\r\n"
                           "28.03.2026;13:59:58;86,0;86,1;86,2\r\n"
                           "28.03.2026;14:00:04;86,0;86,1;86,2\r\n");
    assert_refused_file(r, "logger", "back.csv", "treater", 3, "feed-clock-back", 4);
}

static void a_bad_profile_is_refused_with_line_and_reason(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    size_t len;
    char *text = file_text(r, PROFILE_FILE, &len), *at = strstr(text, "\"act\": \"receive\"");
    assert_non_null(at);
    int64_t line = 1;
    for (const char *p = text; p < at; p++) {
        line += *p == '\n';
    }
    memcpy(at, "\"act\": \"recieve\"", strlen("\"act\": \"recieve\""));
    file_put("bad.json", text, len);
    RUN_CODE(r, 3, "--plant", "new", "--password-file", "password", "init", "--profile", "bad.json",
             "--zone", "UTC", "--manager", "1", "--name", "Hilum 1");
    RUN_SAYS(r, arena_printf(&r->arena, "line %lld", (long long)line));
    RUN_SAYS(r, "steps[0].act: the ledger has no such act");
    assert_false(file_exists("new"));
    text_write("half.json", "{\n  \"profile\": \"half\",\n  \"title\"\n");
    RUN_CODE(r, 3, "--plant", "new", "--password-file", "password", "init", "--profile",
             "half.json", "--zone", "UTC", "--manager", "1", "--name", "Hilum 1");
    RUN_SAYS(r, "line ");
    assert_false(file_exists("new"));
}

static void a_bad_house_file_is_refused_with_its_line(void **state)
{
    (void)state;
    struct launch *r = plants_run();
    text_write("house.jsonl", "{\"kind\":\"place\",\"code\":\"A\",\"place_kind\":\"store\"}\n"
                              "{\"kind\":\"place\",\"code\":\"B\",\"place_kind\":\"moon\"}\n");
    RUN_CODE(r, 3, "--plant", "new", "--password-file", "password", "init", "--profile",
             PROFILE_FILE, "--house", "house.jsonl", "--zone", "UTC", "--manager", "1", "--name",
             "Hilum 1");
    RUN_SAYS(r, "line 2");
    RUN_SAYS(r, "moon");
    assert_false(file_exists("new"));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_cut_off_is_refused_whole),
        cmocka_unit_test(one_bad_row_refuses_all_rows),
        cmocka_unit_test(a_file_of_another_kind_is_refused),
        cmocka_unit_test(a_file_that_comes_again_books_nothing),
        cmocka_unit_test(a_logger_whose_clock_runs_back_is_refused),
        cmocka_unit_test(a_bad_profile_is_refused_with_line_and_reason),
        cmocka_unit_test(a_bad_house_file_is_refused_with_its_line),
    };
    if (argc < 2) {
        return 2;
    }
    plants_program(program_path(argv[1]));
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, plants_open, plants_close);
}
