/* Most probable numbers with both intervals and rarity, and the chance of finding cells whose level
 * is log-normal: this program against SciPy's brentq and quad, one case at a time, as they come up
 * where counts are judged and samples planned.
 *
 * The same made-up cases for both; answers compared first; in turns, five rounds, medians of the
 * processor's time without starting Python. Fails when ours > 0.1 of SciPy's.
 *
 * microbe_bench [RIVAL]   the Python file, bench/microbe_rival.py otherwise */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/check.h"
#include "base/random.h"
#include "calc/microbe/lognormal_detection.h"
#include "calc/microbe/mpn.h"
#include "timing.h"

enum { ROUNDS = 5, CASES = 2000, LEVELS = 3, MPN_ANSWERS = 5 };

static const double MOST_OF_SCIPY = 0.1, ALIKE = 1e-7;

struct cases {
    struct mpn_level level[CASES][LEVELS];
    struct lognormal_detection lot[CASES];
};

struct answers {
    double mpn[CASES][MPN_ANSWERS]; /* number, standard error, ratio's ends, rarity */
    double found[CASES];
};

struct spent {
    double mpn_s;
    double found_s;
};

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static bool all_alike(const struct mpn_level *level)
{
    int64_t tubes = 0, positive = 0;
    for (size_t i = 0; i < LEVELS; i++) {
        tubes += level[i].tubes;
        positive += level[i].positive;
    }
    return positive == 0 || positive == tubes;
}

static void cases_make(struct cases *c)
{
    static const int64_t tubes[] = {3, 5, 8, 10};
    struct random r;
    random_seed(&r, 1);
    for (size_t i = 0; i < CASES; i++) {
        do {
            int64_t n = tubes[random_below(&r, 4)];
            for (size_t j = 0; j < LEVELS; j++) {
                c->level[i][j] = (struct mpn_level){pow(10, -1 - (double)j), n,
                                                    (int64_t)random_below(&r, (uint64_t)n + 1)};
            }
        } while (all_alike(c->level[i]));
        c->lot[i] = (struct lognormal_detection){.mean_log10 = -4 + 4 * random_unit(&r),
                                                 .sd_log10 = 0.1 + 1.1 * random_unit(&r),
                                                 .portion_g = 25,
                                                 .tests = 1};
    }
}

static void cases_write(const struct cases *c, const char *path)
{
    FILE *file = fopen(path, "w");
    CHECK(file != NULL);
    for (size_t i = 0; i < CASES; i++) {
        fputs("mpn", file);
        for (size_t j = 0; j < LEVELS; j++) {
            const struct mpn_level *level = &c->level[i][j];
            fprintf(file, " %.17g %lld %lld", level->amount, (long long)level->tubes,
                    (long long)level->positive);
        }
        fprintf(file, "\nfound %.17g %.17g %.17g\n", c->lot[i].mean_log10, c->lot[i].sd_log10,
                c->lot[i].portion_g);
    }
    CHECK(fclose(file) == 0);
}

static struct spent ours(const struct cases *c, struct answers *out)
{
    static const struct mpn_settings set = {1.959963985, 0.05};
    struct spent spent;
    double start = seconds();
    for (size_t i = 0; i < CASES; i++) {
        struct mpn_report r;
        CHECK(mpn(c->level[i], LEVELS, &set, &r).code == CODE_OK);
        double all[MPN_ANSWERS] = {r.mpn, r.se_log10, r.ratio_low, r.ratio_high, r.rarity};
        memcpy(out->mpn[i], all, sizeof all);
    }
    spent.mpn_s = seconds() - start;
    start = seconds();
    for (size_t i = 0; i < CASES; i++) {
        struct lognormal_detection_report r;
        CHECK(lognormal_detection(&c->lot[i], &r).code == CODE_OK);
        out->found[i] = r.chance_one;
    }
    spent.found_s = seconds() - start;
    return spent;
}

static struct spent scipys(const char *rival, const char *path, struct answers *out)
{
    struct spent spent;
    int ends[2], status;
    CHECK(pipe(ends) == 0);
    pid_t child = fork();
    CHECK(child >= 0);
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        execl("/usr/bin/python3", "python3", "-B", rival, path, (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    FILE *said = fdopen(ends[0], "r");
    CHECK(said != NULL);
    for (size_t i = 0; i < CASES; i++) {
        for (size_t j = 0; j < MPN_ANSWERS; j++) {
            CHECK(fscanf(said, "%lf", &out->mpn[i][j]) == 1);
        }
    }
    for (size_t i = 0; i < CASES; i++) {
        CHECK(fscanf(said, "%lf", &out->found[i]) == 1);
    }
    CHECK(fscanf(said, "%lf %lf", &spent.mpn_s, &spent.found_s) == 2);
    fclose(said);
    CHECK(waitpid(child, &status, 0) == child && status == 0);
    return spent;
}

static bool alike(double a, double b)
{
    return fabs(a - b) <= ALIKE * fabs(b);
}

static bool compare(const struct answers *a, const struct answers *b)
{
    for (size_t i = 0; i < CASES; i++) {
        for (size_t j = 0; j < MPN_ANSWERS; j++) {
            if (!alike(a->mpn[i][j], b->mpn[i][j])) {
                printf("  case %zu, answer %zu: %.17g, SciPy %.17g\n", i, j, a->mpn[i][j],
                       b->mpn[i][j]);
                return false;
            }
        }
        if (!alike(a->found[i], b->found[i])) {
            printf("  case %zu: %.17g, SciPy %.17g\n", i, a->found[i], b->found[i]);
            return false;
        }
    }
    return true;
}

static bool judge(const char *what, double *ours_s, double *scipys_s)
{
    double own = median(ours_s, ROUNDS), rival = median(scipys_s, ROUNDS);
    double ratio = own / rival;
    printf("  %-24s %9.0f a second, SciPy %7.0f: %.4f (at most %.2f)%s\n", what, CASES / own,
           CASES / rival, ratio, MOST_OF_SCIPY, ratio <= MOST_OF_SCIPY ? "" : " NOT MET");
    return ratio <= MOST_OF_SCIPY;
}

int main(int count, char **arguments)
{
    static struct cases cases;
    static struct answers own, rival;
    const char *script = count > 1 ? arguments[1] : "bench/microbe_rival.py";
    char path[] = "/tmp/plumule-microbe-XXXXXX";
    int file = mkstemp(path);
    CHECK(file >= 0 && close(file) == 0);
    cases_make(&cases);
    cases_write(&cases, path);
    printf("microbe: %d cases each, %d rounds\n", CASES, ROUNDS);
    double mpn_s[2][ROUNDS], found_s[2][ROUNDS];
    bool good = true;
    for (int i = 0; i < ROUNDS && good; i++) {
        struct spent a = ours(&cases, &own), b = scipys(script, path, &rival);
        good = compare(&own, &rival);
        mpn_s[0][i] = a.mpn_s;
        mpn_s[1][i] = b.mpn_s;
        found_s[0][i] = a.found_s;
        found_s[1][i] = b.found_s;
    }
    unlink(path);
    if (!good) {
        return 1;
    }
    good = judge("most probable numbers", mpn_s[0], mpn_s[1]);
    good &= judge("log-normal levels", found_s[0], found_s[1]);
    return good ? 0 : 1;
}
