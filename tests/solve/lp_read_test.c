/* The reader of LP text and the program around it: standard input to standard output, as a caller
 * meets them. */
#include <fcntl.h>
#include <math.h>
#include <setjmp.h>
#include <signal.h>
#include <spawn.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/random.h"
#include "lp_read.h"

static struct lp_problem good(const char *text)
{
    struct lp_problem p;
    struct lp_fault fault;
    if (!lp_read(text, &p, &fault)) fail_msg("line %d: %s", fault.line, fault.message);
    return p;
}

static void bad(const char *text, int line, const char *message)
{
    struct lp_problem p;
    struct lp_fault fault;
    assert_false(lp_read(text, &p, &fault));
    assert_string_equal(fault.message, message);
    assert_int_equal(fault.line, line);
    assert_null(p.names);
}

static void every_part_is_read(void **state)
{
    (void)state;
    struct lp_problem p =
        good("\\ a comment\nMAXIMISE profit: 3 a + b\n - 0.5 c subject to\n"
             "first: a + 2.5e1 b >= -4\n a - 3 a + c =< 7 \\ another\n last: - b = -1\n"
             "Bounds\n -2 <= a <= 8\n b <= 1e3\n c free\n"
             "Generals a\nBinaries\n b\nEnd\nwhatever follows\n");
    assert_true(p.maximize);
    assert_int_equal(p.column_count, 3);
    assert_int_equal(p.row_count, 3);
    assert_string_equal(p.names[2], "c");
    assert_true(p.objective[0] == 3 && p.objective[1] == 1 && p.objective[2] == -0.5);
    assert_true(p.lower[0] == -2 && p.upper[0] == 8);
    assert_true(p.lower[1] == 0 && p.upper[1] == 1);
    assert_true(isinf(p.lower[2]) && isinf(p.upper[2]));
    assert_true(p.is_integer[0] && p.is_integer[1] && !p.is_integer[2]);
    assert_true(p.row_lower[0] == -4 && isinf(p.row_upper[0]));
    assert_true(isinf(p.row_lower[1]) && p.row_upper[1] == 7);
    assert_true(p.row_lower[2] == -1 && p.row_upper[2] == -1);
    /* a stands twice in the second row: added up */
    assert_int_equal(p.entry_count, 5);
    assert_true(p.values[p.starts[0]] == 1 && p.values[p.starts[0] + 1] == -2);
    assert_int_equal(p.rows[p.starts[0] + 1], 1);
    assert_int_equal(p.starts[3], 5);
    lp_release(&p);
}

static void bounds_in_every_form(void **state)
{
    (void)state;
    struct lp_problem p =
        good("min a + b + c + d st r: a + b + c + d >= 0 bounds a = 4 8 >= b >= 2 "
             "-infinity <= c d >= -1 end");
    assert_true(p.lower[0] == 4 && p.upper[0] == 4);
    assert_true(p.lower[1] == 2 && p.upper[1] == 8);
    assert_true(isinf(p.lower[2]) && isinf(p.upper[2]));
    assert_true(p.lower[3] == -1 && isinf(p.upper[3]));
    lp_release(&p);
}

static void what_is_wrong_is_said_with_its_line(void **state)
{
    (void)state;
    bad("", 1, "the text begins with \"\", not with Minimize or Maximize");
    bad("Minimize\n x\n", 3, "the text stops before End");
    bad("Minimize\n x\nx >= 1\nEnd", 3, "\"x\" needs a + or - before it");
    bad("Minimize\nEnd\n", 2, "there is no column");
    bad("Minimize\n x\nSubject To\n r: x >= 1 + y\nEnd\n", 4,
        "only a number may stand to the right of a row, not \"+\"");
    bad("Minimize\n x\nSubject To\n r: >= 1\nEnd\n", 4, "a row without columns at \">\"");
    bad("Minimize\n x\nSubject To\n r: 0x10 x >= 1\nEnd\n", 4, "\"0x10\" is not a number");
    bad("Minimize\n x\nSubject To\n r: 1e999 x >= 1\nEnd\n", 4, "\"1e999\" is not a number");
    bad("Minimize\n x\nSubject To\n r: x >= [\nEnd\n", 4, "unexpected character \"[\"");
    bad("Minimize\n x\nSubject To\n r: x >= 1\nBounds\n y <= 1\nEnd\n", 6,
        "\"y\" stands in no row and not in the objective");
    bad("Minimize\n x\nSubject To\n r: x >= 1\nBounds\n 3 <= x <= 1\nEnd\n", 7,
        "the lower bound of x is above its upper bound");
    bad("Minimize\n x\nMaximize\n x\nEnd\n", 3, "a second objective: Maximize");
    bad("Minimize\n x\nSubject To\n r: x >= 1\nGenerals\n 3\nEnd\n", 6,
        "a column's name is missing before \"3\"");
}

