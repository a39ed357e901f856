/*
 * plate.c: from a profile to weighed maps, and how fine a grid that takes.
 *
 * Each grid is the whole way again: face, distances, maps, weights. Grids of n, n/2 and n/4 cells
 * give the numerical error. When their masses close in at an observed order p of 1.5 to 3.5 it is
 * Richardson's, |m(n) − m(n/2)| / (2ᵖ − 1), p = log₂((m(n/2) − m(n/4)) / (m(n) − m(n/2))); else 1.25
 * times the largest difference between them. Source: P. J. Roache, "Perspective: a method for
 * uniform reporting of grid refinement studies", J. Fluids Eng. 116 (1994); the bounds on p are
 * common practice.
 *
 * A coarse grid may not be able to hold the shape (a strike zone between its nodes, a fold that
 * only its large steps see): that is no fault of the plate, so it is left out of the estimate. Only
 * the finest grid's faults are told.
 *
 * Readings are fitted once, on a grid of their own, and the fit is carried to every other grid: it
 * hangs on places in space and thicknesses alone, and 2000 readings take longer than a grid does.
 */
#include "taperwright/weigh.h"

#include "plate_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* Tried one after the other when the caller does not choose; each half and quarter that is on the
 * list already was made before. The last costs seconds, so finer ones are left to the caller. */
static const size_t ladder[] = {128, 192, 256, 384, 512, 768, 1024};
enum { LADDER_COUNT = sizeof ladder / sizeof *ladder, RECORDS_MAX = 3 * LADDER_COUNT };
static const double ERROR_WANTED = 2e-4; /* of the mass */
/* For the fit of readings: distances from edges, and from a taper's sources, are good to some
 * hundredths of a millimetre there. */
enum { SURVEY_CELLS = 256 };

typedef struct record {
    size_t cells;
    double mass[TW_PLATE_MAPS_MAX]; /* NaN where the grid could not hold the plate */
} record;

typedef struct work {
    const tw_profile *profile;
    tw_plate_options options;
    tw_plate *plate;
    size_t record_count;
    record records[RECORDS_MAX];
    double share_from, share_to; /* of the whole work, for the grid in hand */
} work;

double tw_numerical_error(const double mass[3])
{
    const double coarse = mass[1] - mass[0], fine = mass[2] - mass[1];
    const double order = log2(coarse / fine);

    if (order >= 1.5 && order <= 3.5) /* false for NaN, and for differences of unlike sign */
        return fabs(fine) / (exp2(order) - 1);
    /* fmax() passes over a NaN */
    return 1.25 * fmax(fmax(fabs(coarse), fabs(fine)), fabs(mass[2] - mass[0]));
}

/* ---- one grid ------------------------------------------------------------------------------ */

static tw_status tell(const work *w, const char *step, double part, tw_error *err)
{
    const double share = w->share_from + part * (w->share_to - w->share_from);

    if (w->options.progress && !w->options.progress(step, share, w->options.progress_context))
        return tw_fail(err, TW_ERR_INTERRUPTED, "stopped before the step: %s", step);
    return TW_OK;
}

static void clear_grid(tw_plate *plate)
{
    for (size_t k = 0; k < plate->map_count; k++)
        tw_map_release(&plate->maps[k].map);
    plate->map_count = 0;
    if (plate->survey)
        tw_survey_move(plate->survey, NULL, NULL);
    tw_zones_release(&plate->zones);
    tw_taper_free(plate->taper);
    tw_grid_free(plate->grid);
    plate->taper = NULL;
    plate->grid = NULL;
}

static tw_status make_forged(work *w, tw_error *err)
{
    tw_plate *plate = w->plate;
    tw_status status = tell(w, "distances", 0.3, err);

    if (status == TW_OK)
        status = tw_taper_build(plate->form, plate->grid, &w->profile->forged, w->options.threads,
                                &plate->taper, err);
    if (status == TW_OK)
        status = tell(w, "thickness", 0.7, err);
    if (status == TW_OK)
        status = tw_map_forged(plate->taper, &plate->maps[plate->map_count].map, err);
    if (status == TW_OK)
        plate->map_count++;
    return status;
}

