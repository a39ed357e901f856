/*
 * slopes.c: how a map's mass answers to each measured length, by building form, grid and map again
 * with that length changed by the bound it was measured to. Both masses come from the same coarse
 * grid, so that its own error goes out of their difference.
 *
 * Sheet keeps its thickness and a forged map is tapered again; a map from readings keeps its thickness
 * at every tape coordinate, as the readings stay where the tape found them.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

/* Cells along the longer tape side, the first that can hold the plate: on coarser ones a strike zone
 * may lie between nodes. */
static const size_t grids[] = {48, 96, 192};
enum { GRIDS = sizeof grids / sizeof *grids };

/* Steps tried, as parts of the bound: a form may not be possible on one side of where it is. */
static const double steps[] = {1, -1, 0.125, -0.125};
enum { STEPS = sizeof steps / sizeof *steps };

typedef struct work {
    const tw_lengths *lengths;
    const tw_plate *plate;
    const tw_plate_map *map;
    size_t cells;
    double bound;      /* [mm] */
    double mass;       /* unchanged, on the coarse grid [g] */
    double *slope;     /* one per length [g/mm] */
    tw_status *status; /* one per length */
    tw_error *errors;
} work;

static tw_status carry_readings(const tw_plate *plate, const tw_plate_map *map, const tw_grid *grid,
                                tw_arena *arena, tw_map *out, tw_error *err)
{
    out->node = tw_arena_array(arena, grid->nu * grid->nv, sizeof *out->node);
    out->cell = tw_arena_array(arena, tw_grid_cells(grid), sizeof *out->cell);
    if (!out->node || !out->cell)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a coarse map");
    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++)
            out->node[j * grid->nu + i] = tw_grid_sample(
                plate->grid, map->map.node, tw_grid_across(grid, i), tw_grid_up(grid, j));
    tw_grid_to_cells(grid, out->node, out->cell);
    return TW_OK;
}

static tw_status mass_of_map(const tw_grid *grid, const tw_map *map, const tw_profile *profile,
                             tw_arena *arena, double *mass, tw_error *err)
{
    const size_t cells = tw_grid_cells(grid);
    double *volume = tw_arena_array(arena, cells, sizeof *volume);
    tw_sum sum = {0, 0};

    if (!volume)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a coarse map");
    tw_cell_volumes(grid, map->cell, map->node, profile->face, volume);
    for (size_t k = 0; k < cells; k++)
        tw_sum_add(&sum, volume[k]);
    *mass = tw_sum_value(&sum) * profile->density;
    if (!isfinite(*mass))
        return tw_fail(err, TW_ERR_SHAPE, "the changed form has no mass");
    return TW_OK;
}

/* Mass [g] of the map's law on a profile's form. One thread: the lengths share the processors. */
static tw_status coarse_mass(const work *w, const tw_profile *profile, double *mass, tw_error *err)
{
    tw_form *form = NULL;
    tw_grid *grid = NULL;
    tw_taper *taper = NULL;
    tw_map map = {0};
    tw_arena *arena = tw_arena_new();
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a coarse form");
    status = tw_form_build(profile, &form, NULL, err);
    if (status == TW_OK)
        status = tw_grid_build(form, w->cells, 1, &grid, err);
    if (status == TW_OK && w->map->map.kind == TW_MAP_SHEET)
        status = tw_map_sheet(grid, profile->sheet.thickness, &map, err);
    if (status == TW_OK && w->map->map.kind == TW_MAP_FORGED) {
        status = tw_taper_build(form, grid, &profile->forged, 1, &taper, err);
        if (status == TW_OK)
            status = tw_map_forged(taper, &map, err);
    }
    if (status == TW_OK && w->map->map.kind == TW_MAP_READINGS)
        status = carry_readings(w->plate, w->map, grid, arena, &map, err);
    if (status == TW_OK)
        status = mass_of_map(grid, &map, profile, arena, mass, err);
    tw_map_release(&map);
    tw_taper_free(taper);
    tw_grid_free(grid);
    tw_form_free(form);
    tw_arena_free(arena);
    return status;
}

static tw_status slope_of(const work *w, size_t k, double *slope, tw_error *err)
{
    const tw_length *length = &w->lengths->items[k];
    tw_status status = TW_ERR_SHAPE;

    for (size_t n = 0; n < STEPS && status != TW_OK && status != TW_ERR_MEMORY; n++) {
        const double step = steps[n] * w->bound;
        tw_arena *arena = tw_arena_new();
        tw_profile changed;
        double mass = NAN;
        if (!arena)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for a changed form");
        status = tw_length_change(w->lengths, length, step, arena, &changed, err);
        if (status == TW_OK)
            status = coarse_mass(w, &changed, &mass, err);
        if (status == TW_OK)
            *slope = (mass - w->mass) / step;
        tw_arena_free(arena);
    }
    if (status != TW_OK)
        tw_error_within(err, "with another %s, for the budget", w->lengths->names[length->row]);
    return status;
}

static void slope_rows(size_t first, size_t last, void *context)
{
    const work *w = context;

    for (size_t k = first; k < last; k++)
        w->status[k] = slope_of(w, k, &w->slope[k], &w->errors[k]);
}

static tw_status choose_grid(work *w, tw_error *err)
{
    tw_status status = TW_ERR_SHAPE;

    for (size_t k = 0; k < GRIDS && status != TW_OK && status != TW_ERR_MEMORY; k++) {
        w->cells = grids[k];
        status = coarse_mass(w, w->lengths->located, &w->mass, err);
    }
    return status;
}

/* A row of one length keeps its sign; of several, measured apart, their grams add as squares. */
static void gather(const work *w, double *slope)
{
    for (size_t r = 0; r < w->lengths->row_count; r++) {
        double square = 0, single = 0;
        size_t n = 0;
        for (size_t k = 0; k < w->lengths->count; k++)
            if (w->lengths->items[k].row == r) {
                single = w->slope[k];
                square += single * single;
                n++;
            }
        slope[r] = n == 1 ? single : sqrt(square);
    }
}

tw_status tw_lengths_slopes(const tw_lengths *lengths, const tw_plate *plate,
                            const tw_plate_map *map, unsigned threads, double *slope, tw_error *err)
{
    work w = {
        .lengths = lengths, .plate = plate, .map = map, .bound = lengths->profile->measured_to};
    tw_arena *arena = tw_arena_new();
    tw_status status = TW_OK;

    assert(w.bound > 0);
    w.slope = arena ? tw_arena_array(arena, lengths->count, sizeof *w.slope) : NULL;
    w.status = arena ? tw_arena_array(arena, lengths->count, sizeof *w.status) : NULL;
    w.errors = arena ? tw_arena_array(arena, lengths->count, sizeof *w.errors) : NULL;
    if (!w.slope || !w.status || !w.errors) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for %zu lengths", lengths->count);
        goto done;
    }
    status = choose_grid(&w, err);
    if (status != TW_OK)
        goto done;
    tw_for_rows(lengths->count, 1, threads, slope_rows, &w);
    for (size_t k = 0; status == TW_OK && k < lengths->count; k++)
        if (w.status[k] != TW_OK) {
            status = w.status[k];
            if (err)
                *err = w.errors[k];
        }
    if (status == TW_OK)
        gather(&w, slope);
done:
    tw_arena_free(arena);
    return status;
}