static void many_columns_keep_their_names(void **state)
{
    (void)state;
    size_t room = 1 << 20, len = 0;
    char *text = malloc(room);
    assert_non_null(text);
    len += (size_t)snprintf(text, room, "Minimize\n");
    for (int c = 0; c < 5000; c++)
        len += (size_t)snprintf(text + len, room - len, " + %d x%d\n", c, c);
    snprintf(text + len, room - len, "Subject To\n r: x4999 >= 1\nEnd\n");
    struct lp_problem p = good(text);
    free(text);
    assert_int_equal(p.column_count, 5000);
    for (int c = 0; c < 5000; c++)
        assert_true(p.objective[c] == c);
    assert_int_equal(p.starts[4999], 0);
    assert_int_equal(p.starts[5000], 1);
    lp_release(&p);
}

/* Damaged text is read or refused, with the sanitizers watching. */
static void damaged_text_does_no_harm(void **state)
{
    (void)state;
    static const char whole[] = "Minimize\n cost: 2 n0 + 3.5 f1 - 1e-3 e2\nSubject To\n"
                                " r0: n0 - 20 f1 <= 0\n r1: f1 + e2 >= 4\nBounds\n 0 <= n0 <= 3\n"
                                " -inf <= e2 <= inf\nGenerals\n n0\nBinaries\n f1\nEnd\n";
    static const char pieces[] = " \n:<>=+-.0e9xn\\[Bounds End free inf";
    struct random r;
    random_seed(&r, 9);
    int read = 0, refused = 0;
    for (int i = 0; i < 20000; i++) {
        char text[sizeof whole];
        memcpy(text, whole, sizeof whole);
        for (uint64_t k = random_below(&r, 4) + 1; k > 0; k--)
            text[random_below(&r, sizeof whole - 1)] = pieces[random_below(&r, sizeof pieces)];
        struct lp_problem p;
        struct lp_fault fault;
        if (lp_read(text, &p, &fault)) {
            read++;
            lp_release(&p);
        } else {
            refused++;
            assert_true(fault.line >= 1 && fault.message[0]);
        }
    }
    assert_true(read > 100 && refused > 1000);
}

/* Runs the program on text. -> its exit status; out holds what it wrote. */
static int program(const char *text, char *out, size_t room)
{
    int in = memfd_create("in", 0), ends[2], status = 0;
    assert_true(in >= 0 && pipe(ends) == 0);
    assert_int_equal(write(in, text, strlen(text)), (ssize_t)strlen(text));
    assert_int_equal(lseek(in, 0, SEEK_SET), 0);
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_adddup2(&files, in, STDIN_FILENO);
    posix_spawn_file_actions_adddup2(&files, ends[1], STDOUT_FILENO);
    posix_spawn_file_actions_addclose(&files, ends[0]);
    char *arguments[] = {(char *)"plumule-solve", NULL}, *environment[] = {NULL};
    pid_t pid;
    assert_int_equal(posix_spawn(&pid, SOLVE_PATH, &files, NULL, arguments, environment), 0);
    posix_spawn_file_actions_destroy(&files);
    close(in);
    close(ends[1]);
    size_t len = 0;
    for (ssize_t n; len + 1 < room && (n = read(ends[0], out + len, room - len - 1)) > 0;)
        len += (size_t)n;
    out[len] = 0;
    close(ends[0]);
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void the_program_says_plan_and_bound_and_nothing_else(void **state)
{
    (void)state;
    char out[4096];
    int status =
        program("seconds 10\ngap 0\nlp\nMinimize\n 2 a + 3 b\nSubject To\n r: a + b >= 2.5\n"
                "Generals\n a b\nEnd\n",
                out, sizeof out);
    assert_int_equal(status, 0);
    assert_string_equal(out,
                        "status solved\nobjective 6\nbound 6\ngap 0\nnodes 0\nvalue a 3\nend\n");
    status = program("seconds 10\nlp\nMinimize\n 2 a + 3 b\nSubject To\n r: a + b >= 2.5\n"
                     "Bounds\n a <= 1.5\nEnd\n",
                     out, sizeof out);
    assert_int_equal(status, 0);
    assert_string_equal(out, "status solved\nobjective 6\nbound 6\ngap 0\nnodes 0\nvalue a 1.5\n"
                             "value b 1\nend\n");
}

static void the_program_refuses_bad_input_in_one_line(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"", "error 0 the line lp is missing\n"},
        {"lp\nMinimize\n x\nEnd\n", "error 0 the line seconds is missing\n"},
        {"seconds 1e9\nlp\n", "error 0 seconds must be a number from 0.05 to 86400\n"},
        {"seconds nan\nlp\n", "error 0 seconds must be a number from 0.05 to 86400\n"},
        {"seconds 1\ngap -1\nlp\n", "error 0 gap must be a number from 0 to 1\n"},
        {"seconds 1\nspeed 9\nlp\n",
         "error 0 an option line is neither seconds, gap, bound first nor lp\n"},
        {"seconds 1\nlp\nMinimize\n x\nSubject To\n x >= y\nEnd\n",
         "error 4 a number is missing before \"y\"\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char out[4096];
        assert_int_equal(program(cases[i][0], out, sizeof out), 3);
        assert_string_equal(out, cases[i][1]);
    }
}

