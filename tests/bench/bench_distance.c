/*
 * bench_distance.c: time and error of a march over a hemisphere of radius 150 mm from a disc 12°
 * wide, 35° off the crown, against radius × angle; and time of whole sources on the same plate, a
 * disc and the rim as a line. Prints one line per grid; asserts nothing.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "support.h"

enum { REPEATS = 7 };
static const double radius = 150, off_crown = 35 * TW_PI / 180, half_width = 6 * TW_PI / 180;

static double now_ms(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

/* Exact distance from the disc's border, < 0 inside; the angle by atan2, exact when small. */
static double exact(const tw_grid *grid, size_t n)
{
    const double c[3] = {sin(off_crown), 0, cos(off_crown)};
    const double p[3] = {grid->x[n] / radius, grid->y[n] / radius, grid->z[n] / radius};
    double cross[3];

    tw_cross(c, p, cross);
    return radius * (atan2(sqrt(tw_dot(cross, cross)), tw_dot(c, p)) - half_width);
}

/* Whole sources, seeds and march; least of a few runs. */
static void time_sources(tw_march *march, double *distance, double rim)
{
    static double points[401][2];
    const tw_edge_line line = {"rim", 401, points};
    const tw_shape disc = {.kind = TW_SHAPE_DISC,
                           .at = {.kind = TW_POINT_TAPE, .value = {radius * off_crown, 0, 0}},
                           .across = radius * half_width,
                           .up = radius * half_width};
    double disc_ms = INFINITY, line_ms = INFINITY;

    for (int k = 0; k < 401; k++) {
        points[k][0] = rim * cos(TW_PI / 200 * (k % 400));
        points[k][1] = rim * sin(TW_PI / 200 * (k % 400));
    }
    for (int repeat = 0; repeat < REPEATS; repeat++) {
        double began = now_ms();
        if (tw_distance_from_shape(march, NULL, &disc, distance, NULL, NULL) != TW_OK)
            exit(3);
        disc_ms = fmin(disc_ms, now_ms() - began);
        began = now_ms();
        if (tw_distance_from_lines(march, NULL, &line, 1, distance, NULL) != TW_OK)
            exit(3);
        line_ms = fmin(line_ms, now_ms() - began);
    }
    printf("            whole disc %.1f ms, whole rim %.1f ms\n", disc_ms, line_ms);
}

static void run(size_t cells)
{
    const double rim = radius * TW_PI / 2;
    tw_grid *grid = test_grid_fill(test_face_ball, &radius, -rim, rim, -rim, rim, cells, rim);
    const size_t count = grid->nu * grid->nv;
    double *distance = malloc(count * sizeof *distance), *truth = malloc(count * sizeof *truth);
    double best = INFINITY, square = 0, worst = 0, began, setup;
    size_t used = 0;
    tw_march *march = NULL;

    began = now_ms();
    if (!distance || !truth || tw_march_new(grid, &march, NULL) != TW_OK)
        exit(3);
    setup = now_ms() - began;
    for (size_t n = 0; n < count; n++)
        truth[n] = exact(grid, n);
    for (int repeat = 0; repeat < REPEATS; repeat++) {
        for (size_t n = 0; n < count; n++)
            distance[n] =
                truth[n] < 1.5 * grid->across_step && grid->level[n] < 0 ? truth[n] : INFINITY;
        began = now_ms();
        tw_march_run(march, distance);
        best = fmin(best, now_ms() - began);
    }
    for (size_t n = 0; n < count; n++)
        if (grid->level[n] < 0) {
            const double off = fmax(distance[n], 0) - fmax(truth[n], 0);
            square += off * off;
            worst = fmax(worst, fabs(off));
            used++;
        }
    printf("%5zu cells: set-up %6.1f ms, march %7.1f ms, rms %.5f mm, worst %.5f mm\n", cells,
           setup, best, sqrt(square / (double)used), worst);
    time_sources(march, distance, rim);
    tw_march_free(march);
    tw_grid_free(grid);
    free(truth);
    free(distance);
}

int main(void)
{
    run(256);
    run(512);
    run(1024);
    return 0;
}
