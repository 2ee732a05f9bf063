/* How the command line is read: options, environment, and words to the fields of a command.
 * cli_test PLUMULE */
#include "fixture.h"
#include "program.h"

#include "ledger/ledger.h"

static const char *program;

/* The command's own words in the newest entry; the caller owns it. */
static json_t *told(struct site *s)
{
    struct store *store;
    struct entry e;
    bool found;
    json_t *body;
    assert_ok(store_open("p/plant.db", STORE_READ, &store));
    int64_t last = entries_of(s, PLANT);
    assert_ok(entry_by_seq(store, &s->arena, last, &e, &found));
    assert_true(found);
    store_close(store);
    assert_ok(json_read_stored(e.body, &body));
    json_t *said = json_incref(json_object_get(body, "did"));
    json_decref(body);
    assert_non_null(said);
    return said;
}

static void begin(struct site *s, struct launch *r)
{
    run_open(r, program);
    site_open(s);
    site_bare(s);
}

static void end(struct site *s, struct launch *r)
{
    site_close(s);
    run_close(r);
}

static void options_are_read_in_both_forms_and_at_any_place(void **state)
{
    (void)state;
    struct site s;
    struct launch r;
    begin(&s, &r);
    RUN_OK(&r, "--plant", "p", "--as", "1", "record", "place", "code=A", "place_kind=store");
    RUN_OK(&r, "--plant=p", "--as=1", "record", "place", "code=B", "place_kind=store");
    RUN_OK(&r, "record", "place", "code=C", "--as=1", "place_kind=store", "--plant", "p");
    assert_int_equal(entries_of(&s, PLANT), 4);
    RUN_CODE(&r, 2, "--plant=p", "--as", "record", "place", "code=D", "place_kind=store");
    RUN_CODE(&r, 2, "--plant=p", "--as=1x", "record", "place", "code=D", "place_kind=store");
    RUN_SAYS(&r, "\"--as 1x\" is not a number from 1 on.");
    RUN_CODE(&r, 2, "--plant=p", "--as-known-on=today", "lots"); /* not the lots of now */
    RUN_SAYS(&r, "\"--as-known-on today\" is not a number from 1 on.");
    RUN_CODE(&r, 2, "--plant=p", "--as-known-on=0", "lots");
    RUN_CODE(&r, 2, "--plant=p", "--as=1", "--loud", "record", "place", "code=D",
             "place_kind=store");
    RUN_SAYS(&r, "\"--loud\" was not expected.");
    RUN_CODE(&r, 2, "--as=1", "record", "place", "code=D", "place_kind=store", "--plant");
    assert_int_equal(entries_of(&s, PLANT), 4);
    end(&s, &r);
}

static void a_line_that_is_refused_is_numbered(void **state)
{
    (void)state;
    static const int lines[] = {0, 3, 4, 5, 0};
    struct site s;
    struct launch r;
    begin(&s, &r);
    r.input = "{\"kind\":\"place\",\"code\":\"A\",\"place_kind\":\"store\"}\n"
              "\n"
              "{\"kind\":\"moult\"}\n"
              "{\"kind\":\"place\",\n"
              "[]\n"
              "{\"kind\":\"place\",\"code\":\"B\",\"place_kind\":\"store\"}\n";
    RUN_CODE(&r, 3, "--plant=p", "--as=1", "record", "-");
    for (size_t i = 0; i < 5; i++) {
        json_t *answer = run_json(&r, i);
        json_t *error = json_object_get(answer, "error");
        assert_int_equal(json_is_true(json_object_get(answer, "ok")), lines[i] == 0);
        assert_int_equal(json_integer_value(json_object_get(error, "line")), lines[i]);
        json_decref(answer);
    }
    RUN_SAYS(&r, "plumule: line 3: There is no step or command \"moult\"");
    end(&s, &r);
}

