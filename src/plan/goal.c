/*
 * goal.c: the thickness wanted at each stage of the work. Losses are even over the plate: a finished
 * place of thickness t was t + polish when hammering ended, and that and scale before any of it burnt
 * off, each on both sides.
 */
#include "plan_internal.h"

#include <assert.h>
#include <string.h>

/* The map with so much more everywhere, in an arena that outlives it. */
static tw_status thicker(const tw_map *map, double more, tw_arena *arena, tw_map *out,
                         tw_error *err)
{
    const size_t nodes = map->grid->nu * map->grid->nv, cells = tw_grid_cells(map->grid);
    double *node = tw_arena_array(arena, nodes, sizeof *node);
    double *cell = tw_arena_array(arena, cells, sizeof *cell);

    if (!node || !cell)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a goal");
    for (size_t n = 0; n < nodes; n++)
        node[n] = map->node[n] + more;
    for (size_t n = 0; n < cells; n++)
        cell[n] = map->cell[n] + more;
    *out = *map;
    out->node = node;
    out->cell = cell;
    out->thinnest += more;
    out->thickest += more;
    out->arena = NULL; /* the goal's own */
    return TW_OK;
}

static tw_status weigh(const tw_plate *plate, const tw_map *map, unsigned threads,
                       const char *stage, tw_weight *out, tw_error *err)
{
    const tw_status status = tw_weigh(plate->grid, map->cell, map->node, plate->profile->face,
                                      plate->profile->density, threads, out, err);

    if (status != TW_OK)
        tw_error_within(err, "%s", stage);
    return status;
}

static tw_status fill(tw_goal *goal, const tw_map *wanted, unsigned threads, tw_error *err)
{
    const double polish = goal->polish_mm, scale = goal->scale_mm;
    tw_weight before;
    tw_status status = thicker(wanted, 0, goal->arena, &goal->map, err);

    if (status == TW_OK)
        status = thicker(wanted, polish, goal->arena, &goal->rough, err);
    if (status == TW_OK)
        status = thicker(wanted, polish + scale, goal->arena, &goal->before, err);
    if (status == TW_OK)
        status =
            weigh(goal->plate, &goal->rough, threads, "before polishing", &goal->rough_weight, err);
    if (status == TW_OK)
        status = weigh(goal->plate, &goal->before, threads, "before scale burns off", &before, err);
    if (status == TW_OK)
        goal->before_g = before.mass_g;
    return status;
}

tw_status tw_goal_make(const tw_plate *plate, const tw_least *least, const tw_stock *stock,
                       unsigned threads, tw_goal *out, tw_error *err)
{
    const tw_plate_map *forged = tw_plate_map_of(plate, TW_MAP_FORGED);
    const tw_profile *profile = plate->profile;
    const tw_losses_spec *losses = &profile->losses;
    const double heats = 2 * (double)losses->heats;
    tw_goal goal = {.plate = plate,
                    .planned = least != NULL,
                    .polish_mm = 2 * losses->polish.value,
                    .polish_u_mm = 2 * losses->polish.uncertainty,
                    .scale_mm = heats * losses->scale.value,
                    .scale_u_mm = heats * losses->scale.uncertainty,
                    .trim_mm = losses->trim.value};
    tw_status status;

    assert(out);
    if (!least && !forged) {
        tw_fail(err, TW_ERR_INPUT, "the profile does not say how thick the plate is to be where");
        tw_error_advise(err, NULL,
                        "give it thickness.forged, with strike zones and edges: \"taperwright new "
                        "loft\" shows how");
        return TW_ERR_INPUT;
    }
    goal.weight = least ? least->weight : forged->weight;
    if (stock)
        goal.stock = *stock;
    else if (profile->stock.thickness > 0)
        goal.stock = profile->stock;
    else if (profile->has_sheet)
        goal.stock = profile->sheet;
    goal.arena = tw_arena_new();
    if (!goal.arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a goal");
    status = fill(&goal, least ? &least->map : &forged->map, threads, err);
    if (status != TW_OK) {
        tw_arena_free(goal.arena);
        return status;
    }
    *out = goal;
    return TW_OK;
}

void tw_goal_release(tw_goal *goal)
{
    if (!goal)
        return;
    tw_arena_free(goal->arena);
    memset(goal, 0, sizeof *goal);
}