/* Splitting a market: choose x so that each row's sum comes as near as can be to half of all, a
 * kind of problem on which branch and bound is known to be slow (Cornuejols and Dawande 1998, A
 * class of hard small 0-1 programs - from memory). The clock has to end it. */
static void the_program_keeps_to_its_time(void **state)
{
    (void)state;
    enum { ROWS = 5, COLUMNS = 40 };
    struct random r;
    random_seed(&r, 4);
    char text[20000], out[20000];
    size_t len = (size_t)snprintf(text, sizeof text, "seconds 0.5\ngap 0\nlp\nMinimize\n");
    for (int row = 0; row < ROWS; row++)
        len += (size_t)snprintf(text + len, sizeof text - len, " + over%d + under%d\n", row, row);
    len += (size_t)snprintf(text + len, sizeof text - len, "Subject To\n");
    for (int row = 0; row < ROWS; row++) {
        int sum = 0;
        len += (size_t)snprintf(text + len, sizeof text - len, " r%d: under%d - over%d", row, row,
                                row);
        for (int c = 0; c < COLUMNS; c++) {
            int value = 1 + (int)random_below(&r, 99);
            sum += value;
            len += (size_t)snprintf(text + len, sizeof text - len, " + %d x%d", value, c);
        }
        len += (size_t)snprintf(text + len, sizeof text - len, " = %d\n", sum / 2);
    }
    len += (size_t)snprintf(text + len, sizeof text - len, "Binaries\n");
    for (int c = 0; c < COLUMNS; c++)
        len += (size_t)snprintf(text + len, sizeof text - len, " x%d\n", c);
    snprintf(text + len, sizeof text - len, "End\n");
    struct timespec begun, ended;
    clock_gettime(CLOCK_MONOTONIC, &begun);
    int status = program(text, out, sizeof out);
    clock_gettime(CLOCK_MONOTONIC, &ended);
    assert_true(ended.tv_sec - begun.tv_sec < 10);
    bool stopped = status == 0 && strncmp(out, "status stopped\n", 15) == 0;
    bool late = status == 4 && strcmp(out, "status nothing\nend\n") == 0;
    assert_true(stopped || late);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_part_is_read),
        cmocka_unit_test(bounds_in_every_form),
        cmocka_unit_test(what_is_wrong_is_said_with_its_line),
        cmocka_unit_test(many_columns_keep_their_names),
        cmocka_unit_test(damaged_text_does_no_harm),
        cmocka_unit_test(the_program_says_plan_and_bound_and_nothing_else),
        cmocka_unit_test(the_program_refuses_bad_input_in_one_line),
        cmocka_unit_test(the_program_keeps_to_its_time),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("solve_lp_read", tests, NULL, NULL);
}
