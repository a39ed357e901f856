/*
 * step.c: cells that a step in thickness runs through.
 *
 * Where a zone (or what is held round it) ends inside another, or inside what is held along an edge,
 * the thickness steps from one target to the other at a line. One sampling point per cell would
 * give the whole cell to one side, an error of first order that jumps about from grid to grid. Such
 * cells, few per line, are averaged over 8 × 8 points instead. Everywhere else the taper is
 * continuous and one point is of second order already.
 */
#include "thickness_internal.h"

enum { POINTS = 8 };

/* An edge that holds nothing makes no step: its line is the end of the metal. */
static bool holds_nothing(const tw_source *source, bool edge)
{
    return edge && !(source->hold > 0);
}

bool tw_blend_steps(const tw_blend *blend)
{
    size_t count = blend->zone_count;

    for (size_t k = 0; k < blend->edge_count; k++)
        count += !holds_nothing(&blend->edges[k], true);
    return count > 1;
}

/* Counts the sources that hold a corner of the cell; `ends` when one holds some but not all. */
static size_t holders(const tw_source *sources, size_t count, bool edges, const tw_grid *grid,
                      size_t low, bool *ends)
{
    size_t found = 0;

    for (size_t k = 0; k < count; k++) {
        const double *d = sources[k].distance + low, *above = d + grid->nu;
        const double hold = sources[k].hold;
        const int held = (d[0] <= hold) + (d[1] <= hold) + (above[0] <= hold) + (above[1] <= hold);
        if (held == 0 || holds_nothing(&sources[k], edges))
            continue;
        found++;
        if (held < 4)
            *ends = true;
    }
    return found;
}

static bool in_metal(const tw_grid *grid, size_t low, double across, double up)
{
    const double *level = grid->level + low, *above = level + grid->nu;

    return (1 - up) * ((1 - across) * level[0] + across * level[1]) +
               up * ((1 - across) * above[0] + across * above[1]) <
           0;
}

void tw_blend_step_rows(const tw_blend *blend, const tw_grid *grid, size_t first, size_t last,
                        double *thickness)
{
    for (size_t j = first; j < last; j++)
        for (size_t i = 0; i + 1 < grid->nu; i++) {
            const size_t cell = j * (grid->nu - 1) + i, low = j * grid->nu + i;
            bool ends = false;
            double sum = 0;
            int count = 0;

            if (!(grid->area[cell] > 0) ||
                holders(blend->zones, blend->zone_count, false, grid, low, &ends) +
                        holders(blend->edges, blend->edge_count, true, grid, low, &ends) <
                    2 ||
                !ends)
                continue;
            for (int k = 0; k < POINTS * POINTS; k++) {
                const tw_spot spot = {.node = low,
                                      .above = grid->nu,
                                      .across = (k % POINTS + 0.5) / POINTS,
                                      .up = (k / POINTS + 0.5) / POINTS,
                                      .on_edge = TW_NO_EDGE};
                if (grid->cover[cell] < 1 && !in_metal(grid, low, spot.across, spot.up))
                    continue;
                sum += tw_blend_at(blend, &spot);
                count++;
            }
            if (count > 0)
                thickness[cell] = sum / count;
        }
}
