/* How much of what a house loses by not knowing the future our plans save: thousands of evenings in
 * an invented house, each policy on the same futures (common random numbers).
 *
 * Wanted: at least half of the way from the rule that houses use (the mean of the last four same
 * weekdays, and the buffer that cost least before) to what somebody could do who knew everything:
 * the least cost that a long search on the real outcome finds.
 *
 * PLUMULE_BENCH_FUTURES and PLUMULE_BENCH_SEED ask for other futures; PLUMULE_BENCH_COSTS names a
 * file for the cost of each future and side, to compare two planners future by future;
 * PLUMULE_BENCH_WITHOUT, a sum of the numbers in future_world.h, for a world in which some things
 * don't happen. */
#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "future_policy.h"
#include "timing.h"

enum { FUTURES_MAX = 20000, THREADS = 2, FORESIGHT = POLICY_COUNT, SIDES };
static const double WANTED = 0.5;
static const char *const names[SIDES] = {"ours", "averages", "rule", "rule+book", "foresight"};

struct run {
    uint64_t seed;
    int futures, without;
    atomic_int next;
    double (*cost)[SIDES];
    struct part {
        struct run *run;
        struct score sums[SIDES];
        struct misses misses[POLICY_COUNT];
        double buffers[POLICY_COUNT];
        double seconds[SIDES], tuning_s;
    } parts[THREADS];
};

static void add_score(struct score *to, const struct score *s)
{
    to->cost += s->cost;
    to->wanted_kg += s->wanted_kg;
    to->short_kg += s->short_kg;
    to->waste_kg += s->waste_kg;
    to->made_kg += s->made_kg;
    to->lines += s->lines;
    to->lines_met += s->lines_met;
}

static void one_future(struct part *part, int future)
{
    struct world *w = malloc(sizeof *w);
    CHECK(w != NULL);
    world_make(w, part->run->seed, (uint32_t)future, part->run->without);
    struct planner planners[POLICY_COUNT];
    for (int k = 0; k < POLICY_COUNT; k++) {
        planners[k] = (struct planner){.policy = (enum policy)k, .w = w};
        arena_init(&planners[k].arena, ARENA_LIMIT_DEFAULT);
    }
    struct course course = {.count = 0};
    double from = now_s();
    policy_tune(&planners[POLICY_RULE]);
    policy_tune(&planners[POLICY_BOOK]);
    struct house begin = {0};
    struct score none = {0};
    policy_play(&planners[POLICY_RULE], &begin, TEST_FROM - 14, TEST_FROM, TEST_FROM, &none);
    part->tuning_s += now_s() - from;
    for (int k = 0; k < SIDES; k++) {
        struct house h = begin;
        struct score score = {0};
        from = now_s();
        if (k == FORESIGHT) {
            foresight(w, &begin, &course, (uint32_t)future, &score);
        } else {
            planners[k].misses = &part->misses[k];
            planners[k].course = k == POLICY_OURS ? &course : NULL;
            policy_play(&planners[k], &h, TEST_FROM, TEST_FROM, TEST_TO, &score);
            part->buffers[k] += (planners[k].buffer[0] + planners[k].buffer[1]) / 2;
        }
        part->seconds[k] += now_s() - from;
        part->run->cost[future][k] = score.cost;
        add_score(&part->sums[k], &score);
    }
    for (int k = 0; k < POLICY_COUNT; k++)
        arena_release(&planners[k].arena);
    free(w);
}

static void *work(void *self)
{
    struct part *part = self;
    for (int f = part->run->next++; f < part->run->futures; f = part->run->next++)
        one_future(part, f);
    return NULL;
}

static void join(struct run *run)
{
    struct part *to = &run->parts[0];
    for (int t = 1; t < THREADS; t++) {
        const struct part *p = &run->parts[t];
        for (int k = 0; k < SIDES; k++) {
            add_score(&to->sums[k], &p->sums[k]);
            to->seconds[k] += p->seconds[k];
        }
        for (int k = 0; k < POLICY_COUNT; k++) {
            to->buffers[k] += p->buffers[k];
            for (int d = 0; d < AHEAD_DAYS; d++) {
                to->misses[k].wanted[d] += p->misses[k].wanted[d];
                to->misses[k].missed[d] += p->misses[k].missed[d];
                to->misses[k].over[d] += p->misses[k].over[d];
            }
        }
        to->tuning_s += p->tuning_s;
    }
}

