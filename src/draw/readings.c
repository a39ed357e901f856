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

/* From nothing, so that a pale plate is a well-known one, to 1, 2 or 5 times a power of ten and never
 * under a tenth of a millimetre, so that two pictures are mostly on one scale. */
tw_scale tw_scale_spread(double high, tw_units units)
{
    static const double ends[] = {1, 2, 5, 10}, steps[] = {0.2, 0.5, 1, 2};
    const double unit = units == TW_INCH ? 25.4 : 1;
    const double wanted = fmax(high, 0.1) / unit * (1 - 1e-9);
    const double power = pow(10, floor(log10(wanted)));
    size_t k = 0;

    while (k < 3 && ends[k] * power < wanted)
        k++;
    return (tw_scale){.palette = TW_PALETTE_SPREAD,
                      .high = ends[k] * power * unit,
                      .step = steps[k] * power * unit};
}

/* What the scale says, on a line of its own; nothing without a scale weight. */
static void scale_words(const tw_plate *plate, const tw_draw_options *options, tw_column *col)
{
    const size_t used = plate->survey->used;
    char grams[48], verdict[80] = "", words[160];

    if (!(plate->profile->scale > 0))
        return;
    if (options->agreement)
        switch (options->agreement->verdict) {
        case TW_VERDICT_AGREE:
            snprintf(verdict, sizeof verdict, ", which agrees");
            break;
        case TW_VERDICT_DISAGREE:
            snprintf(verdict, sizeof verdict, ", which does not agree");
            break;
        case TW_VERDICT_FEW:
            snprintf(verdict, sizeof verdict, "; %zu reading%s too few to judge by it", used,
                     used == 1 ? " is" : "s are");
            break;
        case TW_VERDICT_UNSURE:
            snprintf(verdict, sizeof verdict, ": the ± is too wide to tell whether that agrees");
            break;
        }
    tw_write_mass(plate->profile->scale, options->units, -1, grams, sizeof grams);
    snprintf(words, sizeof words, "\nThe scale says %s%s.", grams, verdict);
    tw_text_append(col->words, sizeof col->words, words);
}

static void map_column(const tw_plate *plate, const tw_plate_map *map,
                       const tw_draw_options *options, const tw_dots *dots, tw_column *col)
{
    const tw_survey *survey = plate->survey;
    const tw_units units = options->units;
    /* An even plate is one colour, not the last hundredth of a millimetre spread over all. */
    const double spare = fmax(0, 0.2 - (map->map.thickest - map->map.thinnest)) / 2;
    const bool within = !survey->edges_only && options->expanded_g > 0;
    char thin[48], thick[48], mean[48], more[160];

    if (survey->used < survey->count)
        snprintf(col->heading, sizeof col->heading, "Thickness from %zu of %zu readings",
                 survey->used, survey->count);
    else
        snprintf(col->heading, sizeof col->heading, "Thickness from %zu reading%s", survey->used,
                 survey->used == 1 ? "" : "s");
    tw_grams_words(map->weight.mass_g, within ? options->expanded_g : 0, units, col->grams,
                   sizeof col->grams);
    if (within)
        snprintf(col->after, sizeof col->after, survey->few ? "or more" : "(95 %%)");
    tw_write_thickness(map->map.thickest, units, -1, thick, sizeof thick);
    tw_write_thickness(map->map.thinnest, units, -1, thin, sizeof thin);
    tw_write_thickness(map->weight.mean_thickness_mm, units, -1, mean, sizeof mean);
    if (strcmp(thick, thin) == 0)
        snprintf(col->words, sizeof col->words, "Estimated as one even thickness, %s.", mean);
    else
        snprintf(col->words, sizeof col->words,
                 "Estimated between the readings: thickest %s, thinnest %s, on average %s.", thick,
                 thin, mean);
    if (survey->edges_only)
        tw_text_append(col->words, sizeof col->words,
                       "\nAll readings lie near the edge: no ± can be given for the whole.");
    else if (survey->few) {
        snprintf(more, sizeof more,
                 "\nWith only %zu reading%s the ± leaves out how the thickness wanders from place "
                 "to place.",
                 survey->used, survey->used == 1 ? "" : "s");
        tw_text_append(col->words, sizeof col->words, more);
    }
    scale_words(plate, options, col);
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
    if (strcmp(words[0], words[1]) != 0) { /* one unit for both */
        char *unit = strchr(words[0], ' ');
        if (unit)
            *unit = '\0';
        snprintf(col->grams, sizeof col->grams, "%s to %s", words[0], words[1]);
    } else {
        snprintf(col->grams, sizeof col->grams, "%s", words[1]);
    }
    snprintf(col->after, sizeof col->after, "standard deviation");
    tw_write_thickness(survey->surface, units, -1, words[2], sizeof words[2]);
    if (survey->edges_only)
        snprintf(col->words, sizeof col->words,
                 "Of the metal's thickness, if the middle is as the edge is: "
                 "nobody read it.");
    else if (survey->few)
        snprintf(col->words, sizeof col->words,
                 "Of the metal's thickness, as far as %zu reading%s tell%s: "
                 "how it wanders from place to place is left out, and so are dents and pits.",
                 survey->used, survey->used == 1 ? "" : "s", survey->used == 1 ? "s" : "");
    else
        snprintf(col->words, sizeof col->words,
                 "At any place the metal's thickness lies within twice that, either way, at about "
                 "95 %%. Dents and pits come on top: they scatter by %s.",
                 words[2]);
    col->node = survey->sd;
    col->contours = true;
    col->dots = dots;
    snprintf(col->legend, sizeof col->legend, "Standard deviation, %s",
             units == TW_INCH ? "in" : "mm");
    col->legend_span = 1;
    col->scale = tw_scale_spread(high, units);
}

tw_status tw_draw_readings(const tw_plate *plate, const tw_suggestion *suggestions,
                           size_t suggestion_count, tw_paper paper, const tw_draw_options *options,
                           tw_output *out, tw_error *err)
{
    const tw_plate_map *map = tw_plate_map_of(plate, TW_MAP_READINGS);
    const tw_dots numbered = {.survey = plate->survey, .numbered = true};
    const tw_dots plain = {
        .survey = plate->survey, .suggestions = suggestions, .suggestion_count = suggestion_count};
    const tw_readings_spec *spec = &plate->profile->readings;
    tw_key_entry key[TW_DOT_KEYS];
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
    if (spec->seen_inside)
        tw_text_append(work.line, sizeof work.line,
                       "\nRead from inside, drawn as seen from outside.");
    work.count = 2;
    work.key = key;
    work.key_count = tw_dots_key(&plain, key);
    map_column(plate, map, &own, &numbered, &work.columns[0]);
    spread_column(plate->survey, own.units, &plain, &work.columns[1]);
    return tw_page_render(&work, paper, out, err);
}
