/*
 * band.c: the grams that lie within a distance of an edge, over the face: what a plate hides under the
 * next one.
 *
 * The distance is marched from the edge's line. A cell's metal counts by the share of it where the
 * distance, linear between nodes, is within the band: second order. In a cell that the edge itself
 * cuts, the part beyond the edge is no metal: there the distance goes on below zero, and
 * the share is (share within the band − share beyond) / (1 − share beyond).
 */
#include "taperwright/weigh.h"

#include "extra_internal.h"

#include <assert.h>
#include <math.h>

typedef struct band {
    const tw_grid *grid;
    double *distance;                /* nu·nv, below zero just beyond the edge */
    double *share, *beyond, *volume; /* cells */
} band;

static tw_status make(const tw_grid *grid, tw_arena *arena, band *out, tw_error *err)
{
    const size_t cells = tw_grid_cells(grid);

    *out = (band){.grid = grid};
    if (arena) {
        out->distance = tw_arena_array(arena, grid->nu * grid->nv, sizeof *out->distance);
        out->share = tw_arena_array(arena, cells, sizeof *out->share);
        out->beyond = tw_arena_array(arena, cells, sizeof *out->beyond);
        out->volume = tw_arena_array(arena, cells, sizeof *out->volume);
    }
    if (!out->distance || !out->share || !out->beyond || !out->volume)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a band along an edge");
    return TW_OK;
}

/* Distances become levels of the band, below zero in it. Nodes that no path reaches lie outside. */
static void share_cells(band *b, double within)
{
    const tw_grid *grid = b->grid;
    const size_t nodes = grid->nu * grid->nv;
    const double far_off = within + 8 * fmax(grid->across_step, grid->up_step);

    for (size_t n = 0; n < nodes; n++) {
        if (b->distance[n] <= 0 && grid->level[n] > 0)
            b->distance[n] = -grid->level[n];
        if (!isfinite(b->distance[n]))
            b->distance[n] = far_off;
    }
    tw_grid_level_share(grid, b->distance, b->beyond);
    for (size_t n = 0; n < nodes; n++)
        b->distance[n] -= within;
    tw_grid_level_share(grid, b->distance, b->share);
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double beyond = b->beyond[c];
        if (beyond > 0)
            b->share[c] = beyond < 1 ? fmax((b->share[c] - beyond) / (1 - beyond), 0) : 1;
    }
}

static tw_status march(const tw_plate *plate, const tw_edge_line *line, double within, band *b,
                       tw_error *err)
{
    tw_march *march = NULL;
    tw_status status = tw_march_new(b->grid, 1, &march, err);

    if (status == TW_OK) {
        /* some cells farther, so that the band's border is between known nodes */
        tw_march_within(march, within + 8 * fmax(b->grid->across_step, b->grid->up_step));
        status = tw_distance_from_lines(march, plate->form, line, 1, b->distance, err);
    }
    tw_march_free(march);
    return status;
}

tw_status tw_plate_band(const tw_plate *plate, const char *edge, double within, double *mass_g,
                        tw_error *err)
{
    const tw_grid *grid = plate->grid;
    const tw_edge_line *line;
    tw_arena *arena = NULL;
    tw_status status;
    band b;

    assert(plate && edge && mass_g);
    line = tw_outline_edge(tw_form_outline(plate->form), edge, err);
    if (!line)
        return TW_ERR_KEY;
    if (!(within >= 0) || !isfinite(within))
        return tw_fail(err, TW_ERR_DOMAIN, "a band of %g mm along edge %s is not possible", within,
                       edge);
    arena = tw_arena_new();
    status = make(grid, arena, &b, err);
    if (status == TW_OK)
        status = march(plate, line, within, &b, err);
    if (status != TW_OK)
        goto done;
    share_cells(&b, within);
    for (size_t k = 0; k < plate->map_count; k++) {
        const tw_map *map = &plate->maps[k].map;
        tw_sum sum = {0, 0};

        tw_cell_volumes(grid, map->cell, map->node, plate->profile->face, b.volume);
        for (size_t c = 0; c < tw_grid_cells(grid); c++)
            if (b.share[c] > 0)
                tw_sum_add(&sum, b.share[c] * b.volume[c]);
        mass_g[k] = plate->profile->density * tw_sum_value(&sum);
    }
done:
    tw_arena_free(arena);
    return status;
}
