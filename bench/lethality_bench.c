/* Lethality of a long log: the product's call, with all that it judges, against NumPy's shortest
 * way to the one number, and against how fast memory gives out what both must read.
 *
 * 1e7 samples of one probe; NumPy (Debian's, by /usr/bin/python3) reads them from a file and is
 * timed inside, without its start. Answers compared first; in turns, medians. Fails when ours takes
 * more than half of NumPy's time, or when a year of one chamber's log (four probes, every ten
 * seconds) takes a second or more. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/check.h"
#include "calc/heat/lethality.h"
#include "folder.h"
#include "timing.h"

enum { ROUNDS = 5, SAMPLES = 10000000, YEAR_POINTS = 365 * 8640, YEAR_PROBES = 4 };

static const double MOST_OF_NUMPY = 0.5, MOST_YEAR_S = 1.0;

static double cpu_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* The exact integral over straight pieces, as one would write it with arrays. */
static const char numpy_way[] = "import sys, time, numpy as np\n"
                                "t = np.fromfile(sys.argv[1])\n"
                                "def f(t):\n"
                                "    e = (t - 72.0) * (np.log(10) / 7.5)\n"
                                "    rate = np.exp(e)\n"
                                "    u = np.diff(e)\n"
                                "    level = np.abs(u) < 1e-8\n"
                                "    u[level] = 1\n"
                                "    piece = np.diff(rate) / u\n"
                                "    piece[level] = rate[:-1][level]\n"
                                "    return piece.sum()\n"
                                "f(t[:1000])\n"
                                "begin = time.process_time()\n"
                                "s = f(t)\n"
                                "print('%.17g %.17g' % (s, time.process_time() - begin))\n";

static double numpy_run(const char *path, double *out_s)
{
    int ends[2], status;
    CHECK(pipe(ends) == 0);
    pid_t child = fork();
    CHECK(child >= 0);
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        execl("/usr/bin/python3", "python3", "-c", numpy_way, path, (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    char text[200] = "";
    size_t used = 0;
    for (ssize_t n; (n = read(ends[0], text + used, sizeof text - 1 - used)) > 0;) {
        used += (size_t)n;
    }
    close(ends[0]);
    CHECK(waitpid(child, &status, 0) == child && WIFEXITED(status) && WEXITSTATUS(status) == 0);
    double f_s = 0;
    CHECK(sscanf(text, "%lf %lf", &f_s, out_s) == 2);
    return f_s;
}

static const struct lethality_settings settings = {
    .reference_c = 72,
    .z_c = 7.5,
    .d_s = 20,
    .limit_c = 60,
    .has_tested_max = true,
    .tested_max_c = 90,
    .gap_max_ms = 30000,
    .window = LETHALITY_WINDOW_ALL,
};

static double ours_run(const struct heat_log *log, double *out_s)
{
    struct lethality_report r;
    double begin = cpu_s();
    struct result got = lethality(log, &settings, &r);
    *out_s = cpu_s() - begin;
    CHECK(got.code == CODE_OK);
    return r.f_best_s;
}

/* The time that memory takes to give out all that the log holds. */
static double memory_run(const struct heat_log *log)
{
    const int64_t *time_ms = log->time_ms;
    const double *temp_c = log->temp_c;
    double begin = cpu_s();
    double s[4] = {0};
    int64_t t[4] = {0};
    for (size_t i = 0; i + 4 <= log->points; i += 4) {
        for (size_t k = 0; k < 4; k++) {
            s[k] += temp_c[i + k];
            t[k] += time_ms[i + k];
        }
    }
    double took_s = cpu_s() - begin;
    CHECK(isfinite(s[0] + s[1] + s[2] + s[3]) && t[0] + t[1] + t[2] + t[3] > 0);
    return took_s;
}

static struct heat_log log_make(struct arena *a, size_t points, size_t probes, int64_t step_ms)
{
    int64_t *time_ms = ARENA_ARRAY(a, int64_t, points);
    double *temp_c = ARENA_ARRAY(a, double, points *probes);
    for (size_t i = 0; i < points; i++) {
        time_ms[i] = (int64_t)i * step_ms;
        for (size_t k = 0; k < probes; k++) {
            temp_c[i * probes + k] = 70 + 12 * sin((double)i * 1e-3 + (double)k * 0.1);
        }
    }
    return (struct heat_log){
        .points = points, .probes = probes, .time_ms = time_ms, .temp_c = temp_c};
}

static bool against_numpy(struct arena *a, const char *path)
{
    struct heat_log log = log_make(a, SAMPLES, 1, 1000);
    double ours[ROUNDS], numpy[ROUNDS], memory[ROUNDS];
    FILE *file = fopen(path, "wb");
    CHECK(file != NULL && fwrite(log.temp_c, sizeof(double), SAMPLES, file) == SAMPLES);
    CHECK(fclose(file) == 0);
    for (int i = 0; i < ROUNDS; i++) {
        double one = ours_run(&log, &ours[i]);
        double other = numpy_run(path, &numpy[i]);
        memory[i] = memory_run(&log);
        if (!(fabs(one - other) <= 1e-9 * other)) {
            printf("lethality: %.17g, but NumPy says %.17g\n", one, other);
            return false;
        }
    }
    double ours_s = median(ours, ROUNDS), numpy_s = median(numpy, ROUNDS);
    double memory_s = median(memory, ROUNDS);
    printf("lethality: 1e7 samples %.0f ms, NumPy %.0f ms: %.2f of it (want %.2f or less); reading "
           "them from memory %.0f ms: %.1f times\n",
           ours_s * 1e3, numpy_s * 1e3, ours_s / numpy_s, MOST_OF_NUMPY, memory_s * 1e3,
           ours_s / memory_s);
    return ours_s <= MOST_OF_NUMPY * numpy_s;
}

static bool a_year(struct arena *a)
{
    struct heat_log log = log_make(a, YEAR_POINTS, YEAR_PROBES, 10000);
    double took[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        CHECK(ours_run(&log, &took[i]) > 0);
    }
    double took_s = median(took, ROUNDS);
    printf("lethality: a year of one chamber, four probes every ten seconds, %.0f ms (want below "
           "%.0f)\n",
           took_s * 1e3, MOST_YEAR_S * 1e3);
    return took_s < MOST_YEAR_S;
}

int main(void)
{
    char folder[] = "/tmp/lethality_bench.XXXXXX";
    char path[64];
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    CHECK(mkdtemp(folder) != NULL);
    snprintf(path, sizeof path, "%s/temps", folder);
    bool good = against_numpy(&a, path);
    arena_clear(&a);
    good = a_year(&a) && good;
    arena_release(&a);
    return folder_drop(folder) && good ? 0 : 1;
}