/* Nobody takes the first forty rows for all. */
static void a_long_report_counts_what_it_leaves_out(void **state)
{
    (void)state;
    struct site s;
    struct launch r;
    run_open(&r, program);
    site_open(&s);
    site_house(
        &s, "{'kind':'item','code':'MUNG','item_kind':'growing','family':'mung'}\n"
            "{'kind':'item','code':'M250','item_kind':'packed','family':'mung','net':'250 g',"
            "'pieces_per_case':20,'life_days':8,'source_item':'MUNG'}\n"
            "{'kind':'partner','code':'HILUM-7','role':'customer','market':'house'}\n"
            "{'kind':'mapping','source':'shop','for':'orders','data':{'columns':{'customer':'Who',"
            "'order':'No','line':'Pos','item':'What','day':'Day','pieces':'Packs'}}}\n");
    const char *file = "Who;No;Pos;What;Day;Packs\n";
    for (int i = 1; i <= 43; i++) {
        if (i == 41 || i == 43) {
            text_write("orders.csv", file);
            RUN_OK(&r, "--plant=p", "--as=1", "import", "orders", "orders.csv", "--source=shop",
                   "--try");
            assert_int_equal(strstr(r.out, "more; --json lists them") != NULL, i == 43);
        }
        file = arena_printf(&s.arena, "%sHILUM-7;7;%d;M250;2026-03-09;400\n", file, i);
    }
    RUN_SAYS(&r, "  and 2 more; --json lists them");
    end(&s, &r);
}

static void failures_speak_the_language_asked_for(void **state)
{
    (void)state;
    struct site s;
    struct launch r;
    begin(&s, &r);
    RUN_CODE(&r, 5, "--plant=p", "--lang=es", "balance", "A-1");
    RUN_SAYS(&r, "no hay lote A-1. Revisar el código en la etiqueta.");
    setenv("LANG", "es_ES.UTF-8", 1);
    RUN_CODE(&r, 5, "--plant=p", "balance", "A-1");
    RUN_SAYS(&r, "no hay lote A-1");
    setenv("LC_ALL", "C.UTF-8", 1); /* stands above LANG */
    RUN_CODE(&r, 5, "--plant=p", "balance", "A-1");
    RUN_SAYS(&r, "there is no lot A-1");
    RUN_CODE(&r, 5, "--plant=p", "--lang", "es", "balance", "A-1"); /* the option wins */
    RUN_SAYS(&r, "no hay lote A-1");
    unsetenv("LC_ALL");
    unsetenv("LANG");
    end(&s, &r);
}

static void a_person_is_spoken_to_in_their_language(void **state)
{
    (void)state;
    struct site s;
    struct launch r;
    run_open(&r, program);
    site_open(&s);
    site_house(&s, NULL);
    RUN_OK(&r, "--plant=p", "--as=1", "hold", "list");
    RUN_SAYS(&r, "Nothing is held.");
    RUN_OK(&r, "--plant=p", "--as=1", "user", "language", "--number=1", "--language=es");
    RUN_SAYS(&r, "Person 1 is spoken to in: es.");
    RUN_CODE(&r, 3, "--plant=p", "--as=1", "user", "language", "--number=1", "--language=xx");
    RUN_OK(&r, "--plant=p", "--as=1", "hold", "list");
    RUN_SAYS(&r, "No hay nada retenido.");
    RUN_OK(&r, "--plant=p", "hold", "list"); /* nobody in particular */
    RUN_SAYS(&r, "Nothing is held.");
    RUN_OK(&r, "--plant=p", "--as=1", "--lang=en", "hold", "list"); /* the option wins */
    RUN_SAYS(&r, "Nothing is held.");
    setenv("PLUMULE_LANG", "en", 1); /* so does this */
    RUN_OK(&r, "--plant=p", "--as=1", "hold", "list");
    RUN_SAYS(&r, "Nothing is held.");
    unsetenv("PLUMULE_LANG");
    end(&s, &r);
}

static void the_environment_stands_in_for_options(void **state)
{
    (void)state;
    struct site s;
    struct launch r;
    begin(&s, &r);
    setenv("PLUMULE_PLANT", "p", 1);
    setenv("PLUMULE_PERSON", "1", 1);
    RUN_OK(&r, "record", "place", "code=A", "place_kind=store");
    RUN_CODE(&r, 4, "--as=2", "record", "place", "code=B",
             "place_kind=store"); /* the option wins */
    RUN_CODE(&r, 5, "--plant=q", "record", "place", "code=B", "place_kind=store");
    unsetenv("PLUMULE_PLANT");
    unsetenv("PLUMULE_PERSON");
    RUN_CODE(&r, 5, "lots"); /* there is no ./plant */
    RUN_CODE(&r, 2, "--plant=p", "record", "place", "code=B", "place_kind=store");
    RUN_SAYS(&r, "Say who you are");
    assert_int_equal(entries_of(&s, PLANT), 2);
    end(&s, &r);
}

