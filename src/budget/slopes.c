/*
 * slopes.c: how the masses of a plate's maps answer to each measured length, by building form, grid
 * and maps again with that length changed by the bound it was measured to. Both masses come from the
 * same coarse grid, so that its own error goes out of their difference. Form and grid are the dear
 * part, so each is built once for all maps.
 *
 * Sheet keeps its thickness and a forged map is tapered again; a map from readings or a picture keeps its
 * thickness at every tape coordinate, as they stay where the tape found them.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Cells along the longer tape side, the first that can hold the plate: on coarser ones a strike zone
 * may lie between nodes. */
static const size_t grids[] = {32, 64, 128};
enum { GRIDS = sizeof grids / sizeof *grids };

/* Steps tried, as parts of the bound: a form may not be possible on one side of where it is. */
static const double steps[] = {1, -1, 0.125, -0.125};
enum { STEPS = sizeof steps / sizeof *steps };

enum { MAPS = TW_PLATE_MAPS_MAX };
/** What came of weighing every wanted map on one changed form. */
typedef struct masses {
    tw_status status[MAPS];
    double mass[MAPS]; /* [g] */
    tw_error error[MAPS];
} masses;

typedef struct work {
    const tw_lengths *lengths;
    const tw_plate *plate;
    bool wanted[MAPS];
    size_t cells;
    double bound;          /* [mm] */
    double mass[MAPS];     /* unchanged, on the coarse grid [g] */
    double (*slope)[MAPS]; /* one row per length [g/mm] */
    tw_status (*status)[MAPS];
    tw_error (*errors)[MAPS];
} work;

