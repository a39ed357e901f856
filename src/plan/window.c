/*
 * window.c: how far off what is wanted a place may be left. A window is wanted ± half of it, but never
 * under what is required: in a strike zone the thinnest that the goal has in it, and of a planned map the
 * thinnest anywhere.
 */
#include "plan_internal.h"

#include <math.h>

static size_t strikes_of(const tw_plate *plate)
{
    return plate->taper && plate->profile->has_forged ? plate->profile->forged.strike_count : 0;
}

tw_status tw_windows_make(const tw_goal *goal, const tw_map *wanted, double half, tw_arena *arena,
                          tw_windows *out, tw_error *err)
{
    const tw_zones *zones = &goal->plate->zones;
    const tw_grid *grid = wanted->grid;

    *out = (tw_windows){.half = half,
                        .everywhere = goal->planned ? wanted->thinnest : 0,
                        .zone_count = strikes_of(goal->plate),
                        .map = zones,
                        .wanted = wanted};
    out->zones = tw_arena_array(arena, out->zone_count + 1, sizeof *out->zones);
    if (!out->zones)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for windows about a goal");
    for (size_t k = 0; k < out->zone_count; k++)
        out->zones[k] = INFINITY;
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const size_t zone = zones->first[c];
        if (grid->area[c] > 0 && zone < out->zone_count && zones->share[c] > 0.999f)
            out->zones[zone] = fmin(out->zones[zone], wanted->cell[c]);
    }
    return TW_OK;
}

static size_t cell_at(const tw_grid *grid, const double tape[2])
{
    const double i = floor((tape[0] - grid->across_min) / grid->across_step);
    const double j = floor((tape[1] - grid->up_min) / grid->up_step);
    const size_t column = i > 0 ? (size_t)i : 0, row = j > 0 ? (size_t)j : 0;

    return (row < grid->nv - 1 ? row : grid->nv - 2) * (grid->nu - 1) +
           (column < grid->nu - 1 ? column : grid->nu - 2);
}

size_t tw_windows_zone(const tw_windows *windows, const double tape[2])
{
    const size_t cell = cell_at(windows->wanted->grid, tape);
    const size_t zone =
        windows->map->share[cell] >= 0.5f ? windows->map->first[cell] : windows->map->second[cell];

    return zone < windows->zone_count ? zone : SIZE_MAX;
}

double tw_windows_low(const tw_windows *windows, size_t zone, double wanted)
{
    double low = fmax(wanted - windows->half, windows->everywhere);

    if (zone < windows->zone_count && isfinite(windows->zones[zone]))
        low = fmax(low, windows->zones[zone]);
    return fmin(low, wanted); /* sampled between nodes it may lie a trifle under both */
}

void tw_windows_at(const tw_windows *windows, const double tape[2], double *wanted, double *low,
                   double *high)
{
    const size_t zone = tw_windows_zone(windows, tape);

    *wanted = tw_grid_sample(windows->wanted->grid, windows->wanted->node, tape[0], tape[1]);
    *low = tw_windows_low(windows, zone, *wanted);
    *high = *wanted + windows->half;
}
