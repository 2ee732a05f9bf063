/* Files read by the program in a process of its own. The first argument is the program. */
#include "fixture.h"

#include "service/import_run.h"

static const char *program;
static const char house[] =
    "{'kind':'item','code':'MUNG','item_kind':'growing','family':'mung'}\n"
    "{'kind':'item','code':'M250','item_kind':'packed','family':'mung','net':'250 g',"
    "'pieces_per_case':20,'life_days':8,'source_item':'MUNG'}\n"
    "{'kind':'partner','code':'HILUM-7','role':'customer','market':'house'}\n"
    "{'kind':'mapping','source':'shop','for':'orders','data':{'columns':{'customer':'Who',"
    "'item':'What','day':'Day','pieces':'Packs'},'delimiter':';'}}\n";

static struct result run(struct site *s, const char *file, bool only_try, const char *with,
                         json_t **out)
{
    struct import_run_ask ask = {.program = with,
                                 .folder = PLANT,
                                 .lang = "en",
                                 .person = 1,
                                 .kind = "orders",
                                 .source = "shop",
                                 .name = "--try=yes; orders.csv",
                                 .only_try = only_try,
                                 .bytes = file,
                                 .len = strlen(file),
                                 .asker = -1};
    *out = NULL;
    return import_run(&s->arena, &ask, out);
}

static const char good[] = "Who;What;Day;Packs\nHILUM-7;M250;2026-03-09;400\n";

static void a_file_is_tried_then_taken_then_known(void **state)
{
    (void)state;
    struct site s;
    json_t *report;
    site_open(&s);
    site_house(&s, house);
    int64_t before = entries_of(&s, PLANT);
    assert_ok(run(&s, good, true, program, &report));
    assert_int_equal(number_in(report, "new"), 1);
    assert_int_equal(number_in(report, "rows"), 1);
    assert_string_equal(text_in(report, "file"), "--try=yes; orders.csv");
    assert_true(json_is_false(json_object_get(report, "booked")));
    json_decref(report);
    assert_int_equal(entries_of(&s, PLANT), before);

    assert_ok(run(&s, good, false, program, &report));
    assert_true(json_is_true(json_object_get(report, "booked")));
    json_decref(report);
    assert_int_equal(entries_of(&s, PLANT), before + 2); /* the file, and its order */

    assert_ok(run(&s, good, false, program, &report));
    assert_int_equal(number_in(report, "known"), 1);
    assert_int_equal(number_in(report, "new"), 0);
    json_decref(report);
    assert_int_equal(entries_of(&s, PLANT), before + 2);
    site_close(&s);
}

static void a_bad_file_is_refused_with_its_place(void **state)
{
    (void)state;
    struct site s;
    json_t *report;
    site_open(&s);
    site_house(&s, house);
    struct result r =
        run(&s, "Who;What;Day;Packs\nHILUM-7;M250;2026-03-09;4oo\n", true, program, &report);
    assert_code(r, FIELD_RANGE);
    assert_int_equal(r.line, 2);
    assert_int_equal(r.column, 25); /* computed here: behind "HILUM-7;M250;2026-03-09;" */
    assert_null(report);
    site_close(&s);
}

/* What only the record can know is refused with its row too, and when it is only tried. */
static void what_the_record_refuses_has_its_line(void **state)
{
    (void)state;
    static const struct {
        const char *rows, *field;
        enum code code;
        int line;
    } files[] = {
        {"HILUM-7;M250;2026-03-09;400\nHILUM-9;M250;2026-03-09;400\n", "customer",
         CODE_PARTNER_UNKNOWN, 3},
        {"HILUM-7;M250;2026-03-09;400\n\nHILUM-7;M251;2026-03-10;400\n", "item", CODE_ITEM_UNKNOWN,
         4},
    };
    struct site s;
    json_t *report;
    site_open(&s);
    site_house(&s, house);
    int64_t before = entries_of(&s, PLANT);
    for (size_t i = 0; i < 4; i++) {
        const char *file = arena_printf(&s.arena, "Who;What;Day;Packs\n%s", files[i / 2].rows);
        struct result r = run(&s, file, i % 2 == 0, program, &report);
        assert_string_equal(code_id(r.code), code_id(files[i / 2].code));
        assert_string_equal(r.field, files[i / 2].field);
        assert_int_equal(r.line, files[i / 2].line);
        assert_int_equal(r.column, 1);
        assert_null(report);
    }
    assert_int_equal(entries_of(&s, PLANT), before);
    site_close(&s);
}

/* No such program; one that says nothing; one that gives the file back; one that never ends is cut
 * off, but not within a test's patience. */
static void another_process_that_fails_is_an_answer(void **state)
{
    (void)state;
    struct site s;
    json_t *report;
    site_open(&s);
    site_house(&s, house);
    assert_code(run(&s, good, true, "./no-such-program", &report), IMPORT_PROCESS);
    assert_code(run(&s, good, true, "/bin/true", &report), IMPORT_PROCESS);
    assert_code(run(&s, good, true, "/bin/echo", &report), IMPORT_PROCESS);
    assert_null(report);
    site_close(&s);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_file_is_tried_then_taken_then_known, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_bad_file_is_refused_with_its_place, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_the_record_refuses_has_its_line, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(another_process_that_fails_is_an_answer, folder_enter,
                                        folder_leave),
    };
    assert_int_equal(argc, 2);
    program = argv[1];
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