static tw_status carry_map(const tw_plate *plate, const tw_plate_map *map, const tw_grid *grid,
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

static tw_status make_map(const work *w, const tw_plate_map *map, const tw_profile *profile,
                          const tw_form *form, const tw_grid *grid, unsigned threads,
                          tw_arena *arena, tw_map *out, tw_taper **taper, tw_error *err)
{
    tw_status status;

    switch (map->map.kind) {
    case TW_MAP_SHEET:
        return tw_map_sheet(grid, profile->sheet.thickness, out, err);
    case TW_MAP_FORGED:
        status = tw_taper_build(form, grid, &profile->forged, threads, taper, err);
        return status == TW_OK ? tw_map_forged(*taper, out, err) : status;
    case TW_MAP_READINGS:
    case TW_MAP_IMAGE:
        return carry_map(w->plate, map, grid, arena, out, err);
    case TW_MAP_AS_FORMED: /* none of a plate's own maps */
        break;
    }
    assert(false && "a kind of map");
    return TW_ERR_SHAPE;
}

static tw_status weigh_map(const work *w, const tw_plate_map *map, const tw_profile *profile,
                           const tw_form *form, const tw_grid *grid, unsigned threads, double *mass,
                           tw_error *err)
{
    tw_taper *taper = NULL;
    tw_map made = {0};
    tw_arena *arena = tw_arena_new();
    tw_status status =
        arena ? make_map(w, map, profile, form, grid, threads, arena, &made, &taper, err)
              : tw_fail(err, TW_ERR_MEMORY, "no memory for a coarse map");

    if (status == TW_OK)
        status = mass_of_map(grid, &made, profile, arena, mass, err);
    tw_map_release(&made);
    tw_taper_free(taper);
    tw_arena_free(arena);
    return status;
}

/* Weigh the maps in `missing` on a profile's form. */
static void coarse_masses(const work *w, const tw_profile *profile, const bool missing[MAPS],
                          unsigned threads, masses *out)
{
    tw_form *form = NULL;
    tw_grid *grid = NULL;
    tw_error err;
    tw_status status = tw_form_build(profile, &form, NULL, &err);

    if (status == TW_OK)
        status = tw_grid_build(form, w->cells, threads, &grid, &err);
    for (size_t m = 0; m < w->plate->map_count; m++) {
        if (!missing[m])
            continue;
        out->status[m] = status;
        if (status == TW_OK)
            out->status[m] = weigh_map(w, &w->plate->maps[m], profile, form, grid, threads,
                                       &out->mass[m], &out->error[m]);
        else
            out->error[m] = err;
    }
    tw_grid_free(grid);
    tw_form_free(form);
}

/* Maps still without an answer that another try may give. */
static bool left_to_try(const work *w, const tw_status status[MAPS], bool missing[MAPS])
{
    bool any = false;

    for (size_t m = 0; m < w->plate->map_count; m++) {
        missing[m] = w->wanted[m] && status[m] != TW_OK && status[m] != TW_ERR_MEMORY;
        any = any || missing[m];
    }
    return any;
}

static void no_memory(const bool missing[MAPS], tw_status status[MAPS], tw_error error[MAPS])
{
    for (size_t m = 0; m < MAPS; m++)
        if (missing[m])
            status[m] = tw_fail(&error[m], TW_ERR_MEMORY, "no memory for a changed form");
}

/* One length. One thread: the lengths share the processors. */
static void slopes_of(const work *w, size_t k)
{
    const tw_length *length = &w->lengths->items[k];
    masses *found = malloc(sizeof *found);
    bool missing[MAPS] = {false};

    for (size_t m = 0; m < MAPS; m++)
        w->status[k][m] = TW_ERR_SHAPE;
    for (size_t n = 0; n < STEPS && left_to_try(w, w->status[k], missing); n++) {
        const double step = steps[n] * w->bound;
        tw_arena *arena = found ? tw_arena_new() : NULL;
        tw_profile changed;
        tw_error err;
        if (!arena || tw_length_change(w->lengths, length, step, arena, &changed, &err) != TW_OK) {
            no_memory(missing, w->status[k], w->errors[k]);
            tw_arena_free(arena);
            break;
        }
        coarse_masses(w, &changed, missing, 1, found);
        for (size_t m = 0; m < w->plate->map_count; m++) {
            if (!missing[m])
                continue;
            w->status[k][m] = found->status[m];
            w->errors[k][m] = found->error[m];
            w->slope[k][m] = (found->mass[m] - w->mass[m]) / step;
        }
        tw_arena_free(arena);
    }
    free(found);
}

static void slope_rows(size_t first, size_t last, void *context)
{
    for (size_t k = first; k < last; k++)
        slopes_of(context, k);
}

/* The first grid that holds a map weighs it; a map that none holds has an error. All maps share the
 * grid that the last of them needs. */
static tw_status choose_grid(work *w, unsigned threads, tw_slopes *slopes, tw_error *err)
{
    masses *found = malloc(sizeof *found);
    bool held = false, refused = false; /* a finer grid is no answer to a want of memory */

    if (!found)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a coarse form");
    for (size_t k = 0; k < GRIDS && !held && !refused; k++) {
        w->cells = grids[k];
        coarse_masses(w, w->lengths->located, w->wanted, threads, found);
        held = true;
        for (size_t m = 0; m < w->plate->map_count; m++) {
            held = held && (!w->wanted[m] || found->status[m] == TW_OK);
            refused = refused || (w->wanted[m] && found->status[m] == TW_ERR_MEMORY);
        }
    }
    for (size_t m = 0; m < w->plate->map_count; m++) {
        if (!w->wanted[m])
            continue;
        w->mass[m] = found->mass[m];
        slopes->error[m].status = found->status[m];
        if (found->status[m] != TW_OK) {
            slopes->error[m] = found->error[m];
            w->wanted[m] = false;
        }
    }
    free(found);
    return TW_OK;
}

/* A row of one length keeps its sign; of several, measured apart, their grams add as squares. */
static void gather(const work *w, size_t map, double *slope)
{
    for (size_t r = 0; r < w->lengths->row_count; r++) {
        double square = 0, single = 0;
        size_t n = 0;
        for (size_t k = 0; k < w->lengths->count; k++)
            if (w->lengths->items[k].row == r) {
                single = w->slope[k][map];
                square += single * single;
                n++;
            }
        slope[r] = n == 1 ? single : sqrt(square);
    }
}

/* The first length, in the order of rows, that a map has no slope for. */
static void find_fault(const work *w, size_t map, tw_error *error)
{
    for (size_t k = 0; k < w->lengths->count; k++)
        if (w->status[k][map] != TW_OK) {
            *error = w->errors[k][map];
            tw_error_within(error, "with another %s, for the budget",
                            w->lengths->names[w->lengths->items[k].row]);
            return;
        }
}

tw_status tw_lengths_slopes(const tw_lengths *lengths, const tw_plate *plate, unsigned threads,
                            tw_arena *arena, tw_slopes *slopes, tw_error *err)
{
    work w = {.lengths = lengths, .plate = plate, .bound = lengths->profile->measured_to};
    tw_status status;

    assert(w.bound > 0);
    w.slope = tw_arena_array(arena, lengths->count, sizeof *w.slope);
    w.status = tw_arena_array(arena, lengths->count, sizeof *w.status);
    w.errors = tw_arena_array(arena, lengths->count, sizeof *w.errors);
    if (!w.slope || !w.status || !w.errors)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu lengths", lengths->count);
    for (size_t m = 0; m < plate->map_count; m++) {
        w.wanted[m] = slopes->wanted[m];
        slopes->slope[m] = tw_arena_array(arena, lengths->row_count, sizeof *slopes->slope[m]);
        if (!slopes->slope[m])
            return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu lengths", lengths->row_count);
    }
    status = choose_grid(&w, threads, slopes, err);
    if (status != TW_OK)
        return status;
    tw_for_rows(lengths->count, 1, threads, slope_rows, &w);
    for (size_t m = 0; m < plate->map_count; m++) {
        if (!w.wanted[m])
            continue;
        find_fault(&w, m, &slopes->error[m]);
        gather(&w, m, slopes->slope[m]);
        if (slopes->error[m].status == TW_ERR_MEMORY) {
            if (err)
                *err = slopes->error[m];
            return TW_ERR_MEMORY;
        }
    }
    return TW_OK;
}
