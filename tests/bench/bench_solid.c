/*
 * bench_solid.c: how long weighing one map takes: a ball of 400 mm radius, 1024 × 1024 nodes (or as
 * many a side as the first argument says), on 1 and 2 threads. Prints
 *     solid THREADS MS GRAMS
 * with the median time. solid_numpy.py does the same sums with numpy.
 */
#include "bench.h"

#include "taperwright/weigh.h"

#include <math.h>
#include <stdio.h>

enum { RUNS = 15 };

/* The square of 400 mm by tape about the crown of a ball; values at cells only, as weighing reads
 * nothing else. */
static void fill_ball(tw_grid *grid, double radius)
{
    const size_t columns = grid->nu - 1, rows = grid->nv - 1;
    const double step = 400.0 / (double)columns;

    grid->across_min = grid->up_min = -200;
    grid->across_step = grid->up_step = step;
    for (size_t j = 0; j < rows; j++)
        for (size_t i = 0; i < columns; i++) {
            const size_t k = j * columns + i;
            const double a = -200 + ((double)i + 0.5) * step, u = -200 + ((double)j + 0.5) * step;
            const double tape = hypot(a, u) + 1e-12, angle = tape / radius;
            grid->normal_x[k] = sin(angle) * a / tape;
            grid->normal_y[k] = sin(angle) * u / tape;
            grid->normal_z[k] = cos(angle);
            grid->cell_x[k] = radius * grid->normal_x[k];
            grid->cell_y[k] = radius * grid->normal_y[k];
            grid->cell_z[k] = radius * grid->normal_z[k];
            grid->mean_curvature[k] = 1 / radius;
            grid->gauss_curvature[k] = 1 / (radius * radius);
            grid->area[k] = step * step * sin(angle) / angle;
            grid->cover[k] = 1;
        }
}

int main(int argc, char **argv)
{
    const size_t nodes = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 1024;
    tw_error error = {.message = ""};
    tw_grid *grid = NULL;
    double *thickness = NULL;
    int failed = 1;

    if (tw_grid_blank(nodes, nodes, 0, 0, &grid, &error) != TW_OK)
        goto done;
    fill_ball(grid, 400);
    thickness = malloc(tw_grid_cells(grid) * sizeof *thickness);
    if (!thickness)
        goto done;
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        thickness[k] = 1.2 + 0.8 * grid->normal_z[k];
    for (unsigned threads = 1; threads <= 2; threads++) {
        double took[RUNS];
        tw_weight weight;
        for (int run = 0; run < RUNS; run++) {
            const double start = bench_now_ms();
            if (tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, 7.85e-3, threads, &weight,
                         &error) != TW_OK)
                goto done;
            took[run] = bench_now_ms() - start;
        }
        printf("solid %u %.3f %.17g\n", threads, bench_median(took, RUNS), weight.mass_g);
    }
    failed = 0;
done:
    if (failed)
        fprintf(stderr, "bench_solid: %s\n", error.message[0] ? error.message : "no memory");
    free(thickness);
    tw_grid_free(grid);
    return failed;
}
