#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "bad_tree.h"

static const char *tidy_check;

static void refuse_one(const char *path, const char *text, const char *line)
{
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, path, text);
    bad_tree_refused(&tree, tidy_check, line);
    bad_tree_release(&tree);
}

static void accept_one(const char *path, const char *text)
{
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, path, text);
    bad_tree_accepted(&tree, tidy_check);
    bad_tree_release(&tree);
}

static const char *repeated(char *out, size_t size, const char *before, const char *piece,
                            int times, const char *after)
{
    size_t len = (size_t)snprintf(out, size, "%s", before);
    for (int i = 0; i < times; i++) {
        len += (size_t)snprintf(out + len, size - len, "%s", piece);
    }
    snprintf(out + len, size - len, "%s", after);
    return out;
}

static void long_line_is_refused(void **state)
{
    (void)state;
    char text[512];
    accept_one("demo/a.c", repeated(text, sizeof text, "/*", "x", 96, "*/\n"));
    accept_one("demo/a.c", repeated(text, sizeof text, "/*", "\xc2\xb5", 96, "*/\n"));
    refuse_one("demo/a.c", repeated(text, sizeof text, "\n/*", "x", 97, "*/\n"),
               "demo/a.c:2: This line has 101 columns; 100 are the most.\n");
}

static void tab_and_trailing_blank_are_refused(void **state)
{
    (void)state;
    refuse_one("demo/a.c", "int a;\n\tint b;\n", "demo/a.c:2: A tab; use blanks.\n");
    refuse_one("docs/a.md", "text \n", "docs/a.md:1: A blank at the end of the line.\n");
    refuse_one("dev", "text\r\n", "dev:1: A blank at the end of the line.\n");
    refuse_one("demo/a.c", "int a;\nint b;", "demo/a.c:2: The last line has no end.\n");
}

static void long_function_is_refused(void **state)
{
    (void)state;
    char text[2048];
    accept_one("demo/a.c",
               repeated(text, sizeof text, "int f(void)\n{\n", "    x();\n", 68, "}\n"));
    refuse_one("demo/a.c", repeated(text, sizeof text, "int f(void)\n{\n", "    x();\n", 69, "}\n"),
               "demo/a.c:2: This function has 71 lines; 70 are the most.\n");
}

static void long_file_is_refused(void **state)
{
    (void)state;
    char text[8192];
    accept_one("demo/a.c", repeated(text, sizeof text, "", "int a;\n", 600, ""));
    refuse_one("demo/a.c", repeated(text, sizeof text, "", "int a;\n", 601, ""),
               "demo/a.c:601: This file has 601 lines; 600 are the most.\n");
}

static void banned_call_is_refused(void **state)
{
    (void)state;
    static const char *const banned[] = {"strcpy", "strcat", "sprintf", "gets", "atoi",
                                         "strtok", "system", "popen",   "rand", "srand",
                                         "atol",   "atof",   "vsprintf"};
    for (size_t i = 0; i < sizeof banned / sizeof banned[0]; i++) {
        char text[128];
        char line[128];
        snprintf(text, sizeof text, "int a = 1;\nint b = %s (x);\n", banned[i]);
        snprintf(line, sizeof line, "demo/a.c:2: %s is not called here: ", banned[i]);
        refuse_one("demo/a.c", text, line);
    }
    accept_one("demo/a.c",
               "/* system(x) */ int a = water_system(1); int system; f(\"gets(x)\");\n");
}

static void unfinished_mark_is_refused(void **state)
{
    (void)state;
    static const char *const halves[][2] = {{"TO", "DO"}, {"FIX", "ME"}, {"XX", "X"},
                                            {"HA", "CK"}, {"T", "BD"},   {"WI", "P"}};
    for (size_t i = 0; i < sizeof halves / sizeof halves[0]; i++) {
        char text[128];
        char line[128];
        snprintf(text, sizeof text, "\n/* %s%s: the rest */\n", halves[i][0], halves[i][1]);
        snprintf(line, sizeof line, "demo/a.c:2: Unfinished work (%s%s).", halves[i][0],
                 halves[i][1]);
        refuse_one("demo/a.c", text, line);
    }
    accept_one("demo/a.c", "const char *name = \"plumule-XXXXXX\";\n");
}

