/*
 * outline_level.c: signed distance from the outline at every node of a grid. Runs once per grid of up
 * to 4096² nodes, so the cost per node must stay at some tens of nanoseconds.
 *
 * Every piece first writes its exact distance into a band of two steps about itself. From there
 * each node hands its nearest piece to its neighbours in two sweeps (P.-E. Danielsson, "Euclidean
 * distance mapping", Computer Graphics and Image Processing 14 (1980), with pieces in place of
 * points). Signs come from counting crossings along each row and are exact.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdlib.h>

#define NONE UINT32_MAX

typedef struct field {
    const tw_segment *segments;
    const tw_grid *grid;
    uint32_t *nearest;
} field;

static void offer(const field *f, size_t node, double across, double up, uint32_t segment)
{
    const double d = tw_segment_distance2(&f->segments[segment], across, up);

    if (d < f->grid->level[node] || (d == f->grid->level[node] && segment < f->nearest[node])) {
        f->grid->level[node] = d;
        f->nearest[node] = segment;
    }
}

/* Nodes within `band` of a piece, found row by row so that long slanting pieces stay cheap. */
static void write_band(const field *f, uint32_t number, double band)
{
    const tw_segment *s = &f->segments[number];
    const tw_grid *grid = f->grid;
    const double x = s->b[0] - s->a[0], y = s->b[1] - s->a[1];
    const double low = fmin(s->a[1], s->b[1]) - band, high = fmax(s->a[1], s->b[1]) + band;
    const double j0 = fmax(ceil((low - grid->up_min) / grid->up_step), 0);
    const double j1 = fmin(floor((high - grid->up_min) / grid->up_step), (double)(grid->nv - 1));

    for (double j = j0; j <= j1; j++) {
        const double up = tw_grid_up(grid, (size_t)j);
        double t0 = 0, t1 = 1, i0, i1, swap;
        if (fabs(y) > 1e-12) {
            t0 = (up - band - s->a[1]) / y;
            t1 = (up + band - s->a[1]) / y;
            if (t0 > t1) {
                swap = t0;
                t0 = t1;
                t1 = swap;
            }
            t0 = fmin(fmax(t0, 0), 1);
            t1 = fmin(fmax(t1, 0), 1);
        }
        i0 = s->a[0] + fmin(t0 * x, t1 * x) - band - grid->across_min;
        i1 = s->a[0] + fmax(t0 * x, t1 * x) + band - grid->across_min;
        i0 = fmax(ceil(i0 / grid->across_step), 0);
        i1 = fmin(floor(i1 / grid->across_step), (double)(grid->nu - 1));
        for (double i = i0; i <= i1; i++)
            offer(f, (size_t)j * grid->nu + (size_t)i, tw_grid_across(grid, (size_t)i), up, number);
    }
}

static inline void take_from(const field *f, size_t node, double across, double up, size_t other)
{
    if (f->nearest[other] != NONE && f->nearest[other] != f->nearest[node])
        offer(f, node, across, up, f->nearest[other]);
}

static void sweep_row(const field *f, size_t j, bool down)
{
    const size_t nu = f->grid->nu, row = j * nu, from = down ? row + nu : row - nu;
    const double up = tw_grid_up(f->grid, j);
    const bool first = down ? j + 1 == f->grid->nv : j == 0;

    for (size_t i = 0; i < nu; i++) {
        const double across = tw_grid_across(f->grid, i);
        if (!first) {
            take_from(f, row + i, across, up, from + i);
            if (i > 0)
                take_from(f, row + i, across, up, from + i - 1);
            if (i + 1 < nu)
                take_from(f, row + i, across, up, from + i + 1);
        }
        if (i > 0)
            take_from(f, row + i, across, up, row + i - 1);
    }
    for (size_t i = nu - 1; i-- > 0;)
        take_from(f, row + i, tw_grid_across(f->grid, i), up, row + i + 1);
}

typedef struct crossing {
    size_t row;
    double across;
} crossing;

static int by_row(const void *one, const void *other)
{
    const crossing *a = one, *b = other;

    if (a->row != b->row)
        return a->row < b->row ? -1 : 1;
    return (a->across > b->across) - (a->across < b->across);
}

/* Crossings of pieces with rows of nodes; `out` NULL counts only. A row at the height of a point
 * counts it once: a piece has its lower end, not its upper one. */
static size_t cross_rows(const tw_segment *segments, size_t count, const tw_grid *grid,
                         crossing *out)
{
    size_t found = 0;

    for (size_t k = 0; k < count; k++) {
        const double *a = segments[k].a, *b = segments[k].b;
        const double low = fmin(a[1], b[1]), high = fmax(a[1], b[1]);
        const double last = (double)(grid->nv - 1);
        const double j0 = fmax(floor((low - grid->up_min) / grid->up_step) - 1, 0);
        const double j1 = fmin(ceil((high - grid->up_min) / grid->up_step) + 1, last);
        for (double j = j0; j <= j1; j++) {
            const double up = tw_grid_up(grid, (size_t)j);
            if ((a[1] <= up) == (b[1] <= up))
                continue;
            if (out)
                out[found] =
                    (crossing){(size_t)j, a[0] + (up - a[1]) / (b[1] - a[1]) * (b[0] - a[0])};
            found++;
        }
    }
    return found;
}

static void sign_rows(const tw_grid *grid, const crossing *crossings, size_t count)
{
    const double zero = 1e-9 * grid->across_step; /* on the outline, but for rounding */
    size_t k = 0;

    for (size_t j = 0; j < grid->nv; j++) {
        bool inside = false;
        for (size_t i = 0; i < grid->nu; i++) {
            double *level = &grid->level[j * grid->nu + i];
            const double across = tw_grid_across(grid, i), distance = sqrt(*level);
            for (; k < count && crossings[k].row == j && crossings[k].across <= across; k++)
                inside = !inside;
            *level = distance <= zero ? 0 : inside ? -distance : distance;
        }
        while (k < count && crossings[k].row == j)
            k++;
    }
}

tw_status tw_outline_levels(const tw_segment *segments, size_t count, tw_grid *grid, tw_error *err)
{
    const size_t nodes = grid->nu * grid->nv;
    const double band = 2 * fmax(grid->across_step, grid->up_step);
    const size_t found = cross_rows(segments, count, grid, NULL);
    crossing *crossings = malloc((found ? found : 1) * sizeof *crossings);
    uint32_t *nearest = malloc(nodes * sizeof *nearest);
    const field f = {segments, grid, nearest};

    if (crossings && nearest) {
        for (size_t n = 0; n < nodes; n++) {
            grid->level[n] = INFINITY; /* squared until signed */
            nearest[n] = NONE;
        }
        for (size_t k = 0; k < count; k++)
            write_band(&f, (uint32_t)k, band);
        for (size_t j = 0; j < grid->nv; j++)
            sweep_row(&f, j, false);
        for (size_t j = grid->nv; j-- > 0;)
            sweep_row(&f, j, true);
        cross_rows(segments, count, grid, crossings);
        qsort(crossings, found, sizeof *crossings, by_row);
        sign_rows(grid, crossings, found);
    }
    free(nearest);
    free(crossings);
    return crossings && nearest
               ? TW_OK
               : tw_fail(err, TW_ERR_MEMORY, "no memory for levels at %zu nodes", nodes);
}
