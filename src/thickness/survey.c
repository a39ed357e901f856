/*
 * survey.c: gauge readings of a plate, from the profile's rows to a fitted process: place, correct,
 * join, flag, fit. Runs once per plate; up to 2000 readings.
 *
 * The fit hangs on places in space and on thicknesses only, so it is made once and carried from one
 * grid to the next (tw_survey_move): grids then differ by how they sum the map, not by the map.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Under this many places a scale and an amplitude cannot be told from chance. Common practice, no
 * source. */
enum { PROCESS_MIN = 6 };

static tw_status check_spec(const tw_form *form, const tw_readings_spec *spec,
                            const tw_taper *taper, tw_error *err)
{
    size_t used = 0;

    if (spec->reading_count > TW_READINGS_MAX) {
        tw_fail(err, TW_ERR_LIMIT, "%zu readings are more than the limit of %d",
                spec->reading_count, (int)TW_READINGS_MAX);
        tw_error_advise(err, NULL, "leave out rows, or average neighbours");
        goto fault;
    }
    for (size_t k = 0; k < spec->reading_count; k++)
        used += !spec->readings[k].leave_out;
    if (used == 0) {
        tw_fail(err, TW_ERR_INPUT,
                spec->reading_count > 0 ? "every reading is left out" : "there are no readings");
        tw_error_advise(err, NULL, "a map needs at least one reading");
        goto fault;
    }
    if (spec->trend == TW_TREND_FORGED && !taper) {
        tw_fail(err, TW_ERR_INPUT, "the readings scatter about a forged taper, but none is given");
        tw_error_advise(err, NULL, "add thickness: with forged:, or choose trend: even or plane");
        goto fault;
    }
    return TW_OK;
fault:
    if (err && spec->place.line != 0)
        tw_profile_place(tw_form_profile(form), spec->place, err);
    return err ? err->status : spec->reading_count > TW_READINGS_MAX ? TW_ERR_LIMIT : TW_ERR_INPUT;
}

static void note_few(tw_survey *survey, const tw_readings_spec *spec, size_t count)
{
    static const char *const trends[] = {"one even thickness", "a plane", "the forged taper"};
    tw_error note;

    tw_fail(&note, TW_OK,
            "%zu %s too few to tell how thickness wanders from place to place: the map is %s, and "
            "its \302\261 holds no wandering",
            count, count == 1 ? "reading is" : "readings are", trends[survey->trend]);
    tw_error_advise(&note, NULL, "take readings at %d places or more", (int)PROCESS_MIN);
    if (spec->place.line != 0)
        tw_profile_place(tw_form_profile(survey->form), spec->place, &note);
    tw_notes_add(&survey->notes, &note);
}

tw_status tw_survey_fit(const tw_survey *survey, const tw_survey_data *data, tw_krige **out,
                        tw_error *err)
{
    const tw_krige_data krige = {.count = data->count,
                                 .position = (const double(*)[3])data->position,
                                 .value = data->value,
                                 .noise = data->noise,
                                 .surface = survey->surface,
                                 .basis_count = tw_survey_basis_count(survey->trend),
                                 .basis = data->basis,
                                 .scale = (double)NAN,
                                 .amplitude = (double)NAN,
                                 .trend_only = data->count < PROCESS_MIN};

    return tw_krige_fit(&krige, out, err);
}

static tw_status fit(tw_survey *survey, const tw_readings_spec *spec, tw_survey_data *data,
                     tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    tw_status status;

    if (data->count < functions) {
        status =
            tw_fail(err, TW_ERR_DOMAIN, "readings at %zu places cannot tell a plane", data->count);
    } else {
        survey->few = data->count < PROCESS_MIN;
        if (survey->few)
            note_few(survey, spec, data->count);
        status = tw_survey_fit(survey, data, &survey->krige, err);
    }
    if (status == TW_ERR_DOMAIN) {
        if (functions > 1)
            tw_error_advise(err, NULL, "add readings elsewhere, or choose trend: even");
        if (err && spec->place.line != 0)
            tw_profile_place(tw_form_profile(survey->form), spec->place, err);
    }
    return status;
}

/* All that needs no fit. */
static tw_status place(tw_survey *survey, const tw_readings_spec *spec, tw_survey_data *data,
                       tw_error *err)
{
    tw_status status = tw_survey_locate(survey, spec, err);

    if (status == TW_OK)
        status = tw_survey_join(survey, spec, data, err);
    if (status != TW_OK)
        return status;
    tw_survey_scatter(survey, spec, data);
    return tw_survey_neighbours(survey, spec, data, err);
}

static tw_status make(tw_survey *survey, const tw_readings_spec *spec, bool fitted, tw_error *err)
{
    tw_survey_data data = {0};
    tw_status status = place(survey, spec, &data, err);

    if (!fitted || status != TW_OK)
        return status;
    status = fit(survey, spec, &data, err);
    if (status == TW_OK)
        status = tw_survey_leave_one_out(survey, spec, &data, err);
    if (status == TW_OK)
        status = tw_survey_edges(survey, spec, err);
    return status;
}

static tw_status build(const tw_form *form, const tw_grid *grid, const tw_readings_spec *spec,
                       const tw_taper *taper, bool fitted, tw_survey **out, tw_error *err)
{
    tw_error own;
    tw_arena *arena;
    tw_survey *survey;
    tw_status status;

    assert(form && grid && spec && out);
    if (!err)
        err = &own;
    status = check_spec(form, spec, taper, err);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    survey = arena ? tw_arena_array(arena, 1, sizeof *survey) : NULL;
    if (!survey) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the readings");
    }
    survey->arena = arena;
    survey->trend = spec->trend;
    survey->form = form;
    survey->grid = grid;
    survey->taper = spec->trend == TW_TREND_FORGED ? taper : NULL;
    status = make(survey, spec, fitted, err);
    if (status != TW_OK) {
        tw_survey_free(survey);
        return status;
    }
    *out = survey;
    return TW_OK;
}

tw_status tw_survey_build(const tw_form *form, const tw_grid *grid, const tw_readings_spec *spec,
                          const tw_taper *taper, tw_survey **out, tw_error *err)
{
    return build(form, grid, spec, taper, true, out, err);
}

tw_status tw_survey_place(const tw_form *form, const tw_grid *grid, const tw_readings_spec *spec,
                          const tw_taper *taper, tw_survey **out, tw_error *err)
{
    return build(form, grid, spec, taper, false, out, err);
}

void tw_survey_free(tw_survey *survey)
{
    if (!survey)
        return;
    tw_krige_free(survey->krige);
    tw_arena_free(survey->arena);
}

void tw_survey_move(tw_survey *survey, const tw_grid *grid, const tw_taper *taper)
{
    assert(survey);
    survey->grid = grid;
    survey->taper = survey->trend == TW_TREND_FORGED ? taper : NULL;
    survey->sd = NULL;
    assert(!grid || survey->trend != TW_TREND_FORGED || taper);
}
