/* What other solvers find for LP text. */
#ifndef TESTS_PLAN_OTHER_SOLVERS_H
#define TESTS_PLAN_OTHER_SOLVERS_H

#include <fcntl.h>
#include <spawn.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "support.h"

/* Runs a solver, its output into a file or NULL: nowhere; it must succeed. */
static inline void run_solver(const char *program, char *const arguments[], const char *into)
{
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, into != NULL ? into : "/dev/null",
                                     O_WRONLY, 0);
    pid_t pid;
    assert_int_equal(posix_spawn(&pid, program, &files, NULL, arguments, environ), 0);
    posix_spawn_file_actions_destroy(&files);
    int status = 0;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_int_equal(status, 0);
}

/* Two files of the template's names: the text, and one for the answer. */
static inline void solver_files(char *in, char *out, const char *text)
{
    int in_fd = mkstemps(in, 3), out_fd = mkstemp(out);
    assert_true(in_fd >= 0 && out_fd >= 0);
    assert_int_equal(write(in_fd, text, strlen(text)), (ssize_t)strlen(text));
    close(in_fd);
    close(out_fd);
}

/* Reads the answer, which must say that it is the best, and takes both files away. -> its cost */
static inline double solver_cost(struct arena *a, const char *in, const char *out,
                                 const char *optimal, const char *before)
{
    char *answer = NULL;
    size_t len = 0;
    assert_int_equal(file_read(a, out, 1 << 24, &answer, &len).code, CODE_OK);
    unlink(in);
    unlink(out);
    assert_non_null(strstr(answer, optimal));
    const char *cost = strstr(answer, before);
    assert_non_null(cost);
    return strtod(cost + strlen(before), NULL);
}

/* The objective that GLPK's own solver finds for the text. */
static inline double glpk_cost(struct arena *a, const char *text)
{
    char in[] = "/tmp/plan-model-XXXXXX.lp", out[] = "/tmp/plan-answer-XXXXXX";
    solver_files(in, out, text);
    char *arguments[] = {
        (char *)"glpsol", (char *)"--lp", in, (char *)"--cuts", (char *)"-o", out, NULL};
    run_solver(GLPSOL_PATH, arguments, NULL);
    return solver_cost(a, in, out, "INTEGER OPTIMAL", "cost = ");
}

/* And HiGHS's. */
static inline double highs_cost(struct arena *a, const char *text)
{
    char in[] = "/tmp/plan-model-XXXXXX.lp", out[] = "/tmp/plan-answer-XXXXXX";
    solver_files(in, out, text);
    char *arguments[] = {(char *)"node", (char *)HIGHS_PATH, in, (char *)"100", (char *)"0", NULL};
    run_solver(NODE_PATH, arguments, out);
    return solver_cost(a, in, out, "\nstatus Optimal\n", "\nobjective ");
}

#endif
