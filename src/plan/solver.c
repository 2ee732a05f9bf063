#include "plan/solver.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { ANSWER_LIMIT_BYTES = 64 << 20, LOOK_MS = 100, WAIT_MS = 2 };

struct child {
    pid_t pid;
    int out; /* our end of its standard output */
};

static int64_t now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static struct result not_started(const struct solver_options *o, int error)
{
    return FAIL2(SOLVER_START, "", o->path, strerror(error));
}

/* A file in memory rather than a second pipe: nothing to feed, nothing that can block on a child
 * that never reads. */
static int input_make(const struct solver_options *o, const char *lp_text)
{
    int fd = memfd_create("problem", MFD_CLOEXEC);
    if (fd < 0) return -1;
    char head[100];
    int head_len = snprintf(head, sizeof head, "seconds %.6g\ngap %.6g\n%slp\n", o->seconds, o->gap,
                            o->bound_first ? "bound first\n" : "");
    const char *parts[2] = {head, lp_text};
    size_t lens[2] = {(size_t)head_len, strlen(lp_text)};
    for (int i = 0; i < 2; i++)
        for (size_t at = 0; at < lens[i];) {
            ssize_t n = write(fd, parts[i] + at, lens[i] - at);
            if (n < 0 && errno == EINTR) continue;
            if (n <= 0) {
                close(fd);
                return -1;
            }
            at += (size_t)n;
        }
    if (lseek(fd, 0, SEEK_SET) == 0) return fd;
    close(fd);
    return -1;
}

static int spawn_with(const char *path, int in, int out, pid_t *out_pid)
{
    posix_spawn_file_actions_t files;
    posix_spawnattr_t how;
    if (posix_spawn_file_actions_init(&files) != 0) return ENOMEM;
    if (posix_spawnattr_init(&how) != 0) {
        posix_spawn_file_actions_destroy(&files);
        return ENOMEM;
    }
    sigset_t none, all;
    sigemptyset(&none);
    sigfillset(&all);
    int error = posix_spawn_file_actions_adddup2(&files, in, STDIN_FILENO);
    if (!error) error = posix_spawn_file_actions_adddup2(&files, out, STDOUT_FILENO);
    if (!error)
        error = posix_spawn_file_actions_addopen(&files, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    if (!error) error = posix_spawn_file_actions_addclosefrom_np(&files, 3);
    posix_spawnattr_setsigmask(&how, &none);
    posix_spawnattr_setsigdefault(&how, &all);
    /* a group of its own, so that what it may have started is killed with it */
    posix_spawnattr_setpgroup(&how, 0);
    posix_spawnattr_setflags(&how, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF |
                                       POSIX_SPAWN_SETPGROUP);
    char *arguments[] = {(char *)"plumule-solve", NULL};
    char *environment[] = {(char *)"LC_ALL=C", (char *)"PATH=/usr/bin:/bin", NULL};
    if (!error) error = posix_spawn(out_pid, path, &files, &how, arguments, environment);
    posix_spawn_file_actions_destroy(&files);
    posix_spawnattr_destroy(&how);
    return error;
}

static void limit(pid_t pid, enum __rlimit_resource what, rlim_t most)
{
    struct rlimit r = {most, most};
    prlimit(pid, what, &r, NULL);
}

static struct result start(const struct solver_options *o, const char *lp_text, struct child *out)
{
    int ends[2], in = input_make(o, lp_text);
    if (in < 0) return not_started(o, errno);
    if (pipe2(ends, O_CLOEXEC) < 0) {
        int error = errno;
        close(in);
        return not_started(o, error);
    }
    int error = spawn_with(o->path, in, ends[1], &out->pid);
    close(in);
    close(ends[1]);
    if (error) {
        close(ends[0]);
        return not_started(o, error);
    }
    out->out = ends[0];
    int64_t memory = o->memory_bytes > 0 ? o->memory_bytes : SOLVER_MEMORY_BYTES;
    limit(out->pid, RLIMIT_AS, (rlim_t)memory);
    limit(out->pid, RLIMIT_CPU, (rlim_t)(o->seconds * 2 + 10));
    limit(out->pid, RLIMIT_CORE, 0);
    return RESULT_OK;
}

static bool told_to_stop(const struct solver_options *o)
{
    return o->stop && atomic_load(o->stop);
}

/* Waits a while for the end, kills whatever of the group is left, takes the end status. The group
 * is killed while the child still holds its number, so that nobody else's can be meant. */
static int bury(const struct child *c, int64_t patience_ms)
{
    int64_t until = now_ms() + patience_ms;
    siginfo_t ended = {0};
    while (now_ms() < until && ended.si_pid == 0) {
        if (waitid(P_PID, (id_t)c->pid, &ended, WEXITED | WNOHANG | WNOWAIT) < 0) break;
        struct timespec nap = {0, WAIT_MS * 1000000L};
        if (ended.si_pid == 0) nanosleep(&nap, NULL);
    }
    kill(-c->pid, SIGKILL);
    int status = 0;
    while (waitpid(c->pid, &status, 0) < 0 && errno == EINTR)
        continue;
    return status;
}

enum listened { LISTENED_END, LISTENED_LATE, LISTENED_STOPPED, LISTENED_FLOOD, LISTENED_FAULT };

/* Everything the child writes until it closes its end. */
static enum listened listen_to(const struct child *c, const struct solver_options *o,
                               int64_t deadline_ms, char **out_text)
{
    size_t len = 0, room = 1 << 16;
    char *text = malloc(room);
    enum listened end = text ? LISTENED_END : LISTENED_FAULT;
    while (text) {
        int64_t left_ms = deadline_ms - now_ms();
        if (left_ms <= 0)
            end = LISTENED_LATE;
        else if (told_to_stop(o))
            end = LISTENED_STOPPED;
        else if (len >= ANSWER_LIMIT_BYTES)
            end = LISTENED_FLOOD;
        if (end != LISTENED_END) break;
        struct pollfd look = {.fd = c->out, .events = POLLIN};
        if (poll(&look, 1, (int)(left_ms < LOOK_MS ? left_ms : LOOK_MS)) <= 0) continue;
        if (len + 1 == room) {
            room *= 2;
            char *more = realloc(text, room);
            if (!more) {
                end = LISTENED_FAULT;
                break;
            }
            text = more;
        }
        ssize_t n = read(c->out, text + len, room - len - 1);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) end = LISTENED_FAULT;
        if (n <= 0) break;
        len += (size_t)n;
    }
    if (text) text[len] = 0;
    *out_text = text;
    return end;
}

