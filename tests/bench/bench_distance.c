/*
 * bench_distance.c: time and error of a march over a hemisphere of radius 150 mm from a disc 12°
 * wide, 35° off the crown, against radius × angle, on grids of 256, 512 and 1024 cells a side (or of
 * those that the arguments name). Prints
 *     distance CELLS SETUP_MS MARCH_MS RMS_MM WORST_MM DISC_MS RIM_MS
 * with median times; DISC and RIM are whole sources, seeding and march. distance_scipy.py measures
 * the same on the edges of the same grid.
 */
#include "bench.h"

#include <math.h>
#include <stdio.h>

#include "support.h"

enum { RUNS = 7 };
static const double radius = 150, off_crown = 35 * TW_PI / 180, half_width = 6 * TW_PI / 180;

/* Exact distance from the disc's border, < 0 inside; the angle by atan2, exact when small. */
static double exact(const tw_grid *grid, size_t n)
{
    const double c[3] = {sin(off_crown), 0, cos(off_crown)};
    const double p[3] = {grid->x[n] / radius, grid->y[n] / radius, grid->z[n] / radius};
    double cross[3];

    tw_cross(c, p, cross);
    return radius * (atan2(sqrt(tw_dot(cross, cross)), tw_dot(c, p)) - half_width);
}

/* Whole sources, seeds and march: the disc, and the rim. */
static void time_sources(tw_march *march, double *distance, double rim, double ms[2])
{
    double points[401][2], took[2][RUNS];
    const tw_edge_line line = {"rim", 401, points};
    const tw_shape disc = {.kind = TW_SHAPE_DISC,
                           .at = {.kind = TW_POINT_TAPE, .value = {radius * off_crown, 0, 0}},
                           .across = radius * half_width,
                           .up = radius * half_width};

    for (int k = 0; k < 401; k++) {
        points[k][0] = rim * cos(TW_PI / 200 * (k % 400));
        points[k][1] = rim * sin(TW_PI / 200 * (k % 400));
    }
    for (int k = 0; k < RUNS; k++) {
        double start = bench_now_ms();
        if (tw_distance_from_shape(march, NULL, &disc, distance, NULL, NULL) != TW_OK)
            exit(3);
        took[0][k] = bench_now_ms() - start;
        start = bench_now_ms();
        if (tw_distance_from_lines(march, NULL, &line, 1, distance, NULL) != TW_OK)
            exit(3);
        took[1][k] = bench_now_ms() - start;
    }
    ms[0] = bench_median(took[0], RUNS);
    ms[1] = bench_median(took[1], RUNS);
}

static void set_seeds(const tw_grid *grid, const double *truth, double *distance)
{
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        distance[n] =
            truth[n] < 1.5 * grid->across_step && grid->level[n] < 0 ? truth[n] : INFINITY;
}

/* Nodes in metal only; inside the disc both distances count as 0. */
static void errors(const tw_grid *grid, const double *truth, const double *distance, double *rms,
                   double *worst)
{
    double square = 0;
    size_t used = 0;

    *worst = 0;
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] < 0) {
            const double off = fmax(distance[n], 0) - fmax(truth[n], 0);
            square += off * off;
            *worst = fmax(*worst, fabs(off));
            used++;
        }
    *rms = sqrt(square / (double)used);
}

static void run(size_t cells)
{
    const double rim = radius * TW_PI / 2;
    tw_grid *grid = test_grid_fill(test_face_ball, &radius, -rim, rim, -rim, rim, cells, rim);
    const size_t count = grid->nu * grid->nv;
    double *distance = malloc(count * sizeof *distance), *truth = malloc(count * sizeof *truth);
    double setup[RUNS], took[RUNS], source_ms[2], rms, worst;
    tw_march *march = NULL;

    if (!distance || !truth)
        exit(3);
    for (size_t n = 0; n < count; n++)
        truth[n] = exact(grid, n);
    for (int k = 0; k < RUNS; k++) {
        double start;
        tw_march_free(march);
        start = bench_now_ms();
        if (tw_march_new(grid, &march, NULL) != TW_OK)
            exit(3);
        setup[k] = bench_now_ms() - start;
        set_seeds(grid, truth, distance);
        start = bench_now_ms();
        tw_march_run(march, distance);
        took[k] = bench_now_ms() - start;
    }
    errors(grid, truth, distance, &rms, &worst);
    time_sources(march, distance, rim, source_ms);
    tw_march_free(march);
    printf("distance %zu %.3f %.3f %.5f %.5f %.3f %.3f\n", cells, bench_median(setup, RUNS),
           bench_median(took, RUNS), rms, worst, source_ms[0], source_ms[1]);
    tw_grid_free(grid);
    free(truth);
    free(distance);
}

int main(int argc, char **argv)
{
    static const size_t usual[] = {256, 512, 1024};

    for (int k = 1; k < argc; k++)
        run((size_t)strtoul(argv[k], NULL, 10));
    for (size_t k = 0; argc < 2 && k < sizeof usual / sizeof *usual; k++)
        run(usual[k]);
    return 0;
}
