/*
 * bench_krige.c: time of a map, a weighted sum and a fit from readings on a bowl of radius 150 mm.
 * With `--csv FOLDER` the readings and points are written there for krige_peer.py, which prints the
 * same row for a general-purpose library. `bench_krige --points SIDE` does only the map, of as many
 * points a side, for the cost against size. Asserts nothing.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "support.h"
#include "taperwright/thickness.h"

enum { READINGS = 200, SIDE = 256, SIDE_MOST = 512, BLOCKS = 64, CANDIDATES = 500, REPEATS = 7 };

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

/* Processor time of all threads, which neighbours on a busy machine add less to. */
static double used_ms(void)
{
    return 1e3 * (double)clock() / CLOCKS_PER_SEC;
}

static double memory_mb(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return (double)usage.ru_maxrss / 1024;
}

static void place(double across, double up, double at[3])
{
    at[0] = across;
    at[1] = up;
    at[2] = sqrt(150.0 * 150.0 - across * across - up * up);
}

static void points_of(size_t side, double (*at)[3])
{
    for (size_t i = 0; i < side * side; i++)
        place(-100 + 200 * (double)(i % side) / (double)(side - 1),
              -100 + 200 * (double)(i / side) / (double)(side - 1), at[i]);
}

static void write_csv(const char *folder, const tw_krige_data *data, size_t n,
                      const double (*at)[3], const double *mean, const double *sd)
{
    char path[512];
    snprintf(path, sizeof path, "%s/readings.csv", folder);
    FILE *file = fopen(path, "w");
    for (size_t i = 0; file && i < data->count; i++)
        fprintf(file, "%.17g,%.17g,%.17g,%.17g\n", data->position[i][0], data->position[i][1],
                data->position[i][2], data->value[i]);
    if (file)
        fclose(file);
    snprintf(path, sizeof path, "%s/points.csv", folder);
    file = fopen(path, "w");
    for (size_t i = 0; file && i < n; i++)
        fprintf(file, "%.17g,%.17g,%.17g,%.17g,%.17g\n", at[i][0], at[i][1], at[i][2], mean[i],
                sd[i]);
    if (file)
        fclose(file);
}

int main(int count, char **words)
{
    static double at[READINGS][3], value[READINGS], noise[READINGS], one[SIDE_MOST * SIDE_MOST];
    static double node[SIDE_MOST * SIDE_MOST][3], mean[SIDE_MOST * SIDE_MOST];
    static double sd[SIDE_MOST * SIDE_MOST], left[CANDIDATES];
    static double block[BLOCKS * BLOCKS][3], weight[BLOCKS * BLOCKS];
    test_random random = test_random_begin("bench_krige");
    tw_krige *fixed, *averaged;
    const bool map_only = count > 2 && strcmp(words[1], "--points") == 0;
    const size_t side = map_only ? strtoul(words[2], NULL, 10) : SIDE, points = side * side;
    double sum, sum_sd;

    if (side < 2 || side > SIDE_MOST)
        return 2;
    for (int i = 0; i < READINGS; i++) {
        const double across = test_uniform(&random, -100, 100);
        const double up = test_uniform(&random, -100, 100);
        place(across, up, at[i]);
        value[i] =
            2 - across * across / 2e4 + 0.2 * sin(up / 30) + test_uniform(&random, -0.17, 0.17);
        noise[i] = 0.02;
    }
    for (size_t i = 0; i < points; i++)
        one[i] = 1;
    for (int i = 0; i < BLOCKS * BLOCKS; i++)
        weight[i] = 1.0 / (BLOCKS * BLOCKS);
    points_of(side, node);
    points_of(BLOCKS, block);
    tw_krige_data data = {.count = READINGS,
                          .position = at,
                          .value = value,
                          .noise = noise,
                          .surface = 0.1,
                          .basis_count = 1,
                          .basis = one,
                          .scale = 60,
                          .amplitude = 0.4};
    const double began = now_ms();
    if (tw_krige_fit(&data, &fixed, NULL) != TW_OK)
        return 3;
    printf("fit, fixed      %7.1f ms\n", now_ms() - began);
    for (unsigned threads = 1; threads <= 2; threads++) {
        double least = INFINITY, used = INFINITY;
        for (int repeat = 0; repeat < REPEATS; repeat++) {
            const double start = now_ms(), processor = used_ms();
            if (tw_krige_predict(fixed, points, node, one, threads, mean, sd, NULL) != TW_OK)
                return 3;
            least = fmin(least, now_ms() - start);
            used = fmin(used, used_ms() - processor);
        }
        printf("map, fixed      %7.1f ms  (processor %.1f ms) %zu×%zu points, %d readings, %u "
               "thread%s\n",
               least, used, side, side, READINGS, threads, threads == 1 ? "" : "s");
    }
    printf("memory          %7.1f MB\n", memory_mb());
    if (map_only) {
        tw_krige_free(fixed);
        return 0;
    }
    if (count > 2 && strcmp(words[1], "--csv") == 0)
        write_csv(words[2], &data, points, node, mean, sd);
    data.scale = data.amplitude = NAN;
    double start = now_ms();
    if (tw_krige_fit(&data, &averaged, NULL) != TW_OK)
        return 3;
    const tw_krige_summary about = tw_krige_about(averaged);
    printf("fit, searched   %7.1f ms  scale %.1f mm, amplitude %.3f mm\n", now_ms() - start,
           about.scale, about.amplitude);
    start = now_ms();
    tw_krige_predict(averaged, points, node, one, 2, mean, sd, NULL);
    printf("map, averaged   %7.1f ms\n", now_ms() - start);
    start = now_ms();
    tw_krige_sum(averaged, BLOCKS * BLOCKS, block, one, weight, 2, &sum, &sum_sd, NULL);
    printf("sum, averaged   %7.1f ms  %d×%d blocks: %.4f ± %.4f\n", now_ms() - start, BLOCKS,
           BLOCKS, sum, sum_sd);
    start = now_ms();
    tw_krige_gain(averaged, BLOCKS * BLOCKS, block, one, weight, CANDIDATES, node, one, 0.02, left,
                  NULL);
    printf("gain, averaged  %7.1f ms  %d candidates\n", now_ms() - start, CANDIDATES);
    tw_krige_free(fixed);
    tw_krige_free(averaged);
    return 0;
}
