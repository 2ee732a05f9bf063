/* What the tests of several rooms share. Included first in a test: it brings cmocka with what that
 * needs. */
#ifndef TESTS_SUPPORT_H
#define TESTS_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/result.h"

/* Fails with the sentence a user would have read. */
static inline void assert_code_at(struct result r, enum code wanted, const char *file, int line)
{
    if (r.code == wanted) {
        return;
    }
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    char sentence[1700];
    snprintf(sentence, sizeof sentence, "%s", result_sentence(&a, &r));
    arena_release(&a);
    print_error("wanted %s, got %s: %s\n", code_id(wanted), code_id(r.code), sentence);
    _fail(file, line);
}
#define assert_code(result, name) assert_code_at((result), CODE_##name, __FILE__, __LINE__)
#define assert_ok(result) assert_code_at((result), CODE_OK, __FILE__, __LINE__)

/* Runs the function in a child process; how that ended, as waitpid says. Nothing of it is printed,
 * and it leaves no core. */
static inline int child_status(void (*function)(void *), void *argument)
{
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        setrlimit(RLIMIT_CORE, &(struct rlimit){0, 0});
        if (freopen("/dev/null", "w", stderr) != NULL) {
            function(argument);
        }
        _exit(0);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    return status;
}

/* A failed CHECK ends the process by abort. */
static inline void assert_aborts_at(void (*function)(void *), void *argument, const char *file,
                                    int line)
{
    int status = child_status(function, argument);
    if (!WIFSIGNALED(status) || WTERMSIG(status) != SIGABRT) {
        print_error("the call was to be stopped by a CHECK\n");
        _fail(file, line);
    }
}
#define assert_aborts(function, argument) \
    assert_aborts_at((function), (argument), __FILE__, __LINE__)

/* A folder of its own, in which the test then stands; folder_leave takes it away with its files. */
static inline int folder_enter(void **state)
{
    char *folder = strdup("/tmp/plumule-test-XXXXXX");
    *state = folder;
    return folder == NULL || mkdtemp(folder) == NULL || chdir(folder) != 0;
}

static inline int folder_leave(void **state)
{
    char *folder = *state;
    pid_t child = fork();
    if (child == 0) {
        execlp("rm", "rm", "-rf", "--", folder, (char *)NULL);
        _exit(1);
    }
    int status = 1;
    int wrong = chdir("/") != 0 || child < 0 || waitpid(child, &status, 0) != child || status != 0;
    free(folder);
    return wrong;
}

#endif
