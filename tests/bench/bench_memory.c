/*
 * bench_memory.c: how fast this machine's memory is, beside which the solid rule is judged. Two
 * loops, on 1 and 2 threads: the triad a = b + s·c over three arrays of 25 MB (24 bytes a value, the
 * write's own fetch not counted, as is usual; J. D. McCalpin's STREAM, 1995), and a plain sum of ten
 * arrays of as many values as the solid rule reads, 1023². A large last-level cache holds part of
 * either, as it does for the solid rule. Prints
 *     triad THREADS MS GBYTES_PER_S
 *     read THREADS MS GBYTES_PER_S
 * with the median time.
 */
#include "bench.h"

#include "taperwright/base.h"

#include <stdint.h>
#include <stdio.h>

enum { RUNS = 15, ARRAYS = 10, LANES = 8, BLOCK = 8192 };
enum { SOLID = 1023 * 1023 / BLOCK * BLOCK, TRIAD = 3 * SOLID };

typedef struct work {
    double *array[ARRAYS];
    double *sums; /* one a block, so that no sum is left out as unused */
} work;

static void triad(size_t first, size_t last, void *context)
{
    const work *w = context;
    double *restrict a = w->array[0];
    const double *restrict b = a + TRIAD, *restrict c = a + 2 * TRIAD;

    for (size_t k = first; k < last; k++)
        a[k] = b[k] + 3 * c[k];
}

static void sum(size_t first, size_t last, void *context)
{
    const work *w = context;
    double lane[LANES] = {0};

    for (size_t k = first; k < last; k += LANES)
        for (int n = 0; n < ARRAYS; n++)
            for (size_t l = 0; l < LANES; l++)
                lane[l] += w->array[n][k + l];
    for (size_t l = 0; l < LANES; l++)
        w->sums[first / BLOCK] += lane[l];
}

static void measure(const char *name, tw_rows job, work *w, unsigned threads, size_t length,
                    size_t arrays)
{
    const double bytes = (double)(length * arrays * sizeof(double));
    double took[RUNS], middle;

    for (int run = 0; run < RUNS; run++) {
        const double start = bench_now_ms();
        tw_for_rows(length, BLOCK, threads, job, w);
        took[run] = bench_now_ms() - start;
    }
    middle = bench_median(took, RUNS);
    printf("%s %u %.3f %.2f\n", name, threads, middle, bytes / middle * 1e-6);
}

int main(void)
{
    const size_t count = ARRAYS * (size_t)SOLID; /* the triad's three share the first nine */
    work w = {.sums = calloc(SOLID / BLOCK, sizeof(double))};
    double *whole = malloc(count * sizeof *whole), total = 0;

    if (!whole || !w.sums)
        return 3;
    for (size_t k = 0; k < count; k++)
        whole[k] = (double)(k % 7);
    for (size_t n = 0; n < ARRAYS; n++)
        w.array[n] = whole + n * SOLID;
    for (unsigned threads = 1; threads <= 2; threads++) {
        measure("triad", triad, &w, threads, TRIAD, 3);
        measure("read", sum, &w, threads, SOLID, ARRAYS);
    }
    for (size_t k = 0; k < SOLID / BLOCK; k++)
        total += w.sums[k];
    free(whole);
    free(w.sums);
    return total > 0 ? 0 : 1;
}
