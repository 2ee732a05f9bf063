/* embed_sql_test PROGRAM: the generator is shown SQL that must stop the build, and SQL that must
 * not. */
#include "../support.h"

#include "base/file.h"

static const char *program;

static void run_it(void *argument)
{
    (void)argument;
    execl(program, program, "schema", "query", "names.h", "texts.c", "sql.d", (char *)NULL);
    _exit(99);
}

static int status_of(const char *query_text)
{
    assert_ok(folder_make("schema"));
    assert_ok(folder_make("query"));
    assert_ok(file_write("schema/0001.sql", "create table a (x @int64);\n", 27, 0644));
    assert_ok(file_write("query/a.sql", query_text, strlen(query_text), 0644));
    int status = child_status(run_it, NULL);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void assert_contains(const char *path, const char *wanted)
{
    struct arena a;
    arena_init(&a, 1 << 20);
    char *text;
    size_t len;
    assert_ok(file_read(&a, path, 1 << 16, &text, &len));
    if (strstr(text, wanted) == NULL) {
        print_error("%s holds no \"%s\":\n%s\n", path, wanted, text);
    }
    assert_non_null(strstr(text, wanted));
    arena_release(&a);
}

static void queries_become_c(void **state)
{
    (void)state;
    assert_ok(folder_make("query"));
    assert_ok(file_write("query/b.sql", "-- name: third\nselect 3;\n", 25, 0644));
    assert_ok(file_write("query/notes.txt", "no query", 8, 0644));
    assert_int_equal(status_of("-- about this file\n\n-- name: first_one\n-- a note\nselect 'a;\\' "
                               "from a;\n\n-- name: second2\nselect\n  2;\n"),
                     0);
    assert_contains("names.h", "Q_FIRST_ONE,\n    Q_SECOND2,\n    Q_THIRD,\n    QUERY_COUNT");
    assert_contains("texts.c",
                    "{\"first_one\",\n     \"select 'a;\\\\' from a\",\n     -1, 0, {0}},");
    assert_contains("texts.c", "\"select\\n\"\n     \"  2\",");
    assert_contains("texts.c", "create table a (x @int64);\\n");
    assert_contains("texts.c", "embedded_schema_count = 1;");
    assert_contains("sql.d",
                    "names.h texts.c: schema query schema/0001.sql query/a.sql query/b.sql");
}

/* Who reads which table, and who writes it, is known when the program is built. */
static void kept_queries_name_their_tables(void **state)
{
    (void)state;
    assert_int_equal(
        status_of("-- name: two\n-- kept: b, a\nselect 1 from a join b join daybook d;\n"
                  "-- name: one\n-- kept: a\nselect 2\nfrom a;\n"
                  "-- name: put_a\ninsert into a values (1);\n"
                  "-- name: set_b\nupdate b set x = 1;\n"
                  "-- name: drop_c\ndelete from c;\n"),
        0);
    assert_contains("names.h", "enum { KEPT_TABLES_MAX = 3 };");
    assert_contains("texts.c", "join daybook d\",\n     -1, 2, {0, 1}},");
    assert_contains("texts.c", "from a\",\n     -1, 1, {1}},");
    assert_contains("texts.c", "insert into a values (1)\",\n     1, 0, {0}},");
    assert_contains("texts.c", "update b set x = 1\",\n     0, 0, {0}},");
    assert_contains("texts.c", "delete from c\",\n     -1, 0, {0}},");
}

static void bad_queries_stop_the_build(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "-- name: one\nselect 1;\n-- name: one\nselect 2;\n", /* twice */
        "-- name: third\nselect 1;\n",                        /* twice, in two files */
        "-- name: One\nselect 1;\n",
        "-- name: 1one\nselect 1;\n",
        "-- name: one two\nselect 1;\n",
        "-- name: \nselect 1;\n",
        "-- name: one\n",
        "-- name: one\n;\n",
        "-- name: one\nselect 1\n",
        "-- name: one\nselect 1; select 2;\n",
        "select 1;\n-- name: one\nselect 1;\n",
        "-- name: one\n-- kept: a\nselect 1 from b;\n",
        "-- name: one\n-- kept: a\nselect 1 from a join b;\n",
        "-- name: one\n-- kept: a\nselect 1\nfrom a where 2 in (select x\nfrom\nb);\n",
        "-- name: one\n-- kept: a b\nselect 1 from a;\n",
        "-- name: one\n-- kept: a\ndelete from a;\n",
        "-- name: one\n-- kept: a\n-- kept: a\nselect 1 from a;\n",
        "-- kept: a\n-- name: one\nselect 1 from a;\n",
        "-- name: one\nreplace into a values (1);\n",
        "-- name: one\ninsert or ignore into a values (1);\n",
    };
    assert_ok(folder_make("query"));
    assert_ok(file_write("query/b.sql", "-- name: third\nselect 3;\n", 25, 0644));
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        if (status_of(bad[i]) != 1) {
            print_error("taken: %s\n", bad[i]);
            fail();
        }
    }
    assert_int_equal(status_of("-- name: good\nselect 1;\n"), 0);
}

static void schemas_have_no_gap(void **state)
{
    (void)state;
    assert_int_equal(status_of("-- name: one\nselect 1;\n"), 0);
    assert_ok(file_write("schema/0003.sql", "create table b (x);\n", 20, 0644));
    assert_int_equal(status_of("-- name: one\nselect 1;\n"), 1);
    assert_int_equal(rename("schema/0003.sql", "schema/0002.sql"), 0);
    assert_int_equal(status_of("-- name: one\nselect 1;\n"), 0);
    assert_contains("texts.c", "embedded_schema_count = 2;");
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, folder_enter, folder_leave)

int main(int argc, char **argv)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    program = argc == 2 ? realpath(argv[1], NULL) : NULL;
    if (program == NULL) {
        fprintf(stderr, "embed_sql_test PROGRAM\n");
        return 2;
    }
    const struct CMUnitTest tests[] = {
        IN_FOLDER(queries_become_c),
        IN_FOLDER(kept_queries_name_their_tables),
        IN_FOLDER(bad_queries_stop_the_build),
        IN_FOLDER(schemas_have_no_gap),
    };
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    free((void *)(uintptr_t)program);
    return failed;
}
