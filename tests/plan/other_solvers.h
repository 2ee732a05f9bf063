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

/* The objective that GLPK's own solver finds for the text. */
static inline double glpk_cost(struct arena *a, const char *text)
{
    char in[] = "/tmp/plan-model-XXXXXX", out[] = "/tmp/plan-answer-XXXXXX";
    int in_fd = mkstemp(in), out_fd = mkstemp(out);
    assert_true(in_fd >= 0 && out_fd >= 0);
    assert_int_equal(write(in_fd, text, strlen(text)), (ssize_t)strlen(text));
    close(in_fd);
    close(out_fd);
    char *arguments[] = {
        (char *)"glpsol", (char *)"--lp", in, (char *)"--cuts", (char *)"-o", out, NULL};
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    pid_t pid;
    assert_int_equal(posix_spawn(&pid, GLPSOL_PATH, &files, NULL, arguments, NULL), 0);
    posix_spawn_file_actions_destroy(&files);
    int status = 0;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_int_equal(status, 0);
    char *answer = NULL;
    size_t len = 0;
    assert_int_equal(file_read(a, out, 1 << 24, &answer, &len).code, CODE_OK);
    unlink(in);
    unlink(out);
    assert_non_null(strstr(answer, "INTEGER OPTIMAL"));
    const char *cost = strstr(answer, "cost = ");
    assert_non_null(cost);
    return strtod(cost + strlen("cost = "), NULL);
}

/* And HiGHS's. */
static inline double highs_cost(struct arena *a, const char *text)
{
    char in[] = "/tmp/plan-model-XXXXXX.lp", out[] = "/tmp/plan-answer-XXXXXX";
    int in_fd = mkstemps(in, 3), out_fd = mkstemp(out);
    assert_true(in_fd >= 0 && out_fd >= 0);
    assert_int_equal(write(in_fd, text, strlen(text)), (ssize_t)strlen(text));
    close(in_fd);
    char *arguments[] = {(char *)"node", (char *)HIGHS_PATH, in, (char *)"100", (char *)"0", NULL};
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_adddup2(&files, out_fd, STDOUT_FILENO);
    pid_t pid;
    assert_int_equal(posix_spawn(&pid, NODE_PATH, &files, NULL, arguments, environ), 0);
    posix_spawn_file_actions_destroy(&files);
    close(out_fd);
    int status = 0;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_int_equal(status, 0);
    char *answer = NULL;
    size_t len = 0;
    assert_int_equal(file_read(a, out, 1 << 24, &answer, &len).code, CODE_OK);
    unlink(in);
    unlink(out);
    assert_non_null(strstr(answer, "\nstatus Optimal\n"));
    const char *cost = strstr(answer, "\nobjective ");
    assert_non_null(cost);
    return strtod(cost + strlen("\nobjective "), NULL);
}

#endif
