/* cmd_readings.c: what gauge readings of a plate say, how sure they are, where to read next. */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static tw_status has_readings(const tw_profile *profile, tw_error *err)
{
    if (profile->has_readings && !tw_cli_area_only(profile))
        return TW_OK;
    tw_fail(err, TW_ERR_INPUT, "plate %s gives no readings", profile->plate);
    tw_error_advise(err, NULL, "add readings: with instruments and a list or a file%s",
                    tw_cli_area_only(profile) ? ", and the form they lie on" : "");
    tw_cli_error_in(profile, err);
    return TW_ERR_INPUT;
}

/* By name; without one, the first of those that reach farthest from an edge. */
static tw_status find_instrument(const tw_args *args, const tw_profile *profile,
                                 const tw_instrument **out, tw_error *err)
{
    const tw_readings_spec *spec = &profile->readings;
    const char *names[16];
    const char *nearest;
    size_t count = 0;

    *out = &spec->instruments[0];
    for (size_t k = 0; k < spec->instrument_count; k++) {
        const tw_instrument *instrument = &spec->instruments[k];
        if (args->instrument && strcmp(args->instrument, instrument->name) == 0) {
            *out = instrument;
            return TW_OK;
        }
        if (!args->instrument && instrument->reach > (*out)->reach)
            *out = instrument;
        if (count < sizeof names / sizeof *names)
            names[count++] = instrument->name;
    }
    if (!args->instrument)
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "plate %s has no instrument \"%s\"", profile->plate,
            args->instrument);
    nearest = tw_nearest_word(args->instrument, names, count);
    tw_error_advise(err, args->instrument, nearest ? "did you mean \"%s\"?" : "the first is \"%s\"",
                    nearest ? nearest : names[0]);
    return TW_ERR_USAGE;
}

/* At least one place, to say where most of the ± comes from. */
static tw_status look_ahead(const tw_args *args, tw_cli_readings *found, tw_error *err)
{
    const tw_plate *plate = found->plate;
    const tw_grid *grid = plate->grid;
    const tw_map *map = &found->map->map;
    const unsigned threads = (unsigned)args->threads;
    const size_t wanted = args->suggest > 0 ? args->suggest : 1;
    double *slope = malloc(tw_grid_cells(grid) * sizeof *slope);
    tw_status status = TW_OK;

    found->suggestions = calloc(wanted, sizeof *found->suggestions);
    if (!slope || !found->suggestions)
        status = tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    if (status == TW_OK) {
        tw_cell_mass_slopes(grid, map->cell, map->node, plate->profile->face,
                            plate->profile->density, slope);
        status =
            tw_survey_sum(plate->survey, slope, threads, NULL, &found->readings_u_g, NULL, err);
    }
    if (status == TW_OK)
        status = tw_survey_suggest(plate->survey, slope, found->instrument, wanted,
                                   found->suggestions, &found->suggestion_count, err);
    if (status == TW_OK)
        status = tw_survey_where(plate->survey, slope, threads, &found->where, err);
    found->shown = args->suggest > 0 ? found->suggestion_count : 0;
    free(slope);
    return status;
}

static tw_status draw(const tw_args *args, const tw_cli_readings *found, tw_output *out,
                      tw_error *err)
{
    const tw_profile *profile = found->plate->profile;
    tw_draw_options options = tw_cli_plate_options(args, profile);

    options.expanded_g = found->surety.given ? found->surety.budget.expanded : 0;
    options.agreement = found->surety.compared ? &found->surety.agreement : NULL;
    return tw_draw_readings(found->plate, found->suggestions, found->shown,
                            tw_paper_of(args->output), &options, out, err);
}

static tw_status show(const tw_args *args, const tw_cli_readings *found, tw_output *out,
                      tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_readings_json(args, found), out, err);
    if (args->csv)
        tw_show_readings_csv(out, found);
    else
        tw_show_readings_text(out, args, found);
    return TW_OK;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    tw_cli_readings found = {.plate = plate, .map = tw_plate_map_of(plate, TW_MAP_READINGS)};
    tw_status status = find_instrument(args, plate->profile, &found.instrument, err);

    if (status == TW_OK)
        status = tw_cli_surety_make(args, plate, found.map, &found.surety, err);
    if (status == TW_OK)
        status = look_ahead(args, &found, err);
    if (status == TW_OK && text)
        status = show(args, &found, text, err);
    if (status == TW_OK && picture)
        status = draw(args, &found, picture, err);
    if (status != TW_OK)
        tw_cli_error_in(plate->profile, err);
    tw_cli_surety_release(&found.surety);
    free(found.suggestions);
    return status;
}

tw_status tw_cmd_readings(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, has_readings, compute, errors);
}
