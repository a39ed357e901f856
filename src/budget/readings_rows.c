/*
 * readings_rows.c: what a mass from gauge readings owes to them. Their scatter and what lies between
 * them come from the covariance of the map, all cells together. What all readings of one instrument
 * share no scatter can show, so it has rows of its own, with the exact slope: if its readings are all
 * multiplied by f, the map changes by their part in it.
 *
 *   tie       f = micrometer/display at one spot. Its relative u: the display's noise over what it read
 *             there, and the micrometer's step over what that read
 *   velocity  f = metal velocity/set velocity. Instrument makers' tables give 5830 to 5920 m/s for
 *             steels, so one from a table or never set is taken as right to 1 %, a bound
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

#define SQRT3 1.7320508075688772

static const double MICROMETER_STEP = 0.01; /* [mm], not asked for: the usual one */
static const double VELOCITY_BOUND = 0.01;  /* of it */

size_t tw_table_readings_room(const tw_profile *profile)
{
    return profile->has_readings ? 2 + profile->readings.instrument_count : 0;
}

static bool in_use(const tw_survey *survey, size_t instrument)
{
    for (size_t k = 0; k < survey->count; k++)
        if (survey->readings[k].used && survey->readings[k].reading->instrument == instrument)
            return true;
    return false;
}

static const char *named(tw_table *t, const char *format, const tw_instrument *instrument)
{
    char text[160];

    tw_format(text, sizeof text, format, instrument->name);
    return tw_arena_text(t->arena, text);
}

/* `slope`: grams per relative change of all readings of the instrument. */
static tw_budget_row tie_row(tw_table *t, const tw_instrument *instrument, double slope)
{
    const double factor = instrument->tie_true / instrument->tie_reads;
    const double display = tw_instrument_u(instrument) / instrument->tie_reads;
    const double micrometer = MICROMETER_STEP / sqrt(12.0) / instrument->tie_true;

    return (tw_budget_row){.kind = TW_ROW_TIE,
                           .name = named(t, "%s tied at one spot: its factor", instrument),
                           .value = factor,
                           .u = factor * hypot(display, micrometer),
                           .sensitivity = slope / factor};
}

static tw_budget_row velocity_row(tw_table *t, const tw_instrument *instrument, double slope)
{
    const double given =
        instrument->metal_velocity > 0 ? instrument->metal_velocity : instrument->set_velocity;
    const double velocity =
        given > 0 ? 1000 * given : 1; /* m/s, or a factor of what is not known */

    return (tw_budget_row){
        .kind = TW_ROW_VELOCITY,
        .shared = t->plate->profile->material,
        .name = named(t, "velocity of sound, %s (taken as right to 1 %%)", instrument),
        .unit = given > 0 ? "m/s" : "",
        .value = velocity,
        .u = VELOCITY_BOUND * velocity / SQRT3,
        .distribution = TW_RECTANGULAR,
        .sensitivity = slope / velocity};
}

static tw_status add_instruments(tw_table *t, const double *weight, tw_error *err)
{
    const tw_readings_spec *spec = &t->plate->profile->readings;

    for (size_t k = 0; k < spec->instrument_count; k++) {
        const tw_instrument *instrument = &spec->instruments[k];
        const bool tied = instrument->tie_true > 0 && instrument->tie_reads > 0;
        tw_budget_row row;
        double slope;
        tw_status status;
        if (!in_use(t->plate->survey, k) || !(tied || instrument->kind == TW_ULTRASONIC))
            continue;
        status = tw_survey_instrument_sum(t->plate->survey, weight, &t->map->map, k, t->threads,
                                          &slope, err);
        if (status != TW_OK)
            return status;
        row = tied ? tie_row(t, instrument, slope) : velocity_row(t, instrument, slope);
        if (!row.name)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for the instruments of readings");
        tw_table_add(t, row);
    }
    return TW_OK;
}

tw_status tw_table_add_readings(tw_table *t, tw_error *err)
{
    const tw_plate *plate = t->plate;
    const tw_profile *profile = plate->profile;
    double *slope = tw_arena_array(t->arena, tw_grid_cells(plate->grid), sizeof *slope);
    double sd, block_error;
    tw_status status;

    assert(plate->survey);
    if (!slope)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the weights of readings");
    if (plate->survey->edges_only && !(profile->scale > 0)) {
        status = tw_fail(err, TW_ERR_INPUT,
                         "no ± can be given for the whole: every reading lies near the edge, and "
                         "the middle may be anything");
        tw_error_advise(err, NULL, "read the middle, or give the taper (forged) or a scale weight");
        return status;
    }
    tw_cell_mass_slopes(plate->grid, t->map->map.cell, t->map->map.node, profile->face,
                        profile->density, slope);
    status = tw_survey_sum(plate->survey, slope, t->threads, NULL, &sd, &block_error, err);
    if (status != TW_OK)
        return status;
    tw_table_add(t, (tw_budget_row){.kind = TW_ROW_READINGS,
                                    .name = "readings, and what lies between them",
                                    .unit = "g",
                                    .u = sd,
                                    .sensitivity = 1});
    tw_table_add(t, (tw_budget_row){.kind = TW_ROW_READINGS,
                                    .name = "readings, gathered into blocks for the sum",
                                    .unit = "g",
                                    .u = block_error / SQRT3,
                                    .distribution = TW_RECTANGULAR,
                                    .sensitivity = 1});
    return add_instruments(t, slope, err);
}
