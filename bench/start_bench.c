/* From starting the program to its first answer on a plant of one year, the record's file warm in
 * memory and the graph loaded; the most memory it took; the size of the program without symbols.
 * The rival is the smallest process, which only ends. */
#include <fcntl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include "timing.h"
#include "year.h"

enum { ROUNDS = 11 };

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

static double median_of(char *const argv[], long *out_kb)
{
    double s[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        s[i] = run(argv, out_kb);
    }
    return median(s, ROUNDS);
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
    struct year y;
    char folder[] = "start-bench-XXXXXX";
    if (!year_begin(&y, argc == 2 ? (int)strtol(argv[1], NULL, 10) : 52)) {
        return 1;
    }
    CHECK(mkdtemp(folder) != NULL);
    long trace_kb, none_kb, lots_kb;
    char *trace[] = {y.program, "--plant", y.plant, "trace", y.gone_case, "--back", NULL};
    char *lots[] = {y.program, "--plant", y.plant, "lots", "--kind", "packed", NULL};
    char *none[] = {"/bin/true", NULL};
    double trace_s = median_of(trace, &trace_kb), lots_s = median_of(lots, &lots_kb),
           none_s = median_of(none, &none_kb);
    double program_mb = (double)stripped_bytes("build/plumule", folder) / 1e6;
    double memory_mb = (double)trace_kb / 1024;
    printf("start: %lld entries; trace of a case %.1f ms (want 150 or less), lots %.1f "
           "ms, the smallest process %.1f ms "
           "(%.0f times); memory %.1f MB (want 64 or less); program %.2f MB stripped, with its "
           "pages (want 3 or less)\n",
           (long long)y.entries, trace_s * 1e3, lots_s * 1e3, none_s * 1e3, trace_s / none_s,
           memory_mb, program_mb);
    bool met = trace_s <= 0.150 && memory_mb <= 64 && program_mb <= 3;
    return folder_drop(folder) && year_end(&y) && met ? 0 : 1;
}
