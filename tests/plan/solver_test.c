#include <fcntl.h>
#include <pthread.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "plan/solver.h"
#include "support.h"

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static struct result run(struct arena *a, const char *path, const char *text, double seconds,
                         int columns, struct solver_answer *out)
{
    struct solver_options options = {.path = path, .seconds = seconds, .gap = 0};
    return solver_run(a, &options, text, columns, out);
}

static enum code fake(struct arena *a, const char *how, double seconds)
{
    struct solver_answer answer;
    const char *text = arena_printf(a, "\\ %s\nMinimize n0 Subject To n0 >= 1 End\n", how);
    enum code code = run(a, FAKE_PATH, text, seconds, 1, &answer).code;
    /* nothing of it is left behind */
    assert_int_equal(waitpid(-1, NULL, WNOHANG), -1);
    return code;
}

static void a_small_program_is_solved(void **state)
{
    /* closed form: the better of two corners under one whole-number row is x0 = 3, x1 = 0.5 */
    const char *text = "Minimize\n c: - 5 x0 - 4 x1\nSubject To\n r0: 6 x0 + 4 x1 <= 20\nBounds\n"
                       " x1 <= 3\nGenerals\n x0\nEnd\n";
    struct solver_answer x;
    struct result r = run(*state, SOLVE_PATH, text, 10, 2, &x);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(x.status, SOLVER_SOLVED);
    assert_close(x.objective, -18, 1e-9);
    assert_close(x.bound, -18, 1e-9);
    assert_close(5 * x.values[0] + 4 * x.values[1], 18, 1e-9);
}

static void impossible_and_unbounded_are_told_apart(void **state)
{
    struct solver_answer x;
    struct result r =
        run(*state, SOLVE_PATH, "Minimize n0 Subject To r: 2 n0 = 3 Generals n0 End", 10, 1, &x);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(x.status, SOLVER_INFEASIBLE);
    r = run(*state, SOLVE_PATH, "Maximize n0 Subject To r: n0 >= 1 Generals n0 End", 10, 1, &x);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(x.status, SOLVER_UNBOUNDED);
}

static void bad_text_is_refused_with_its_line(void **state)
{
    struct solver_answer x;
    struct result r =
        run(*state, SOLVE_PATH, "Minimize\n n0\nSubject To\n r: n0 >\nEnd\n", 10, 1, &x);
    assert_int_equal(r.code, CODE_SOLVER_REFUSED);
    assert_string_equal(r.value[0], "5 a number is missing before \"End\"");
}

static void a_crash_is_a_result(void **state)
{
    assert_int_equal(fake(*state, "crash", 5), CODE_SOLVER_CRASHED);
    assert_int_equal(fake(*state, "exit", 5), CODE_SOLVER_CRASHED);
}

static void a_hang_ends_at_the_deadline(void **state)
{
    double begun_s = now_s();
    assert_int_equal(fake(*state, "hang", 0.1), CODE_SOLVER_LATE);
    assert_true(now_s() - begun_s < 10);
    assert_int_equal(fake(*state, "hang in a child", 0.1), CODE_SOLVER_LATE);
}

static void nonsense_is_a_result(void **state)
{
    assert_int_equal(fake(*state, "garbage", 5), CODE_SOLVER_GARBLED);
    assert_int_equal(fake(*state, "silent", 5), CODE_SOLVER_GARBLED);
}

static void a_flood_is_cut(void **state)
{
    assert_int_equal(fake(*state, "flood", 30), CODE_SOLVER_GARBLED);
}

static void memory_is_limited(void **state)
{
    struct solver_options options = {
        .path = FAKE_PATH, .seconds = 20, .memory_bytes = (int64_t)64 << 20};
    struct solver_answer answer;
    double begun_s = now_s();
    struct result r = solver_run(*state, &options, "\\ eat memory\n", 1, &answer);
    assert_int_equal(r.code, CODE_SOLVER_CRASHED);
    assert_true(now_s() - begun_s < 20);
}

