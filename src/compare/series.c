/*
 * series.c: the plate from even sheet to its full taper in even steps, for teaching. Where grams are kept
 * every frame gets as much more or less everywhere as makes it weigh the same: Newton's method on one
 * number, with the mass per thickness of each cell as slope.
 */
#include "taperwright/compare.h"

#include <assert.h>
#include <math.h>

const char *tw_keep_word(tw_keep keep)
{
    switch (keep) {
    case TW_KEEP_GRAMS:
        return "grams";
    case TW_KEEP_STOCK:
        return "stock";
    case TW_KEEP_STRIKE:
        return "strike";
    }
    return "";
}

typedef struct work {
    const tw_plate *plate;
    const tw_map *forged;
    tw_series *series;
    unsigned threads;
    double *slope, *first, *volume; /* of each cell */
} work;

static tw_status first_sheet(const tw_plate *plate, tw_keep keep, unsigned threads, double *sheet,
                             double *mass, tw_error *err)
{
    tw_comparison comparison;
    tw_status status = tw_compare(plate, threads, &comparison, err);

    if (status != TW_OK)
        return status;
    if (keep == TW_KEEP_STOCK && !plate->profile->has_sheet) {
        tw_fail(err, TW_ERR_INPUT, "plate %s gives no sheet of its own to begin with",
                plate->profile->plate);
        tw_error_advise(err, NULL, "add thickness.sheet to the profile, or keep grams or strike");
        return TW_ERR_INPUT;
    }
    *sheet = tw_comparison_row(&comparison, keep == TW_KEEP_GRAMS   ? TW_REASON_SAME_MASS
                                            : keep == TW_KEEP_STOCK ? TW_REASON_STOCK
                                                                    : TW_REASON_STRIKE)
                 ->sheet_mm;
    *mass = comparison.forged->weight.mass_g;
    return TW_OK;
}

static void fill(const work *job, tw_frame_map *frame, double more)
{
    const tw_grid *grid = job->plate->grid;
    const double sheet = job->series->sheet_mm, share = frame->share;

    for (size_t k = 0; k < grid->nu * grid->nv; k++)
        frame->node[k] = sheet + share * (job->forged->node[k] - sheet) + more;
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        frame->cell[k] = sheet + share * (job->forged->cell[k] - sheet) + more;
    frame->thinnest = sheet + share * (job->forged->thinnest - sheet) + more;
    frame->thickest = sheet + share * (job->forged->thickest - sheet) + more;
}

static tw_status weigh(const work *job, tw_frame_map *frame, tw_error *err)
{
    const tw_profile *profile = job->plate->profile;

    return tw_weigh(job->plate->grid, frame->cell, frame->node, profile->face, profile->density,
                    job->threads, &frame->weight, err);
}

static tw_status level_mass(const work *job, tw_frame_map *frame, double wanted, tw_error *err)
{
    enum { TURNS = 4 };
    const tw_profile *profile = job->plate->profile;
    const tw_grid *grid = job->plate->grid;
    double more = 0;
    tw_status status = TW_OK;

    for (int turn = 0; status == TW_OK && turn < TURNS; turn++) {
        const double off = wanted - frame->weight.mass_g;
        tw_sum gain = {0, 0};
        if (fabs(off) <= 1e-9 * wanted)
            break;
        tw_cell_mass_slopes(grid, frame->cell, frame->node, profile->face, profile->density,
                            job->slope);
        for (size_t k = 0; k < tw_grid_cells(grid); k++)
            tw_sum_add(&gain, job->slope[k]);
        more += off / tw_sum_value(&gain);
        fill(job, frame, more);
        status = weigh(job, frame, err);
    }
    return status;
}

static void set_beside_first(const work *job, tw_frame_map *frame)
{
    const tw_profile *profile = job->plate->profile;
    tw_sum gained = {0, 0}, lost = {0, 0};

    tw_cell_volumes(job->plate->grid, frame->cell, frame->node, profile->face, job->volume);
    for (size_t k = 0; k < tw_grid_cells(job->plate->grid); k++) {
        const double more = job->volume[k] - job->first[k];
        tw_sum_add(more > 0 ? &gained : &lost, fabs(more));
    }
    frame->gained_g = tw_sum_value(&gained) * profile->density;
    frame->lost_g = tw_sum_value(&lost) * profile->density;
}

static tw_status make(work *job, double mass, tw_error *err)
{
    tw_series *series = job->series;
    const tw_grid *grid = job->plate->grid;
    const size_t cells = tw_grid_cells(grid), nodes = grid->nu * grid->nv;
    tw_status status = TW_OK;

    job->slope = tw_arena_array(series->arena, cells, sizeof(double));
    job->first = tw_arena_array(series->arena, cells, sizeof(double));
    job->volume = tw_arena_array(series->arena, cells, sizeof(double));
    series->frames = tw_arena_array(series->arena, series->count, sizeof *series->frames);
    if (!job->slope || !job->first || !job->volume || !series->frames)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a series");
    for (size_t k = 0; status == TW_OK && k < series->count; k++) {
        tw_frame_map *frame = &series->frames[k];
        *frame = (tw_frame_map){.share = (double)k / (double)(series->count - 1),
                                .node = tw_arena_array(series->arena, nodes, sizeof(double)),
                                .cell = tw_arena_array(series->arena, cells, sizeof(double))};
        if (!frame->node || !frame->cell)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for a series");
        fill(job, frame, 0);
        status = weigh(job, frame, err);
        if (status == TW_OK && series->keep == TW_KEEP_GRAMS)
            status = level_mass(job, frame, mass, err);
        if (status == TW_OK && k == 0)
            tw_cell_volumes(grid, frame->cell, frame->node, job->plate->profile->face, job->first);
        if (status == TW_OK)
            set_beside_first(job, frame);
    }
    return status;
}

tw_status tw_series_make(const tw_plate *plate, tw_keep keep, size_t count, unsigned threads,
                         tw_series *out, tw_error *err)
{
    tw_series made = {.plate = plate, .keep = keep, .count = count};
    const tw_plate_map *forged = tw_plate_map_of(plate, TW_MAP_FORGED);
    work job = {.plate = plate, .series = &made, .threads = threads};
    double mass = 0;
    tw_status status;

    assert(plate->profile && plate->grid);
    if (count < TW_FRAMES_MIN || count > TW_FRAMES_MAX)
        return tw_fail(err, TW_ERR_DOMAIN, "a series of %zu frames is outside %d to %d", count,
                       TW_FRAMES_MIN, TW_FRAMES_MAX);
    status = first_sheet(plate, keep, threads, &made.sheet_mm, &mass, err);
    if (status != TW_OK)
        return status;
    job.forged = &forged->map;
    made.arena = tw_arena_new();
    status =
        made.arena ? make(&job, mass, err) : tw_fail(err, TW_ERR_MEMORY, "no memory for a series");
    if (status == TW_OK)
        *out = made;
    else
        tw_arena_free(made.arena);
    return status;
}

void tw_series_release(tw_series *series)
{
    if (!series)
        return;
    tw_arena_free(series->arena);
    *series = (tw_series){0};
}
