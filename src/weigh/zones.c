/*
 * zones.c: the plate's metal shared out: to zones of the report, to cells, and as a function of an
 * even thickness. The rule and its derivation stand in cell.c.
 *
 * A crease piece belongs half to the cell on its left and half to the one on its right, and through
 * them to their zones, so that the parts sum to the whole.
 */
#include "weigh_internal.h"

#include <assert.h>
#include <math.h>

typedef struct zone_sums {
    tw_sum area, volume, bulk; /* bulk: area × thickness */
} zone_sums;

static void add_to(zone_sums *zone, double share, double area, double volume, double t)
{
    tw_sum_add(&zone->area, share * area);
    tw_sum_add(&zone->volume, share * volume);
    tw_sum_add(&zone->bulk, share * area * t);
}

/* Gives a cell's metal, or half a crease's, to the zones that the cell lies in. */
static void share_out(const tw_zones *zones, size_t cell, double area, double volume, double t,
                      zone_sums *sums)
{
    const double share = (double)zones->share[cell];

    add_to(&sums[zones->first[cell]], share, area, volume, t);
    if (share < 1)
        add_to(&sums[zones->second[cell]], 1 - share, area, volume, t);
}

tw_status tw_weigh_zones(const tw_grid *grid, const double *thickness, const double *node,
                         tw_face_side face, double density, const tw_zones *zones,
                         tw_zone_weight *out, tw_error *err)
{
    const tw_rule rule = tw_rule_of(face);
    const size_t cells = tw_grid_cells(grid);
    tw_fault fault = tw_fault_none();
    tw_arena *arena = NULL;
    zone_sums *sums;
    tw_status status;

    assert(thickness && zones && zones->count > 0);
    status = tw_inputs_check(grid, node, density, err);
    if (status != TW_OK)
        return status;
    tw_cells_examine(grid, thickness, &rule, 0, cells, &fault);
    status = tw_fault_tell(&fault, grid, thickness, &rule, err);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    sums = arena ? tw_arena_array(arena, zones->count, sizeof *sums) : NULL;
    if (!sums) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory to weigh zones");
        goto done;
    }
    for (size_t k = 0; k < cells; k++) {
        const double area = grid->area[k], t = thickness[k];
        if (area > 0)
            share_out(
                zones, k, area,
                area * tw_layer_volume(&rule, grid->mean_curvature[k], grid->gauss_curvature[k], t),
                t, sums);
    }
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        if (tw_crease_mitred(grid, crease)) {
            const double t = tw_crease_thickness(grid, crease, node);
            const double half = 0.5 * tw_crease_volume(crease, &rule, t);
            share_out(zones, crease->left_cell, 0, half, t, sums);
            share_out(zones, crease->right_cell, 0, half, t, sums);
        }
    }
    for (size_t z = 0; z < zones->count; z++) {
        const double area = tw_sum_value(&sums[z].area);
        out[z] = (tw_zone_weight){.zone = zones->names[z],
                                  .area_mm2 = area,
                                  .mass_g = tw_sum_value(&sums[z].volume) * density,
                                  .mean_thickness_mm =
                                      area > 0 ? tw_sum_value(&sums[z].bulk) / area : 0};
    }
done:
    tw_arena_free(arena);
    return status;
}

void tw_cell_volumes(const tw_grid *grid, const double *thickness, const double *node,
                     tw_face_side face, double *volume)
{
    const tw_rule rule = tw_rule_of(face);
    const size_t cells = tw_grid_cells(grid);

    for (size_t k = 0; k < cells; k++)
        volume[k] = grid->area[k] > 0
                        ? grid->area[k] * tw_layer_volume(&rule, grid->mean_curvature[k],
                                                          grid->gauss_curvature[k], thickness[k])
                        : 0;
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        if (tw_crease_mitred(grid, crease)) {
            const double t = tw_crease_thickness(grid, crease, node);
            const double half = 0.5 * tw_crease_volume(crease, &rule, t);
            volume[crease->left_cell] += half;
            volume[crease->right_cell] += half;
        }
    }
}

void tw_sheet_volume(const tw_grid *grid, tw_face_side face, double coefficient[3])
{
    const tw_rule rule = tw_rule_of(face);
    const size_t cells = tw_grid_cells(grid);
    tw_sum area = {0, 0}, mean = {0, 0}, gauss = {0, 0};

    for (size_t k = 0; k < cells; k++)
        if (grid->area[k] > 0) {
            tw_sum_add(&area, grid->area[k]);
            tw_sum_add(&mean, grid->area[k] * grid->mean_curvature[k]);
            tw_sum_add(&gauss, grid->area[k] * grid->gauss_curvature[k]);
        }
    for (size_t k = 0; k < grid->crease_count; k++) /* a crease is mean curvature in one line */
        if (tw_crease_mitred(grid, &grid->creases[k]))
            tw_sum_add(&mean, grid->creases[k].length * tan(0.5 * grid->creases[k].turn));
    coefficient[0] = tw_sum_value(&area);
    coefficient[1] = tw_sum_value(&mean) * rule.power[2];
    coefficient[2] = tw_sum_value(&gauss) * rule.power[3] / 3;
}