static void source_without_test_is_refused(void **state)
{
    (void)state;
    refuse_one("src/calc/heat/a.c", "int a;\n",
               "src/calc/heat/a.c:1: There is no tests/calc/heat/a_test.c.");
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, "src/calc/heat/a.c", "int a;\n");
    bad_tree_write(&tree, "src/base/b.c", "int b;\n");
    bad_tree_write(&tree, "src/base/c.c", "int c;\n");
    bad_tree_write(&tree, "tests/calc/a_test.c", "int a;\n");
    bad_tree_write(&tree, "tests/calc/meson.build", "foreach t : ['a']\n");
    bad_tree_write(&tree, "tests/base/b_test.c", "int b;\n");
    bad_tree_write(&tree, "tests/base/meson.build", "files('b_test.c')\n");
    bad_tree_write(&tree, "tools/tidy_allow.txt", "no-test src/base/c.c one table, no code\n");
    bad_tree_accepted(&tree, tidy_check);
    bad_tree_release(&tree);
}

static void unlisted_test_is_refused(void **state)
{
    (void)state;
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, "tests/base/a_test.c", "int a;\n");
    bad_tree_refused(&tree, tidy_check, "tests/base/a_test.c:1: tests/base/meson.build does not");
    bad_tree_write(&tree, "tests/base/meson.build", "foreach t : ['ab', 'ba']\n");
    bad_tree_refused(&tree, tidy_check, "tests/base/a_test.c:1: tests/base/meson.build does not");
    bad_tree_write(&tree, "tests/base/meson.build", "foreach t : ['a_test']\n");
    bad_tree_accepted(&tree, tidy_check);
    bad_tree_release(&tree);
}

static void idle_error_code_is_refused(void **state)
{
    (void)state;
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, "src/base/codes.def",
                   "CODE(OK, \"ok\", 200, 0, \"Done.\")\nCODE(LOT_A, \"a\", 404, 5, \"A.\")\n");
    bad_tree_write(&tree, "src/base/a.h", "/* FAIL0(LOT_A) */\nint x = CODE_OK + LOT_A;\n");
    bad_tree_refused(&tree, tidy_check,
                     "src/base/codes.def:2: Nothing in src/ or demo/ gives LOT_A.");
    bad_tree_write(&tree, "src/base/a.h", "int x = CODE_OK;\nf(FAIL0(\n    LOT_A, \"\"));\n");
    bad_tree_accepted(&tree, tidy_check);
    bad_tree_write(&tree, "src/base/a.h", "int x = CODE_OK + CODE_LOT_A;\n");
    bad_tree_accepted(&tree, tidy_check);
    bad_tree_release(&tree);
}

static void case_without_source_is_refused(void **state)
{
    (void)state;
    const char *line = "tests/published/a.case:1: No line begins with \"source\".";
    refuse_one("tests/published/a.case", "case one\nexpect 1\n", line);
    refuse_one("tests/published/a.case", "source:\nexpect 1\n", line);
    refuse_one("tests/published/a.case", "sources of error\n", line);
    accept_one("tests/published/a.case", "case one\nsource: Author 1987, A title, table 2\n");
}

static void idle_or_bare_exception_is_refused(void **state)
{
    (void)state;
    refuse_one("tools/tidy_allow.txt", "# why\nno-test src/base/a.c gone\n",
               "tools/tidy_allow.txt:2: This exception excuses nothing any more.");
    refuse_one("tools/tidy_allow.txt", "no-test src/base/a.c\n",
               "tools/tidy_allow.txt:1: Write the rule, the path and the reason on one line.");
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        return 2;
    }
    tidy_check = argv[1];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(long_line_is_refused),
        cmocka_unit_test(tab_and_trailing_blank_are_refused),
        cmocka_unit_test(long_function_is_refused),
        cmocka_unit_test(long_file_is_refused),
        cmocka_unit_test(banned_call_is_refused),
        cmocka_unit_test(unfinished_mark_is_refused),
        cmocka_unit_test(source_without_test_is_refused),
        cmocka_unit_test(unlisted_test_is_refused),
        cmocka_unit_test(idle_error_code_is_refused),
        cmocka_unit_test(case_without_source_is_refused),
        cmocka_unit_test(idle_or_bare_exception_is_refused),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
