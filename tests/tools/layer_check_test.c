#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "bad_tree.h"

static const char *layer_check;

static void refuse_one(const char *path, const char *text, const char *line)
{
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, "src/base/good.c", "#include \"base/good.h\"\n");
    bad_tree_write(&tree, path, text);
    bad_tree_refused(&tree, layer_check, line);
    bad_tree_release(&tree);
}

static void accept_one(const char *path, const char *text)
{
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, path, text);
    bad_tree_accepted(&tree, layer_check);
    bad_tree_release(&tree);
}

static void upward_include_is_refused(void **state)
{
    (void)state;
    refuse_one("src/base/a.c", "\n#include \"calc/x.h\"\n",
               "src/base/a.c:2: base may not include upward from calc (\"calc/x.h\").\n");
    refuse_one("src/feed/a.c", "#  include \"command/x.h\"\n", "src/feed/a.c:1: feed may not");
    refuse_one("src/feed/a.h", "#include \"demo/x.h\"\n", "src/feed/a.h:1: feed may not");
    refuse_one("src/service/a.c", "#include \"web/x.h\"\n", "src/service/a.c:1: service may not");
    refuse_one("src/ledger/a.h", "#include \"trace/x.h\"\n", "src/ledger/a.h:1: ledger may not");
}

static void sideways_include_is_refused(void **state)
{
    (void)state;
    refuse_one("src/plan/a.c", "#include \"paper/x.h\"\n",
               "src/plan/a.c:1: plan and paper stand side by side");
    refuse_one("src/web/a.c", "#include \"feed/x.h\"\n",
               "src/web/a.c:1: web and feed stand side by side");
    refuse_one("src/store/a.c", "#include \"calc/heat/x.h\"\n",
               "src/store/a.c:1: store and calc stand side by side");
}

static void downward_include_is_accepted(void **state)
{
    (void)state;
    accept_one("src/plan/a.c", "#include \"ledger/x.h\"\n#include \"plan/y.h\"\n"
                               "#include \"base/z.h\"\n#include <stdio.h>\n");
    accept_one("src/web/a.c", "#include \"service/x.h\"\n#include \"calc/y.h\"\n");
    accept_one("src/command/main.c", "#include \"demo/x.h\"\n#include \"feed/x.h\"\n");
    accept_one("src/base/a.c", "/* #include \"feed/x.h\" */\n");
}

static void include_without_a_room_is_refused(void **state)
{
    (void)state;
    refuse_one("src/plan/a.c", "#include \"../feed/x.h\"\n",
               "src/plan/a.c:1: \"../feed/x.h\" begins with no known room.");
    refuse_one("src/plan/a.c", "#include \"x.h\"\n", "src/plan/a.c:1: \"x.h\" begins with no");
    refuse_one("src/stray.c", "int x;\n", "src/stray.c:1: This file stands in no known room.");
}

static void calc_stays_pure(void **state)
{
    (void)state;
    refuse_one("src/calc/heat/a.c", "#include <math.h>\n#include <time.h>\n",
               "src/calc/heat/a.c:2: calc is pure and may not include <time.h>.");
    refuse_one("src/calc/heat/a.c", "int x;\nvoid *p = malloc(4);\n",
               "src/calc/heat/a.c:2: calc is pure and may not call malloc.");
    refuse_one("src/calc/a.c", "f();\nprintf(\"x\");\n", "src/calc/a.c:2: calc is pure and may");
    refuse_one("src/calc/a.c", "#include \"store/store.h\"\n", "src/calc/a.c:1: calc and store");
    accept_one("src/calc/heat/a.c",
               "#include <math.h>\n#include \"base/x.h\"\n"
               "#include \"calc/heat/y.h\"\nint exit_s; f(snprintf(t, 1, \"\"));\n");
}

static void sql_outside_the_store_is_refused(void **state)
{
    (void)state;
    const char *sentence = "src/ledger/a.c:2: SQL belongs in src/store/query.";
    refuse_one("src/ledger/a.c", "const char *q =\n    \"SELECT a FROM b\";\n", sentence);
    refuse_one("src/ledger/a.c", "const char *q =\n  \"select a \"\n  \"from b\";\n", sentence);
    refuse_one("src/ledger/a.c", "\n f(\"insert into t values (1)\");\n", sentence);
    refuse_one("src/ledger/a.c", "char c = '\"';\n f(\"UPDATE t SET a = 1\");\n", sentence);
    refuse_one("src/ledger/a.c", "\n f(\"DELETE FROM t\");\n", sentence);
    refuse_one("src/ledger/a.c", "\n f(\"CREATE UNIQUE INDEX i ON t(a)\");\n", sentence);
    refuse_one("demo/a.c", "#include <sqlite3.h>\n", "demo/a.c:1: Only the store may include");
    accept_one("src/store/a.c", "#include <sqlite3.h>\nconst char *q = \"SELECT a FROM b\";\n");
}

static void sentences_are_not_sql(void **state)
{
    (void)state;
    accept_one("src/ledger/a.c", "/* \"SELECT a FROM b\" */\n"
                                 "const char *s = \"Select a lot from the list.\";\n"
                                 "const char *u = \"update of the plan\";\n"
                                 "const char *w = \"with the seed as it came\";\n");
}

static void broken_numbers_in_the_record_are_refused(void **state)
{
    (void)state;
    refuse_one("src/ledger/a.c", "/* double */\nstatic double mass_kg;\n",
               "src/ledger/a.c:2: The record holds whole numbers only; double belongs in calc");
    refuse_one("src/store/a.h", "float x;\n", "src/store/a.h:1: The record holds whole numbers");
    accept_one("src/plan/a.c", "static double mass_kg;\n");
    accept_one("src/ledger/a.c", "int double_entry; /* float */\n");
}

static void empty_folder_is_an_error(void **state)
{
    (void)state;
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_run(&tree, layer_check, (const char *const[]){".", NULL});
    assert_int_equal(tree.status, 2);
    bad_tree_run(&tree, layer_check, (const char *const[]){"./absent", NULL});
    assert_int_equal(tree.status, 2);
    bad_tree_release(&tree);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        return 2;
    }
    layer_check = argv[1];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(upward_include_is_refused),
        cmocka_unit_test(sideways_include_is_refused),
        cmocka_unit_test(downward_include_is_accepted),
        cmocka_unit_test(include_without_a_room_is_refused),
        cmocka_unit_test(calc_stays_pure),
        cmocka_unit_test(sql_outside_the_store_is_refused),
        cmocka_unit_test(sentences_are_not_sql),
        cmocka_unit_test(broken_numbers_in_the_record_are_refused),
        cmocka_unit_test(empty_folder_is_an_error),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
