/*
 * compose.c: what stands in the columns of two pictures: the maps that a plate has, and forged beside
 * sheet (even, or as formed) beside their difference, on one scale.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void percent_text(double percent, char *out, size_t size)
{
    tw_value_text(percent, fabs(percent) < 9.95 ? 0.1 : 1, false, TW_METRIC, out, size);
}

/* A map that varies over the plate: forged, from readings, or from a picture. */
static void varied_column(const tw_plate *plate, const tw_plate_map *item, tw_units units,
                          tw_column *col)
{
    const bool forged = item->map.kind == TW_MAP_FORGED;
    char thin[48], thick[48], mean[48], balance[160];

    snprintf(col->heading, sizeof col->heading, "%s",
             forged                           ? "As forged"
             : item->map.kind == TW_MAP_IMAGE ? "From an image"
                                              : "From readings");
    tw_write_mass(item->weight.mass_g, units, -1, col->grams, sizeof col->grams);
    tw_write_thickness(item->map.thinnest, units, -1, thin, sizeof thin);
    tw_write_thickness(item->map.thickest, units, -1, thick, sizeof thick);
    tw_write_thickness(item->weight.mean_thickness_mm, units, -1, mean, sizeof mean);
    tw_balance_words(plate, item->weight.centroid_mm, units, balance, sizeof balance);
    snprintf(col->words, sizeof col->words,
             forged ? "Hammered from %s at the thickest to %s at the thinnest, %s on average.%s"
                    : "%s at the thickest, %s at the thinnest, %s on average.%s",
             thick, thin, mean, balance);
    col->node = item->map.node;
    col->centroid = item->weight.centroid_mm;
    col->contours = true;
    col->zones = forged;
}

static void sheet_column(const tw_plate *plate, const char *name, const tw_weight *weight,
                         const double *node, tw_units units, tw_column *col)
{
    char balance[160];

    snprintf(col->heading, sizeof col->heading, "As even sheet");
    tw_write_mass(weight->mass_g, units, -1, col->grams, sizeof col->grams);
    tw_balance_words(plate, weight->centroid_mm, units, balance, sizeof balance);
    snprintf(col->words, sizeof col->words, "%s everywhere, as if bent only.%s", name, balance);
    col->node = node;
    col->centroid = weight->centroid_mm;
}

/* The sheet that a row of a comparison is about, as it is named. */
static tw_stock stock_of(const tw_plate *plate, const tw_against *row)
{
    const tw_stock *own = &plate->profile->sheet, *near = &row->nearest_stock;

    if (row->reason == TW_REASON_STOCK || (row->map && plate->profile->has_sheet))
        return *own;
    return row->map ? *near : (tw_stock){.thickness = row->sheet_mm};
}

static void formed_column(const tw_plate *plate, const tw_against *row, tw_units units,
                          tw_column *col)
{
    const tw_stock stock = stock_of(plate, row);
    char name[64], thin[48], mean[48], balance[160];
    char *size;

    tw_stock_write(&stock, units, name, sizeof name);
    tw_write_mass(row->weight.mass_g, units, -1, col->grams, sizeof col->grams);
    tw_write_thickness(row->thinnest_mm, units, -1, thin, sizeof thin);
    tw_write_thickness(row->weight.mean_thickness_mm, units, -1, mean, sizeof mean);
    tw_balance_words(plate, row->weight.centroid_mm, units, balance, sizeof balance);
    snprintf(
        col->words, sizeof col->words,
        "Formed from %s with the least work, an estimate: %s at the thinnest, %s on average.%s",
        name, thin, mean, balance);
    size = strstr(name, " ("); /* "16 swg (1.63 mm)": the gauge is enough above the picture */
    if (size)
        *size = '\0';
    snprintf(col->heading, sizeof col->heading, "%s sheet, as formed", name);
    col->node = row->map->node;
    col->centroid = row->weight.centroid_mm;
    col->contours = true;
}

static void difference_column(const tw_against *row, const double *node, tw_scale scale,
                              tw_units units, tw_column *col)
{
    char grams[48], saved[48], kept[48], percent[32], thinner[32], thicker[32];
    const double size = fabs(row->difference_g);

    snprintf(col->heading, sizeof col->heading, "Difference");
    tw_write_mass(size, units, -1, grams, sizeof grams);
    percent_text(fabs(row->difference_percent), percent, sizeof percent);
    percent_text(row->thinner_share_percent, thinner, sizeof thinner);
    percent_text(row->thicker_share_percent, thicker, sizeof thicker);
    tw_write_mass(row->saved_g, units, -1, saved, sizeof saved);
    tw_write_mass(row->kept_g, units, -1, kept, sizeof kept);
    if (size < 0.5) {
        snprintf(col->grams, sizeof col->grams, "the same");
        col->words[0] = '\0';
    } else {
        snprintf(col->grams, sizeof col->grams, "%s%s", row->difference_g > 0 ? "−" : "+", grams);
        snprintf(col->words, sizeof col->words, "The sheet plate is %s %s (%s %%). Forged: ", grams,
                 row->difference_g > 0 ? "heavier" : "lighter", percent);
    }
    snprintf(col->words + strlen(col->words), sizeof col->words - strlen(col->words),
             "%s left off where it is thinner, %s %% of the face; %s more where it is thicker, "
             "%s %%.",
             saved, thinner, kept, thicker);
    col->node = node;
    col->scale = scale;
    col->contours = true;
    snprintf(col->legend, sizeof col->legend, "Forged less sheet, %s",
             units == TW_INCH ? "in" : "mm");
    col->legend_span = 1;
    col->low = "forged thinner";
    col->high = "forged thicker";
}