static struct result crashed(int status)
{
    char text[60];
    if (WIFSIGNALED(status))
        snprintf(text, sizeof text, "signal %d", WTERMSIG(status));
    else
        snprintf(text, sizeof text, "exit status %d", WEXITSTATUS(status));
    return FAIL1(SOLVER_CRASHED, "", text);
}

static struct result late(const struct solver_options *o)
{
    char text[40];
    snprintf(text, sizeof text, "%.3g", o->seconds);
    return FAIL1(SOLVER_LATE, "", text);
}

struct result solver_run(struct arena *a, const struct solver_options *o, const char *lp_text,
                         int column_count, struct solver_answer *out)
{
    *out = (struct solver_answer){0};
    if (told_to_stop(o)) return FAIL0(PLAN_STOPPED, "");
    struct child child;
    TRY(start(o, lp_text, &child));
    /* the program's own alarm rings at 1.25 times the limit and a second; this is for one whose
     * alarm is dead */
    int64_t deadline_ms = now_ms() + (int64_t)(o->seconds * 1500) + 2000;
    char *text = NULL;
    enum listened end = listen_to(&child, o, deadline_ms, &text);
    close(child.out);
    int status = bury(&child, end == LISTENED_END ? deadline_ms - now_ms() : 0);
    struct result r = RESULT_OK;
    if (end == LISTENED_LATE)
        r = late(o);
    else if (end == LISTENED_STOPPED)
        r = FAIL0(PLAN_STOPPED, "");
    else if (end == LISTENED_FLOOD)
        r = FAIL1(SOLVER_GARBLED, "", "it does not end");
    else if (end == LISTENED_FAULT)
        r = FAIL1(SOLVER_GARBLED, "", strerror(errno));
    else if (WIFSIGNALED(status))
        r = crashed(status);
    else {
        r = solver_answer_read(a, text, column_count, out);
        if (r.code == CODE_SOLVER_LATE) r = late(o);
        /* a refusal and a late end carry an exit status; without either it is a breakdown */
        bool explained = r.code == CODE_SOLVER_LATE || r.code == CODE_SOLVER_REFUSED;
        if (WEXITSTATUS(status) != 0 && !explained) r = crashed(status);
    }
    free(text);
    return r;
}

