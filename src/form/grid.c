/*
 * grid.c: the grid as a thing of arrays: making an empty one, freeing it, and carrying node values to
 * other places. Sampling a form into it is sample.c.
 */
#include "taperwright/form.h"

#include "place_internal.h"

#include <math.h>
#include <string.h>

tw_status tw_grid_blank(size_t nu, size_t nv, size_t cuts, size_t creases, tw_grid **out,
                        tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_grid *grid = arena ? tw_arena_array(arena, 1, sizeof *grid) : NULL;
    bool whole = grid != NULL;

    if (grid && nu >= 2 && nv >= 2 && nu <= TW_GRID_MAX + 2 && nv <= TW_GRID_MAX + 2) {
        double **const nodes[] = {&grid->x,         &grid->y,         &grid->z,    &grid->metric_aa,
                                  &grid->metric_au, &grid->metric_uu, &grid->level};
        double **const cells[] = {&grid->cell_x,         &grid->cell_y,          &grid->cell_z,
                                  &grid->normal_x,       &grid->normal_y,        &grid->normal_z,
                                  &grid->mean_curvature, &grid->gauss_curvature, &grid->area,
                                  &grid->cover};
        grid->nu = nu;
        grid->nv = nv;
        grid->arena = arena;
        for (size_t k = 0; k < sizeof nodes / sizeof *nodes; k++)
            whole = (*nodes[k] = tw_arena_array(arena, nu * nv, sizeof(double))) && whole;
        for (size_t k = 0; k < sizeof cells / sizeof *cells; k++)
            whole =
                (*cells[k] = tw_arena_array(arena, tw_grid_cells(grid), sizeof(double))) && whole;
        whole = (grid->cuts = tw_arena_array(arena, cuts, sizeof *grid->cuts)) && whole;
        whole = (grid->creases = tw_arena_array(arena, creases, sizeof *grid->creases)) && whole;
    } else if (grid) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_DOMAIN, "a grid of %zu by %zu nodes is out of range", nu, nv);
    }
    if (!whole) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a grid of %zu by %zu nodes", nu, nv);
    }
    *out = grid;
    return TW_OK;
}

void tw_grid_free(tw_grid *grid)
{
    if (grid)
        tw_arena_free(grid->arena);
}

double tw_grid_sample(const tw_grid *grid, const double *node, double across, double up)
{
    const tw_grid_place place = tw_grid_place_of(grid, across, up);

    return tw_grid_value(grid, node, &place);
}

void tw_grid_to_cells(const tw_grid *grid, const double *node, double *cell)
{
    const size_t columns = grid->nu - 1;

    for (size_t j = 0; j + 1 < grid->nv; j++) {
        const double *low = node + j * grid->nu, *high = low + grid->nu;
        double *row = cell + j * columns;
        for (size_t i = 0; i < columns; i++)
            row[i] = 0.25 * ((low[i] + low[i + 1]) + (high[i] + high[i + 1]));
    }
    for (size_t k = 0; k < grid->cut_count; k++) {
        const tw_cut_cell *cut = &grid->cuts[k];
        const tw_grid_place place = {cut->cell / columns * grid->nu + cut->cell % columns,
                                     cut->across, cut->up};
        cell[cut->cell] = tw_grid_value(grid, node, &place);
    }
}

/* Share of a unit square where a level, linear along its sides, is below zero. */
static double share_below(const double corner[4])
{
    static const double place[5][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}};
    double at[8][2], twice = 0;
    int count = 0;

    for (int k = 0; k < 4; k++) {
        const double here = corner[k], next = corner[(k + 1) % 4];
        if (here < 0) {
            at[count][0] = place[k][0];
            at[count++][1] = place[k][1];
        }
        if ((here < 0) != (next < 0)) {
            const double f = here / (here - next);
            at[count][0] = place[k][0] + f * (place[k + 1][0] - place[k][0]);
            at[count++][1] = place[k][1] + f * (place[k + 1][1] - place[k][1]);
        }
    }
    for (int k = 0; k < count; k++) {
        const double *a = at[k], *b = at[(k + 1) % count];
        twice += a[0] * b[1] - b[0] * a[1];
    }
    return fmin(fmax(0.5 * twice, 0), 1);
}

void tw_level_share_row(const double *low, const double *high, size_t cells, double *share)
{
    for (size_t i = 0; i < cells; i++) {
        const double corner[4] = {low[i], low[i + 1], high[i + 1], high[i]};
        const int count = (low[i] < 0) + (low[i + 1] < 0) + (high[i] < 0) + (high[i + 1] < 0);
        share[i] = count == 0 ? 0 : count == 4 ? 1 : share_below(corner);
    }
}

void tw_grid_level_share(const tw_grid *grid, const double *level, double *share)
{
    for (size_t j = 0; j + 1 < grid->nv; j++)
        tw_level_share_row(level + j * grid->nu, level + (j + 1) * grid->nu, grid->nu - 1,
                           share + j * (grid->nu - 1));
}