static tw_status make_readings(work *w, tw_error *err)
{
    tw_plate *plate = w->plate;
    tw_status status = tell(w, "readings", 0.8, err);

    if (status != TW_OK)
        return status;
    tw_survey_move(plate->survey, plate->grid, plate->taper);
    status =
        tw_map_readings(plate->survey, w->options.threads, &plate->maps[plate->map_count].map, err);
    if (status == TW_OK)
        plate->map_count++;
    return status;
}

static tw_status make_image(work *w, tw_error *err)
{
    tw_plate *plate = w->plate;
    const tw_status status =
        tw_map_image(plate->form, plate->grid, &w->profile->image, w->options.threads,
                     &plate->maps[plate->map_count].map, err);

    if (status == TW_OK)
        plate->map_count++;
    return status;
}

static tw_status make_maps(work *w, tw_error *err)
{
    const tw_profile *profile = w->profile;
    tw_plate *plate = w->plate;
    tw_status status = TW_OK;

    if (profile->has_sheet) {
        status = tw_map_sheet(plate->grid, profile->sheet.thickness,
                              &plate->maps[plate->map_count].map, err);
        if (status != TW_OK) {
            if (err && err->line == 0 && profile->sheet_place.line != 0)
                tw_profile_place(profile, profile->sheet_place, err);
            return status;
        }
        plate->map_count++;
    }
    if (profile->has_forged)
        status = make_forged(w, err);
    if (status == TW_OK && plate->survey)
        status = make_readings(w, err);
    if (status == TW_OK && profile->has_image)
        status = make_image(w, err);
    return status;
}

/* Model the plate on one grid and weigh every map; what was there before is freed. */
static tw_status model(work *w, size_t cells, tw_error *err)
{
    tw_plate *plate = w->plate;
    tw_status status;

    clear_grid(plate);
    status = tell(w, "grid", 0, err);
    if (status == TW_OK)
        status = tw_grid_build(plate->form, cells, w->options.threads, &plate->grid, err);
    if (status == TW_OK)
        status = make_maps(w, err);
    if (status == TW_OK)
        status = tell(w, "weight", 0.9, err);
    for (size_t k = 0; status == TW_OK && k < plate->map_count; k++) {
        tw_plate_map *item = &plate->maps[k];
        status = tw_weigh(plate->grid, item->map.cell, item->map.node, w->profile->face,
                          w->profile->density, w->options.threads, &item->weight, err);
        if (status != TW_OK)
            tw_error_within(err, "in the %s map", tw_map_word(item->map.kind));
    }
    return status;
}

static const record *find_record(const work *w, size_t cells)
{
    for (size_t k = 0; k < w->record_count; k++)
        if (w->records[k].cells == cells)
            return &w->records[k];
    return NULL;
}

/* Remember the masses of the grid in hand; `whole` false when it could not hold the plate. */
static void remember(work *w, size_t cells, bool whole)
{
    record *item;

    assert(w->record_count < RECORDS_MAX);
    item = &w->records[w->record_count++];
    item->cells = cells;
    for (size_t k = 0; k < TW_PLATE_MAPS_MAX; k++)
        item->mass[k] =
            whole && k < w->plate->map_count ? w->plate->maps[k].weight.mass_g : (double)NAN;
}

/* ---- three grids --------------------------------------------------------------------------- */

/* Sees to it that the masses of a coarser grid are known. */
static tw_status want_coarse(work *w, size_t cells, tw_error *err)
{
    tw_error found;
    tw_status status;

    if (cells < TW_GRID_MIN || find_record(w, cells))
        return TW_OK;
    status = model(w, cells, &found);
    if (status != TW_OK && status != TW_ERR_SHAPE) {
        if (err)
            *err = found;
        return status;
    }
    remember(w, cells, status == TW_OK);
    return TW_OK;
}

/* Models the plate on `cells` and two coarser grids; leaves the finest in the plate.
 * worst: largest error of the maps, as part of their mass; NaN when there is nothing to compare */
