/*
 * readings.c: the map that readings give, each reading where it was taken, and beside it how sure
 * the map is at each place, with the places wanted next.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Least and most standard deviation where there is metal. */
static void spread_range(const tw_survey *survey, double *low, double *high)
{
    const tw_grid *grid = survey->grid;

    *low = INFINITY;
    *high = 0;
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double here = survey->sd[c / (grid->nu - 1) * grid->nu + c % (grid->nu - 1)];
        if (grid->area[c] > 0) {
            *low = fmin(*low, here);
            *high = fmax(*high, here);
        }
    }
}

/* From nothing, so that a pale plate is a well-known one. */
static tw_scale spread_scale(double high, tw_units units)
{
    tw_scale scale = {.palette = TW_PALETTE_SPREAD};

    high = fmax(high, 0.01);
    scale.step = tw_round_step(high, 5, units);
    scale.high = fmax(ceil(high / scale.step - 1e-6), 2) * scale.step;
    return scale;
}

static size_t count_flagged(const tw_survey *survey)
{
    size_t count = 0;

    for (size_t k = 0; k < survey->count; k++)
        count += survey->readings[k].flags != 0;
    return count;
}

static void map_column(const tw_plate *plate, const tw_plate_map *map,
                       const tw_draw_options *options, const tw_dots *dots, tw_column *col)
{
    const tw_survey *survey = plate->survey;
    const tw_units units = options->units;
    /* An even plate is one colour, not the last hundredth of a millimetre spread over all. */
    const double spare = fmax(0, 0.2 - (map->map.thickest - map->map.thinnest)) / 2;
    const size_t flagged = count_flagged(survey), left_out = survey->count - survey->used;
    char thin[48], thick[48], mean[48], more[200];

    snprintf(col->heading, sizeof col->heading, "Thickness from %zu reading%s", survey->used,
             survey->used == 1 ? "" : "s");
    tw_grams_words(map->weight.mass_g, survey->edges_only ? 0 : options->expanded_g, units,
                   col->grams, sizeof col->grams);
    snprintf(col->words, sizeof col->words,
             "%s at the thickest, %s at the thinnest, %s on average.",
             tw_write_thickness(map->map.thickest, units, -1, thick, sizeof thick),
             tw_write_thickness(map->map.thinnest, units, -1, thin, sizeof thin),
             tw_write_thickness(map->weight.mean_thickness_mm, units, -1, mean, sizeof mean));
    if (survey->edges_only)
        tw_text_append(col->words, sizeof col->words,
                       " All readings lie near the edge: no ± can be given for the whole.");
    if (flagged > 0) {
        snprintf(more, sizeof more, " Ringed twice in red: %zu to look at again.", flagged);
        tw_text_append(col->words, sizeof col->words, more);
    }
    if (left_out > 0)
        tw_text_append(col->words, sizeof col->words, " Struck out: left out.");
    col->node = map->map.node;
    col->contours = true;
    col->dots = dots;
    snprintf(col->legend, sizeof col->legend, "Thickness, %s", units == TW_INCH ? "in" : "mm");
    col->legend_span = 1;
    col->scale = tw_scale_thickness(map->map.thinnest - spare, map->map.thickest + spare, units);
}

static void spread_column(const tw_survey *survey, tw_units units, const tw_dots *dots,
                          tw_column *col)
{
    double low, high;
    char words[3][24];

    spread_range(survey, &low, &high);
    snprintf(col->heading, sizeof col->heading, "How sure it is");
    tw_write_thickness(low, units, -1, words[0], sizeof words[0]);
    tw_write_thickness(high, units, -1, words[1], sizeof words[1]);
    if (strcmp(words[0], words[1]) == 0)
        snprintf(col->grams, sizeof col->grams, "± %s", words[1]);
    else
        snprintf(col->grams, sizeof col->grams, "± %s to %s", words[0], words[1]);
    tw_write_thickness(survey->surface, units, -1, words[2], sizeof words[2]);
    if (survey->edges_only)
        snprintf(col->words, sizeof col->words,
                 "One standard deviation, if the middle is as the edge is: nobody read it. Dots: "
                 "where it was read.");
    else
        snprintf(col->words, sizeof col->words,
                 "One standard deviation of the metal's thickness, dents and pits left out (they "
                 "scatter by %s). Dots: where it was read.",
                 words[2]);
    if (dots->suggestion_count == 1)
        tw_text_append(col->words, sizeof col->words, " A: where the next reading tells most.");
    else if (dots->suggestion_count > 1)
        tw_text_append(col->words, sizeof col->words,
                       " Letters: where the next readings tell most, A first.");
    col->node = survey->sd;
    col->contours = true;
    col->dots = dots;
    snprintf(col->legend, sizeof col->legend, "± one standard deviation, %s",
             units == TW_INCH ? "in" : "mm");
    col->legend_span = 1;
    col->scale = spread_scale(high, units);
}

tw_status tw_draw_readings(const tw_plate *plate, const tw_suggestion *suggestions,
                           size_t suggestion_count, const tw_draw_options *options, tw_image *image,
                           tw_error *err)
{
    const tw_plate_map *map = tw_plate_map_of(plate, TW_MAP_READINGS);
    const tw_dots numbered = {.survey = plate->survey, .numbered = true};
    const tw_dots plain = {
        .survey = plate->survey, .suggestions = suggestions, .suggestion_count = suggestion_count};
    const tw_readings_spec *spec = &plate->profile->readings;
    tw_draw_options own = *options;
    tw_page work;
    tw_status status;

    if (!map || !plate->survey || !plate->survey->sd)
        return tw_fail(err, TW_ERR_INPUT, "there are no readings to draw");
    if (!own.date)
        own.date = spec->date;
    status = tw_page_begin(&work, plate, &own, "thickness from readings", err);
    if (status != TW_OK)
        return status;
    work.count = 2;
    map_column(plate, map, &own, &numbered, &work.columns[0]);
    spread_column(plate->survey, own.units, &plain, &work.columns[1]);
    return tw_page_render(&work, image, err);
}