/* reading */

static struct result garbled(int line, const char *what)
{
    char text[100];
    snprintf(text, sizeof text, "line %d %s", line, what);
    return FAIL1(SOLVER_GARBLED, "", text);
}

static bool number_read(const char *text, double *out)
{
    char *end = NULL;
    *out = strtod(text, &end);
    return end != text && *end == 0 && isfinite(*out);
}

static struct result value_read(const char *text, int line, int column_count,
                                struct solver_answer *out)
{
    char *end = NULL;
    /* "x12 3.5" */
    if (!*text || text[1] < '0' || text[1] > '9') return garbled(line, "names no column");
    errno = 0;
    long column = strtol(text + 1, &end, 10);
    double value = 0;
    if (*end != ' ' || errno != 0 || column >= column_count)
        return garbled(line, "names no column");
    if (!number_read(end + 1, &value)) return garbled(line, "has no number");
    out->values[column] = value;
    return RESULT_OK;
}

struct seen {
    bool status, end, nothing;
    int numbers; /* objective, bound, gap */
};

static struct result status_read(const char *word, int line, struct seen *seen,
                                 struct solver_answer *out)
{
    static const struct {
        const char *word;
        enum solver_status status;
    } words[] = {{"solved", SOLVER_SOLVED},
                 {"stopped", SOLVER_STOPPED},
                 {"infeasible", SOLVER_INFEASIBLE},
                 {"unbounded", SOLVER_UNBOUNDED}};
    if (seen->status) return garbled(line, "gives a second status");
    seen->status = true;
    seen->nothing = strcmp(word, "nothing") == 0;
    if (seen->nothing) return RESULT_OK;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(word, words[i].word) != 0) continue;
        out->status = words[i].status;
        return RESULT_OK;
    }
    return garbled(line, "has a status of its own");
}

static struct result line_read(char *line, int number, int column_count, struct seen *seen,
                               struct solver_answer *out)
{
    if (strcmp(line, "end") == 0) {
        seen->end = true;
        return RESULT_OK;
    }
    char *rest = strchr(line, ' ');
    if (!rest) return garbled(number, "is not understood");
    *rest++ = 0;
    if (strcmp(line, "error") == 0) return FAIL1(SOLVER_REFUSED, "", rest);
    if (strcmp(line, "status") == 0) return status_read(rest, number, seen, out);
    if (strcmp(line, "value") == 0) return value_read(rest, number, column_count, out);
    double *into = strcmp(line, "objective") == 0 ? &out->objective
                   : strcmp(line, "bound") == 0   ? &out->bound
                   : strcmp(line, "gap") == 0     ? &out->gap
                                                  : NULL;
    double nodes = 0;
    if (!into && strcmp(line, "nodes") != 0) return garbled(number, "is not understood");
    if (!number_read(rest, into ? into : &nodes)) return garbled(number, "has no number");
    seen->numbers += into != NULL;
    out->has_bound |= into == &out->bound;
    return RESULT_OK;
}

struct result solver_answer_read(struct arena *a, const char *text, int column_count,
                                 struct solver_answer *out)
{
    *out = (struct solver_answer){0};
    out->values = ARENA_ARRAY(a, double, (size_t)column_count + 1);
    struct seen seen = {0};
    char *copy = arena_copy(a, text);
    int number = 0;
    for (char *line = copy; *line && !seen.end;) {
        char *end = strchr(line, '\n');
        number++;
        if (!end) return garbled(number, "is cut off");
        *end = 0;
        TRY(line_read(line, number, column_count, &seen, out));
        line = end + 1;
    }
    if (!seen.end || !seen.status) return garbled(number, "is the last; the end is missing");
    if (seen.nothing) return FAIL1(SOLVER_LATE, "", "");
    bool plan = out->status == SOLVER_SOLVED || out->status == SOLVER_STOPPED;
    if (plan && seen.numbers != 3) return garbled(number, "ends without objective, bound and gap");
    return RESULT_OK;
}
