/*
 * as_formed.c: sheet as it comes from forming, as a map on a grid. The layout has its thickness at the
 * nodes of its triangles; the grid takes it linearly between them, so that what is weighed is the
 * metal that was laid out. Runs once per comparison; a grid of 256² nodes takes some ten milliseconds.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum { BLOCK_ROWS = 8 };

typedef struct carrying {
    const tw_layout *layout;
    tw_map *map;
} carrying;

/* Triangles hold some hundred nodes of a usual grid, so that a place is first looked for where its
 * neighbour in the row was found.
 *
 * Off the layout each place asks every side of its boundary, so nodes that no cell with metal has for
 * a neighbour's corner take what was found last in their row, and the stock's thickness before that. */
static void node_rows(size_t first, size_t last, void *context)
{
    const carrying *work = context;
    const tw_grid *grid = work->map->grid;
    const double near = 2 * hypot(grid->across_step, grid->up_step);

    for (size_t j = first; j < last; j++) {
        double found = work->layout->stock;
        size_t triangle = SIZE_MAX;
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            const double tape[2] = {tw_grid_across(grid, i), tw_grid_up(grid, j)};
            if (grid->level[n] <= near)
                tw_layout_thickness_near(work->layout, tape, &triangle, &found);
            work->map->node[n] = found;
        }
    }
}

/* Place (x, y), 0…1 each, inside a cell. */
static void carry_cell(const carrying *work, size_t cell, double x, double y, size_t *triangle)
{
    const tw_grid *grid = work->map->grid;
    const size_t i = cell % (grid->nu - 1), j = cell / (grid->nu - 1);
    const double tape[2] = {tw_grid_across(grid, i) + x * grid->across_step,
                            tw_grid_up(grid, j) + y * grid->up_step};

    tw_layout_thickness_near(work->layout, tape, triangle, &work->map->cell[cell]);
}

static void cell_rows(size_t first, size_t last, void *context)
{
    const carrying *work = context;
    const size_t columns = work->map->grid->nu - 1;

    for (size_t j = first; j < last; j++) {
        size_t triangle = SIZE_MAX;
        for (size_t cell = j * columns; cell < (j + 1) * columns; cell++)
            if (work->map->grid->area[cell] > 0)
                carry_cell(work, cell, 0.5, 0.5, &triangle);
            else
                work->map->cell[cell] = work->layout->stock;
    }
}

tw_status tw_map_as_formed(const tw_layout *layout, const tw_grid *grid, unsigned threads,
                           tw_map *out, tw_error *err)
{
    carrying work = {layout, out};
    tw_status status;

    assert(layout && grid && out);
    status = tw_map_make(TW_MAP_AS_FORMED, grid, out, err);
    if (status != TW_OK)
        return status;
    tw_for_rows(grid->nv, BLOCK_ROWS, threads, node_rows, &work);
    tw_for_rows(grid->nv - 1, BLOCK_ROWS, threads, cell_rows, &work);
    for (size_t k = 0; k < grid->cut_count; k++) {
        size_t triangle = SIZE_MAX;
        carry_cell(&work, grid->cuts[k].cell, grid->cuts[k].across, grid->cuts[k].up, &triangle);
    }
    /* The grid's nodes step over the corners of the plate, and slopes between them are those of single
     * triangles. */
    out->thinnest = layout->thinnest;
    out->thickest = layout->thickest;
    out->steepest_grade = layout->steepest;
    memcpy(out->thinnest_at, layout->thinnest_at, sizeof out->thinnest_at);
    memcpy(out->thickest_at, layout->thickest_at, sizeof out->thickest_at);
    memcpy(out->steepest_at, layout->steepest_at, sizeof out->steepest_at);
    return TW_OK;
}