static void a_field_has_the_type_of_its_name(void **state)
{
    (void)state;
    struct site s;
    struct launch r;
    begin(&s, &r);
    RUN_OK(&r, "--plant=p", "--as=1", "record", "item", "code=M250", "item_kind=packed",
           "net=250 g", "pieces_per_case=20", "life_days=7", "source_item=MUNG",
           "allergens=soy,lupin", "reason=new");
    json_t *said = told(&s);
    assert_int_equal(number_in(said, "pieces_per_case"), 20);
    assert_int_equal(number_in(said, "life_days"), 7);
    assert_string_equal(text_in(said, "net"), "250 g");
    const json_t *list = json_object_get(said, "allergens");
    assert_int_equal(json_array_size(list), 2);
    assert_string_equal(json_string_value(json_array_get(list, 1)), "lupin");
    json_decref(said);
    RUN_OK(&r, "--plant=p", "--as=1", "record", "place", "code=C1", "place_kind=chamber",
           "in_service=no");
    said = told(&s);
    assert_true(json_is_false(json_object_get(said, "in_service")));
    json_decref(said);
    end(&s, &r);
}

static void words_that_cannot_be_read_are_named(void **state)
{
    (void)state;
    static const struct {
        int code;
        const char *word, *says;
    } cases[] = {
        {2, "chamber", "\"chamber\" is not of the form key=value."},
        {2, "=chamber", "\"=chamber\" is not of the form key=value."},
        {3, "in_service=perhaps", "in_service is \"perhaps\"; it must be one of yes, no"},
        {3, "life_days=seven", "life_days must be a whole number, not seven"},
        {3, "life_days=7x", "life_days must be a whole number, not 7x"},
        {3, "life_days=", "life_days must be a whole number"},
        {3, "name=\xff\xfe", "name must be UTF-8 text"},
        {3, "replicates=96,x", "replicates must be a whole number, not x"},
        {3, "allergens=soy,\xff", "allergens must be UTF-8 text"},
        {3, "in=\xff,5 kg", "inputs must be UTF-8 text"},
        {3, "code=B", "The name code stands twice"},
        {3, "kind=person", "The name kind stands twice"},
        {3, "colour=green", "colour is not a field of a place"},
    };
    struct site s;
    struct launch r;
    begin(&s, &r);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        RUN_CODE(&r, cases[i].code, "--plant=p", "--as=1", "record", "place", "code=A",
                 "place_kind=store", cases[i].word);
        RUN_SAYS(&r, cases[i].says);
    }
    assert_int_equal(entries_of(&s, PLANT), 1);
    end(&s, &r);
}

static void what_cannot_be_printed_is_no_success(void **state)
{
    (void)state;
    struct site s;
    struct launch r, shell;
    begin(&s, &r);
    run_open(&shell, "sh");
    RUN_CODE(&shell, 8, "-c", "exec \"$0\" --plant p user list > /dev/full", program);
    run_close(&shell);
    end(&s, &r);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(options_are_read_in_both_forms_and_at_any_place,
                                        folder_enter, folder_leave),
        cmocka_unit_test_setup_teardown(a_line_that_is_refused_is_numbered, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_long_report_counts_what_it_leaves_out, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(failures_speak_the_language_asked_for, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_person_is_spoken_to_in_their_language, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(the_environment_stands_in_for_options, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(a_field_has_the_type_of_its_name, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(words_that_cannot_be_read_are_named, folder_enter,
                                        folder_leave),
        cmocka_unit_test_setup_teardown(what_cannot_be_printed_is_no_success, folder_enter,
                                        folder_leave),
    };
    if (argc < 2) {
        return 2;
    }
    program = program_path(argv[1]);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