static void no_open_file_is_handed_on(void **state)
{
    int left_open = open("/dev/null", O_RDONLY);
    assert_true(left_open >= 3);
    struct solver_answer x;
    struct result r = run(*state, FAKE_PATH, "\\ look around\n", 5, 1, &x);
    close(left_open);
    assert_int_equal(r.code, CODE_OK);
    assert_close(x.objective, 3, 0);
}

static void a_missing_program_is_a_result(void **state)
{
    struct solver_answer x;
    struct result r = run(*state, "/nonexistent/plumule-solve", "End", 5, 1, &x);
    assert_int_equal(r.code, CODE_SOLVER_START);
    r = run(*state, "/dev/null", "End", 5, 1, &x);
    assert_int_equal(r.code, CODE_SOLVER_START);
}

static void *stop_soon(void *stop)
{
    nanosleep(&(struct timespec){0, 200000000}, NULL);
    atomic_store((atomic_bool *)stop, true);
    return NULL;
}

static void it_can_be_stopped(void **state)
{
    atomic_bool stop = false;
    struct solver_options options = {.path = FAKE_PATH, .seconds = 60, .stop = &stop};
    struct solver_answer answer;
    pthread_t other;
    double begun_s = now_s();
    assert_int_equal(pthread_create(&other, NULL, stop_soon, &stop), 0);
    enum code code = solver_run(*state, &options, "\\ hang\n", 1, &answer).code;
    pthread_join(other, NULL);
    assert_int_equal(code, CODE_PLAN_STOPPED);
    assert_true(now_s() - begun_s < 30);
    /* and not even started once it is told */
    assert_int_equal(solver_run(*state, &options, "", 1, &answer).code, CODE_PLAN_STOPPED);
}

static enum code read_code(struct arena *a, const char *text)
{
    struct solver_answer x;
    return solver_answer_read(a, text, 3, &x).code;
}

static void answers_are_read_with_suspicion(void **state)
{
    static const char head[] = "status solved\nobjective 1\nbound 1\ngap 0\n";
    struct solver_answer x;
    const char *good = arena_printf(*state, "%svalue n2 1.5\nend\n", head);
    assert_int_equal(solver_answer_read(*state, good, 3, &x).code, CODE_OK);
    assert_close(x.values[2], 1.5, 0);
    static const char *const bad[] = {"value n3 1\nend\n",
                                      "value n-1 1\nend\n",
                                      "value n 1\nend\n",
                                      "value n1\nend\n",
                                      "value n1 nan\nend\n",
                                      "value n1 inf\nend\n",
                                      "value n1 1x\nend\n",
                                      "value n99999999999999999999 1\nend\n",
                                      "status solved\nend\n",
                                      "gap x\nend\n",
                                      "hello there\nend\n",
                                      "end",
                                      "",
                                      "value\nend\n"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_int_equal(read_code(*state, arena_printf(*state, "%s%s", head, bad[i])),
                         CODE_SOLVER_GARBLED);
    assert_int_equal(read_code(*state, "status solved\nobjective 1\nend\n"), CODE_SOLVER_GARBLED);
    assert_int_equal(read_code(*state, "status splendid\nend\n"), CODE_SOLVER_GARBLED);
    assert_int_equal(read_code(*state, "end\n"), CODE_SOLVER_GARBLED);
    assert_int_equal(read_code(*state, "status nothing\nend\n"), CODE_SOLVER_LATE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        EACH(a_small_program_is_solved),
        EACH(impossible_and_unbounded_are_told_apart),
        EACH(bad_text_is_refused_with_its_line),
        EACH(a_crash_is_a_result),
        EACH(a_hang_ends_at_the_deadline),
        EACH(nonsense_is_a_result),
        EACH(a_flood_is_cut),
        EACH(memory_is_limited),
        EACH(no_open_file_is_handed_on),
        EACH(a_missing_program_is_a_result),
        EACH(it_can_be_stopped),
        EACH(answers_are_read_with_suspicion),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests_name("plan_solver", tests, NULL, NULL);
}