static void print_table(const struct run *run)
{
    const struct part *p = &run->parts[0];
    printf("%-10s %10s %9s %9s %9s %8s %9s\n", "", "cost", "over rule", "service %", "lines %",
           "waste %", "ms/future");
    for (int k = 0; k < SIDES; k++) {
        const struct score *s = &p->sums[k];
        double sum = 0, squares = 0;
        for (int f = 0; f < run->futures; f++) {
            double x = run->cost[f][k] - run->cost[f][POLICY_RULE];
            sum += x;
            squares += x * x;
        }
        double mean = sum / run->futures;
        double error = sqrt((squares / run->futures - mean * mean) / run->futures);
        printf("%-10s %10.1f %6.1f+-%-3.1f %7.2f %9.2f %8.2f %9.1f\n", names[k],
               s->cost / run->futures, mean, error, 100 * (1 - s->short_kg / s->wanted_kg),
               100.0 * s->lines_met / s->lines, 100 * s->waste_kg / s->made_kg,
               1000 * p->seconds[k] / run->futures);
    }
    printf("buffers: ours %.2f deviations; rule %.3f of the forecast; tuning %.1f ms\n",
           p->buffers[POLICY_OURS] / run->futures, p->buffers[POLICY_RULE] / run->futures,
           1000 * p->tuning_s / run->futures);
}

static void print_misses(const struct run *run)
{
    printf("forecast, part of what was wanted: missed / bias, by days ahead\n%-10s", "");
    for (int d = 1; d < AHEAD_DAYS; d++)
        printf(" %9d", d);
    for (int k = 0; k < POLICY_COUNT; k++) {
        const struct misses *m = &run->parts[0].misses[k];
        printf("\n%-10s", names[k]);
        for (int d = 1; d < AHEAD_DAYS; d++)
            printf(" %4.1f/%+4.1f", 100 * m->missed[d] / m->wanted[d],
                   100 * m->over[d] / m->wanted[d]);
    }
    printf("\n");
}

/* Share of the gap closed and its standard error (by linearising the ratio). */
static double closed(const struct run *run, int from, double *out_error)
{
    double won = 0, gap = 0, squares = 0;
    for (int f = 0; f < run->futures; f++) {
        won += run->cost[f][from] - run->cost[f][POLICY_OURS];
        gap += run->cost[f][from] - run->cost[f][FORESIGHT];
    }
    double share = won / gap;
    for (int f = 0; f < run->futures; f++) {
        double x = run->cost[f][from] - run->cost[f][POLICY_OURS] -
                   share * (run->cost[f][from] - run->cost[f][FORESIGHT]);
        squares += x * x;
    }
    *out_error = sqrt(squares) / gap;
    return share;
}

static void write_costs(const struct run *run, const char *path)
{
    FILE *out = fopen(path, "w");
    CHECK(out != NULL);
    for (int f = 0; f < run->futures; f++)
        for (int k = 0; k < SIDES; k++)
            fprintf(out, "%.6f%c", run->cost[f][k], k + 1 < SIDES ? ' ' : '\n');
    fclose(out);
}

static long asked_for(const char *name, long otherwise)
{
    const char *text = getenv(name);
    return text ? strtol(text, NULL, 10) : otherwise;
}

int main(void)
{
    struct run run = {.seed = (uint64_t)asked_for("PLUMULE_BENCH_SEED", 1),
                      .futures = (int)asked_for("PLUMULE_BENCH_FUTURES", 1000),
                      .without = (int)asked_for("PLUMULE_BENCH_WITHOUT", 0)};
    CHECK(run.futures > 0 && run.futures <= FUTURES_MAX);
    run.cost = calloc((size_t)run.futures, sizeof *run.cost);
    CHECK(run.cost != NULL);
    double from = now_s();
    pthread_t threads[THREADS];
    for (int t = 0; t < THREADS; t++) {
        run.parts[t].run = &run;
        int failed = pthread_create(&threads[t], NULL, work, &run.parts[t]);
        CHECK(failed == 0);
    }
    for (int t = 0; t < THREADS; t++)
        pthread_join(threads[t], NULL);
    join(&run);
    printf("%d futures of %d days, %.0f s\n", run.futures, TEST_DAYS, now_s() - from);
    print_table(&run);
    print_misses(&run);
    double error, share = closed(&run, POLICY_BOOK, &error);
    printf("closed of the gap between rule+book and foresight: %.3f +- %.3f\n", share, error);
    share = closed(&run, POLICY_RULE, &error);
    printf("closed of the gap between rule and foresight: %.3f +- %.3f (wanted %.2f)\n", share,
           error, WANTED);
    if (getenv("PLUMULE_BENCH_COSTS")) write_costs(&run, getenv("PLUMULE_BENCH_COSTS"));
    free(run.cost);
    return share >= WANTED ? 0 : 1;
}
