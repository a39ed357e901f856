/*
 * bench_solid.c: how long weighing one map takes: a ball of 400 mm radius, 1024 × 1024 nodes (or as
 * many a side as the first argument says), on 1 and 2 threads. Prints
 *     solid THREADS MS GRAMS VOLUME_MM3 CENTROID_Z_MM
 * with the median time. solid_numpy.py does the same sums with numpy. A second argument writes the
 * same solid as a closed mesh there and weighs nothing; solid_cgal.cpp measures that.
 */
#include "bench.h"
#include "bench_mesh.h"

#include "taperwright/weigh.h"

#include <math.h>
#include <stdio.h>

enum { RUNS = 15 };
static const double density = 7.85e-3, ball = 400;

static double thickness_at(double normal_z)
{
    return 1.2 + 0.8 * normal_z;
}

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

/* Outside and inside corner of the plate at node (i, j). */
static void corners(size_t nodes, size_t i, size_t j, double outside[3], double inside[3])
{
    const double step = 400.0 / (double)(nodes - 1);
    const double a = -200 + (double)i * step, u = -200 + (double)j * step;
    const double tape = hypot(a, u) + 1e-12, angle = tape / ball;
    const double normal[3] = {sin(angle) * a / tape, sin(angle) * u / tape, cos(angle)};

    for (int k = 0; k < 3; k++) {
        outside[k] = ball * normal[k];
        inside[k] = (ball - thickness_at(normal[2])) * normal[k];
    }
}

/* Both faces cell by cell, then the four walls. Node n outside, n + nodes² inside. */
static bool write_mesh(size_t nodes, const char *path)
{
    const size_t face = nodes * nodes, cells = (nodes - 1) * (nodes - 1);
    bench_mesh mesh = {.nodes = 2 * face};
    bool well;

    mesh.at = malloc(mesh.nodes * sizeof *mesh.at);
    mesh.value = calloc(mesh.nodes, sizeof *mesh.value);
    mesh.triangle = malloc((4 * cells + 8 * (nodes - 1)) * sizeof *mesh.triangle);
    well = mesh.at && mesh.value && mesh.triangle;
    for (size_t n = 0; well && n < face; n++)
        corners(nodes, n % nodes, n / nodes, mesh.at[n], mesh.at[n + face]);
    for (size_t k = 0; well && k < cells; k++) {
        const size_t n = k / (nodes - 1) * nodes + k % (nodes - 1), up = n + nodes;
        bench_mesh_add(&mesh, n, n + 1, up + 1);
        bench_mesh_add(&mesh, n, up + 1, up);
        bench_mesh_add(&mesh, face + n, face + up + 1, face + n + 1);
        bench_mesh_add(&mesh, face + n, face + up, face + up + 1);
    }
    for (size_t k = 0; well && k + 1 < nodes; k++) {
        const size_t last = nodes - 1;
        const size_t from[4] = {k + 1, last * nodes + k, k * nodes, (k + 1) * nodes + last};
        const size_t to[4] = {k, last * nodes + k + 1, (k + 1) * nodes, k * nodes + last};
        for (int side = 0; side < 4; side++) {
            bench_mesh_add(&mesh, from[side], to[side], face + to[side]);
            bench_mesh_add(&mesh, from[side], face + to[side], face + from[side]);
        }
    }
    well = well && bench_mesh_write(&mesh, path);
    free(mesh.at);
    free(mesh.value);
    free(mesh.triangle);
    return well;
}

int main(int argc, char **argv)
{
    const size_t nodes = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 1024;
    tw_error error = {.message = ""};
    tw_grid *grid = NULL;
    double *thickness = NULL;
    int failed = 1;

    if (argc > 2)
        return write_mesh(nodes, argv[2]) ? 0 : 1;
    if (tw_grid_blank(nodes, nodes, 0, 0, &grid, &error) != TW_OK)
        goto done;
    fill_ball(grid, ball);
    thickness = malloc(tw_grid_cells(grid) * sizeof *thickness);
    if (!thickness)
        goto done;
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        thickness[k] = thickness_at(grid->normal_z[k]);
    for (unsigned threads = 1; threads <= 2; threads++) {
        double took[RUNS];
        tw_weight weight;
        for (int run = 0; run < RUNS; run++) {
            const double start = bench_now_ms();
            if (tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, threads, &weight,
                         &error) != TW_OK)
                goto done;
            took[run] = bench_now_ms() - start;
        }
        printf("solid %u %.3f %.17g %.17g %.17g\n", threads, bench_median(took, RUNS),
               weight.mass_g, weight.mass_g / density, weight.centroid_mm[2]);
    }
    failed = 0;
done:
    if (failed)
        fprintf(stderr, "bench_solid: %s\n", error.message[0] ? error.message : "no memory");
    free(thickness);
    tw_grid_free(grid);
    return failed;
}
