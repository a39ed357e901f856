/* bench.h: what the benchmark programs share: a clock, and the median of some runs. */
#ifndef BENCH_H
#define BENCH_H

#include <stdlib.h>
#include <time.h>

static inline double bench_now_ms(void)
{
    struct timespec at;

    clock_gettime(CLOCK_MONOTONIC, &at);
    return 1e3 * (double)at.tv_sec + 1e-6 * (double)at.tv_nsec;
}

static inline int bench_by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Sorts the values. */
static inline double bench_median(double *values, size_t count)
{
    qsort(values, count, sizeof *values, bench_by_size);
    return count % 2 ? values[count / 2] : 0.5 * (values[count / 2 - 1] + values[count / 2]);
}

#endif
