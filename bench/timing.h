/* What the benchmarks measure with. */
#ifndef BENCH_TIMING_H
#define BENCH_TIMING_H

#include <stdlib.h>
#include <time.h>

static inline double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static inline int by_size(const void *x, const void *y)
{
    double a = *(const double *)x, b = *(const double *)y;
    return a < b ? -1 : a > b;
}

/* Sorts them. */
static inline double median(double *v, size_t count)
{
    qsort(v, count, sizeof *v, by_size);
    return v[count / 2];
}

#endif