/* One bar under the first column for the first few. */
static void shared_legend(tw_page *work, size_t columns)
{
    tw_column *col = &work->columns[0];

    snprintf(col->legend, sizeof col->legend, "Thickness, %s%s",
             work->options->units == TW_INCH ? "in" : "mm",
             columns < 2    ? ""
             : columns == 2 ? ", one scale for both"
                            : ", one scale for all");
    col->legend_span = (double)columns;
}

/* Greatest size of a field where the plate has metal. */
static double greatest_in_metal(const tw_grid *grid, const double *node)
{
    double most = 0;

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] <= 0)
            most = fmax(most, fabs(node[n]));
    return most;
}

/* ---- the two pictures ------------------------------------------------------------------------ */

tw_status tw_page_comparison(const tw_comparison *comparison, const tw_draw_options *options,
                             tw_arena *arena, tw_page *out, tw_error *err)
{
    const tw_plate *plate = comparison->plate;
    const tw_plate_map *forged = comparison->forged;
    const tw_grid *grid = plate->grid;
    const size_t nodes = grid->nu * grid->nv;
    size_t which = options->which;
    double *even = tw_arena_array(arena, nodes, sizeof *even);
    double *difference = tw_arena_array(arena, nodes, sizeof *difference);
    double most, thinnest, thickest;
    const tw_against *row;
    tw_scale scale, change = {.palette = TW_PALETTE_DIFFERENCE};
    tw_status status;

    if (comparison->count == 0)
        return tw_fail(err, TW_ERR_INPUT, "there is no sheet to compare with");
    if (which >=
        comparison->count) { /* the last is as formed or the profile's own, if it has one */
        which = comparison->count - 1;
        if (!comparison->against[which].map && comparison->against[which].reason != TW_REASON_STOCK)
            which = 0;
    }
    row = &comparison->against[which];
    status = tw_page_begin(
        out, plate, options,
        row->map ? "forged taper against sheet as formed" : "forged taper against even sheet", err);
    if (status != TW_OK)
        return status;
    if (!even || !difference)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    thinnest = thickest = row->sheet_mm;
    for (size_t n = 0; n < nodes; n++)
        even[n] = row->sheet_mm;
    tw_compare_difference(comparison, which, difference);
    if (row->map) {
        thinnest = row->map->thinnest;
        thickest = row->map->thickest;
    }
    most = row->map ? greatest_in_metal(grid, difference)
                    : fmax(fabs(forged->map.thickest - row->sheet_mm),
                           fabs(forged->map.thinnest - row->sheet_mm));
    change.step = tw_round_step(fmax(2 * most, 0.1), 6, options->units);
    change.high = ceil(most / change.step - 1e-6) * change.step;
    change.high = fmax(change.high, change.step);
    change.low = -change.high;
    scale = tw_scale_thickness(fmin(forged->map.thinnest, thinnest),
                               fmax(forged->map.thickest, thickest), options->units);

    out->count = 3;
    varied_column(plate, forged, options->units, &out->columns[0]);
    out->columns[0].scale = scale;
    shared_legend(out, 2);
    if (row->map) {
        formed_column(plate, row, options->units, &out->columns[1]);
    } else {
        const tw_stock stock = stock_of(plate, row);
        char name[64];
        tw_stock_write(&stock, options->units, name, sizeof name);
        sheet_column(plate, name, &row->weight, even, options->units, &out->columns[1]);
    }
    out->columns[1].scale = scale;
    difference_column(row, difference, change, options->units, &out->columns[2]);
    for (size_t k = 0; k < out->count; k++)
        tw_text_bind_units(out->columns[k].words, sizeof out->columns[k].words);
    return TW_OK;
}

tw_status tw_draw_comparison(const tw_comparison *comparison, tw_paper paper,
                             const tw_draw_options *options, tw_output *out, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_page work;
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    status = tw_page_comparison(comparison, options, arena, &work, err);
    if (status == TW_OK)
        status = tw_page_render(&work, paper, out, err);
    tw_arena_free(arena);
    return status;
}

tw_status tw_draw_plate(const tw_plate *plate, tw_paper paper, const tw_draw_options *options,
                        tw_output *out, tw_error *err)
{
    /* of four maps the first is even sheet, which a picture tells least of */
    const size_t first = plate->map_count > TW_PANELS_MAX ? plate->map_count - TW_PANELS_MAX : 0;
    double low = INFINITY, high = 0;
    tw_scale scale;
    tw_page work;
    tw_status status = tw_page_begin(&work, plate, options, "thickness", err);

    if (status != TW_OK)
        return status;
    if (plate->map_count == 0)
        return tw_fail(err, TW_ERR_INPUT, "there is no thickness map to draw");
    for (size_t k = first; k < plate->map_count; k++) {
        low = fmin(low, plate->maps[k].map.thinnest);
        high = fmax(high, plate->maps[k].map.thickest);
    }
    scale = tw_scale_thickness(low, high, options->units);
    work.count = plate->map_count - first;
    for (size_t k = 0; k < work.count; k++) {
        const tw_plate_map *item = &plate->maps[first + k];
        char name[64];
        if (item->map.kind != TW_MAP_SHEET) {
            varied_column(plate, item, options->units, &work.columns[k]);
        } else {
            tw_stock_write(&plate->profile->sheet, options->units, name, sizeof name);
            sheet_column(plate, name, &item->weight, item->map.node, options->units,
                         &work.columns[k]);
        }
        work.columns[k].scale = scale;
    }
    shared_legend(&work, work.count);
    return tw_page_render(&work, paper, out, err);
}
