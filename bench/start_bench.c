/* From starting the program to its first answer on a plant of one year, the record's file warm in
 * memory and the graph loaded; the most memory it took; the size of the program without symbols.
 * The rival is the smallest process, which only ends. */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/check.h"
#include "demo/demo.h"
#include "folder.h"

enum { ROUNDS = 11 };

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* Runs a program to its end, its output dropped. -> seconds; *out_kb: the most memory it had. */
static double run(char *const argv[], long *out_kb)
{
    struct rusage usage;
    int status;
    double start = now_s();
    pid_t child = fork();
    CHECK(child >= 0);
    if (child == 0) {
        int null = open("/dev/null", O_WRONLY);
        dup2(null, STDOUT_FILENO);
        execv(argv[0], argv);
        _exit(127);
    }
    CHECK(wait4(child, &status, 0, &usage) == child);
    CHECK(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    *out_kb = usage.ru_maxrss;
    return now_s() - start;
}

static int by_size(const void *x, const void *y)
{
    double a = *(const double *)x, b = *(const double *)y;
    return a < b ? -1 : a > b;
}

static double median_of(char *const argv[], long *out_kb)
{
    double s[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        s[i] = run(argv, out_kb);
    }
    qsort(s, ROUNDS, sizeof *s, by_size);
    return s[ROUNDS / 2];
}

static long stripped_bytes(const char *program, const char *folder)
{
    char path[4096];
    long kb;
    struct stat s;
    snprintf(path, sizeof path, "%s/stripped", folder);
    char *argv[] = {"/usr/bin/strip", "-o", path, (char *)(uintptr_t)program, NULL};
    run(argv, &kb);
    CHECK(stat(path, &s) == 0);
    return (long)s.st_size;
}

int main(int argc, char **argv)
{
    char folder[] = "start-bench-XXXXXX", own[4096], program[4200], plant[64];
    struct arena a;
    struct demo_made made;
    CHECK(mkdtemp(folder) != NULL);
    ssize_t n = readlink("/proc/self/exe", own, sizeof own - 1);
    CHECK(n > 0);
    own[n] = '\0';
    *strrchr(own, '/') = '\0';
    snprintf(program, sizeof program, "%s/../src/command/plumule", own);
    snprintf(plant, sizeof plant, "%s/plant", folder);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct demo_settings s = {.folder = plant,
                              .profile = "profiles/sprout-house.json",
                              .chambers = 24,
                              .weeks = argc == 2 ? (int)strtol(argv[1], NULL, 10) : 52,
                              .seed = 1,
                              .last_day = (int32_t)(time(NULL) / 86400) - 1};
    struct result r = demo_make(&s, &a, &made);
    if (r.code != CODE_OK) {
        fprintf(stderr, "%s\n", result_sentence(&a, &r));
        return 1;
    }
    long trace_kb, none_kb, lots_kb;
    char *trace[] = {program,  "--plant", plant, "trace", (char *)(uintptr_t)made.last_case,
                     "--back", NULL};
    char *lots[] = {program, "--plant", plant, "lots", "--kind", "packed", NULL};
    char *none[] = {"/bin/true", NULL};
    double trace_s = median_of(trace, &trace_kb), lots_s = median_of(lots, &lots_kb),
           none_s = median_of(none, &none_kb);
    printf("start: %d weeks, %lld entries; trace of a case %.1f ms (want 150 or less), lots %.1f "
           "ms, the smallest process %.1f ms "
           "(%.0f times); memory %.1f MB (want 64 or less); program %.2f MB stripped (want 3 or "
           "less)\n",
           s.weeks, (long long)made.entries, trace_s * 1e3, lots_s * 1e3, none_s * 1e3,
           trace_s / none_s, (double)trace_kb / 1024,
           (double)stripped_bytes(program, folder) / 1e6);
    arena_release(&a);
    return folder_drop(folder) ? 0 : 1;
}