static tw_status three_grids(work *w, size_t cells, double *worst, tw_error *err)
{
    const double from = w->share_from, to = w->share_to;
    const record *quarter, *half;
    tw_status status;

    w->share_to = from + (to - from) / 21; /* cells go as 1 : 4 : 16 */
    status = want_coarse(w, cells / 4, err);
    w->share_from = w->share_to;
    w->share_to = from + (to - from) * 5 / 21;
    if (status == TW_OK)
        status = want_coarse(w, cells / 2, err);
    w->share_from = w->share_to;
    w->share_to = to;
    if (status == TW_OK)
        status = model(w, cells, err);
    if (status != TW_OK)
        return status;
    if (!find_record(w, cells))
        remember(w, cells, true);
    quarter = find_record(w, cells / 4);
    half = find_record(w, cells / 2);
    *worst = 0;
    for (size_t k = 0; k < w->plate->map_count; k++) {
        tw_weight *weight = &w->plate->maps[k].weight;
        const double mass[3] = {quarter ? quarter->mass[k] : (double)NAN,
                                half ? half->mass[k] : (double)NAN, weight->mass_g};
        double part;

        weight->numerical_error_g = tw_numerical_error(mass);
        part = weight->numerical_error_g / weight->mass_g;
        if (isnan(part) || part > *worst)
            *worst = part;
    }
    return TW_OK;
}

static void note_error(work *w, size_t cells, double worst)
{
    tw_error note;

    if (isnan(worst)) {
        tw_fail(&note, TW_OK,
                "the numerical error is not known: grids coarser than %zu cells "
                "cannot hold this plate",
                cells);
        tw_error_advise(&note, NULL, "ask for a grid of %zu cells or more", 4 * cells);
    } else {
        tw_fail(&note, TW_OK, "the numerical error is %.2g %% on the finest usual grid, %zu cells",
                100 * worst, cells);
        tw_error_advise(&note, NULL, "ask for a grid of up to %d cells for a smaller one",
                        (int)TW_GRID_MAX);
    }
    tw_notes_add(&w->plate->notes, &note);
}

static tw_status choose_grid(work *w, tw_error *err)
{
    const size_t chosen = w->options.cells;
    double worst = NAN;
    tw_status status;

    if (chosen > 0) {
        w->share_to = 1;
        status = three_grids(w, chosen, &worst, err);
        if (status == TW_OK && isnan(worst))
            note_error(w, chosen, worst);
        return status;
    }
    for (size_t k = 0; k < LADDER_COUNT; k++) {
        w->share_from = (double)k / LADDER_COUNT;
        w->share_to = (double)(k + 1) / LADDER_COUNT;
        status = three_grids(w, ladder[k], &worst, err);
        if (status != TW_OK || worst < ERROR_WANTED)
            return status;
    }
    note_error(w, ladder[LADDER_COUNT - 1], worst);
    return TW_OK;
}

/* ---- readings ------------------------------------------------------------------------------ */

static tw_status fit_on(work *w, size_t cells, bool *holds, tw_error *err)
{
    tw_plate *plate = w->plate;
    tw_grid *grid = NULL;
    tw_taper *taper = NULL;
    tw_status status = tw_grid_build(plate->form, cells, w->options.threads, &grid, err);

    if (status == TW_OK && w->profile->readings.trend == TW_TREND_FORGED && w->profile->has_forged)
        status =
            tw_taper_build(plate->form, grid, &w->profile->forged, w->options.threads, &taper, err);
    *holds = status != TW_ERR_SHAPE;
    if (status == TW_OK)
        status =
            tw_survey_build(plate->form, grid, &w->profile->readings, taper, &plate->survey, err);
    if (plate->survey)
        tw_survey_move(plate->survey, NULL, NULL);
    tw_taper_free(taper);
    tw_grid_free(grid);
    return status;
}

static tw_status fit_readings(work *w, tw_error *err)
{
    bool holds;
    tw_status status = tell(w, "readings", 0, err);

    if (status != TW_OK)
        return status;
    status = fit_on(w, SURVEY_CELLS, &holds, err);
    if (!holds && w->options.cells > SURVEY_CELLS) /* a zone between its nodes */
        status = fit_on(w, w->options.cells, &holds, err);
    return status;
}

