/*
 * bench_distance.c: time and error of a march over a hemisphere of radius 150 mm from a disc 12°
 * wide, 35° off the crown, against radius × angle, on grids of 256, 512 and 1024 cells a side (or of
 * those that the arguments name). Prints
 *     distance CELLS SETUP_MS MARCH_MS RMS_MM WORST_MM DISC_MS RIM_MS
 * with median times; DISC and RIM are whole sources, seeding and march. distance_scipy.py measures
 * the same on the edges of the same grid.
 *     bench_distance --flat CELLS...      a flat square as wide, against hypot; DISC and RIM are 0
 *     bench_distance --mesh FILE CELLS    writes the hemisphere's nodes in metal as a mesh, with each
 *                                         one's true distance, for distance_cgal.cpp; times nothing
 */
#include "bench.h"
#include "bench_mesh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "support.h"

enum { RUNS = 7 };
static const double radius = 150, off_crown = 35 * TW_PI / 180, half_width = 6 * TW_PI / 180;

typedef double (*true_distance)(const tw_grid *grid, size_t n);

/* Exact distance from the disc's border, < 0 inside; the angle by atan2, exact when small. */
static double exact(const tw_grid *grid, size_t n)
{
    const double c[3] = {sin(off_crown), 0, cos(off_crown)};
    const double p[3] = {grid->x[n] / radius, grid->y[n] / radius, grid->z[n] / radius};
    double cross[3];

    tw_cross(c, p, cross);
    return radius * (atan2(sqrt(tw_dot(cross, cross)), tw_dot(c, p)) - half_width);
}

static double exact_flat(const tw_grid *grid, size_t n)
{
    return hypot(grid->x[n] - radius * off_crown, grid->y[n]) - radius * half_width;
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

static tw_grid *hemisphere(size_t cells)
{
    const double rim = radius * TW_PI / 2;

    return test_grid_fill(test_face_ball, &radius, -rim, rim, -rim, rim, cells, rim);
}

static tw_grid *flat(size_t cells)
{
    const double half = radius * TW_PI / 2;

    return test_grid_fill(test_face_flat, NULL, -half, half, -half, half, cells, 0);
}

/* Frees the grid. */
static void run(tw_grid *grid, true_distance exact_at, size_t cells)
{
    const size_t count = grid->nu * grid->nv;
    double *distance = malloc(count * sizeof *distance), *truth = malloc(count * sizeof *truth);
    double setup[RUNS], took[RUNS], source_ms[2] = {0, 0}, rms, worst;
    tw_march *march = NULL;

    if (!distance || !truth)
        exit(3);
    for (size_t n = 0; n < count; n++)
        truth[n] = exact_at(grid, n);
    for (int k = 0; k < RUNS; k++) {
        double start;
        tw_march_free(march);
        start = bench_now_ms();
        if (tw_march_new(grid, 1, &march, NULL) != TW_OK)
            exit(3);
        setup[k] = bench_now_ms() - start;
        set_seeds(grid, truth, distance);
        start = bench_now_ms();
        tw_march_run(march, distance);
        took[k] = bench_now_ms() - start;
    }
    errors(grid, truth, distance, &rms, &worst);
    if (exact_at == exact)
        time_sources(march, distance, radius * TW_PI / 2, source_ms);
    tw_march_free(march);
    printf("distance %zu %.3f %.3f %.5f %.5f %.3f %.3f\n", cells, bench_median(setup, RUNS),
           bench_median(took, RUNS), rms, worst, source_ms[0], source_ms[1]);
    tw_grid_free(grid);
    free(truth);
    free(distance);
}

/* Every cell is cut along its shorter diagonal, or is one triangle where one corner is off the metal. */
static void cut_cell(bench_mesh *mesh, const tw_grid *grid, const uint32_t *number, size_t n)
{
    const size_t corner[4] = {n, n + 1, n + grid->nu + 1, n + grid->nu};
    double side[2];
    int off = -1, missing = 0;

    for (int k = 0; k < 4; k++)
        if (number[corner[k]] == UINT32_MAX) {
            missing++;
            off = k;
        }
    if (missing > 1)
        return;
    for (int k = 0; k < 2; k++) {
        const size_t a = corner[k], b = corner[k + 2];
        side[k] =
            hypot(hypot(grid->x[a] - grid->x[b], grid->y[a] - grid->y[b]), grid->z[a] - grid->z[b]);
    }
    /* the diagonal runs from corner k: not the one that is missing, nor the one opposite it */
    for (int k = missing ? (off + 1) % 4 : side[1] < side[0], t = 0; t < 2; t++) {
        const int a = (k + 2 * t) % 4, b = (a + 1) % 4, c = (a + 2) % 4;
        if (b != off)
            bench_mesh_add(mesh, number[corner[a]], number[corner[b]], number[corner[c]]);
    }
}

static bool write_mesh(const tw_grid *grid, const char *path)
{
    const size_t count = grid->nu * grid->nv;
    uint32_t *number = malloc(count * sizeof *number);
    bench_mesh mesh = {.at = malloc(count * sizeof *mesh.at),
                       .value = malloc(count * sizeof *mesh.value),
                       .triangle = malloc(2 * count * sizeof *mesh.triangle)};
    bool well = number && mesh.at && mesh.value && mesh.triangle;

    for (size_t n = 0; well && n < count; n++) {
        number[n] = grid->level[n] < 0 ? (uint32_t)mesh.nodes : UINT32_MAX;
        if (grid->level[n] < 0) {
            memcpy(mesh.at[mesh.nodes], (double[3]){grid->x[n], grid->y[n], grid->z[n]},
                   sizeof *mesh.at);
            mesh.value[mesh.nodes++] = exact(grid, n);
        }
    }
    for (size_t k = 0; well && k < tw_grid_cells(grid); k++)
        cut_cell(&mesh, grid, number, k / (grid->nu - 1) * grid->nu + k % (grid->nu - 1));
    well = well && bench_mesh_write(&mesh, path);
    free(number);
    free(mesh.at);
    free(mesh.value);
    free(mesh.triangle);
    return well;
}

int main(int argc, char **argv)
{
    static const size_t usual[] = {256, 512, 1024};
    const bool is_flat = argc > 1 && strcmp(argv[1], "--flat") == 0;

    if (argc == 4 && strcmp(argv[1], "--mesh") == 0) {
        tw_grid *grid = hemisphere((size_t)strtoul(argv[3], NULL, 10));
        const bool well = write_mesh(grid, argv[2]);
        tw_grid_free(grid);
        return well ? 0 : 1;
    }
    for (int k = 1 + is_flat; k < argc; k++) {
        const size_t cells = (size_t)strtoul(argv[k], NULL, 10);
        run(is_flat ? flat(cells) : hemisphere(cells), is_flat ? exact_flat : exact, cells);
    }
    for (size_t k = 0; argc < 2 && k < sizeof usual / sizeof *usual; k++)
        run(hemisphere(usual[k]), exact, usual[k]);
    return 0;
}
