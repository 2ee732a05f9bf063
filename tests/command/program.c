#include "program.h"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>

#include "base/file.h"

extern char **environ;

enum { CAUGHT_MAX = 64 << 20, WORDS_MAX = 62 };

const char *program_path(const char *argument)
{
    const char *path = realpath(argument, NULL); /* until the test ends */
    if (path == NULL) {
        fprintf(stderr, "There is no program %s\n", argument);
        abort();
    }
    return path;
}

void run_open(struct launch *r, const char *program)
{
    static const char *const asked[] = {"PLUMULE_PLANT", "PLUMULE_PERSON", "PLUMULE_PASSWORD_FILE",
                                        "LC_ALL",        "LC_MESSAGES",    "LANG"};
    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++) {
        unsetenv(asked[i]); /* of whoever runs the tests */
    }
    *r = (struct launch){.program = program};
    arena_init(&r->arena, ARENA_LIMIT_DEFAULT);
}

void run_close(struct launch *r)
{
    arena_release(&r->arena);
}

static pid_t start(const char *program, const char *const *arguments, int in, int out, int err)
{
    char *words[WORDS_MAX + 2] = {(char *)(uintptr_t)program};
    posix_spawn_file_actions_t actions;
    pid_t child = -1;
    for (size_t i = 0; arguments[i] != NULL; i++) {
        assert_true(i < WORDS_MAX);
        words[i + 1] = (char *)(uintptr_t)arguments[i];
    }
    assert_int_equal(posix_spawn_file_actions_init(&actions), 0);
    assert_int_equal(posix_spawn_file_actions_adddup2(&actions, in, 0), 0);
    assert_int_equal(posix_spawn_file_actions_adddup2(&actions, out, 1), 0);
    assert_int_equal(posix_spawn_file_actions_adddup2(&actions, err, 2), 0);
    assert_int_equal(posix_spawnp(&child, program, &actions, NULL, words, environ), 0);
    posix_spawn_file_actions_destroy(&actions);
    return child;
}

static int memory_file(const char *text)
{
    int fd = memfd_create("stream", MFD_CLOEXEC);
    assert_true(fd >= 0);
    size_t len = text != NULL ? strlen(text) : 0;
    assert_int_equal(write(fd, text, len), (ssize_t)len);
    assert_int_equal(lseek(fd, 0, SEEK_SET), 0);
    return fd;
}

static const char *caught(struct launch *r, int fd)
{
    off_t len = lseek(fd, 0, SEEK_END);
    assert_true(len >= 0 && len < CAUGHT_MAX);
    char *text = arena_alloc(&r->arena, (size_t)len + 1);
    assert_int_equal(pread(fd, text, (size_t)len, 0), len);
    text[len] = '\0';
    close(fd);
    return text;
}

void run_program(struct launch *r, const char *const *arguments)
{
    int in = memory_file(r->input), out = memory_file(NULL), err = memory_file(NULL), status = 0;
    pid_t child = start(r->program, arguments, in, out, err);
    assert_int_equal(waitpid(child, &status, 0), child);
    close(in);
    r->input = NULL;
    r->code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    r->out = caught(r, out);
    r->err = caught(r, err);
}

void run_expect_at(struct launch *r, int code, const char *const *arguments, const char *file,
                   int line)
{
    run_program(r, arguments);
    if (r->code != code) {
        for (size_t i = 0; arguments[i] != NULL; i++) {
            print_error("%s ", arguments[i]);
        }
        print_error("\nended with %d, not %d\n%.3000s%.3000s\n", r->code, code, r->out, r->err);
        _fail(file, line);
    }
}

pid_t program_start_to(const char *program, const char *const *arguments, int out)
{
    int null = open("/dev/null", O_RDWR | O_CLOEXEC);
    assert_true(null >= 0);
    pid_t child = start(program, arguments, null, out >= 0 ? out : null, null);
    close(null);
    return child;
}

pid_t program_start(const char *program, const char *const *arguments)
{
    return program_start_to(program, arguments, -1);
}

int program_stop(pid_t child, int signal)
{
    int status = 0;
    assert_int_equal(kill(child, signal), 0);
    assert_int_equal(waitpid(child, &status, 0), child);
    return status;
}

json_t *run_json(const struct launch *r, size_t n)
{
    const char *line = r->out;
    for (; n > 0 && line != NULL; n--) {
        line = strchr(line, '\n');
        line = line != NULL ? line + 1 : NULL;
    }
    return line != NULL ? json_loadb(line, strcspn(line, "\n"), 0, NULL) : NULL;
}

size_t run_json_lines(const struct launch *r)
{
    size_t count = 0;
    for (const char *line = r->out; *line != '\0';) {
        size_t len = strcspn(line, "\n");
        json_error_t why;
        json_t *value = json_loadb(line, len, 0, &why);
        if (value == NULL) {
            print_error("no JSON (%s): %.*s\n", why.text, (int)(len < 400 ? len : 400), line);
        }
        assert_non_null(value);
        json_decref(value);
        count++;
        line += len + (line[len] == '\n' ? 1 : 0);
    }
    return count;
}

void run_says_at(const struct launch *r, const char *text, const char *file, int line)
{
    if (strstr(r->out, text) == NULL && strstr(r->err, text) == NULL) {
        print_error("\"%s\" is not said in:\n%.3000s%.3000s\n", text, r->out, r->err);
        _fail(file, line);
    }
}

void text_write(const char *path, const char *text)
{
    assert_ok(file_write(path, text, strlen(text), 0644));
}
