/*
 * forged.c: the forged map: the taper's formula at every node, at every cell's sampling point, and
 * along the outline for the extremes.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>

enum { BLOCK_ROWS = 16 };

typedef struct pass {
    const tw_taper *taper;
    tw_map *map;
} pass;

static void node_rows(size_t first, size_t last, void *context)
{
    const pass *work = context;
    const size_t nu = work->taper->grid->nu;

    tw_blend_nodes(&work->taper->blend, first * nu, last * nu, work->map->node);
}

static void cell_rows(size_t first, size_t last, void *context)
{
    const pass *work = context;

    tw_blend_cell_rows(&work->taper->blend, work->taper->grid, first, last, work->map->cell);
}

static void step_rows(size_t first, size_t last, void *context)
{
    const pass *work = context;

    tw_blend_step_rows(&work->taper->blend, work->taper->grid, first, last, work->map->cell);
}

tw_spot tw_spot_of(const tw_grid *grid, const double at[2], size_t on_edge)
{
    const double a = (at[0] - grid->across_min) / grid->across_step;
    const double u = (at[1] - grid->up_min) / grid->up_step;
    const double i = fmin(fmax(floor(a), 0), (double)(grid->nu - 2));
    const double j = fmin(fmax(floor(u), 0), (double)(grid->nv - 2));

    return (tw_spot){.node = (size_t)j * grid->nu + (size_t)i,
                     .above = grid->nu,
                     .across = a - i,
                     .up = u - j,
                     .on_edge = on_edge};
}

/* The edge source that a line of the outline belongs to, TW_NO_EDGE when it has no thickness. */
static size_t source_of(const tw_taper *taper, const tw_edge_line *line)
{
    for (size_t s = 0; s < taper->spec->edge_count; s++)
        for (size_t k = 0; k < taper->sets[s].line_count; k++)
            if (taper->sets[s].lines[k].points == line->points)
                return taper->sets[s].source;
    return TW_NO_EDGE;
}

/* Along its own edge a distance is 0, not what the nodes beside it suggest, so that the extremes
 * show the edge's exact thickness. */
static void survey_outline(const tw_taper *taper, tw_map *map)
{
    const tw_outline *outline = tw_form_outline(taper->form);

    for (size_t e = 0; e < outline->edge_count + outline->hole_count; e++) {
        const tw_edge_line *line =
            e < outline->edge_count ? &outline->edges[e] : &outline->holes[e - outline->edge_count];
        const size_t on_edge = source_of(taper, line);
        for (size_t k = 0; k < line->count; k++) {
            const tw_spot spot = tw_spot_of(taper->grid, line->points[k], on_edge);
            tw_map_widen(map, tw_blend_at(&taper->blend, &spot), line->points[k][0],
                         line->points[k][1]);
        }
    }
}

/* A zone so small that no node in metal lies in it still has its thickness: it counts at the node
 * nearest to it. */
static void survey_small_zone(const tw_grid *grid, const double *field, double thickness,
                              tw_map *map)
{
    size_t nearest = SIZE_MAX;

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        if (!(grid->level[n] <= 0))
            continue;
        if (field[n] <= 0)
            return;
        if (nearest == SIZE_MAX || field[n] < field[nearest])
            nearest = n;
    }
    if (nearest != SIZE_MAX)
        tw_map_widen(map, thickness, tw_grid_across(grid, nearest % grid->nu),
                     tw_grid_up(grid, nearest / grid->nu));
}

tw_status tw_map_forged(const tw_taper *taper, tw_map *out, tw_error *err)
{
    const tw_grid *grid = taper->grid;
    pass work = {taper, out};
    tw_status status;

    assert(taper && out && taper->blend.zone_count + taper->blend.edge_count > 0);
    status = tw_map_make(TW_MAP_FORGED, grid, out, err);
    if (status != TW_OK)
        return status;
    tw_for_rows(grid->nv, BLOCK_ROWS, taper->threads, node_rows, &work);
    tw_for_rows(grid->nv - 1, BLOCK_ROWS, taper->threads, cell_rows, &work);
    for (size_t k = 0; k < grid->cut_count; k++) {
        const tw_cut_cell *cut = &grid->cuts[k];
        const size_t i = cut->cell % (grid->nu - 1), j = cut->cell / (grid->nu - 1);
        const tw_spot spot = {.node = j * grid->nu + i,
                              .above = grid->nu,
                              .across = cut->across,
                              .up = cut->up,
                              .on_edge = TW_NO_EDGE};
        out->cell[cut->cell] = tw_blend_at(&taper->blend, &spot);
    }
    if (tw_blend_steps(&taper->blend))
        tw_for_rows(grid->nv - 1, BLOCK_ROWS, taper->threads, step_rows, &work);
    tw_map_survey(out, NULL);
    if (taper->form)
        survey_outline(taper, out);
    for (size_t s = 0; s < taper->spec->strike_count; s++)
        survey_small_zone(grid, taper->strikes[s], taper->spec->strikes[s].thickness, out);
    return TW_OK;
}
