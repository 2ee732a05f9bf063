#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "bad_tree.h"

static const char *count_tests;

/* One program that was to run, its TAP lines, how it ended; what the last line must be. */
static void count_one(const char *tap, const char *result, const char *stated, const char *last)
{
    struct bad_tree tree;
    char log[2048];
    snprintf(log, sizeof log,
             "{\"name\": \"p\", \"stdout\": \"%s\", \"result\": \"%s\", \"returncode\": 0, "
             "\"stderr\": \"own words\\n\"}\n",
             tap, result);
    bad_tree_init(&tree);
    bad_tree_write(&tree, "meson-info/intro-tests.json", "[{\"name\": \"p\"}]\n");
    bad_tree_write(&tree, "meson-logs/testlog.json", log);
    bad_tree_run(&tree, count_tests, (const char *const[]){".", NULL});
    const char *end = strstr(tree.out, last);
    assert_non_null(end);
    assert_string_equal(end, last);
    assert_non_null(strstr(tree.out, stated));
    assert_int_equal(tree.status, strstr(last, " 0 failed") != NULL ? 0 : 1);
    bad_tree_release(&tree);
}

static void passes_are_counted(void **state)
{
    (void)state;
    count_one("1..2\\nok 1 - a\\n# said\\nok 2 - b\\n", "OK", "", "2 passed, 0 failed\n");
    count_one("ok 1 - a\\nok 2 - b\\nok 3\\n1..3\\n", "OK", "", "3 passed, 0 failed\n");
}

static void failure_is_counted_and_shown(void **state)
{
    (void)state;
    count_one("1..2\\nok 1 - a\\nnot ok 2 - b\\n# at line 7\\n", "FAIL",
              "FAILED  p: not ok 2 - b\n    out| 1..2\n    out| not ok 2 - b\n    out| # at line "
              "7\n    err| own words\n",
              "1 passed, 1 failed\n");
}

static void skip_is_a_failure(void **state)
{
    (void)state;
    count_one("1..2\\nok 1 - a\\nok 2 - b # SKIP no disk\\n", "OK",
              "FAILED  p: ok 2 - b # SKIP no disk (a skip is a failure)\n", "1 passed, 1 failed\n");
    count_one("1..0 # skip nothing here\\n", "SKIP", "it planned 0 tests and ran 0",
              "0 passed, 1 failed\n");
}

static void missing_tests_are_failures(void **state)
{
    (void)state;
    count_one("1..5\\nok 1 - a\\nok 2 - b\\n", "ERROR", "FAILED  p: 3 of its 5 tests never came\n",
              "2 passed, 3 failed\n");
    count_one("1..1\\nok 1 - a\\nok 2 - b\\n", "ERROR", "it planned 1 tests and ran 2",
              "2 passed, 1 failed\n");
}

static void missing_plan_is_a_failure(void **state)
{
    (void)state;
    count_one("", "OK", "FAILED  p: it printed no plan\n", "0 passed, 1 failed\n");
    count_one("ok 1 - a\\n", "OK", "FAILED  p: it printed no plan\n", "1 passed, 1 failed\n");
}

static void bad_end_after_good_tests_is_a_failure(void **state)
{
    (void)state;
    count_one("1..1\\nok 1 - a\\n", "ERROR", "all its tests passed but it ended badly (ERROR",
              "1 passed, 1 failed\n");
    count_one("1..1\\nok 1 - a\\n", "TIMEOUT", "ended badly (TIMEOUT", "1 passed, 1 failed\n");
}

static void program_that_did_not_run_is_a_failure(void **state)
{
    (void)state;
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_write(&tree, "meson-info/intro-tests.json", "[{\"name\": \"p\"}, {\"name\": \"q\"}]");
    bad_tree_run(&tree, count_tests, (const char *const[]){".", NULL});
    assert_non_null(strstr(tree.out, "2 of its 2 test programs did not run"));
    assert_non_null(strstr(tree.out, "\n0 passed, 2 failed\n"));
    assert_int_equal(tree.status, 1);
    bad_tree_write(&tree, "meson-logs/testlog.json", "{\"name\": \"p\", \"std");
    bad_tree_run(&tree, count_tests, (const char *const[]){".", NULL});
    assert_non_null(strstr(tree.out, "\n0 passed, 3 failed\n"));
    bad_tree_run(&tree, count_tests, (const char *const[]){"./absent", NULL});
    assert_non_null(strstr(tree.out, "\n0 passed, 1 failed\n"));
    bad_tree_release(&tree);
}

static void named_failure_is_counted(void **state)
{
    (void)state;
    struct bad_tree tree;
    bad_tree_init(&tree);
    bad_tree_run(&tree, count_tests, (const char *const[]){"--failed", "the build", NULL});
    assert_string_equal(tree.out, "FAILED  the build: see above\n0 passed, 1 failed\n");
    assert_int_equal(tree.status, 1);
    bad_tree_release(&tree);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        return 2;
    }
    count_tests = argv[1];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(passes_are_counted),
        cmocka_unit_test(failure_is_counted_and_shown),
        cmocka_unit_test(skip_is_a_failure),
        cmocka_unit_test(missing_tests_are_failures),
        cmocka_unit_test(missing_plan_is_a_failure),
        cmocka_unit_test(bad_end_after_good_tests_is_a_failure),
        cmocka_unit_test(program_that_did_not_run_is_a_failure),
        cmocka_unit_test(named_failure_is_counted),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