/* Only on the grid that is kept: standard deviations cost far more than means. */
static tw_status spread_readings(work *w, tw_error *err)
{
    const tw_status status = tell(w, "how sure the readings are", 1, err);

    return status == TW_OK ? tw_survey_spread(w->plate->survey, w->options.threads, err) : status;
}

static tw_status weigh_zones(work *w, tw_error *err)
{
    tw_plate *plate = w->plate;
    tw_status status = tell(w, "zones", 1, err);

    if (status == TW_OK)
        status = plate->taper ? tw_zones_build(plate->taper, &plate->zones, err)
                              : tw_zones_plain(plate->grid, &plate->zones, err);
    for (size_t k = 0; status == TW_OK && k < plate->map_count; k++) {
        tw_plate_map *item = &plate->maps[k];
        item->zones = tw_arena_array(plate->arena, plate->zones.count, sizeof *item->zones);
        if (!item->zones)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for the weights of %zu zones",
                           plate->zones.count);
        status = tw_weigh_zones(plate->grid, item->map.cell, item->map.node, w->profile->face,
                                w->profile->density, &plate->zones, item->zones, err);
    }
    return status;
}

/* ---- the plate ----------------------------------------------------------------------------- */

static tw_status check_request(const tw_profile *profile, size_t cells, tw_error *err)
{
    tw_status status;

    if (profile->form == TW_FORM_NONE) {
        status = tw_fail(err, TW_ERR_INPUT, "the profile gives no form");
        tw_error_advise(err, NULL, "add form: flat, or form: with a bowl or a loft");
        return status;
    }
    if (!profile->has_sheet && !profile->has_forged && !profile->has_readings &&
        !profile->has_image) {
        status = tw_fail(err, TW_ERR_INPUT, "the profile gives no thickness");
        tw_error_advise(err, NULL, "add thickness: with sheet:, forged:, readings: or image:");
        return status;
    }
    if (cells != 0 && (cells < TW_GRID_MIN || cells > TW_GRID_MAX)) {
        status = tw_fail(err, TW_ERR_DOMAIN, "a grid of %zu cells is out of range", cells);
        tw_error_advise(err, NULL, "choose %d to %d cells along the longer side", (int)TW_GRID_MIN,
                        (int)TW_GRID_MAX);
        return status;
    }
    return TW_OK;
}

tw_status tw_plate_build(const tw_profile *profile, const tw_plate_options *options, tw_plate **out,
                         tw_error *err)
{
    work w = {.profile = profile};
    tw_arena *arena = NULL;
    tw_status status;

    assert(profile && out);
    if (options)
        w.options = *options;
    status = check_request(profile, w.options.cells, err);
    if (status != TW_OK)
        goto done;
    arena = tw_arena_new();
    w.plate = arena ? tw_arena_array(arena, 1, sizeof *w.plate) : NULL;
    if (!w.plate) {
        tw_arena_free(arena);
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a plate");
        goto done;
    }
    w.plate->arena = arena;
    w.plate->profile = profile;
    status = tell(&w, "form", 0, err);
    if (status == TW_OK)
        status = tw_form_build(profile, &w.plate->form, &w.plate->notes, err);
    if (status == TW_OK && profile->has_readings)
        status = fit_readings(&w, err);
    if (status == TW_OK)
        status = choose_grid(&w, err);
    if (status == TW_OK)
        status = weigh_zones(&w, err);
    if (status == TW_OK && w.plate->survey)
        status = spread_readings(&w, err);
    if (status == TW_OK) {
        *out = w.plate;
        w.plate = NULL;
    }
done:
    if (status != TW_OK && profile->plate)
        tw_error_within(err, "in plate %s", profile->plate);
    tw_plate_free(w.plate);
    return status;
}

void tw_plate_free(tw_plate *plate)
{
    if (!plate)
        return;
    clear_grid(plate);
    tw_survey_free(plate->survey);
    tw_form_free(plate->form);
    tw_arena_free(plate->arena);
}

const tw_plate_map *tw_plate_map_of(const tw_plate *plate, tw_map_kind kind)
{
    for (size_t k = 0; k < plate->map_count; k++)
        if (plate->maps[k].map.kind == kind)
            return &plate->maps[k];
    return NULL;
}
