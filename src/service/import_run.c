#include "service/import_run.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/check.h"
#include "service/request.h"

enum { ANSWER_MAX = 8 << 20, WORDS_MAX = 16 };

extern char **environ;

struct child {
    pid_t pid;
    int out;
};

static int64_t steady_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static struct result failed(const char *why)
{
    return FAIL1(IMPORT_PROCESS, "", why);
}

/* The file in memory, ready to be read from its beginning; -1: errno says why not. */
static int input_of(const struct import_run_ask *ask)
{
    int fd = memfd_create("import", MFD_CLOEXEC);
    const char *at = ask->bytes;
    size_t left = ask->len;
    while (fd >= 0 && left > 0) {
        ssize_t n = write(fd, at, left);
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n <= 0) {
            close(fd);
            return -1;
        }
        at += n;
        left -= (size_t)n;
    }
    if (fd >= 0 && lseek(fd, 0, SEEK_SET) != 0) {
        close(fd);
        return -1;
    }
    return fd;
}

/* Each option in one word with its value, so that no value is taken for an option. */
static void words_for(struct arena *a, const struct import_run_ask *ask, char *words[WORDS_MAX])
{
    size_t n = 0;
    words[n++] = arena_copy(a, "plumule");
    words[n++] = arena_printf(a, "--plant=%s", ask->folder);
    words[n++] = arena_printf(a, "--as=%lld", (long long)ask->person);
    words[n++] = arena_printf(a, "--lang=%s", ask->lang);
    words[n++] = arena_copy(a, "--json");
    words[n++] = arena_copy(a, "import");
    words[n++] = arena_copy(a, ask->kind);
    words[n++] = arena_copy(a, "-");
    words[n++] = arena_printf(a, "--source=%s", ask->source);
    words[n++] = arena_printf(a, "--name=%s", ask->name);
    if (ask->reason != NULL) {
        words[n++] = arena_printf(a, "--reason=%s", ask->reason);
    }
    if (ask->only_try) {
        words[n++] = arena_copy(a, "--try");
    }
    words[n] = NULL;
}

static int spawn_with(struct arena *a, const struct import_run_ask *ask, int in, int out,
                      pid_t *out_pid)
{
    posix_spawn_file_actions_t files;
    posix_spawnattr_t how;
    char *words[WORDS_MAX];
    sigset_t none, all;
    words_for(a, ask, words);
    sigemptyset(&none);
    sigfillset(&all);
    if (posix_spawn_file_actions_init(&files) != 0) {
        return ENOMEM;
    }
    if (posix_spawnattr_init(&how) != 0) {
        posix_spawn_file_actions_destroy(&files);
        return ENOMEM;
    }
    int error = posix_spawn_file_actions_adddup2(&files, in, STDIN_FILENO);
    error = error ? error : posix_spawn_file_actions_adddup2(&files, out, STDOUT_FILENO);
    error = error ? error : posix_spawn_file_actions_addclosefrom_np(&files, 3);
    posix_spawnattr_setsigmask(&how, &none);
    posix_spawnattr_setsigdefault(&how, &all);
    posix_spawnattr_setpgroup(&how, 0);
    posix_spawnattr_setflags(&how, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF |
                                       POSIX_SPAWN_SETPGROUP);
    const char *program = ask->program != NULL ? ask->program : "/proc/self/exe";
    error = error ? error : posix_spawn(out_pid, program, &files, &how, words, environ);
    posix_spawn_file_actions_destroy(&files);
    posix_spawnattr_destroy(&how);
    return error;
}

static struct result start(struct arena *a, const struct import_run_ask *ask, struct child *out)
{
    int ends[2], in = input_of(ask);
    if (in < 0) {
        return failed(strerror(errno));
    }
    if (pipe2(ends, O_CLOEXEC) < 0) {
        int error = errno;
        close(in);
        return failed(strerror(error));
    }
    int error = spawn_with(a, ask, in, ends[1], &out->pid);
    close(in);
    close(ends[1]);
    if (error) {
        close(ends[0]);
        return failed(strerror(error));
    }
    out->out = ends[0];
    return RESULT_OK;
}

/* Waits for the child; fails when the time is over or whoever asked has gone. What is killed while
 * it books has booked all or nothing: the file's commands go to the writer as one. */
static struct result wait_for(const struct child *c, int asker, int64_t until)
{
    struct pollfd ready[] = {{.fd = c->out, .events = POLLIN},
                             {.fd = asker, .events = POLLRDHUP}}; /* below 0: not looked at */
    int64_t left = until - steady_ms();
    if (left <= 0 || poll(ready, 2, (int)left) == 0) {
        return failed("late");
    }
    return ready[1].revents != 0 && ready[0].revents == 0 ? failed("stopped") : RESULT_OK;
}

/* Until the child closes its end. */
static struct result listen_to(struct arena *a, const struct child *c, int asker, char **out,
                               size_t *out_len)
{
    int64_t until = steady_ms() + (int64_t)IMPORT_RUN_S * 1000;
    size_t len = 0, room = 1 << 16;
    char *text = arena_alloc(a, room);
    for (;;) {
        TRY(wait_for(c, asker, until));
        if (len == room && room < ANSWER_MAX) {
            char *more = arena_alloc(a, room * 2);
            memcpy(more, text, len);
            text = more;
            room *= 2;
        }
        ssize_t n = len < room ? read(c->out, text + len, room - len) : -1;
        if (n < 0 && len < room && (errno == EINTR || errno == EAGAIN)) {
            continue;
        }
        if (n < 0) {
            return failed("answer");
        }
        if (n == 0) {
            *out = text;
            *out_len = len;
            return RESULT_OK;
        }
        len += (size_t)n;
    }
}

/* Kills what is left of the group while the child still holds its number. */
static void bury(const struct child *c)
{
    int status;
    close(c->out);
    kill(-c->pid, SIGKILL);
    while (waitpid(c->pid, &status, 0) < 0 && errno == EINTR) {
    }
}

/* A failure comes as an envelope, a report as it is. */
static struct result read_answer(const char *text, size_t len, json_t **out)
{
    json_t *answer = NULL;
    if (json_read(text, len, len, &answer).code != CODE_OK || !json_is_object(answer)) {
        json_decref(answer);
        return failed("answer");
    }
    if (json_object_get(answer, "ok") != NULL) {
        json_t *inner;
        struct result r = request_unwrap(answer, &inner);
        json_decref(inner);
        json_decref(answer);
        return r.code != CODE_OK ? r : failed("answer");
    }
    *out = answer;
    return RESULT_OK;
}

struct result import_run(struct arena *a, const struct import_run_ask *ask, json_t **out)
{
    struct child child;
    char *text = NULL;
    size_t len = 0;
    TRY(start(a, ask, &child));
    struct result r = listen_to(a, &child, ask->asker, &text, &len);
    bury(&child);
    TRY(r);
    return read_answer(text, len, out);
}
